"""
The parts of a Word file > one archive: the same bytes for the same parts.

Writes the archive itself, because parts that are alike in all files are kept compressed, which `zipfile` cannot take.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Mapping
from datetime import date

from docgen.values import dataclass

_LEVEL = 4
"""Of zlib: 6 takes three times as long for pictures, which become larger with it, and saves a tenth of the text."""

_VERSION, _DEFLATED, _UTF8 = 20, 8, 0x800
_FIRST_YEAR = 1980
"""The calendar of the format begins here."""


@dataclass(frozen=True)
class Packed:
    """A part, compressed."""

    content: bytes
    size: int
    """Of the part as it is read."""
    check: int


def pack(content: str | bytes) -> Packed:
    """Compress a part; text is written in UTF-8."""
    raw = content.encode() if isinstance(content, str) else content
    deflate = zlib.compressobj(_LEVEL, zlib.DEFLATED, -zlib.MAX_WBITS)
    return Packed(deflate.compress(raw) + deflate.flush(), len(raw), zlib.crc32(raw))


def archive(parts: Mapping[str, Packed], day: date) -> bytes:
    """Put parts into one archive in their order, all dated to one day."""
    stamp = (max(day.year - _FIRST_YEAR, 0) << 9) | (day.month << 5) | day.day
    out: list[bytes] = []
    directory: list[bytes] = []
    place = 0
    for name, part in parts.items():
        called = name.encode()
        flags = 0 if called.isascii() else _UTF8
        about = struct.pack(
            "<HHHHHIIIHH",
            _VERSION,
            flags,
            _DEFLATED,
            0,
            stamp,
            part.check,
            len(part.content),
            part.size,
            len(called),
            0,
        )
        out += (b"PK\3\4", about, called, part.content)
        directory += (b"PK\1\2", struct.pack("<H", _VERSION), about, struct.pack("<HHHII", 0, 0, 0, 0, place), called)
        place += 4 + len(about) + len(called) + len(part.content)
    index = b"".join(directory)
    end = struct.pack("<HHHHIIH", 0, 0, len(parts), len(parts), len(index), place, 0)
    return b"".join((*out, index, b"PK\5\6", end))
