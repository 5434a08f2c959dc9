"""
The definition of sRGB, IEC 61966-2-1 > an ICC profile, version 4.2, in its shortest form.

Made here and not shipped: half a kilobyte instead of three, no license and no date of its own.
"""

from __future__ import annotations

import struct
from functools import lru_cache

_WHITE = (0.9642, 1.0, 0.8249)
"""D50, in which profiles are connected; what follows is adapted to it with the Bradford matrix."""

_ADAPTED = (1.04788, 0.02292, -0.05022, 0.02959, 0.99048, -0.01707, -0.00925, 0.01508, 0.75168)
_RED, _GREEN, _BLUE = (0.43607, 0.22249, 0.01392), (0.38515, 0.71687, 0.09708), (0.14307, 0.06061, 0.7141)
_CURVE = (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
"""Exponent, the line under it, and where the straight foot ends."""


@lru_cache(maxsize=1)
def srgb() -> bytes:
    """Make the profile."""
    curve = struct.pack(">4s4xHxx", b"para", 3) + _fixed(*_CURVE)
    tags = {
        b"desc": _text("sRGB"),
        b"cprt": _text("CC0"),
        b"wtpt": _place(*_WHITE),
        b"chad": b"sf32" + bytes(4) + _fixed(*_ADAPTED),
        b"rXYZ": _place(*_RED),
        b"gXYZ": _place(*_GREEN),
        b"bXYZ": _place(*_BLUE),
        b"rTRC": curve,
        b"gTRC": curve,
        b"bTRC": curve,
    }
    body, table, places = b"", b"", dict[bytes, int]()
    for tag, content in tags.items():
        if content not in places:
            places[content] = 132 + 12 * len(tags) + len(body)
            body += content + bytes(-len(content) % 4)
        table += struct.pack(">4sII", tag, places[content], len(content))
    size = 132 + len(table) + len(body)
    head = struct.pack(">I4xI4s4s4s6H4s", size, 0x04200000, b"mntr", b"RGB ", b"XYZ ", 2000, 1, 1, 0, 0, 0, b"acsp")
    head += bytes(28) + _fixed(*_WHITE)
    return head.ljust(128, b"\0") + struct.pack(">I", len(tags)) + table + body


def _fixed(*values: float) -> bytes:
    return struct.pack(f">{len(values)}i", *(round(value * 65536) for value in values))


def _text(words: str) -> bytes:
    return struct.pack(">4s4xII2s2sII", b"mluc", 1, 12, b"en", b"US", 2 * len(words), 28) + words.encode("utf-16-be")


def _place(*values: float) -> bytes:
    return b"XYZ " + bytes(4) + _fixed(*values)
