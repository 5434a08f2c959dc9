"""
The cells of a table: where they stand and what they hold.

Apart from `tables`, which puts them into rows. A number beside a strip is large, and what qualifies it is not.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from docgen.blocks import Span, Words, plain
from docgen.render.columns import PEN
from docgen.render.pdf.drawings import Drawn
from docgen.render.pdf.halves import first_role, height_of_texts, own_setting
from docgen.render.pdf.looks import NO_BREAK, loosened
from docgen.render.pdf.marks import paint_box
from docgen.render.pdf.setting import MM, REPEATED, Setting, Text
from docgen.render.pdf.sheet import Node, Sheet, in_language
from docgen.render.pdf.strokes import stroked
from docgen.render.style import Role
from docgen.render.words import halves, parted

RISK = (17 / 12, 20 / 16)
"""Size and line of the first number beside a strip, against a cell (page design, section 2)."""

SPACE = 0.28
"""Width in em of the space between "about" and its number."""

PHRASE = 32 * MM
"""A column of phrases around a number is no wider on their account: they take two lines."""

ONE_LINE = 46 * MM
"""Where such a phrase stands above the same in another language, it has one line if there is room."""

PEN_RULE = 0.5
"""Points, of a line for the pen inside a cell."""

HAIR = 0.01
"""Points a text may be over its room: sums of floats."""

_QUALIFIED = re.compile(r"(\D*?)\s*(\d[\d.,\u00a0\u202f]*)")


class Cell:
    """One cell: where it stands, its element, and what it holds."""

    __slots__ = ("above", "box", "drawn", "lead", "node", "pen", "text", "under", "width", "x")

    def __init__(self, x: float, width: float, node: Node | str) -> None:
        self.x, self.width, self.node = x, width, node
        self.text: Text | None = None
        self.lead: Text | None = None
        """What stands before the text on its base line: "about" before a large number."""
        self.above: list[Text] = []
        """What stands above the text: the clinic's language, "as many as" over a large number."""
        self.under: list[Text] = []
        """What stands below the text: what a number means in words."""
        self.drawn: Drawn | None = None
        self.box: tuple[str, str] | None = None
        """Name and tooltip of a box to tick."""
        self.pen = 0
        """Empty lines for the pen."""

    def height(self, setting: Setting) -> float:
        """Measure what it holds."""
        if self.text and not (self.above or self.under or self.drawn or self.box or self.pen):
            return self.text.height
        more = height_of_texts([*self.above, *self.under])
        heights = (more + self.text.height if self.text else 0.0, self.drawn.height if self.drawn else 0.0)
        return max(*heights, setting.length("box") if self.box else 0.0, self.pen * PEN * MM)

    @property
    def texts(self) -> list[Text]:
        """Its words, in reading order."""
        return [text for text in (*self.above, self.lead, self.text, *self.under) if text]

    @property
    def base(self) -> float:
        """Its first base line below its upper edge; 0 without words."""
        return self.above[0].base if self.above else self.text.base if self.text else 0.0

    def hold(self, texts: Sequence[Text]) -> None:
        """Take up texts that stand one below the other."""
        *self.above, self.text = texts or (None,)

    def again(self) -> Cell:
        """Give the same words as nobody reads them: they stand on the page before."""
        copy = Cell(self.x, self.width, REPEATED)
        copy.text = self.text.again() if self.text else None
        copy.above = [text.again() for text in self.above]
        return copy

    def paint(self, setting: Setting, sheet: Sheet, top: float) -> None:
        """Paint what it holds below a height."""
        if isinstance(self.node, Node):
            sheet.mention(self.node)
        if self.text:
            for text in self.above:
                text.paint(self.x, sheet, top)
                top -= text.height
            if self.lead:
                self.lead.paint(self.x, sheet, top - self.text.base + self.lead.base)
            self.text.paint(self.x, sheet, top)
            top -= self.text.height
            for text in self.under:
                text.paint(self.x, sheet, top)
                top -= text.height
        elif self.drawn and isinstance(self.node, Node):
            self.drawn.paint(sheet, top, x=self.x, node=self.node)
        elif self.box and isinstance(self.node, Node):
            paint_box(setting, sheet, self.node, self.x + 0.5, top - setting.length("box"), self.box)
        left = sheet.left(self.x, self.width)
        for number in range(1, self.pen):  # below the last line stands the rule of the row
            y = top - number * PEN * MM
            sheet.below(stroked(left, y, left + self.width, PEN_RULE, setting.color("hair")))


def set_number(setting: Setting, cell: Cell, words: Words) -> None:
    """
    Set a number large and what stands before it small: on its base line if it fits, else above it.

    Of several words that do not fit there, the last stands beside the number. What is in parentheses stands below.
    The words of the clinic's language stand above all, small too.
    """
    *others, last = halves(words)
    own, node = setting, cell.node
    for part in others:
        below = node.child("P") if isinstance(node, Node) else node
        cell.above.append(setting.text(part, first_role(setting, "cell"), below, cell.width, end=True))
    if others:
        own, last, tag = own_setting(setting, last)
        node = node.child("P", **in_language(tag)) if isinstance(node, Node) else node
    _set_large(own, cell, last, node)


def _set_large(setting: Setting, cell: Cell, words: Words, node: Node | str) -> None:
    words, remark = _with_remark(words)
    role, parts = setting.role("cell"), number_parts(words)
    if remark:
        small = replace(setting.role("caption"), color=role.color)
        cell.under.append(setting.text(remark, small, node, cell.width, end=True))
    if not parts:
        counts = any(map(str.isdigit, plain(words)))
        cell.text = setting.text(words, role, node, cell.width, bold=counts, end=True)
        return
    lead, number = parts
    text = cell.text = setting.text(number, large_of(role), node, cell.width, bold=True, end=True)
    room = cell.width - text.lines[0].width - SPACE * role.size + HAIR if len(text.lines) == 1 else 0.0
    if lead and setting.natural(lead, role) <= room:
        cell.lead = setting.text(lead, role, node, room, end=True)
    elif lead:
        before, last = _parted(lead)
        if before and setting.natural(last, role) <= room:
            cell.lead, lead = setting.text(last, role, node, room, end=True), before
        cell.above.append(setting.text(lead, role, node, cell.width, end=True))


def number_widths(setting: Setting, words: Words, role: Role, *, large: bool) -> tuple[float, float]:
    """Measure the least width of a number and what stands before it, and the width in which it looks well."""
    *others, words = halves(words)
    pairs = [_widths(setting, words, role, large=large)]
    for one in others:  # they are short, or stand in several lines above it
        natural = setting.natural(one, first_role(setting, "cell")) + HAIR
        pairs.append((min(natural, PHRASE), min(natural, ONE_LINE)))
    return max(least for least, _ in pairs), max(wished for _, wished in pairs)


def _widths(setting: Setting, words: Words, role: Role, *, large: bool) -> tuple[float, float]:
    words, _ = _with_remark(words)
    loose = loosened(words)
    parts = number_parts(loose) if large else None
    if not parts:
        whole, least = setting.natural(words, role, bold=large), setting.longest(loose, role, bold=large)
        return least, max(min(whole, PHRASE), least)
    lead, number = parts
    figure = setting.natural(number, large_of(role), bold=True)
    before, last = _parted(lead) if lead else ((), ())
    gap = SPACE * role.size if lead else 0.0
    beside, whole = figure + setting.natural(last, role) + gap, figure + setting.natural(lead, role) + gap
    least = max(figure, setting.longest(lead, role) if lead else 0.0)
    return least, whole if whole <= PHRASE else max(beside, setting.natural(before, role))


def _with_remark(words: Words) -> tuple[Words, Words]:
    """Part words before a remark in parentheses at their end from it."""
    at = plain(words).rfind(" (") + 1
    return parted(words, at) if at > 1 and plain(words).rstrip().endswith(")") else (words, ())


def _parted(lead: Words) -> tuple[Words, Words]:
    """Part the last word from those before it."""
    first, space, last = plain(lead).rstrip().rpartition(" ")
    return ((Span(first + space),) if first else ()), (Span(f"{last} "),)


def number_parts(words: Words) -> tuple[Words, Words] | None:
    """Part words that end in a number; None if they do not."""
    found = _QUALIFIED.fullmatch(plain(words).strip())
    if not found:
        return None
    lead = (Span(f"{found[1].replace(NO_BREAK, ' ')} "),) if found[1] else ()  # the space parts them for who copies
    return lead, (Span(found[2], isolated=True),)


def large_of(role: Role) -> Role:
    """Give the look of the number that is seen first."""
    size, line = RISK
    return replace(role, size=role.size * size, line=role.line * line)
