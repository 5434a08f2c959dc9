"""
What stands on every page > pieces of the first page, and the head and foot of the others.

No value may push the text off the page: a head or foot that is too tall is set smaller until it fits.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from itertools import product

from docgen.blocks import Mark, Span, Words
from docgen.render.columns import person_widths
from docgen.render.pdf.drawings import image_size, paint_image
from docgen.render.pdf.halves import own_setting, set_both
from docgen.render.pdf.line.words import Line, prepare
from docgen.render.pdf.pieces import Piece
from docgen.render.pdf.setting import CAPITAL, MM, RTL_LANGUAGES, Setting, Stack, Text, row
from docgen.render.pdf.sheet import Node, Sheet
from docgen.render.pdf.square import Square
from docgen.render.pdf.strokes import filled, framed, stroked
from docgen.render.style import Role
from docgen.render.words import halves, run_on

SCALES = (1.0, 0.75, 0.5, 0.35, 0.25, 0.15, 0.1, 0.05)
"""Tried in turn until a head or foot fits."""

RULE = 0.5
"""Points."""

PERSON_PAD, LATER_PAD = 4.0, 3.0
"""Points above and below name, birth date and number, on the first and on later pages."""

LOGO = 18 * MM
"""The highest a logo may stand."""


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
                lang = {"lang": mark.language} if mark.language else {}
                owner = node.child("P", **lang) if isinstance(node, Node) else node
                sheet.line(owner, line, left + self.PAD_X, base)
                left += width + self.GAP
            top -= self._box + 2


def opening(setting: Setting, node: Node) -> list[Piece]:
    """Set the head of the first page, the title and whose document it is, as part of the flow: so they may be long."""
    furniture, content = setting.document.furniture, setting.content
    made: list[Piece] = []
    if furniture.logo:
        width, height = image_size(furniture.logo, content / 2, LOGO)
        figure = node.child("Figure", alt=furniture.logo.alt)
        made.append(Piece(height, partial(paint_image, furniture.logo, 0.0, width, height, figure), below=4.0))
    tags = Tags(setting, furniture.marks, setting.role("tag"), content * 0.45)
    names = [
        setting.text(words, setting.role(role), node.child("P"), content * 0.55 - 3 * MM)
        for words, role in ((furniture.clinic, "clinic"), (furniture.contact, "furniture"))
    ]
    made += _beside_tags(names, tags, content * 0.55, node, setting.tallest)
    title = [piece for text in _titles(setting, node.child("H1"), content) for piece in text.pieces(0.0)]
    title[0].above, title[-1].below = setting.space("section_staff"), setting.space("title")
    made += title
    role = setting.role("person")
    natural = sum(setting.natural(part, role, bold=number == 0) for number, part in enumerate(furniture.person))
    if setting.large and natural + (len(furniture.person) - 1) * 1.5 * role.size > content:
        for number, part in enumerate(furniture.person):
            text = setting.text(part, setting.role("body"), node.child("P"), content, bold=number == 0)
            made += text.pieces(0.0)
    else:
        made += person_row(setting, [node.child("P") for _ in furniture.person], role, PERSON_PAD)
    made[-1].below = setting.space("paragraph")
    return made


def _beside_tags(names: list[Text], tags: Tags, x: float, node: Node | str, limit: float) -> list[Piece]:
    stack = Stack(0.0, names)
    if stack.height > limit:
        above = [piece for text in names for piece in text.pieces(0.0)]
        return [*above, Piece(tags.height, partial(tags.paint, x, node))]

    def paint(sheet: Sheet, top: float) -> None:
        stack.paint(sheet, top)
        tags.paint(x, node, sheet, top)

    return [Piece(max(stack.height, tags.height), paint)]


def _titles(setting: Setting, node: Node, width: float) -> list[Text]:
    """Set the title; in two languages the reader's stands below, not bold."""
    first, *others = halves(setting.document.title)
    role, made = setting.role("title"), []
    made.append(balanced(setting, first, role, node.child("Span") if others else node, width))
    for part in others:
        own, words, tag = own_setting(setting, part)
        below = node.child("Span", **({"lang": tag} if tag else {}))
        made.append(balanced(own, words, replace(role, bold=False), below, width, end=own.rtl != setting.rtl))
    return made


def balanced(setting: Setting, words: Words, role: Role, node: Node, width: float, end: bool = False) -> Text:
    """Set a title so that its lines are about equally long."""
    text = setting.text(words, role, node, width, end=end)
    low, high = width / 2, width
    if not 1 < len(text.lines) <= 4:
        return text
    for _ in range(5):
        middle = (low + high) / 2
        if len(setting.text(words, role, node, middle).lines) == len(text.lines):
            high = middle
        else:
            low = middle
    text = setting.text(words, role, node, high, end=end)
    text.width = width
    return text


def person_row(setting: Setting, nodes: Sequence[Node | str], role: Role, pad: float) -> list[Piece]:
    """Set name, birth date and number between two lines; the last stands at the end edge."""
    parts = setting.document.furniture.person
    if not parts:
        return []
    content, last = setting.content, len(parts) - 1
    widths = person_widths(parts, content, setting.length("side"), role.size)
    x, stacks = 0.0, []
    for number, (words, node, width) in enumerate(zip(parts, nodes, widths, strict=True)):
        text = setting.text(words, role, node, width, bold=number == 0, end=number == last > 0)
        stacks.append(Stack(x, [text]))
        x += width
    pieces = row(stacks, setting.tallest)
    if len(pieces) == 1:
        inner, height = pieces[0].paint, pieces[0].height + 2 * pad

        def paint(sheet: Sheet, top: float) -> None:
            left, ink = sheet.left(0.0, content), setting.color("line")
            sheet.below(stroked(left, top, left + content, RULE, ink))
            sheet.below(stroked(left, top - height, left + content, RULE, ink))
            if inner:
                inner(sheet, top - pad)

        return [Piece(height, paint)]
    return pieces


class Edge:
    """The head of later pages, or the foot of all: artifacts, set as small as the height they may take."""

    def __init__(self, setting: Setting, name: str, limit: float) -> None:
        self.setting, self.name, self._square = setting, name, Square(setting)
        self.width = setting.content - (self._square.room if name == "Footer" else 0.0)
        """What words may take; the rest is the square code's."""
        self.page_depth = 0.0
        """How far down a foot the page's number stands."""
        for scale in SCALES:
            self.pieces = self._head(scale) if name == "Header" else self._foot(scale)
            self.height = sum(piece.height for piece in self.pieces)
            if name == "Footer":
                self.height = max(self.height, self._square.depth(setting.role("furniture")) + self._square.side - MM)
            if self.height <= limit:
                break

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
        return role if scale == 1 else replace(role, size=role.size * scale, line=role.line * scale)

    def _head(self, scale: float) -> list[Piece]:
        setting, content = self.setting, self.setting.content
        furniture = setting.document.furniture
        tags = Tags(setting, furniture.marks, self._role("tag", scale), content * 0.5)
        end = min(tags.natural, content * 0.5)
        width = content - end - (3 * MM if end else 0.0)
        bold = tuple(replace(span, bold=True) for span in furniture.clinic)
        names = [
            setting.text(bold, self._role("tag", scale), self.name, width),
            *set_both(setting, setting.document.title, self._role("furniture", scale), self.name, width, fixed=True),
        ]
        first = _beside_tags(names, tags, content * 0.5, self.name, float("inf"))
        first[0].height += LATER_PAD
        person = [self.name for _ in furniture.person]
        return [*first, *person_row(setting, person, self._role("person", scale), LATER_PAD)]

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
