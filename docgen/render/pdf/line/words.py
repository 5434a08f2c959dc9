"""
Words and a role > lines of a width, ready to be painted: the face of the text layer.

Nothing is justified or hyphenated. A word wider than its line is cut where a reader sees one character end.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from docgen.blocks import Span, Words
from docgen.render.fonts.choice import line_of
from docgen.render.pdf.glyphs import FontsOfFile
from docgen.render.pdf.line.chunks import Atom, Chunk, Paragraph, Setting, cut_chunk, paragraph_of
from docgen.render.pdf.line.paint import Pen, Strip, strip_of
from docgen.render.pdf.line.unicode import in_visual_order
from docgen.render.style import Role
from docgen.render.words import lines_of

KEPT_PARAGRAPHS = 512
"""Prepared paragraphs that are kept: the sentences that every document of a clinic has."""

MOST_WIDTHS = 8
"""Widths for which the lines of a paragraph are kept: it stands in few columns."""

_HAIR = 0.001
"""Points a line may be over its width: sums of floats."""


def leading(look: Role, language: str) -> float:
    """Give the distance from base line to base line in a language, in points."""
    return look.line * line_of(language)


@dataclass(slots=True, eq=False)
class Line:
    """One line of words."""

    width: float
    """Of what is seen, in points."""
    text: str
    """As it is read, with the space at which it broke."""
    color: str
    chunks: tuple[Chunk, ...]
    setting: Setting
    placed: tuple[tuple[Atom, float], ...] = ()
    """Its atoms with their left edges, in reading order, if some run from right to left."""
    _strip: Strip | None = None
    _is_looked_at: bool = False

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
        if not self._is_looked_at:
            self._strip = None if self.placed else strip_of(self.chunks)
            self._is_looked_at = True
        pen = Pen(x, base, self.color, self.setting, fonts)
        if self._strip is not None:
            pen.strip(self._strip)
        elif self.placed:
            pen.places(self.placed, x)
        else:
            pen.row(self.chunks)
        return pen.done(self.setting) if self.chunks else b""


def _in_row(chunks: Sequence[Chunk]) -> Iterator[tuple[Atom, float]]:
    at = 0.0
    for chunk in chunks:
        for atom in chunk.atoms:
            yield atom, at
            at += atom.width


@dataclass(eq=False, slots=True)
class Prepared:
    """A paragraph that is shaped and not yet broken."""

    paragraphs: tuple[Paragraph, ...]
    """One for each hard line."""
    color: str
    setting: Setting
    _broken: dict[float, tuple[Line, ...]] = field(default_factory=dict)

    @property
    def natural(self) -> float:
        """Width of the longest line if nothing but hard line ends break, in points."""
        return max(map(_natural, self.paragraphs), default=0.0)

    @property
    def longest(self) -> float:
        """Width of the widest piece that cannot break, in points."""
        return max((chunk.width for one in self.paragraphs for chunk in one.chunks), default=0.0)

    def lines(self, width: float) -> tuple[Line, ...]:
        """Break into lines of a width in points; at least one."""
        found = self._broken.get(width)
        if found is None:
            if len(self._broken) > MOST_WIDTHS:
                self._broken.clear()
            found = tuple(line for one in self.paragraphs for line in self._lines(one, width))
            self._broken[width] = found
        return found

    def _lines(self, paragraph: Paragraph, width: float) -> Iterator[Line]:
        if not paragraph.chunks:
            yield Line(0.0, "", self.color, (), self.setting)
            return
        most = width + _HAIR
        held: list[Chunk] = []
        used, start = 0.0, 0
        fitting = all(chunk.width <= most for chunk in paragraph.chunks)
        for chunk in paragraph.chunks if fitting else self._cut(paragraph, most):
            if held and used + chunk.width > most:
                line = self._line(paragraph, held, start)
                start += len(line.text)
                yield line
                held, used = [], 0.0
            held.append(chunk)
            used += chunk.full
        yield self._line(paragraph, held, start)

    def _cut(self, paragraph: Paragraph, most: float) -> Iterator[Chunk]:
        for chunk in paragraph.chunks:
            if chunk.width <= most:
                yield chunk
            else:
                yield from cut_chunk(chunk, self.setting)

    def _line(self, paragraph: Paragraph, chunks: list[Chunk], start: int) -> Line:
        stop = start + sum(chunk.length for chunk in chunks)
        text = paragraph.text[start:stop]
        last = chunks[-1]
        width = sum(chunk.full for chunk in chunks) - last.full + last.width
        placed = _placed(chunks, int(self.setting.rtl)) if paragraph.has_order else ()
        return Line(width, text, self.color, tuple(chunks), self.setting, placed)


def _natural(paragraph: Paragraph) -> float:
    chunks = paragraph.chunks
    return sum(chunk.full for chunk in chunks) - (chunks[-1].full - chunks[-1].width if chunks else 0.0)


def _placed(chunks: list[Chunk], base: int) -> tuple[tuple[Atom, float], ...]:
    """
    Find the left edge of each atom in visual order; nothing if all run from left to right (UAX #9, L1 and L2).

    Spaces at the end of the line stand beyond it: nothing is seen of them, and who hears the words finds them apart.
    """
    atoms = [atom for chunk in chunks for atom in chunk.atoms]
    beyond: list[Atom] = []
    while atoms and atoms[-1].is_space:
        beyond.insert(0, replace(atoms.pop(), level=base))
    if not base and not any(atom.level for atom in atoms):
        return ()
    places = [0.0] * len(atoms)
    x = 0.0
    for number, _, _ in in_visual_order([(number, number + 1, atom.level) for number, atom in enumerate(atoms)]):
        places[number] = x
        x += atoms[number].width
    for atom in beyond:
        places.append(x if not base else -atom.width)
        x += atom.width
    return tuple(zip([*atoms, *beyond], places, strict=True))


def prepare(
    words: Words, look: Role, *, language: str, rtl: bool, bold: bool = False, spacing: float = 0.0
) -> Prepared:
    """
    Shape words in a role; `spacing` between letters in points.

    Errors: MissingGlyph for a character no font prints.
    """
    return _prepared(words, look.color, Setting(look.size, bold or look.bold, language, rtl, spacing, look.family))


@lru_cache(maxsize=KEPT_PARAGRAPHS)
def _prepared(words: Words, color: str, setting: Setting) -> Prepared:
    lines = lines_of(words) or ((),)
    last = len(lines) if setting.rtl else len(lines) - 1  # what runs to the left has no gap to tell words apart by
    apart = [(*line, Span(" ", line[-1].bold)) if line and place < last else line for place, line in enumerate(lines)]
    return Prepared(tuple(paragraph_of(line, setting) for line in apart), color, setting)
