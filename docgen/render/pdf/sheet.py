"""
What pieces paint on: one page, collected in reading order, then written with its structure.

All places are told from the start edge of the page's content; `left` is the one function that mirrors them for pages
read from right to left. Shapes go below the words, in one artifact; words go to the element they belong to.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Unpack

from docgen.render.pdf.file import Choices, Element, Page, Traits
from docgen.render.pdf.glyphs import FontsOfFile
from docgen.render.pdf.line.words import Line
from docgen.render.pdf.looks import drawn_looks, is_look

LINK_BELOW, LINK_ABOVE = 0.3, 0.7
"""Of a line, the part of a link below and above the base line."""

EDGES = ("Header", "Footer")
"""Artifacts of the edge of a page; other names are those of artifacts inside it."""


def in_language(tag: str | None) -> Traits:
    """Give the trait of an element that is in another language than what is around; none if it is not."""
    return {"lang": tag} if tag else {}


class Node:
    """A place in the structure; its element is made when the first of it is written, so that order is reading order."""

    __slots__ = ("_element", "kind", "options", "parent")

    def __init__(self, kind: str, parent: Node | None, options: Traits) -> None:
        self.kind, self.parent, self.options = kind, parent, options
        self._element: Element | None = None

    def child(self, kind: str, **options: Unpack[Traits]) -> Node:
        """Give a place below this one; options are those of an element."""
        return Node(kind, self, options)

    def become(self, element: Element) -> None:
        """Stand for an element there is."""
        self._element = element

    @property
    def element(self) -> Element:
        """The element, made now if it was not yet."""
        if self._element is None:
            if self.parent is None:
                raise LookupError(self.kind)
            self._element = self.parent.element.add(self.kind, self.options)
        return self._element


class Sheet:
    """One page in the making; lengths in points."""

    __slots__ = ("_below", "_entries", "bookmark", "choices", "content", "fonts", "margin", "page", "rtl")

    def __init__(
        self,
        page: Page,
        fonts: FontsOfFile,
        margin: float,
        content: float,
        rtl: bool,
        bookmark: Callable[[str, float], None],
        choices: Callable[[str, str], Choices],
    ) -> None:
        self.bookmark = bookmark
        """Leads to a heading: its words, and the height where it stands."""
        self.choices = choices
        """Begins a group of boxes of which one at most is ticked: its name and tooltip."""
        self.page, self.fonts, self.margin, self.content, self.rtl = page, fonts, margin, content, rtl
        self._below: list[bytes] = []
        self._entries: list[tuple[Node | str | None, bytes | Callable[[], None]]] = []

    def left(self, x: float, width: float) -> float:
        """Give the left edge of what stands from x to x + width, measured from the start edge of the content."""
        return self.margin + (self.content - x - width if self.rtl else x)

    def below(self, operators: bytes) -> None:
        """Draw below the words; nobody reads it."""
        self._below.append(operators)

    def write(self, node: Node | str, operators: bytes) -> None:
        """Write content of an element, or of an artifact: the text "Header" or "Footer"."""
        self._entries.append((node, operators))

    def mention(self, node: Node) -> None:
        """Make an element that may stay empty."""
        self._entries.append((node, b""))

    def then(self, act: Callable[[], None]) -> None:
        """Do something when everything before it is written: a form field, a picture."""
        self._entries.append((None, act))

    def line(self, node: Node | str, line: Line, x: float, base: float, width: float = 0.0, end: bool = False) -> None:
        """Write a line of words from x, or so that it ends at x + width."""
        start = x + width - line.width if end else x
        left = self.left(start, line.width)
        self._entries.append((node, line.paint(left, base, self.fonts)))

    def lines(
        self, node: Node | str, lines: Sequence[Line], x: float, base: float, step: float, width: float, end: bool
    ) -> None:
        """Write lines one below the other."""
        painted, left = [], self.margin + x
        for line in lines:
            if end or self.rtl:
                left = self.left(x + width - line.width if end else x, line.width)
            painted.append(line.paint(left, base, self.fonts))
            base -= step
        self._entries.append((node, painted[0] if len(painted) == 1 else b"".join(painted)))

    def links(
        self, node: Node, lines: Sequence[Line], x: float, base: float, step: float, width: float, end: bool
    ) -> None:
        """Lay links over lines, each an element below the one whose words it covers; draw the looks of words."""
        for line in lines:
            left = self.left(x + width - line.width if end else x, line.width)
            low, high = base - step * LINK_BELOW, base + step * LINK_ABOVE
            looks = [stretch for stretch in line.links if is_look(stretch[2])]
            if looks:
                self.below(drawn_looks(looks, left, base, line.setting.size, line.color))
            for start, stop, address in (stretch for stretch in line.links if not is_look(stretch[2])):
                self.then(partial(self._link, node, (left + start, low, left + stop, high), address))
            base -= step

    def _link(self, node: Node, box: tuple[float, float, float, float], address: str) -> None:
        self.page.link(node.child("Link").element, (box,), address, address)

    def finish(self) -> None:
        """Write the page: shapes, then the words of each element in one piece of marked content."""
        page, entries, place = self.page, self._entries, 0
        if self._below:
            page.furnish(b"".join(self._below))
        self._entries = []  # what is done later holds the sheet: the file is gone when nobody needs it
        while place < len(entries):
            node, content = entries[place]
            place += 1
            if callable(content):
                content()
                continue
            while place < len(entries) and entries[place][0] is node and isinstance(more := entries[place][1], bytes):
                content += more
                place += 1
            if isinstance(node, str):
                edge = node if node in EDGES else ""
                page.furnish(content, "Pagination" if edge else "Layout", edge)
            elif node is not None:
                element = node.element
                if content:
                    page.put(element, content)
