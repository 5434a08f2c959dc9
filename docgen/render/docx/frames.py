"""
What has a frame > a table of a Word file: the danger box with its signs and whom to call, an answer somebody writes.

Apart from the other tables: these have no heads and no rows of values, and are there to be found fast.
"""

from __future__ import annotations

from collections.abc import Sequence

from docgen.blocks import Document, Paragraph, Together, Words, Writing, plain
from docgen.render.docx.looks import FRAMED, TELEPHONE
from docgen.render.docx.paragraphs import TITLE, Cell, Grid, Para, Part, Row, paragraphs
from docgen.render.docx.runs import HOURS, Runs
from docgen.render.fonts.characters import width_em
from docgen.render.style import Style, telephone
from docgen.render.words import number_and_hours
from docgen.values import dataclass

FRAME_PADDING = 8
"""Of the danger box, both sides together, in mm."""

_FRAME_LINES, _LINE = 20, 60
"""Lines of a danger box, and letters of a line, from which on a page may cut it: it could be higher than the rest."""

_ABREAST = (3, 2)
"""Telephone numbers beside each other, if they fit (page design, section 5)."""

_SIGNS = 280
"""Twentieths of a point above the line at the end of an answer: who answers signs there."""

_POINT = 25.4 / 72


@dataclass
class Frame:
    """Writes the danger box of one document."""

    document: Document
    style: Style
    runs: Runs
    inside: bool = False
    """True if it stands in another one."""

    def grid(self, title: Para, parts: list[Part], numbers: Sequence[tuple[Words, Words]], called: str) -> Grid:
        """Write the frame around what is said; the telephone numbers stand below a line, which the style draws."""
        width = self.style.lengths["content"] - (FRAME_PADDING if self.inside else 0)
        lines = sum(1 + one.letters // _LINE for one in paragraphs(parts))
        across = self._abreast(numbers, width)
        is_short = lines < _FRAME_LINES
        title.keep_next = not is_short
        rows = [Row([Cell([title, *parts], across)], whole=is_short), *self._telephones(numbers, across)]
        right, widths = self.document.direction == "rtl", self._widths(numbers, across, width)
        return Grid("Danger Box", widths, rows, from_right=right, has_head=bool(numbers), title=called[:TITLE].strip())

    def _abreast(self, numbers: Sequence[tuple[Words, Words]], width: float) -> int:
        """Find how many numbers stand beside each other: none shall break over two lines."""
        widest = max((self._width(number_and_hours(value)[0], TELEPHONE) for _, value in numbers), default=0.0)
        fit = (across for across in _ABREAST if across <= len(numbers) and widest <= width / across - FRAME_PADDING)
        return next(fit, 1)

    def _widths(self, numbers: Sequence[tuple[Words, Words]], across: int, width: float) -> list[float]:
        """Share the width among numbers: each gets what its widest line needs if all do, else they get the same."""
        needs = []
        for label, value in numbers:
            number, hours = number_and_hours(value)
            lines = ((label, "column"), (number, TELEPHONE), (hours, "small"))
            needs.append(max(self._width(words, role) for words, role in lines) + FRAME_PADDING)
        rest = width - sum(needs)
        return (
            [need + rest / across for need in needs]
            if len(needs) == across and rest >= 0
            else [width / across] * across
        )

    def _width(self, words: Words, role: str) -> float:
        """Estimate how wide a line is in mm, rather too wide."""
        layout = self.document.layout
        body = self.style.role("body" if role == TELEPHONE else role, layout)
        size = telephone(body, layout.large_print).size if role == TELEPHONE else body.size
        return width_em(plain(words)) * size * _POINT

    def _telephones(self, numbers: Sequence[tuple[Words, Words]], across: int) -> list[Row]:
        """Write whom to call, in rows that no page parts."""
        rows = []
        for begin in range(0, len(numbers), across):
            here = numbers[begin : begin + across]
            cells = [Cell([*self._number(*one, len(here) == 1)]) for one in here]
            cells[-1].columns += across - len(cells)
            rows.append(Row(cells))
        for part in (part for row in rows[:-1] for cell in row.cells for part in paragraphs(cell.parts)):
            part.keep_next = True
        return rows

    def _number(self, label: Words, value: Words, alone: bool) -> list[Para]:
        """Write a label, the number and, smaller, the hours that may follow it; a value without a number as it is."""
        number, hours = number_and_hours(value)
        made = [self._para("Telephone Label", label)]
        if number:
            made.append(self._para("Telephone", number))
        if number and hours and alone:
            made[-1].content += self.runs.words(hours, HOURS)
        elif hours or not number:
            made.append(self._para("Telephone Hours" if number else f"{FRAMED}Value", hours))
        return made

    def _para(self, style: str, words: Words) -> Para:
        """Write words that begin where the cell does, whichever way they run."""
        return Para(style, self.runs.words(words), letters=len(plain(words)))


def answer_frame(together: Together, parts: list[Part], document: Document, style: Style) -> Grid:
    """Write the frame of an answer around its parts; its first words are its title."""
    first, right = together.blocks[0], document.direction == "rtl"
    title = plain(first.words) if isinstance(first, Paragraph) else ""
    above = parts[-2] if len(parts) > 1 else None
    if isinstance(together.blocks[-1], Writing) and isinstance(above, Para):
        above.after = _SIGNS
    rows = [Row([Cell(parts)])]
    return Grid("Answer Frame", [style.lengths["content"]], rows, from_right=right, title=title[:TITLE].strip())
