"""
The pinned font package > the two weights of the house font, and the characters a document asks for in vain.

Cutting the weights is slow, so they are kept under the digest of their source. A cache that cannot be read or written
changes the time, never the bytes.
"""

from __future__ import annotations

import hashlib
import importlib
import os
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import fields, is_dataclass
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from types import ModuleType

from docgen.blocks import Document, Image, Span

FAMILY = "Noto Sans"
REGULAR, BOLD = 400, 700

_SOURCE = "NotoSans[wght].ttf"
_RECIPE = "2"
"""Raised when `instance` makes other bytes of the same source."""

_BREAKS = frozenset("\n\t")
"""Set as a line break and a space; they need no glyph."""


@lru_cache(maxsize=1)
def _source() -> bytes:
    spec = find_spec("manimgx_fonts")
    if spec is None or spec.origin is None:
        raise FileNotFoundError(_SOURCE)
    return (Path(spec.origin).parent / _SOURCE).read_bytes()


@lru_cache(maxsize=2)
def font_file(weight: int) -> bytes:
    """Give the house font in one weight, REGULAR or BOLD, as a TrueType file."""
    return _cached(f"{weight}.ttf", lambda: _maker().instance(_source(), weight))


@lru_cache(maxsize=1)
def font_characters() -> frozenset[int]:
    """Give the code points the house font can print."""
    listed = _cached("characters", lambda: " ".join(map(str, sorted(_maker().characters(_source())))).encode())
    return frozenset(map(int, listed.split()))


@lru_cache(maxsize=1)
def _advances() -> dict[str, int]:
    """Give the width of each character in Bold, the wider of the two, in thousandths of an em."""
    listed = _cached("advances", lambda: _listed(_maker().advances(font_file(BOLD))))
    pairs = (pair.split(":") for pair in listed.decode().split())
    return {chr(int(point)): int(width) for point, width in pairs}


def _listed(advances: Mapping[int, int]) -> bytes:
    return " ".join(f"{point}:{width}" for point, width in sorted(advances.items())).encode()


def width_em(text: str) -> float:
    """Measure a text set in Bold, in em."""
    known = _advances()
    return sum(known.get(character, 1000) for character in text) / 1000


def missing_characters(document: Document) -> tuple[tuple[str, str], ...]:
    """
    Find the characters of a document that no font prints, each with the field it came from.

    In reading order, each pair once; the path is empty for words that came from no field. A document with any is
    refused in all formats, so these characters are free to serve as signs of the review text.
    """
    known = font_characters()
    found: dict[tuple[str, str], None] = {}
    for text, path in _texts(document):
        for character in text:
            if ord(character) not in known and character not in _BREAKS:
                found[character, path] = None
    return tuple(found)


def _texts(part: object) -> Iterator[tuple[str, str]]:
    """Walk everything a page prints or reads out. By the shape of the model: a block added later is walked as well."""
    if isinstance(part, Span):
        yield part.text, part.path
    elif isinstance(part, Image):
        yield part.alt, ""
    elif isinstance(part, Document):
        yield from _texts(part.furniture)
        yield from ((text, "") for text in (*(mark.words for mark in part.furniture.marks), part.furniture.page))
        yield from _texts(part.title)
        yield from _texts(part.sections)
    elif isinstance(part, tuple):
        for item in part:
            yield from _texts(item)
    elif is_dataclass(part):
        for field in fields(part):
            yield from _texts(getattr(part, field.name))


def _maker() -> ModuleType:
    """Import the slow part only when it is needed."""
    return importlib.import_module("docgen.render.instance")


def _cached(name: str, make: Callable[[], bytes]) -> bytes:
    """Take a file from the cache if it is whole, else make it and try to keep it."""
    digest = hashlib.sha256(_RECIPE.encode() + _source()).hexdigest()[:32]
    folder = _cache_folder()
    if folder is None:
        return make()
    path = folder / f"{digest}-{name}"
    with suppress(OSError):
        head, _, content = path.read_bytes().partition(b"\n")
        if head == hashlib.sha256(content).hexdigest().encode():
            return content
    content = make()
    with suppress(OSError):
        _keep(path, hashlib.sha256(content).hexdigest().encode() + b"\n" + content)
    return content


def _cache_folder() -> Path | None:
    home = os.environ.get("XDG_CACHE_HOME", "")
    if Path(home).is_absolute():  # a relative path is to be ignored, says the XDG base directory specification
        return Path(home) / "docgen" / "fonts"
    try:
        return Path.home() / ".cache" / "docgen" / "fonts"
    except RuntimeError:
        return None


def _keep(path: Path, content: bytes) -> None:
    """Write beside the name and rename, so that a reader never sees half a file."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, beside = tempfile.mkstemp(dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
        Path(beside).replace(path)
    except OSError:
        Path(beside).unlink(missing_ok=True)
        raise
