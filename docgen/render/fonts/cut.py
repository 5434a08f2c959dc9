"""
A variable font > its static weights, its characters and their widths, each kept under the digest of its source.

A cache that cannot be read or written changes the time, never the bytes.
"""

from __future__ import annotations

import hashlib
import importlib
from collections.abc import Callable
from functools import lru_cache
from types import ModuleType

from docgen.cache import cached
from docgen.render.fonts.own import OWN
from docgen.render.fonts.sources import FAMILIES, Family, path_of

REGULAR, BOLD = 400, 700

_RECIPE = "3"
"""Raised when `instance` makes other bytes of the same source."""


class UnusableFont(Exception):
    """A font is missing, or is not the one that is pinned; the text names the family and the package."""


@lru_cache(maxsize=32)
def font_file(family: str, weight: int) -> bytes:
    """
    Give a family in one weight, REGULAR or BOLD, as a static TrueType file without hints.

    Errors: UnusableFont if the package is not installed or its file is another one.
    """
    if family in OWN:
        return OWN[family].files[weight == BOLD]
    known = FAMILIES[family]
    return _cached(known, f"{weight}.ttf", lambda: _maker().instance(_source(known), weight, known))


@lru_cache(maxsize=32)
def characters_of(family: str) -> frozenset[int]:
    """Give the code points a family prints; none if its package is not installed."""
    known = FAMILIES[family]
    if family not in OWN and path_of(known) is None:
        return frozenset()
    listed = _cached(known, "characters", lambda: _maker().characters(font_file(family, REGULAR)))
    return frozenset(map(int, listed.split()))


@lru_cache(maxsize=32)
def advances_of(family: str) -> dict[str, int]:
    """Give the width of each character in Bold, the wider weight, in thousandths of an em."""
    listed = _cached(FAMILIES[family], "advances", lambda: _maker().advances(font_file(family, BOLD)))
    pairs = (pair.split(":") for pair in listed.decode().split())
    return {chr(int(point)): int(width) for point, width in pairs}


def _source(family: Family) -> bytes:
    path = path_of(family)
    if path is None:
        raise UnusableFont(f"the font {family.name} needs the package {family.package}")
    content = path.read_bytes()
    if hashlib.sha256(content).hexdigest() != family.sha256:
        raise UnusableFont(f"the font {family.name} of the package {family.package} is not the pinned one")
    return content


def _maker() -> ModuleType:
    """Import the slow part only when it is needed."""
    return importlib.import_module("docgen.render.fonts.instance")


def _cached(family: Family, name: str, make: Callable[[], bytes]) -> bytes:
    digest = hashlib.sha256(f"{_RECIPE} {family.sha256}".encode()).hexdigest()[:32]
    return cached("fonts", f"{digest}-{name}", make)
