"""
The glyphs one file uses > its embedded fonts: subsets with codes of their own and the text each code stands for.

A code is the glyph's number where the glyph stands for the character the font itself gives it, and a number above all
glyphs else. So the text of every use is exact, and most strings are the same in all documents.
"""

from __future__ import annotations

import hashlib
import zlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Protocol

import uharfbuzz as hb

from docgen.render.pdf.line.face import Face, Shaped, joined

_KEPT_TABLES = frozenset(("glyf", "head", "hhea", "hmtx", "loca", "maxp"))
"""What a PDF reads of a TrueType font that is addressed by glyph."""

_SYMBOLIC = 4


class Store(Protocol):
    """Where the objects of a file are kept."""

    def add(self, raw: bytes) -> str:
        """Add an object; gives its reference."""

    def stream(self, entries: str, content: bytes, *, packed: bool = True) -> str:
        """Add a stream; gives its reference."""


@dataclass(slots=True)
class UsedFont:
    """A face in one file: the glyphs used, and the codes of those that stand for an unusual text."""

    face: Face
    name: str
    """Resource name: F1, F2, ..."""
    glyphs: set[int] = field(default_factory=set)
    _codes: dict[tuple[int, str], int] = field(default_factory=dict)
    _written: dict[tuple[Shaped, float], bytes] = field(default_factory=dict)

    def string(self, word: Shaped) -> bytes:
        """Write a word whose glyphs all stand on the base line as the inside of a TJ array."""
        if word.string is not None:
            self.glyphs |= word.glyphs
            return word.string
        return self._once(word, 0.0, self._in_row)

    def raised(self, word: Shaped, size: float) -> bytes:
        """Write a word of which some glyphs stand above or below the base line as operators."""
        return self._once(word, size, self._in_steps)

    def operators(self, word: Shaped, size: float) -> bytes:
        """Write a word that stands alone as operators."""
        return self.raised(word, size) if word.is_raised else b"[%b]TJ" % self.string(word)

    def _once(self, word: Shaped, size: float, write: Callable[[Shaped, float], bytes]) -> bytes:
        found = self._written.get((word, size))
        if found is None:
            self.glyphs |= word.glyphs
            found = self._written[word, size] = write(word, size)
        return found

    def _in_row(self, word: Shaped, _size: float) -> bytes:
        codes = ((code.before, self._code(code.glyph, code.text)) for code in word.codes)
        return joined(codes, word.after, self.face.upem)

    def _in_steps(self, word: Shaped, size: float) -> bytes:
        parts: list[bytes] = []
        rise, row = 0, list[tuple[int, str]]()
        for code in word.codes:
            if code.rise != rise and row:
                parts.append(b"[%b]TJ" % joined(row, 0, self.face.upem))
                row = []
            if code.rise != rise:
                rise = code.rise
                parts.append(f"{rise * size / self.face.upem:.3f} Ts".encode())
            row.append((code.before, self._code(code.glyph, code.text)))
        parts.append(b"[%b]TJ" % joined(row, word.after, self.face.upem))
        if rise:
            parts.append(b"0 Ts")
        return b"\n".join(parts)

    def _code(self, glyph: int, text: str) -> str:
        if self.face.own_text.get(glyph) == text:
            return f"{glyph:04X}"
        key = (glyph, text)
        code = self._codes.get(key)
        if code is None:
            code = self._codes[key] = self.face.glyph_count + len(self._codes)
        return f"{code:04X}"

    def uses(self) -> dict[int, tuple[int, str]]:
        """Give glyph and text of each code, in the order of codes."""
        spoken = {glyph for glyph, _ in self._codes}
        own = self.face.own_text
        plain = {g: (g, own[g]) for g in sorted(self.glyphs) if g in own}
        plain |= {g: (g, "") for g in sorted(self.glyphs - spoken) if g not in own}
        return plain | {code: key for key, code in self._codes.items()}


class FontsOfFile:
    """The fonts of one file."""

    def __init__(self) -> None:
        self._used: dict[Face, UsedFont] = {}
        self._references: dict[str, str] = {}

    def use(self, face: Face) -> UsedFont:
        """Give a face as this file uses it."""
        found = self._used.get(face)
        if found is None:
            found = self._used[face] = UsedFont(face, f"F{len(self._used) + 1}")
        return found

    def resources(self) -> Mapping[str, str]:
        """Give the reference of each font by its resource name, after `write`."""
        return self._references

    def write(self, file: Store) -> None:
        """Embed all fonts."""
        for used in self._used.values():
            if used.glyphs:
                self._references[used.name] = _embed(file, used)


def _embed(file: Store, used: UsedFont) -> str:
    face, uses = used.face, used.uses()
    subset = _subset(face, frozenset(used.glyphs))
    tag = hashlib.sha256(f"{face.family} {face.weight} {sorted(used.glyphs)}".encode()).digest()
    letters = "".join(chr(65 + byte % 26) for byte in tag[:6])
    weight = "Bold" if face.weight > 500 else "Regular"
    name = f"{letters}+{face.family.replace(' ', '')}-{weight}"
    program = file.stream(f"/Length1 {subset.length}/Filter/FlateDecode", subset.packed, packed=False)
    descriptor = file.add(
        f"<</Type/FontDescriptor/FontName/{name}/Flags {_SYMBOLIC}/FontBBox[{_box(face)}]/ItalicAngle 0"
        f"/Ascent {subset.ascent}/Descent {subset.descent}/CapHeight 714/StemV {face.weight // 5}"
        f"/FontFile2 {program}>>".encode()
    )
    mapping = bytearray(2 * (max(uses) + 1))
    for code, (glyph, _) in uses.items():
        mapping[2 * code : 2 * code + 2] = subset.renumbered[glyph].to_bytes(2, "big")
    places = file.stream("", bytes(mapping))
    font = file.add(
        f"<</Type/Font/Subtype/CIDFontType2/BaseFont/{name}/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)"
        f"/Supplement 0>>/FontDescriptor {descriptor}/DW 0/W[{_widths(face, uses)}]/CIDToGIDMap {places}>>".encode()
    )
    texts = file.stream("", _text_map((code, text) for code, (_, text) in sorted(uses.items())))
    return file.add(
        f"<</Type/Font/Subtype/Type0/BaseFont/{name}/Encoding/Identity-H/DescendantFonts[{font}]"
        f"/ToUnicode {texts}>>".encode()
    )


@dataclass(frozen=True, slots=True)
class _Subset:
    packed: bytes
    length: int
    renumbered: Mapping[int, int]
    ascent: int
    descent: int


@lru_cache(maxsize=64)
def _subset(face: Face, glyphs: frozenset[int]) -> _Subset:
    """Cut the glyphs a file uses; documents made of the same words share the work."""
    wanted = hb.SubsetInput()
    wanted.glyph_set.update(sorted(glyphs))
    wanted.flags = hb.SubsetFlags.NO_HINTING | hb.SubsetFlags.NO_LAYOUT_CLOSURE | hb.SubsetFlags.NOTDEF_OUTLINE
    others = (tag for tag in face.hb_face.table_tags if tag not in _KEPT_TABLES)
    wanted.drop_table_tag_set.update(int.from_bytes(tag.encode(), "big") for tag in others)
    plan = hb.SubsetPlan(face.hb_face, wanted)
    content = bytes(plan.execute().blob.data)
    renumbered = dict(plan.old_to_new_glyph_mapping.items())
    extents = face.font.get_font_extents("ltr")
    scale = 1000 / face.upem
    return _Subset(
        zlib.compress(content, 6),
        len(content),
        renumbered,
        round(extents.ascender * scale),
        round(extents.descender * scale),
    )


def _box(face: Face) -> str:
    """Give the box of all glyphs, from the head table."""
    head = face.hb_face.reference_table("head").data
    corners = (int.from_bytes(head[at : at + 2], "big", signed=True) for at in (36, 38, 40, 42))
    return " ".join(str(round(corner * 1000 / face.upem)) for corner in corners)


def _widths(face: Face, uses: Mapping[int, tuple[int, str]]) -> str:
    """Write the widths of codes, those that follow each other in one array."""
    parts: list[str] = []
    last = -2
    for code in sorted(uses):
        width = str(round(face.glyph_advance(uses[code][0]) * 1000 / face.upem))
        if code == last + 1:
            parts[-1] += " " + width
        else:
            parts.append(f"{code}[{width}")
        last = code
    return "".join(part + "]" for part in parts)


_MAP_HEAD = (
    "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CIDSystemInfo\n<< /Registry (Adobe)\n"
    "/Ordering (UCS) /Supplement 0 >> def\n/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"
    "1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n"
)
_MAP_FOOT = "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"
_NOTHING = "\u200b"
"""Stands for a glyph beyond the characters of its cluster: PDF/A-3a wants a text for every code."""

_MOST_IN_BLOCK = 100
"""Entries in one block of a character map (PDF 32000-1, 9.10.3)."""


def _text_map(codes: Iterable[tuple[int, str]]) -> bytes:
    """Write which text each code stands for."""
    lines = [f"<{code:04X}> <{(text or _NOTHING).encode('utf-16-be').hex().upper()}>" for code, text in codes]
    blocks = [lines[at : at + _MOST_IN_BLOCK] for at in range(0, len(lines), _MOST_IN_BLOCK)]
    body = "".join(f"{len(block)} beginbfchar\n" + "\n".join(block) + "\nendbfchar\n" for block in blocks)
    return (_MAP_HEAD + body + _MAP_FOOT).encode()
