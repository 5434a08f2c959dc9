"""
The cells of a table: where they stand and what they hold.

Apart from `tables`, which puts them into rows. A number beside a strip is large, and what qualifies it is not.
"""

from __future__ import annotations

import re
from dataclasses import replace

from docgen.blocks import Span, Words, plain
from docgen.render.pdf.drawings import Drawn
from docgen.render.pdf.marks import paint_box
from docgen.render.pdf.setting import REPEATED, Setting, Text
from docgen.render.pdf.sheet import Node, Sheet
from docgen.render.style import Role

RISK = (17 / 12, 20 / 16)
"""Size and line of the first number beside a strip, against a cell (page design, section 2)."""

SPACE = 0.28
"""Width in em of the space between "about" and its number."""

HAIR = 0.01
"""Points a text may be over its room: sums of floats."""

_QUALIFIED = re.compile(r"(\D*?)\s*(\d[\d.,\u00a0\u202f]*)")


class Cell:
    """One cell: where it stands, its element, and what it holds."""

    __slots__ = ("beside", "box", "drawn", "lead", "node", "text", "width", "x")

    def __init__(self, x: float, width: float, node: Node | str) -> None:
        self.x, self.width, self.node = x, width, node
        self.text: Text | None = None
        self.lead: Text | None = None
        """What stands before the text: "about" before a large number."""
        self.beside = True
        """Whether the lead stands on the base line of the text, not above it."""
        self.drawn: Drawn | None = None
        self.box: tuple[str, str] | None = None
        """Name and tooltip of a box to tick."""

    def height(self, setting: Setting) -> float:
        """Measure what it holds."""
        above = self.lead.height if self.lead and not self.beside else 0.0
        heights = (above + self.text.height if self.text else 0.0, self.drawn.height if self.drawn else 0.0)
        return max(*heights, setting.length("box") if self.box else 0.0)

    @property
    def texts(self) -> list[Text]:
        """Its words, in reading order."""
        return [text for text in (self.lead, self.text) if text]

    def again(self) -> Cell:
        """Give the same words as nobody reads them: they stand on the page before."""
        copy = Cell(self.x, self.width, REPEATED)
        copy.text = self.text.again() if self.text else None
        return copy

    def paint(self, setting: Setting, sheet: Sheet, top: float) -> None:
        """Paint what it holds below a height."""
        if isinstance(self.node, Node):
            sheet.mention(self.node)
        if self.text:
            if self.lead and self.beside:
                self.lead.paint(self.x, sheet, top - self.text.base + self.lead.base)
            elif self.lead:
                self.lead.paint(self.x, sheet, top)
                top -= self.lead.height
            self.text.paint(self.x, sheet, top)
        elif self.drawn and isinstance(self.node, Node):
            self.drawn.paint(sheet, self.x, top, self.node)
        elif self.box and isinstance(self.node, Node):
            paint_box(setting, sheet, self.node, self.x + 0.5, top - setting.length("box"), self.box)


def set_number(setting: Setting, cell: Cell, words: Words) -> None:
    """Set a number large and what stands before it small: on its base line if it fits, else above it."""
    node, role, parts = cell.node, setting.role("cell"), number_parts(words)
    if not parts:
        cell.text = setting.text(words, role, node, cell.width, bold=True, end=True)
        return
    lead, number = parts
    text = cell.text = setting.text(number, large(role), node, cell.width, bold=True, end=True)
    if lead:
        room = cell.width - text.lines[0].width - SPACE * role.size
        cell.beside = len(text.lines) == 1 and setting.natural(lead, role) <= room + HAIR
        cell.lead = setting.text(lead, role, node, room if cell.beside else cell.width, end=True)


def number_width(setting: Setting, words: Words) -> float:
    """Measure a number and a word before it; several words may stand above it."""
    role, parts = setting.role("cell"), number_parts(words)
    if not parts:
        return 0.0
    lead, number = parts
    beside = bool(lead) and " " not in plain(lead).strip()
    before = setting.natural(lead, role) + SPACE * role.size if beside else 0.0
    return before + setting.natural(number, large(role), bold=True)


def number_parts(words: Words) -> tuple[Words, Words] | None:
    """Part words that end in a number; None if they do not."""
    found = _QUALIFIED.fullmatch(plain(words).strip())
    if not found:
        return None
    lead = (Span(f"{found[1]} "),) if found[1] else ()  # with the space that parts them for who copies
    return lead, (Span(found[2], isolated=True),)


def large(role: Role) -> Role:
    """Give the look of the number that is seen first."""
    size, line = RISK
    return replace(role, size=role.size * size, line=role.line * line)
