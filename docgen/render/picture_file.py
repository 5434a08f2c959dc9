"""
A clinic's picture, PNG or JPEG > what every renderer needs of it: its size, its pixels, or that it is no picture.

Read whole and not by its first bytes, so that a file that is cut off is refused before anything is made.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from docgen.render.png import SIGNATURE, Raster, UnusablePicture, read_png

_JPEG = b"\xff\xd8\xff"
_FRAMES = (0xC0, 0xC1, 0xC2)
"""Markers of the frames PDF knows: baseline, extended and progressive; the others are lossless or arithmetic."""

_OTHER_FRAMES = (0xC3, 0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF)


class Jpeg(NamedTuple):
    """A JPEG file as it is, in gray or in red, green and blue."""

    width: int
    height: int
    samples: int
    content: bytes
    """Up to the mark of its end."""


@lru_cache(maxsize=8)
def read_picture(content: bytes) -> Raster | Jpeg:
    """Read a picture. Errors: UnusablePicture."""
    if content.startswith(SIGNATURE):
        return read_png(content)
    if content.startswith(_JPEG):
        return _read_jpeg(content)
    raise UnusablePicture


def picture_size(content: bytes) -> tuple[int, int]:
    """Measure a picture in pixels, width and height. Errors: UnusablePicture."""
    picture = read_picture(content)
    return picture.width, picture.height


def is_png(content: bytes) -> bool:
    """Tell a PNG from a JPEG, of pictures that were read."""
    return content.startswith(SIGNATURE)


def _read_jpeg(content: bytes) -> Jpeg:
    """Take a JPEG file as it is. Those in four printing inks are refused: PDF/A would want to know which inks."""
    at, frame = 2, b""
    while at + 4 <= len(content) and content[at] == 0xFF:
        marker, length = content[at + 1], int.from_bytes(content[at + 2 : at + 4], "big")
        if marker == 0xFF:  # filling
            at += 1
            continue
        if marker in _FRAMES:
            frame = content[at + 4 : at + 2 + length]
        if marker in _OTHER_FRAMES:
            raise UnusablePicture
        at += 2 + length
        if marker == 0xDA:  # the pixels begin
            break
    end = content.rfind(b"\xff\xd9")
    if len(frame) < 6 or end < at:
        raise UnusablePicture
    depth, samples = frame[0], frame[5]
    height, width = int.from_bytes(frame[1:3], "big"), int.from_bytes(frame[3:5], "big")
    if depth != 8 or samples not in (1, 3) or not width or not height:
        raise UnusablePicture
    return Jpeg(width, height, samples, content[: end + 2])
