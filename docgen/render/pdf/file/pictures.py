"""PNG and JPEG files > image objects, with the pixels as they are in the file, not drawn anew. Apart from `page`."""

from __future__ import annotations

import zlib
from functools import lru_cache
from typing import NamedTuple

from docgen.render.pdf.file.objects import Objects
from docgen.render.pdf.file.png import SIGNATURE, Raster, UnusablePicture, read_png

_JPEG = b"\xff\xd8\xff"
_FRAMES = (0xC0, 0xC1, 0xC2)
"""Markers of the frames PDF knows: baseline, extended and progressive; the others are lossless or arithmetic."""

_OTHER_FRAMES = (0xC3, 0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF)


class _Picture(NamedTuple):
    """A picture as the file keeps it."""

    width: int
    height: int
    entries: str
    packed: bytes
    mask: _Picture | None = None


def picture_size(content: bytes) -> tuple[int, int]:
    """Measure a picture in pixels, width and height. Errors: UnusablePicture for all that `Page.image` refuses."""
    picture = _picture(content)
    return picture.width, picture.height


class Pictures:
    """The pictures of one file; an equal one is kept once."""

    def __init__(self, objects: Objects) -> None:
        self._objects = objects
        self.resources: dict[str, str] = {}

    def resource(self, content: bytes) -> tuple[str, bool]:
        """Give the resource name of a picture ("/I1"), and whether one sees through it. Errors: UnusablePicture."""
        picture = _picture(content)
        entries = picture.entries
        if picture.mask:
            entries += f"/SMask {self._objects.stream(picture.mask.entries, picture.mask.packed, packed=False)}"
        reference = self._objects.stream(entries, picture.packed, packed=False)
        known = next((key for key, value in self.resources.items() if value == reference), None)
        key = known or f"I{len(self.resources) + 1}"
        self.resources[key] = reference
        return f"/{key}", picture.mask is not None


@lru_cache(maxsize=8)
def _picture(content: bytes) -> _Picture:
    if content.startswith(SIGNATURE):
        return _from_raster(read_png(content))
    if content.startswith(_JPEG):
        return _from_jpeg(content)
    raise UnusablePicture


def _from_raster(raster: Raster) -> _Picture:
    colors = "/DeviceGray" if raster.samples == 1 else "/DeviceRGB"
    if raster.palette:
        last = len(raster.palette) // 3 - 1
        colors = f"[/Indexed/DeviceRGB {last}<{raster.palette.hex().upper()}>]"
    told = f"/Predictor 15/Colors {raster.samples}/BitsPerComponent {raster.depth}/Columns {raster.width}"
    entries = _entries(raster.width, raster.height, raster.depth, colors, f"/FlateDecode/DecodeParms<<{told}>>")
    if raster.key:
        entries += f"/Mask[{' '.join(f'{sample} {sample}' for sample in raster.key)}]"
    mask = _from_raster(raster.alpha) if raster.alpha else None
    return _Picture(raster.width, raster.height, entries, zlib.compress(raster.rows), mask)


def _entries(width: int, height: int, depth: int, colors: str, packing: str) -> str:
    sized = f"/Width {width}/Height {height}/BitsPerComponent {depth}"
    return f"/Type/XObject/Subtype/Image{sized}/ColorSpace{colors}/Filter{packing}"


def _from_jpeg(content: bytes) -> _Picture:
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
    colors = "/DeviceGray" if samples == 1 else "/DeviceRGB"
    return _Picture(width, height, _entries(width, height, 8, colors, "/DCTDecode"), content[: end + 2])
