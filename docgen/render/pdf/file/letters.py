"""
The house font > the font of text that people type into fields.

Apart from the fonts of the text: viewers type only in a simple font, so this one holds the letters of Western Europe
(Windows code page 1252) and no others, whatever language the document has.
"""

from __future__ import annotations

import struct
import zlib
from functools import lru_cache
from hashlib import sha256
from typing import NamedTuple

import uharfbuzz as hb

from docgen.render.fonts import FAMILY, REGULAR
from docgen.render.fonts.cut import font_file
from docgen.render.pdf.file.objects import Objects
from docgen.render.pdf.numbers import numbers

_FIRST, _LAST = 32, 255
_LETTERS = {
    code: ord(letter) for code in range(_FIRST, _LAST + 1) if (letter := bytes([code]).decode("cp1252", "ignore"))
}
"""Code in a field > code point."""

_UNUSED = ("GDEF", "GPOS", "GSUB", "OS/2", "STAT", "gasp", "name", "post")
"""Tables that no viewer needs of an embedded font."""

_NONSYMBOLIC = 32
_STEM = 80
"""Thousandths of an em; a descriptor must tell the width of stems, and nothing uses it for an embedded font."""


class _Letters(NamedTuple):
    """The font as the file keeps it."""

    name: str
    packed: bytes
    length: int
    widths: str
    metrics: str


def write_letters(objects: Objects) -> str:
    """Write the font; gives its reference."""
    letters = _letters()
    held = objects.stream(f"/Filter/FlateDecode/Length1 {letters.length}", letters.packed, packed=False)
    described = f"<</Type/FontDescriptor/FontName/{letters.name}{letters.metrics}/FontFile2 {held}>>"
    descriptor = objects.add(described.encode())
    coded = f"/Encoding/WinAnsiEncoding/FirstChar {_FIRST}/LastChar {_LAST}/Widths[{letters.widths}]"
    entries = f"<</Type/Font/Subtype/TrueType/BaseFont/{letters.name}{coded}/FontDescriptor {descriptor}>>"
    return objects.add(entries.encode())


@lru_cache(maxsize=1)
def _letters() -> _Letters:
    """Cut the letters out of the house font."""
    wish = hb.SubsetInput()
    wish.unicode_set.update(_LETTERS.values())
    wish.flags = hb.SubsetFlags.NO_HINTING | hb.SubsetFlags.NO_LAYOUT_CLOSURE
    wish.drop_table_tag_set.update(int.from_bytes(table.ljust(4).encode(), "big") for table in _UNUSED)
    face = wish.subset(hb.Face(font_file(FAMILY, REGULAR)))
    content, em, font = face.blob.data, face.upem, hb.Font(face)
    glyphs = [font.get_nominal_glyph(_LETTERS.get(code, 0)) or 0 for code in range(_FIRST, _LAST + 1)]
    widths = [round(font.get_glyph_h_advance(glyph) * 1000 / em) for glyph in glyphs]
    head, edges = face.reference_table("head").data, font.get_font_extents("ltr")
    box = numbers(*(round(edge * 1000 / em) for edge in struct.unpack(">4h", head[36:44])))
    capital = font.get_glyph_extents(font.get_nominal_glyph(ord("H")) or 0).y_bearing
    ascent, descent, height = (round(value * 1000 / em) for value in (edges.ascender, edges.descender, capital))
    tall = f"/Ascent {ascent}/Descent {descent}/CapHeight {height}"
    metrics = f"/Flags {_NONSYMBOLIC}/FontBBox[{box}]/ItalicAngle 0{tall}/StemV {_STEM}"
    digest = sha256(content).digest()
    tag = "".join(chr(65 + byte % 26) for byte in digest[:6])
    return _Letters(f"{tag}+NotoSans", zlib.compress(content, 9), len(content), " ".join(map(str, widths)), metrics)
