"""
One weight of one family > words shaped by HarfBuzz, kept for all documents of the process.

What a word becomes on the page is `shaped`.
"""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from operator import sub

import uharfbuzz as hb

from docgen.render.fonts.cut import font_file
from docgen.render.pdf.line.recent import Recent
from docgen.render.pdf.line.shaped import Columns, Shaped
from docgen.render.pdf.line.strings import FARTHEST

KEPT_WORDS = 1000
"""Shaped words kept for one face, in each half of what is kept (`Recent`)."""

_LIGATURES = range(0xFB00, 0xFB05)
"""ff, fi, fl, ffi, ffl: what a font draws for letters, and hardly anybody types."""

_NOT_OWN = frozenset((0xA0, 0xAD, 0xFEFF))
"""Never what a glyph stands for: no-break space, soft hyphen, byte order mark."""

_SPACE, _NO_BREAK = " ", "\u00a0"
_INKLESS = (0x200B, 0x034F)
"""Characters whose glyphs have no ink in the fonts we use; those of ZWJ and ZWNJ have."""


class MissingGlyph(Exception):
    """A character no font prints reached the page; its `character` is not in the text of the error."""

    def __init__(self, character: str) -> None:
        super().__init__("a character without a glyph")
        self.character = character


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
        self.advances: dict[int, int] = {}
        self._shaped: Recent[tuple[str, bool, str], Shaped] = Recent(KEPT_WORDS)

    @property
    def own_text(self) -> dict[int, str]:
        """
        The text the font itself gives each glyph: the first of several characters, a ligature's letters.

        A no-break space is a space.
        """
        if self._own is None:
            nominal = self.font.get_nominal_glyph
            points = [point for point in sorted(self.hb_face.unicodes, reverse=True) if point not in _NOT_OWN]
            own = dict(zip(map(nominal, points), map(chr, points), strict=True))  # the lowest comes last, and stays
            own.pop(0, None)
            for point in _LIGATURES:
                if own.get(glyph := nominal(point)) == chr(point):
                    own[glyph] = unicodedata.normalize("NFKC", chr(point))
            self._own = own
        return self._own

    def glyph_advance(self, glyph: int) -> int:
        """Width of a glyph in font units, as the font file has it."""
        found = self.advances.get(glyph)
        if found is None:
            found = self.advances[glyph] = self.font.get_glyph_h_advance(glyph)
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
        return found or self._shaped.keep(key, _shape(self, word, rtl, language))


@lru_cache(maxsize=64)
def face_of(family: str, weight: int) -> Face:
    """Find the face of a family and weight."""
    return Face(family, weight)


class _Glyph:
    __slots__ = ("advance", "cluster", "glyph", "right", "text", "up")

    def __init__(self, glyph: int, cluster: int, advance: int, right: int, up: int, text: str = "") -> None:
        self.glyph, self.cluster, self.advance = glyph, cluster, advance
        self.right, self.up, self.text = right, up, text


def _shape(face: Face, word: str, rtl: bool, language: str) -> Shaped:
    buffer = hb.Buffer()
    is_plain = not rtl and word.isascii()
    if is_plain:
        buffer.add_str(word)
    else:
        buffer.add_codepoints([0x20 if c == _NO_BREAK or c == "\u202f" else ord(c) for c in word])
        buffer.direction = "rtl" if rtl else "ltr"
        buffer.flags = hb.BufferFlags.REMOVE_DEFAULT_IGNORABLES
    if language:
        buffer.language = language
    buffer.guess_segment_properties()
    hb.shape(face.font, buffer)
    infos, places = buffer.glyph_infos, buffer.glyph_positions
    if is_plain and [info.cluster for info in infos] == [*range(len(word))]:
        right, up, steps, _ = zip(*[place.position for place in places], strict=True)
        if not any(right) and not any(up):
            return _plain(face, word, [info.codepoint for info in infos], [*steps])
    made = [
        _Glyph(info.codepoint, info.cluster, place.x_advance, place.x_offset, place.y_offset)
        for info, place in zip(infos, places, strict=True)
    ]
    for one in made:
        if one.glyph == 0:
            raise MissingGlyph(word[one.cluster])
    glyphs, spells = _spelled(face, word, made, rtl)
    return _finished(face, glyphs, spells, rtl)


def _plain(face: Face, word: str, glyphs: list[int], steps: list[int]) -> Shaped:
    """Take a glyph for each character, as most words have it: what `_spelled` and `_finished` would make."""
    if 0 in glyphs:
        raise MissingGlyph(word[glyphs.index(0)])
    known, level = face.advances, [0] * len(glyphs)
    own = [known.get(glyph) or face.glyph_advance(glyph) for glyph in glyphs]
    if steps == own:
        return Shaped(face.own_text, face.upem, sum(own) / face.upem, (glyphs, word, level, level), 0, True)
    moves = [0, *map(sub, steps, own)]
    owed = moves.pop()
    return _shaped(face, (glyphs, word, moves, level), sum(steps), owed, True, False)


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


def _finished(face: Face, glyphs: list[_Glyph], spells: bool, rtl: bool) -> Shaped:
    placed: list[tuple[int, _Glyph]] = []
    pen = end = 0
    for one in glyphs:
        placed.append((end + one.right, one))
        end += one.advance
    if rtl:  # dots that are glyphs stand last: between letters, readers take them for the end of a word
        placed.sort(key=lambda pair: not pair[1].text)
    moves = []
    for at, one in placed:
        moves.append(at - pen)
        pen = at + face.glyph_advance(one.glyph)
    signs = [one for _, one in placed]
    columns = [one.glyph for one in signs], [one.text for one in signs], moves, [one.up for one in signs]
    return _shaped(face, columns, end, end - pen, spells, rtl)


def _shaped(face: Face, columns: Columns, end: int, owed: int, spells: bool, rtl: bool) -> Shaped:
    """Make a word of its codes; `end` and `owed`: its width, and how far the pen is from it, in font units."""
    is_whole = rtl or max([owed, *map(abs, columns[2])]) <= FARTHEST * face.upem // 1000
    return Shaped(face.own_text, face.upem, end / face.upem, columns, owed, spells and is_whole)
