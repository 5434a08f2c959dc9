"""
Words and a role > lines of a width, ready to be painted: the face of the text layer.

Nothing is justified or hyphenated. A word wider than its line is cut where a reader sees one character end.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from docgen.blocks import Span, Words
from docgen.render.fonts.choice import line_of
from docgen.render.pdf.glyphs import FontsOfFile
from docgen.render.pdf.line.chunks import cut_chunk, one_word, paragraph_of
from docgen.render.pdf.line.paint import Pen, Strip, strip_of
from docgen.render.pdf.line.parts import KEPT_WAYS, Atom, Chunk, Paragraph, Setting, setting_of
from docgen.render.pdf.line.unicode import in_visual_order, is_one_word
from docgen.render.style import Role
from docgen.render.words import lines_of

KEPT_PARAGRAPHS = 1536
"""Prepared paragraphs that are kept: the sentences that every document of a clinic has."""

MOST_WIDTHS = 8
"""Widths for which the lines of a paragraph are kept: it stands in few columns."""

Placed = Sequence[tuple[Atom, float]]

_HARD = re.compile("[\n\r\t\u2028\u2029]")
"""Where a value may begin a new line."""

_HAIR = 0.001
"""Points a line may be over its width: sums of floats."""


def leading(look: Role, language: str) -> float:
    """Give the distance from base line to base line in a language, in points."""
    return look.line * line_of(language)


class Line:
    """One line of words."""

    __slots__ = ("_is_looked_at", "_strip", "chunks", "color", "placed", "setting", "text", "width")

    def __init__(
        self, width: float, text: str, color: str, chunks: Sequence[Chunk], setting: Setting, placed: Placed = ()
    ) -> None:
        self.width, self.text, self.color, self.chunks, self.setting = width, text, color, chunks, setting
        """Width of what is seen, in points; text as it is read, with the space at which it broke."""
        self.placed = placed
        """Its atoms with their left edges, in reading order, if some run from right to left."""
        self._strip: Strip | None = None
        self._is_looked_at = False

    @property
    def links(self) -> tuple[tuple[float, float, str], ...]:
        """Start, end and address of each link, measured from the left edge of the line."""
        found: list[tuple[float, float, str]] = []
        for atom, left in self.placed or _in_row(self.chunks):
            address = atom.link
            if address and found and found[-1][2] == address and abs(found[-1][1] - left) < _HAIR:
                found[-1] = (found[-1][0], left + atom.width, address)
            elif address:
                found.append((left, left + atom.width, address))
        return tuple(found)

    def paint(self, x: float, base: float, fonts: FontsOfFile) -> bytes:
        """Write the line as operators; `x` is its left edge, `base` its base line, in points."""
        strip = self._strip
        if strip is not None:
            return strip.paint(x, base, self.chunks, fonts)
        if not self.chunks:
            return b""
        if not self._is_looked_at:
            self._is_looked_at = True
            if not self.placed:
                self._strip = strip_of(self.chunks, self.color, self.setting)
            return self.paint(x, base, fonts)
        pen = Pen(base, self.color, self.setting, fonts)
        if self.placed:
            pen.places(self.placed, x)
        else:
            pen.row(self.chunks, x)
        return pen.done()


def _in_row(chunks: Sequence[Chunk]) -> Iterator[tuple[Atom, float]]:
    at = 0.0
    for chunk in chunks:
        for atom in chunk.atoms:
            yield atom, at
            at += atom.width


class Prepared:
    """A paragraph that is shaped and not yet broken."""

    __slots__ = ("_broken", "color", "is_linked", "longest", "paragraphs", "setting")

    def __init__(self, paragraphs: tuple[Paragraph, ...], color: str, setting: Setting, is_linked: bool) -> None:
        self.paragraphs, self.color, self.setting, self.is_linked = paragraphs, color, setting, is_linked
        """A paragraph for each hard line; and whether some words lead somewhere."""
        self.longest = max([chunk.width for one in paragraphs for chunk in one.chunks], default=0.0)
        """Width of the widest piece that cannot break, in points."""
        self._broken: dict[float, tuple[Line, ...]] = {}

    @property
    def natural(self) -> float:
        """Width of the longest line if nothing but hard line ends break, in points."""
        return max(map(_natural, self.paragraphs), default=0.0)

    def lines(self, width: float) -> tuple[Line, ...]:
        """Break into lines of a width in points; at least one."""
        found = self._broken.get(width)
        if found is None:
            if len(self._broken) > MOST_WIDTHS:
                self._broken.clear()
            one = self.paragraphs[0]
            if len(self.paragraphs) == 1 == len(one.chunks) and self.longest <= width:
                found = (self._line(one, one.chunks, one.chunks[0].full, 0, len(one.text)),)
            else:
                found = tuple([line for one in self.paragraphs for line in self._lines(one, width)])
            self._broken[width] = found
        return found

    def _lines(self, paragraph: Paragraph, width: float) -> Iterator[Line]:
        if not paragraph.chunks:
            yield Line(0.0, "", self.color, (), self.setting)
            return
        most = width + _HAIR
        held: list[Chunk] = []
        used, start, length = 0.0, 0, 0
        for chunk in paragraph.chunks if self.longest <= most else self._cut(paragraph, most):
            if used + chunk.width > most and held:
                yield self._line(paragraph, held, used, start, start + length)
                start += length
                held, used, length = [], 0.0, 0
            held.append(chunk)
            used += chunk.full
            length += chunk.length
        yield self._line(paragraph, held, used, start, start + length)

    def _cut(self, paragraph: Paragraph, most: float) -> Iterator[Chunk]:
        for chunk in paragraph.chunks:
            if chunk.width <= most:
                yield chunk
            else:
                yield from cut_chunk(chunk, self.setting)

    def _line(self, paragraph: Paragraph, chunks: Sequence[Chunk], full: float, start: int, stop: int) -> Line:
        last = chunks[-1]
        placed = _placed(chunks, int(self.setting.rtl)) if paragraph.has_order else ()
        return Line(full - last.full + last.width, paragraph.text[start:stop], self.color, chunks, self.setting, placed)


def _natural(paragraph: Paragraph) -> float:
    chunks = paragraph.chunks
    return sum(chunk.full for chunk in chunks) - (chunks[-1].full - chunks[-1].width if chunks else 0.0)


def _placed(chunks: Sequence[Chunk], base: int) -> tuple[tuple[Atom, float], ...]:
    """
    Find the left edge of each atom in visual order; nothing if all run from left to right (UAX #9, L1 and L2).

    Spaces at the end of the line stand beyond it: nothing is seen of them, and who hears the words finds them apart.
    """
    atoms = [atom for chunk in chunks for atom in chunk.atoms]
    beyond: list[Atom] = []
    while atoms and atoms[-1].is_space:
        beyond.insert(0, atoms.pop().at_level(base))
    levels = {atom.level for atom in atoms}
    if not base and not any(levels):
        return ()
    order: Iterable[int] = range(len(atoms) - 1, -1, -1)
    if levels != {1}:
        order = [run[0] for run in in_visual_order([(place, place + 1, a.level) for place, a in enumerate(atoms)])]
    places = [0.0] * len(atoms)
    x = 0.0
    for number in order:
        places[number] = x
        x += atoms[number].width
    for atom in beyond:
        places.append(x if not base else -atom.width)
        x += atom.width
    return tuple(zip([*atoms, *beyond], places, strict=True))


class Way:
    """A role in a language: how words are set; one object for each."""

    __slots__ = ("color", "setting", "step")

    def __init__(self, look: Role, setting: Setting) -> None:
        self.color, self.setting, self.step = look.color, setting, leading(look, setting.language)
        """Step: from base line to base line, in points."""


@lru_cache(maxsize=KEPT_WAYS)
def way_of(look: Role, language: str, rtl: bool, bold: bool = False, spacing: float = 0.0) -> Way:
    """Find the way of a role; `spacing` between letters in points."""
    return Way(look, setting_of(look.size, bold or look.bold, language, rtl, spacing, look.family))


def prepare(
    words: Words, look: Role, *, language: str, rtl: bool, bold: bool = False, spacing: float = 0.0
) -> Prepared:
    """
    Shape words in a role; `spacing` between letters in points.

    Errors: MissingGlyph for a character no font prints.
    """
    return prepared_in(words, way_of(look, language, rtl, bold, spacing))


@lru_cache(maxsize=KEPT_PARAGRAPHS)
def prepared_in(words: Words, way: Way) -> Prepared:
    """Shape words in a way. Errors: MissingGlyph for a character no font prints."""
    setting = way.setting
    if len(words) == 1 and not setting.rtl and is_one_word(words[0].text):
        return Prepared((one_word(words[0], setting),), way.color, setting, bool(words[0].link))
    one = words and all(span.text and not _HARD.search(span.text) for span in words)
    lines = (words,) if one else lines_of(words) or ((),)
    last = len(lines) if setting.rtl else len(lines) - 1  # what runs to the left has no gap to tell words apart by
    apart = [(*line, Span(" ", line[-1].bold)) if line and place < last else line for place, line in enumerate(lines)]
    paragraphs = tuple([paragraph_of(line, setting) for line in apart])
    return Prepared(paragraphs, way.color, setting, any(span.link for span in words))
