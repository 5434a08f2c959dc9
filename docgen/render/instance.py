"""
The variable font > its Regular and Bold, and the characters it has.

Apart from `fonts`, which imports it by name only when its cache has nothing: fontTools takes a tenth of a second to
import and most of a second to work.
"""

from __future__ import annotations

import io

from fontTools.ttLib import TTFont
from fontTools.varLib import instancer

_LAYOUT_TABLES = ("GDEF", "GPOS", "GSUB", "STAT")
"""Left out: nothing here shapes text, and instancing takes a quarter of the time without them."""

_STYLE_NAMES = {400: "Regular", 700: "Bold"}


def instance(source: bytes, weight: int) -> bytes:
    """Cut one weight out of a variable font; the same bytes on every run."""
    font = TTFont(io.BytesIO(source), recalcTimestamp=False)
    for tag in _LAYOUT_TABLES:
        if tag in font:
            del font[tag]
    axes = {axis.axisTag: weight if axis.axisTag == "wght" else axis.defaultValue for axis in font["fvar"].axes}
    font = instancer.instantiateVariableFont(font, axes, inplace=True)
    _name(font, _STYLE_NAMES[weight])
    out = io.BytesIO()
    font.save(out, reorderTables=True)
    return out.getvalue()


def _name(font: TTFont, style: str) -> None:
    """Give the weight its own names: two files with one PostScript name, and the PDF keeps only one of them."""
    names = font["name"]
    family = f"Noto Sans {style}"
    for record in list(names.names):
        if record.nameID in (1, 2, 3, 4, 6, 16, 17, 25):
            names.removeNames(nameID=record.nameID)
    postscript = f"NotoSans-{style}"
    for number, text in ((1, family), (2, "Regular"), (3, f"docgen:{postscript}"), (4, family), (6, postscript)):
        names.setName(text, number, 3, 1, 0x409)
    names.setName("Noto Sans", 16, 3, 1, 0x409)
    names.setName(style, 17, 3, 1, 0x409)


def advances(font_file: bytes) -> dict[int, int]:
    """Measure each character of a font, in thousandths of an em."""
    font = TTFont(io.BytesIO(font_file), lazy=True)
    widths, em = font["hmtx"], font["head"].unitsPerEm
    return {point: round(widths[name][0] * 1000 / em) for point, name in font.getBestCmap().items()}


def characters(source: bytes) -> frozenset[int]:
    """
    List the code points a font can print in every format.

    Up to U+FFFF: ReportLab 5.1 writes a broken text map for those above, and the PDF could not be read out.
    """
    return frozenset(point for point in TTFont(io.BytesIO(source), lazy=True).getBestCmap() if point <= 0xFFFF)
