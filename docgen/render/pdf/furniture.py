"""
What stands on every page > state marks, the head of the later pages, the foot of all.

No value may push the text off the page: a head or foot that is too tall is set smaller until it fits.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from itertools import product

from docgen.blocks import Mark, Span
from docgen.render.pdf.halves import set_both
from docgen.render.pdf.line.words import Line, prepare
from docgen.render.pdf.person import fitted, person_row
from docgen.render.pdf.pieces import Paint, Piece
from docgen.render.pdf.setting import CAPITAL, MM, RTL_LANGUAGES, Setting, Stack, Text
from docgen.render.pdf.sheet import Node, Sheet, in_language
from docgen.render.pdf.square import Square
from docgen.render.pdf.strokes import filled, framed
from docgen.render.style import Role
from docgen.render.words import run_on

SCALES = (1.0, 0.75, 0.5, 0.35, 0.25, 0.15, 0.1, 0.05)
"""Tried in turn until a head or foot fits."""

LATER_PAD = 3.0
"""Points above and below name, birth date and number on later pages."""

CLOSE = (12 * MM, 1.2)
"""How tall the foot of large print may be before its lines close up, and the height of such a line in sizes."""


_JOINED = re.compile("[^\0-\u058f\U00010000-\U0010ffff]")
"""Letters of scripts that join or stack; space between them would part them from their marks."""


class Tags:
    """State marks at the end edge, filled or outlined; a new row when one is full."""

    PAD_X, PAD_Y, GAP, SPACING = 2 * MM, 0.7 * MM, 2 * MM, 0.06

    def __init__(self, setting: Setting, marks: Sequence[Mark], role: Role, width: float) -> None:
        self.setting, self.role, self.width = setting, role, width
        self.rows: list[list[tuple[Mark, Line, float, float]]] = []
        used = width + 1.0
        for mark in marks:
            line, size = self._line(mark)
            needed = line.width + 2 * self.PAD_X
            if used + self.GAP + needed > width:
                self.rows.append([])
                used = -self.GAP
            self.rows[-1].append((mark, line, needed, size))
            used += self.GAP + needed
        self.natural = sum(tag[2] + self.GAP for tags in self.rows for tag in tags)
        self.height = len(self.rows) * (self._box + 2)

    @property
    def bottom(self) -> float:
        """How far down the last row reaches."""
        return len(self.rows) * (self._box + 2) - 2

    @property
    def _box(self) -> float:
        return self.role.line + 2 * self.PAD_Y

    def _line(self, mark: Mark) -> tuple[Line, float]:
        """Set the words of a mark, smaller if they would be too wide."""
        setting, room = self.setting, self.width - 2 * self.PAD_X
        role = replace(self.role, color=setting.color("paper")) if mark.filled else self.role
        for scale in SCALES:
            size = role.size * scale
            prepared = prepare(
                (Span(mark.words),),
                replace(role, size=size),
                language=mark.language or setting.language,
                rtl=mark.language.split("-")[0] in RTL_LANGUAGES if mark.language else setting.rtl,
                spacing=self.SPACING * size if not _JOINED.search(mark.words) else 0,
            )
            if prepared.natural <= room:
                break
        return prepared.lines(prepared.natural + 1.0)[0], size

    def paint(self, x: float, node: Node | str, sheet: Sheet, top: float) -> None:
        """Paint each row flush to the end of the width that begins at x."""
        ink = self.role.color
        for tags in self.rows:
            left = x + self.width - sum(tag[2] for tag in tags) - self.GAP * (len(tags) - 1)
            for mark, line, width, size in tags:
                edge, low = sheet.left(left, width), top - self._box
                draw = filled(edge, low, width, self._box, ink) if mark.filled else b""
                sheet.below(draw + framed(edge + 0.5, low + 0.5, width - 1, self._box - 1, 1, ink))
                base = top - self._box / 2 - CAPITAL / 2 * size
                owner = node.child("P", **in_language(mark.language)) if isinstance(node, Node) else node
                sheet.line(owner, line, left + self.PAD_X, base)
                left += width + self.GAP
            top -= self._box + 2


def beside_tags(names: list[Text], tags: Tags, x: float, node: Node | str, limit: float) -> list[Piece]:
    """Set names with the tags at the end edge, or above them, where the names are taller than a piece may be."""
    stack = Stack(0.0, names)
    if stack.height > limit:
        above = [piece for text in names for piece in text.pieces(0.0)]
        return [*above, Piece(tags.height, partial(tags.paint, x, node))]

    def paint(sheet: Sheet, top: float) -> None:
        stack.paint(sheet, top)
        tags.paint(x, node, sheet, top)

    return [Piece(max(stack.height, tags.height), paint)]


def _paint_above(clinic: Text, titles: Stack, depth: float, tags: Paint, sheet: Sheet, top: float) -> None:
    """Paint a title below the tags: over the whole width it takes fewer lines than beside them."""
    clinic.paint(0.0, sheet, top)
    titles.paint(sheet, top - depth)
    tags(sheet, top)


class Edge:
    """The head of later pages, or the foot of all: artifacts, set as small as the height they may take."""

    def __init__(self, setting: Setting, name: str, limit: float) -> None:
        self.setting, self.name, self._square = setting, name, Square(setting)
        self.width = setting.content - (self._square.room if name == "Footer" else 0.0)
        """What words may take; the rest is the square code's."""
        self.page_depth = 0.0
        """How far down a foot the page's number stands."""
        self._leading = 0.0
        """Of a foot whose lines are closed up, in sizes; 0 if they are as far apart as the style says."""
        for scale in SCALES:
            self._set(scale)
            if name == "Footer" and setting.large and self.height > CLOSE[0]:
                self._leading = CLOSE[1]
                self._set(scale)
            if self.height <= limit:
                break

    def _set(self, scale: float) -> None:
        self.pieces = self._head(scale) if self.name == "Header" else self._foot(scale)
        self.height = sum(piece.height for piece in self.pieces)
        if self.name == "Footer":
            self.height = max(self.height, self._square.depth(self._role("furniture", 1)) + self._square.side - MM)

    @property
    def page_role(self) -> Role:
        """How the page's number is set: as far below the rule as the line beside it."""
        return self._role("page", 1)

    def paint(self, sheet: Sheet, top: float) -> None:
        """Paint all below a height."""
        for piece in self.pieces:
            if piece.paint:
                piece.paint(sheet, top)
            top -= piece.height

    def paint_square(self, sheet: Sheet, rule: float) -> None:
        """Draw the square code of an issued document below the rule of a foot."""
        self._square.paint(sheet, self._role("furniture", 1), rule)

    def _role(self, name: str, scale: float) -> Role:
        role = self.setting.role(name)
        if scale == 1 and not self._leading:
            return role
        size = role.size * scale
        return replace(role, size=size, line=size * self._leading if self._leading else role.line * scale)

    def _head(self, scale: float) -> list[Piece]:
        setting, content = self.setting, self.setting.content
        furniture = setting.document.furniture
        tags = Tags(setting, furniture.marks, self._role("tag", scale), content * 0.5)
        end = min(tags.natural, content * 0.5)
        width = content - end - (3 * MM if end else 0.0)
        bold = tuple(replace(span, bold=True) for span in furniture.clinic)
        clinic = setting.text(bold, self._role("tag", scale), self.name, width)
        first = beside_tags([clinic, *self._titles(scale, width)], tags, content * 0.5, self.name, float("inf"))
        below = Stack(0.0, self._titles(scale, content))
        depth = max(clinic.height, tags.height)
        if depth + below.height < first[0].height:
            paint = partial(_paint_above, clinic, below, depth, partial(tags.paint, content * 0.5, self.name))
            first = [Piece(depth + below.height, paint)]
        first[0].height += LATER_PAD
        person = [self.name for _ in furniture.person]
        role = fitted(setting, self._role("person", scale), self._role("furniture", scale).size)
        return [*first, *person_row(setting, person, role, LATER_PAD)]

    def _titles(self, scale: float, width: float) -> list[Text]:
        setting, role = self.setting, self._role("furniture", scale)
        return set_both(setting, setting.document.title, role, self.name, width, fixed=True)

    def _foot(self, scale: float) -> list[Piece]:
        """Set the lines beside the page's number; run on, or over the whole width above it, where that saves a line."""
        setting, role = self.setting, self._role("furniture", scale)
        lines, narrow = setting.document.furniture.foot, self.width - page_width(setting) - 4 * MM
        self.page_depth, best = 0.0, [setting.text(words, role, self.name, narrow) for words in lines]
        is_wrapped = any(len(text.lines) > 1 for text in best)
        feet = (lines,) if any(text.end for text in best) else (lines, (run_on(lines),))
        for foot, width in product(feet, (narrow, self.width)) if is_wrapped else ():
            texts = [setting.text(words, role, self.name, width) for words in foot]
            height = sum(text.height for text in texts)
            ends = width == narrow or (texts[-1].lines[-1].width <= narrow and not texts[-1].end)
            if ends and height < sum(text.height for text in best) - 1:
                best, self.page_depth = texts, 0.0 if width == narrow else height - role.line
        return [Piece(text.height, partial(text.paint, 0.0)) for text in best]


def page_width(setting: Setting) -> float:
    """Measure how wide "Page 88 of 88" is, up to a third of the page."""
    words = setting.document.furniture.page.replace("{page}", "888").replace("{pages}", "888")
    return min(setting.natural((Span(words),), setting.role("page")), setting.content / 3)
