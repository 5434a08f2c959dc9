"""
The square code of an issued document > its measures, and a picture of it for a file that has no shapes of its own.

Apart from the renderers, so that the square is as large in each of them.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from functools import lru_cache
from itertools import groupby

from docgen.render.png import SIGNATURE

MODULES = {False: 0.96, True: 1.44}
"""Side of a module in points, in large print or not: 0.34 and 0.51 mm, whole dots of a printer with 300 to the inch."""

MARGIN = 4
"""Modules of white around a square code (ISO/IEC 18004)."""

GAP_MM = 3.0
"""From the words of the foot; more than the white a camera needs."""

_DOTS = 12
"""Of a picture, for a module: no program smooths such steps away."""


def dark(row: str) -> Iterator[tuple[int, int]]:
    """Give where each stretch of dark modules begins, and how many it has."""
    at = 0
    for module, stretch in groupby(row):
        width = len([*stretch])
        if module == "1":
            yield at, width
        at += width


@lru_cache(maxsize=8)
def square_png(rows: tuple[str, ...]) -> bytes:
    """Draw a square without its margin in black on white; the same square gives the same bytes."""
    side = len(rows) * _DOTS
    made = b"".join(_line(row) * _DOTS for row in rows)
    head = struct.pack(">IIBBBBB", side, side, 1, 0, 0, 0, 0)
    return SIGNATURE + _chunk(b"IHDR", head) + _chunk(b"IDAT", zlib.compress(made, 9)) + _chunk(b"IEND", b"")


def _line(modules: str) -> bytes:
    """Write one line of dots, unfiltered; in gray of one bit 1 is white."""
    bits = "".join(("0" if module == "1" else "1") * _DOTS for module in modules)
    bits += "1" * (-len(bits) % 8)
    return b"\0" + int(bits, 2).to_bytes(len(bits) // 8, "big")


def _chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
