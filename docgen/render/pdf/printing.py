"""
A document > its pages, measured and broken; then each page painted into a file, with its structure.

Apart from `render`, so that a pack can lay out several documents before it prints the first.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from docgen.blocks import Document, Span
from docgen.render.pdf.breaking import Filled, into_pages
from docgen.render.pdf.file import Element, File, Page
from docgen.render.pdf.flow import Flow, sections_of
from docgen.render.pdf.furniture import Edge, page_width
from docgen.render.pdf.glyphs import FontsOfFile
from docgen.render.pdf.languages import MARGIN, has_pair
from docgen.render.pdf.opening import opening
from docgen.render.pdf.outlines import diagonal
from docgen.render.pdf.person import RULE
from docgen.render.pdf.pieces import Frame, Piece
from docgen.render.pdf.setting import MM, Place, Setting
from docgen.render.pdf.sheet import Node, Sheet
from docgen.render.pdf.strokes import stroked
from docgen.render.style import Style
from docgen.render.words import in_a_line

HEAD_SHARE, FOOT_SHARE = 0.3, 0.25
"""Of the height of a page: the most that head and foot may take."""

FOOT_HEIGHT = 10.4 * MM
"""From the rule of the foot to the bottom of its last line; a longer foot raises the rule."""

LOWEST_RULE = 20 * MM
"""The least the rule of the foot stands above the lower edge."""

CLEAR = 4 * MM
"""Between the text and head or foot."""

REPEATED = 70.0
"""Points a page may need for the repeated head of a table or band of a box."""

DIAGONAL = frozenset(("draft", "superseded", "withdrawn"))
"""Marks of which the last also stands across the page: two words there could not be read."""


class Printer:
    """One document: measured when made, printed into a file by `paint`. Lengths in points."""

    def __init__(self, document: Document, style: Style, name: str = "") -> None:
        self.document = document
        self.setting = setting = Setting(document, style, name)
        self.paper = paper = style.paper(document.layout)
        self.width, self.height = paper.width * MM, paper.height * MM
        self._head = Edge(setting, "Header", self.height * HEAD_SHARE)
        self._foot = Edge(setting, "Footer", self.height * FOOT_SHARE)
        foot = min((paper.height - paper.foot) * MM, LOWEST_RULE)
        self._foot_rule = max(foot, foot - FOOT_HEIGHT + self._foot.height)
        bottom = max((paper.height - paper.body_end) * MM, self._foot_rule + CLEAR)
        self._first_top = self.height - paper.head * MM
        self._later_top = min(self.height - paper.body * MM, self._first_top - self._head.height - CLEAR)
        setting.room = self._later_top - bottom
        setting.tallest = setting.room - REPEATED
        self.node = Node("Document", None, {})
        pieces = opening(setting, self.node)
        pieces += self._flow()
        self.pages = into_pages(pieces, self._first_top - bottom, setting.room)

    def _flow(self) -> list[Piece]:
        setting = self.setting
        if any(map(has_pair, self.document.sections)):
            setting.beside -= MARGIN + MM
        setting.stacked = self._headings_are_stacked()
        pieces: list[Piece] = []
        for voice, sections in groupby(sections_of(self.document), lambda one: one[0].voice):
            spoken = self._spoken(voice)
            x = 0.0 if spoken.large else spoken.length("side")
            flow = Flow(spoken, Place(x, spoken.content - x, self.node))
            for section, blocks in sections:
                spoken.section = section.id
                flow.set(blocks, self.node.child("Sect"))
            flow.close()
            pieces += flow.pieces
            setting.level = spoken.level
        return pieces

    def _spoken(self, voice: str) -> Setting:
        """Give the setting of the document, or a like one for sections of another voice."""
        setting = self.setting
        if not voice:
            return setting
        twin = Setting(self.document.in_voice(voice), setting.style, setting.name)
        twin.room, twin.tallest, twin.level, twin.beside = setting.room, setting.tallest, setting.level, setting.beside
        twin.numbers = setting.numbers
        twin.stacked = setting.stacked and not setting.large
        return twin

    def _headings_are_stacked(self) -> bool:
        """Tell whether headings stand above the text: in large print, or if one word is too wide for the side."""
        setting, role = self.setting, self.setting.role("heading")
        headings = [section.heading for section in self.document.sections if section.heading]
        return setting.large or any(setting.longest(words, role) > setting.beside for words in headings)

    def paint(self, file: File, fonts: FontsOfFile, root: Element, first: int, level: int = 1) -> None:
        """Print all pages below an element; `first` is the label of the first, `level` that of its bookmark."""
        self.node.become(root)
        for number, filled in enumerate(self.pages, 1):
            page = file.page(self.width, self.height, str(first + number - 1))
            if number == 1:
                copy = self.document.furniture.copy
                title = in_a_line(self.document.title)
                file.bookmark(f"{title} ({copy})" if copy else title, level, page, self.height)
            sheet = self._sheet(file, fonts, page, level + 1)
            self._paint(sheet, filled, number)
            sheet.finish()

    def _sheet(self, file: File, fonts: FontsOfFile, page: Page, level: int) -> Sheet:
        def bookmark(title: str, top: float) -> None:
            file.bookmark(title, level, page, top)

        margin = self.paper.margin * MM
        return Sheet(page, fonts, margin, self.setting.content, self.setting.rtl, bookmark, file.choices)

    def _paint(self, sheet: Sheet, filled: Filled, number: int) -> None:
        if across := [mark for mark in self.document.furniture.marks if mark.code in DIAGONAL and not mark.language]:
            word, ink = across[-1].across or across[-1].words, self.setting.color("mark")
            sheet.below(diagonal(word, self.document.language, self.width, self.height, ink))
        top = self._first_top
        if number > 1:
            self._head.paint(sheet, self._first_top)
            top = self._later_top
        if filled.repeat:
            filled.repeat.paint(sheet, top)
        for piece, depth in filled.pieces:
            if piece.paint:
                piece.paint(sheet, top - depth)
        for frame, high, low in _frames(filled):  # drawn over the edges of what it holds
            frame.paint(sheet, top - high, top - low)
        self._paint_foot(sheet, number)

    def _paint_foot(self, sheet: Sheet, number: int) -> None:
        setting, y = self.setting, self._foot_rule
        left = sheet.left(0.0, setting.content)
        sheet.below(stroked(left, y, left + setting.content, RULE, setting.color("line")))
        self._foot.paint(sheet, y - MM)
        self._foot.paint_square(sheet, y)
        line = self.document.furniture.page.replace("{page}", str(number)).replace("{pages}", str(len(self.pages)))
        width = page_width(setting)
        text = setting.text((Span(line),), self._foot.page_role, "Footer", width, end=True)
        text.paint(self._foot.width - width, sheet, y - MM - self._foot.page_depth)


def _frames(filled: Filled) -> Iterator[tuple[Frame, float, float]]:
    """Give each frame of a page with the depths of its upper and lower edge."""
    frame: Frame | None = None
    high = low = 0.0
    for place, (piece, depth) in enumerate(filled.pieces):
        if piece.frame is not frame:
            if frame:
                yield frame, high, low
            frame, high = piece.frame, 0.0 if filled.repeat and place == 0 else depth
        low = depth + piece.height + (frame.pad if frame else 0.0)
    if frame:
        yield frame, high, low
