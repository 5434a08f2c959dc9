"""PNG and JPEG files > image objects, with the pixels as they are in the file, not drawn anew. Apart from `page`."""

from __future__ import annotations

import zlib
from functools import lru_cache
from typing import NamedTuple

from docgen.render.pdf.file.objects import Objects
from docgen.render.picture_file import read_picture
from docgen.render.png import Raster


class _Picture(NamedTuple):
    """A picture as the file keeps it."""

    width: int
    height: int
    entries: str
    packed: bytes
    mask: _Picture | None = None


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
    picture = read_picture(content)
    if isinstance(picture, Raster):
        return _from_raster(picture)
    colors = "/DeviceGray" if picture.samples == 1 else "/DeviceRGB"
    entries = _entries(picture.width, picture.height, 8, colors, "/DCTDecode")
    return _Picture(picture.width, picture.height, entries, picture.content)


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
