"""
The variable font > a static weight of it, by HarfBuzz: without hints, with the tables that shape text.

Apart from `cut`, which imports it by name only when its cache has nothing.
"""

from __future__ import annotations

import uharfbuzz as hb

from docgen.render.fonts.sources import CHINESE, Family


def instance(source: bytes, weight: int, family: Family) -> bytes:
    """Cut one weight out of a variable font; the same bytes on every run."""
    face = hb.Face(source)
    wanted = hb.SubsetInput()
    wanted.keep_everything()
    wanted.flags = hb.SubsetFlags.NO_HINTING | hb.SubsetFlags.NOTDEF_OUTLINE
    wanted.pin_axis_location(face, "wght", weight)
    for axis in face.axis_infos:
        if axis.tag != "wght":
            wanted.pin_axis_to_default(face, axis.tag)
    if family.name == CHINESE:
        wanted.unicode_set.clear()
        wanted.unicode_set.update(_chinese())
    return bytes(hb.subset(face, wanted).blob.data)


def _chinese() -> list[int]:
    """List what the national character set GBK holds: names use more than the common characters."""
    return [point for point in range(0x20, 0x10000) if _in_gbk(point)]


def _in_gbk(point: int) -> bool:
    try:
        chr(point).encode("gbk")
    except UnicodeEncodeError:
        return False
    return True


def characters(font_file: bytes) -> bytes:
    """List the code points a font has a glyph for, as decimal numbers parted by spaces."""
    return " ".join(map(str, sorted(hb.Face(font_file).unicodes))).encode()


def advances(font_file: bytes) -> bytes:
    """List code point and width of each character, in thousandths of an em."""
    face = hb.Face(font_file)
    font = hb.Font(face)
    widths = ((point, font.get_glyph_h_advance(font.get_nominal_glyph(point))) for point in sorted(face.unicodes))
    return " ".join(f"{point}:{round(width * 1000 / face.upem)}" for point, width in widths).encode()


def checked(font_file: bytes) -> tuple[str, str]:
    """Name the family of a font file, and say why it cannot be used: "no font", "not static", "not allowed" or ""."""
    face = hb.Face(font_file)
    tables = set(face.table_tags)
    if not {"glyf", "cmap", "hmtx", "OS/2"} <= tables:
        return "", "no font"
    if "fvar" in tables:
        return "", "not static"
    permission = int.from_bytes(face.reference_table("OS/2").data[8:10], "big")
    restricted = permission & _RESTRICTED == _RESTRICTED or permission & _NO_SUBSET
    names = (face.get_name(number) for number in (_TYPOGRAPHIC_FAMILY, _FAMILY))
    return next((str(name) for name in names if name), ""), "not allowed" if restricted else ""


_FAMILY, _TYPOGRAPHIC_FAMILY = 1, 16
"""Name IDs of OpenType's name table."""


_RESTRICTED, _NO_SUBSET = 0x0002, 0x0100
"""Embedding permissions of OpenType's OS/2 table, fsType: restricted license; no subsetting."""
