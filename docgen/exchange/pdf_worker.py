"""
A stranger's PDF on standard input > the one case inside it on standard output, or a word for why not.

Run as a program of its own, with nothing of docgen loaded and limits on memory and time: whatever a hostile file does
to the parser happens here, and ends here. pypdf and not qpdf: what goes wrong in Python is an exception, no overrun.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import re
import sys
from importlib import import_module
from types import ModuleType
from typing import Any

import pypdf
from pypdf import overwrite_configuration
from pypdf.generic import ArrayObject, DictionaryObject, StreamObject

resource: ModuleType | None
try:
    resource = import_module("resource")
except ImportError:  # no such limits on this system; the caller's clock still ends the program
    resource = None

MOST_MEMORY = 1 << 30
MOST_SECONDS = 10
MOST_UNPACKED = 8 << 20
MOST_CASE = 1 << 20
MOST_FILES = 32

MARK = re.compile(r"docgen case ([0-9]{1,3}); ([a-z0-9-]{1,64}); sha-256 ([0-9a-f]{64})")

FOUND, UNREADABLE, ENCRYPTED, NOTHING, SEVERAL, TOO_LARGE, ALTERED, NEWER, NO_PARSER = 0, 10, 11, 12, 13, 14, 15, 16, 1
"""Exit codes; 1 is Python's own for a program that cannot begin."""


class NoCase(Exception):
    """There is no case to be had; says why by an exit code."""

    def __init__(self, code: int) -> None:
        super().__init__(code)
        self.code = code


def main() -> int:
    """Read, find, check; give the exit code."""
    _limit()
    try:
        kind, content = find_case(sys.stdin.buffer.read())
    except NoCase as none:
        return none.code
    except (Exception, MemoryError):  # any fault of the parser says the same: this file cannot be read
        return UNREADABLE
    sys.stdout.buffer.write(kind.encode() + b"\n" + content)
    return FOUND


def _limit() -> None:
    """Bound what the parser may unpack, and what this program may use; no other program is called for a picture."""
    overwrite_configuration(
        maximum_declared_stream_length=MOST_UNPACKED,
        array_based_stream_maximum_output_length=MOST_UNPACKED,
        lzw_maximum_output_length=MOST_UNPACKED,
        run_length_maximum_output_length=MOST_UNPACKED,
        zlib_maximum_output_length=MOST_UNPACKED,
        zlib_maximum_recovery_input_length=0,
        jbig2dec_binary=None,
        disable_legacy_handling=True,
    )
    if resource is not None:
        limits = {"RLIMIT_AS": MOST_MEMORY, "RLIMIT_CPU": MOST_SECONDS, "RLIMIT_FSIZE": 0}
        for name, most in limits.items():
            with contextlib.suppress(ValueError, OSError):  # a system may refuse one; the others still hold
                resource.setrlimit(getattr(resource, name), (most, most))


def find_case(file: bytes) -> tuple[str, bytes]:
    """
    Find the one file of the catalog's associated files that bears our mark; gives its kind and its bytes.

    Errors: NoCase, or whatever the parser raises.
    """
    reader = pypdf.PdfReader(io.BytesIO(file), strict=True, root_object_recovery_limit=0)
    if reader.is_encrypted:
        raise NoCase(ENCRYPTED)
    named: Any = reader.root_object.get("/AF", ArrayObject())
    associated = named.get_object()
    if not isinstance(associated, ArrayObject) or len(associated) > MOST_FILES:
        raise NoCase(UNREADABLE)
    marked = [(found, one) for one in (entry.get_object() for entry in associated) if (found := _mark(one))]
    if len(marked) != 1:
        raise NoCase(SEVERAL if marked else NOTHING)
    (form, kind, digest), entry = marked[0]
    if form != "1":
        raise NoCase(NEWER)
    content = _content(entry)
    if hashlib.sha256(content).hexdigest() != digest:
        raise NoCase(ALTERED)
    return kind, content


def _mark(entry: object) -> tuple[str, ...] | None:
    told = entry.get("/Desc", "") if isinstance(entry, DictionaryObject) else ""
    found = MARK.fullmatch(str(told)) if len(str(told)) < 200 else None
    return found.groups() if found else None


def _content(entry: DictionaryObject) -> bytes:
    """Unpack the file; one that lies elsewhere, or is packed in a way docgen never packs, is not taken."""
    files: Any = entry["/EF"].get_object()
    held = files["/F"].get_object()
    is_ours = isinstance(held, StreamObject) and held.get("/Filter", "/FlateDecode") == "/FlateDecode"
    if not is_ours or {"/F", "/FFilter", "/DecodeParms"} & set(held):
        raise NoCase(UNREADABLE)
    content = bytes(held.get_data())
    if len(content) > MOST_CASE:
        raise NoCase(TOO_LARGE)
    return content


if __name__ == "__main__":
    sys.exit(main())
