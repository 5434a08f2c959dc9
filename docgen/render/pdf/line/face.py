"""
One weight of one family > words shaped by HarfBuzz, kept for all documents of the process.

A shaped word knows its codes: a glyph with the text it stands for. Where that text is the one the font itself gives the
glyph, the code is the glyph's own number, and the word's string for the page is made once.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import uharfbuzz as hb

from docgen.render.fonts.cut import font_file

_STEP = 90
"""Thousandths of an em: a glyph that stands farther from the last begins another word, readers think (0.1 and more)."""

KEPT_WORDS = 20_000
"""Shaped words kept for one face; past it all are forgotten, so that memory stays flat."""

_LIGATURES = range(0xFB00, 0xFB05)
"""ff, fi, fl, ffi, ffl: what a font draws for letters, and hardly anybody types."""

_SPACE, _NO_BREAK = " ", "\u00a0"
_INKLESS = (0x200B, 0x034F)
"""Characters whose glyphs have no ink in the fonts we use; those of ZWJ and ZWNJ have."""


class MissingGlyph(Exception):
    """A character no font prints reached the page; its `character` is not in the text of the error."""

    def __init__(self, character: str) -> None:
        super().__init__("a character without a glyph")
        self.character = character


@dataclass(frozen=True, slots=True)
class Code:
    """A glyph on the page."""

    glyph: int
    text: str
    """What it stands for; empty for a glyph beyond the characters of its cluster."""
    before: int
    """Font units the pen moves before it, beside what the glyph before advanced."""
    rise: int
    """Font units above the base line."""


@dataclass(slots=True, eq=False)
class Shaped:
    """A shaped word; one object for each word, face and direction."""

    text: str
    advance: float
    """Width in em."""
    codes: tuple[Code, ...]
    after: int
    """Font units the pen moves after the last glyph."""
    glyphs: frozenset[int]
    string: bytes | None
    """Inside of a TJ array, if each code is its glyph's own number and none is raised."""
    spells: bool
    """True if the codes spell the text, none far from the last; False: it needs words of its own (ActualText)."""
    is_raised: bool
    """True if some glyph stands above or below the base line."""


class Face:
    """A weight of a family; made once a process."""

    def __init__(self, family: str, weight: int) -> None:
        self.family, self.weight = family, weight
        self.content = font_file(family, weight)
        self.hb_face = hb.Face(self.content)
        self.font = hb.Font(self.hb_face)
        self.upem: int = self.hb_face.upem
        self.glyph_count: int = self.hb_face.glyph_count
        self._own: dict[int, str] | None = None
        self._advances: dict[int, int] = {}
        self._shaped: dict[tuple[str, bool, str], Shaped] = {}

    @property
    def own_text(self) -> dict[int, str]:
        """
        The text the font itself gives each glyph: the first of several characters, a ligature's letters.

        A no-break space is a space.
        """
        if self._own is None:
            own: dict[int, str] = {}
            nominal = self.font.get_nominal_glyph
            for point in sorted(self.hb_face.unicodes):
                glyph = nominal(point)
                if glyph and point not in (0xA0, 0xAD, 0xFEFF):
                    own.setdefault(
                        glyph, unicodedata.normalize("NFKC", chr(point)) if point in _LIGATURES else chr(point)
                    )
            self._own = own
        return self._own

    def glyph_advance(self, glyph: int) -> int:
        """Width of a glyph in font units, as the font file has it."""
        found = self._advances.get(glyph)
        if found is None:
            found = self._advances[glyph] = self.font.get_glyph_h_advance(glyph)
        return found

    @property
    def inkless(self) -> int:
        """A glyph that draws nothing, for a character that shares the glyph of another."""
        nominal = self.font.get_nominal_glyph
        return next((glyph for point in (*_INKLESS, 0x20) if (glyph := nominal(point))), 0)

    def shape(self, word: str, rtl: bool, language: str) -> Shaped:
        """
        Shape a word without line breaks.

        Errors: MissingGlyph for a character the face does not have.
        """
        key = (word, rtl, language)
        found = self._shaped.get(key)
        if found is None:
            if len(self._shaped) >= KEPT_WORDS:
                self._shaped.clear()
            found = self._shaped[key] = _shape(self, word, rtl, language)
        return found


@lru_cache(maxsize=64)
def face_of(family: str, weight: int) -> Face:
    """Find the face of a family and weight."""
    return Face(family, weight)


@dataclass(slots=True)
class _Glyph:
    glyph: int
    cluster: int
    advance: int
    right: int
    up: int
    text: str = ""


def _shape(face: Face, word: str, rtl: bool, language: str) -> Shaped:
    buffer = hb.Buffer()
    buffer.add_codepoints([0x20 if c == _NO_BREAK or c == "\u202f" else ord(c) for c in word])
    buffer.guess_segment_properties()
    buffer.direction = "rtl" if rtl else "ltr"
    if language:
        buffer.language = language
    buffer.flags = hb.BufferFlags.REMOVE_DEFAULT_IGNORABLES
    hb.shape(face.font, buffer)
    made = [
        _Glyph(info.codepoint, info.cluster, place.x_advance, place.x_offset, place.y_offset)
        for info, place in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True)
    ]
    for one in made:
        if one.glyph == 0:
            raise MissingGlyph(word[one.cluster])
    glyphs, spells = _spelled(face, word, made, rtl)
    return _finished(face, word, glyphs, spells, rtl)


def _spelled(face: Face, word: str, made: list[_Glyph], rtl: bool) -> tuple[list[_Glyph], bool]:
    """Share the characters of each cluster among its glyphs, in writing order."""
    logical = made[::-1] if rtl else made
    starts = sorted({one.cluster for one in logical})
    ends = dict(zip(starts, [*starts[1:], len(word)], strict=False))  # no glyph at all: nothing of the word is seen
    out: list[_Glyph] = []
    spells = True
    place = 0
    while place < len(logical):
        group = [logical[place]]
        while place + len(group) < len(logical) and logical[place + len(group)].cluster == group[0].cluster:
            group.append(logical[place + len(group)])
        place += len(group)
        text = _seen(word[group[0].cluster : ends[group[0].cluster]])
        spells = spells and len(text) >= len(group)
        out += _share(face, group, text, rtl)
    return (out[::-1] if rtl else out), spells


def _seen(text: str) -> str:
    """Leave out what joins and parts letters; a no-break space is read as a space."""
    if text.isascii():
        return text
    return "".join(_SPACE if c in "\u00a0\u202f" else c for c in text if c not in "\u200c\u200d\u2060\u034f")


def _share(face: Face, group: list[_Glyph], text: str, rtl: bool) -> list[_Glyph]:
    if rtl and len(text) > len(group):  # each character has a code of its own, for readers that turn words round
        spare = len(text) - len(group)
        unseen = [_Glyph(face.inkless, group[0].cluster, 0, 0, 0, c) for c in text[:spare]]
        for one, character in zip(group, text[spare:], strict=True):
            one.text = character
        return [*unseen, *group]
    for number, one in enumerate(group):
        one.text = text[number : number + 1] if number < len(group) - 1 else text[number:]
    return group


def _finished(face: Face, word: str, glyphs: list[_Glyph], spells: bool, rtl: bool) -> Shaped:
    placed: list[tuple[int, _Glyph]] = []
    pen = end = 0
    for one in glyphs:
        placed.append((end + one.right, one))
        end += one.advance
    if rtl:  # dots that are glyphs stand last: between letters, readers take them for the end of a word
        placed.sort(key=lambda pair: not pair[1].text)
    codes: list[Code] = []
    for at, one in placed:
        codes.append(Code(one.glyph, one.text, at - pen, one.up))
        pen = at + face.glyph_advance(one.glyph)
    owed = end - pen
    own = face.own_text
    string = None
    if all(own.get(code.glyph) == code.text and not code.rise for code in codes):
        string = joined(((code.before, f"{code.glyph:04X}") for code in codes), owed, face.upem)
    is_whole = rtl or max([owed, *(abs(code.before) for code in codes)]) <= _STEP * face.upem // 1000
    used = frozenset(code.glyph for code in codes)
    is_raised = any(code.rise for code in codes)
    return Shaped(word, end / face.upem, tuple(codes), owed, used, string, spells and is_whole, is_raised)


def joined(codes: Iterable[tuple[int, str]], after: int, upem: int) -> bytes:
    """Write codes and the moves between them as the inside of a TJ array; moves in font units."""
    parts: list[str] = []
    open_string = False
    for before, code in codes:
        if before:
            parts.append((">" if open_string else "") + _moved(before, upem))
            open_string = False
        parts.append(code if open_string else "<" + code)
        open_string = True
    if open_string:
        parts.append(">")
    if after:
        parts.append(_moved(after, upem))
    return "".join(parts).encode()


def _moved(units: int, upem: int) -> str:
    """Write a move of the pen; a long one forward in steps, which no reader takes for a space between words."""
    most, steps = _STEP * upem // 1000, []
    while units > most:
        steps.append(_thousandths(-most, upem))
        units -= most
    return " ".join([*steps, _thousandths(-units, upem)])


def _thousandths(units: int, upem: int) -> str:
    if upem == 1000:
        return str(units)
    return f"{units * 1000 / upem:.2f}".rstrip("0").rstrip(".")
