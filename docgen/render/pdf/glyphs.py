"""
The glyphs one file uses > its embedded fonts: subsets with codes of their own and the text each code stands for.

A code is the glyph's number where the glyph stands for the character the font itself gives it, and a number above all
glyphs else. So the text of every use is exact, and most strings are the same in all documents.
"""

from __future__ import annotations

import hashlib
import zlib
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import NamedTuple, Protocol

import uharfbuzz as hb

from docgen.render.pdf.line.face import Face
from docgen.render.pdf.line.shaped import Key, Shaped
from docgen.render.pdf.line.strings import written_code

_KEPT_TABLES = frozenset(("glyf", "head", "hhea", "hmtx", "loca", "maxp"))
"""What a PDF reads of a TrueType font that is addressed by glyph."""

_SYMBOLIC = 4

KEPT_SUBSETS = 128
"""Subsets that are kept, about 10 KB each: the letters of a name make another one of a document's bold words."""

_LEVEL = 6
"""Of zlib, for what is packed once for many files."""


class Store(Protocol):
    """Where the objects of a file are kept."""

    def add(self, raw: bytes) -> str:
        """Add an object; gives its reference."""

    def stream(self, entries: str, content: bytes, *, packed: bool = True) -> str:
        """Add a stream; gives its reference."""


class Inked(Protocol):
    """What is painted with glyphs of one face: a word, or what no line cuts."""

    glyphs: tuple[int, ...]


class _Codes(dict[Key, str]):
    """The codes of glyphs that stand for an unusual text, as they are written; a new one has the next number."""

    def __init__(self, first: int) -> None:
        super().__init__()
        self.first = first

    def __missing__(self, key: Key) -> str:
        code = self[key] = written_code(self.first + len(self))
        return code


class _Words(dict[Shaped, str]):
    """The words of one face and size as this file writes them."""

    def __init__(self, size: float, codes: _Codes, inked: set[Inked]) -> None:
        super().__init__()
        self._size, self._codes, self._inked = size, codes, inked

    def __missing__(self, word: Shaped) -> str:
        written = word.string
        if written is None:
            codes = self._codes
            written = word.form(self._size if word.is_raised else 0.0) % tuple([codes[key] for key in word.keys])
        written = self[word] = written if word.is_raised else f"[{written}]TJ"
        self._inked.add(word)
        return written


class UsedFont:
    """A face in one file: what is painted with it, and the codes of glyphs that stand for an unusual text."""

    def __init__(self, face: Face, name: str) -> None:
        self.face, self.name = face, name
        """And its resource name: F1, F2, ..."""
        self.inked: set[Inked] = set()
        self.codes = _Codes(face.glyph_count)
        self._words: dict[float, _Words] = {}

    def words(self, size: float) -> _Words:
        """Give the words of a size in points as operators that write one alone; each is made when asked for."""
        found = self._words.get(size)
        if found is None:
            found = self._words[size] = _Words(size, self.codes, self.inked)
        return found

    def string(self, word: Shaped) -> str:
        """Write a word whose glyphs all stand on the base line as the inside of a TJ array."""
        if word.string is not None:
            self.inked.add(word)
            return word.string
        return self.words(0.0)[word][1:-3]

    @property
    def glyphs(self) -> frozenset[int]:
        """All glyphs used."""
        return frozenset().union(*[part.glyphs for part in self.inked])

    def uses(self) -> dict[int, Key]:
        """Give glyph and text of each code, in the order of codes."""
        return _uses(self.face, self.glyphs, tuple(self.codes))


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
            if used.inked:
                self._references[used.name] = _embed(file, used)


def _uses(face: Face, glyphs: frozenset[int], keys: tuple[Key, ...]) -> dict[int, Key]:
    """Give glyph and text of each code: first the glyphs with their own numbers, then the unusual ones."""
    own, spoken = face.own_text, {glyph for glyph, _ in keys}
    plain = {glyph: (glyph, own.get(glyph, "")) for glyph in sorted(glyphs) if glyph in own or glyph not in spoken}
    return plain | dict(enumerate(keys, face.glyph_count))


def _embed(file: Store, used: UsedFont) -> str:
    glyphs = used.glyphs
    part, coded = _subset(used.face, glyphs), _coded(used.face, glyphs, tuple(used.codes))
    program = file.stream(f"/Length1 {part.length}/Filter/FlateDecode", part.packed, packed=False)
    descriptor = file.add(f"{part.described}/FontFile2 {program}>>".encode())
    places = file.stream("/Filter/FlateDecode", coded.places, packed=False)
    font = file.add(
        f"<</Type/Font/Subtype/CIDFontType2/BaseFont/{part.name}/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)"
        f"/Supplement 0>>/FontDescriptor {descriptor}/DW 0/W[{coded.widths}]/CIDToGIDMap {places}>>".encode()
    )
    texts = file.stream("/Filter/FlateDecode", coded.texts, packed=False)
    return file.add(
        f"<</Type/Font/Subtype/Type0/BaseFont/{part.name}/Encoding/Identity-H/DescendantFonts[{font}]"
        f"/ToUnicode {texts}>>".encode()
    )


class _Subset(NamedTuple):
    packed: bytes
    length: int
    renumbered: Mapping[int, int]
    name: str
    described: str


@lru_cache(maxsize=KEPT_SUBSETS)
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
    name, described = _described(face, glyphs)
    return _Subset(zlib.compress(content, _LEVEL), len(content), renumbered, name, described)


def _described(face: Face, glyphs: frozenset[int]) -> tuple[str, str]:
    """Name a subset and begin its descriptor."""
    tag = hashlib.sha256(f"{face.family} {face.weight} {sorted(glyphs)}".encode()).digest()
    letters = "".join(chr(65 + byte % 26) for byte in tag[:6])
    weight = "Bold" if face.weight > 500 else "Regular"
    name = f"{letters}+{face.family.replace(' ', '')}-{weight}"
    extents = face.font.get_font_extents("ltr")
    ascent, descent = (round(edge * 1000 / face.upem) for edge in (extents.ascender, extents.descender))
    return name, (
        f"<</Type/FontDescriptor/FontName/{name}/Flags {_SYMBOLIC}/FontBBox[{_box(face)}]/ItalicAngle 0"
        f"/Ascent {ascent}/Descent {descent}/CapHeight 714/StemV {face.weight // 5}"
    )


class _Coded(NamedTuple):
    places: bytes
    """The glyph of the subset for each code, two bytes each, packed."""
    widths: str
    texts: bytes
    """The map of characters, packed."""


@lru_cache(maxsize=KEPT_SUBSETS)
def _coded(face: Face, glyphs: frozenset[int], keys: tuple[Key, ...]) -> _Coded:
    """Tell the glyph, the width and the text of each code."""
    uses = _uses(face, glyphs, keys)
    renumbered = _subset(face, glyphs).renumbered
    places = bytearray(2 * (max(uses) + 1))
    for code, (glyph, _) in uses.items():
        places[2 * code : 2 * code + 2] = renumbered[glyph].to_bytes(2, "big")
    texts = _text_map((code, text) for code, (_, text) in uses.items())
    return _Coded(zlib.compress(places, _LEVEL), _widths(face, uses), zlib.compress(texts, _LEVEL))


def _box(face: Face) -> str:
    """Give the box of all glyphs, from the head table."""
    head = face.hb_face.reference_table("head").data
    corners = (int.from_bytes(head[at : at + 2], "big", signed=True) for at in (36, 38, 40, 42))
    return " ".join(str(round(corner * 1000 / face.upem)) for corner in corners)


def _widths(face: Face, uses: Mapping[int, Key]) -> str:
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
