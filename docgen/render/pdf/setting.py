"""
Words > lines with a place in the structure, and what setting a block needs to know: document, style, column.

Lengths in points. Text is set once, then painted whole or in the parts a page leaves of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from itertools import count

from docgen.blocks import Document, Span, Words
from docgen.render.pdf.line.words import Line, Way, prepared_in, way_of
from docgen.render.pdf.looks import NO_BREAK, loosened, with_room
from docgen.render.pdf.pieces import Bond, Piece
from docgen.render.pdf.sheet import Node, Sheet
from docgen.render.style import Role, Style

MM = 72 / 25.4
"""Points in a millimeter."""

CAPITAL = 0.714
"""Height of capitals in em (page design, section 2): the middle of a capital stands in the middle of its line."""

MOST_WAYS = 512
"""Ways of roles that are kept at once; those of roles that were made for one document go when it is full."""

REPEATED = "Repeated"
"""The artifact of what a page says again."""

RTL_LANGUAGES = frozenset(("ar", "ur", "fa", "he", "ps", "sd", "ug", "yi", "ckb", "dv"))


@dataclass(slots=True, frozen=True)
class Place:
    """A column on the page: where it begins, from the start edge of the content, how wide it is, what it belongs to."""

    x: float
    width: float
    node: Node
    inside: bool = False
    """True inside a frame, where there is no side column."""


class Text:
    """Words set in a width."""

    __slots__ = ("base", "end", "height", "lines", "linked", "node", "step", "width")

    def __init__(
        self, lines: tuple[Line, ...], step: float, base: float, node: Node | str, width: float, end: bool
    ) -> None:
        self.lines, self.step, self.base, self.node, self.width, self.end = lines, step, base, node, width, end
        self.height, self.linked = len(lines) * step, False

    def again(self) -> Text:
        """Give the same lines as nobody reads them: they stand on the page before."""
        return Text(self.lines, self.step, self.base, REPEATED, self.width, self.end)

    def paint(self, x: float, sheet: Sheet, top: float) -> None:
        """Paint all lines below a height."""
        self.paint_part(x, 0, len(self.lines), sheet, top)

    def paint_part(self, x: float, start: int, stop: int, sheet: Sheet, top: float) -> None:
        """Paint the lines from a place up to another."""
        lines, base = self.lines[start:stop], top - self.base
        sheet.lines(self.node, lines, x, base, self.step, self.width, self.end)
        if self.linked and isinstance(self.node, Node):
            sheet.links(self.node, lines, x, base, self.step, self.width, self.end)

    def pieces(self, x: float, *, above: float = 0.0, below: float = 0.0) -> list[Piece]:
        """Make pieces: no single line stands alone at either edge of a page."""
        made = []
        for start, stop in _parts(len(self.lines)):
            paint = partial(self.paint_part, x, start, stop)
            made.append(Piece((stop - start) * self.step, paint, base=self.base))
        made[0].above, made[-1].below = above, below
        return made


def _parts(count: int) -> list[tuple[int, int]]:
    if count <= 3:
        return [(0, count)]
    return [(0, 2), *((line, line + 1) for line in range(2, count - 2)), (count - 2, count)]


class Stack:
    """What stands in a cell: texts one below the other, from x."""

    __slots__ = ("height", "texts", "x")

    def __init__(self, x: float, texts: Sequence[Text]) -> None:
        self.x, self.texts = x, texts
        self.height = sum([text.height for text in texts])

    def paint(self, sheet: Sheet, top: float) -> None:
        """Paint the texts below a height."""
        for text in self.texts:
            text.paint(self.x, sheet, top)
            top -= text.height


def row(stacks: Sequence[Stack], limit: float, *, bond: Bond = Bond.FREE) -> list[Piece]:
    """
    Set cells beside each other as one piece.

    A row taller than the limit becomes running text: each cell in its own column, below the end of the one before.
    """
    height = max([stack.height for stack in stacks], default=0.0)
    if height <= limit:

        def paint(sheet: Sheet, top: float) -> None:
            for stack in stacks:
                stack.paint(sheet, top)

        base = next((text.base for stack in stacks for text in stack.texts), 0.0)
        return [Piece(height, paint, bond=bond, base=base)]
    return [piece for stack in stacks for text in stack.texts for piece in text.pieces(stack.x)]


_ways: dict[tuple[int, str, bool, bool], tuple[Role, Way]] = {}


class Setting:
    """How one document is set."""

    __slots__ = (
        *(
            "_lengths",
            "_voice",
            "beside",
            "content",
            "document",
            "language",
            "large",
            "level",
            "name",
            "numbers",
            "room",
            "rtl",
        ),
        *("section", "stacked", "style", "tallest"),
    )

    def __init__(self, document: Document, style: Style, name: str) -> None:
        self.document, self.style, self.name = document, style, name
        self.language, self.rtl = document.language, document.direction == "rtl"
        self.large = document.layout.large_print
        self._voice = style.voices[style.voice(document.layout)]
        self._lengths = {key: value * MM for key, value in style.lengths.items()}
        self.content = self._lengths["content"]
        self.beside = self._lengths["side_rule"]
        """How wide a heading beside its text may be."""
        self.tallest, self.room = 220.0, 300.0
        """Of a piece, and of a page's body; set when head and foot are known."""
        self.level, self.section, self.stacked = 1, "", False
        """Level of the last heading; ID of the section; whether headings stand above the text."""
        self.numbers = count(1)
        """Of the form fields; a setting of another voice counts on."""

    def role(self, name: str) -> Role:
        """Find how a role is set in this document."""
        return self._voice[name]

    def length(self, name: str) -> float:
        """Find a length of the house."""
        return self._lengths[name]

    def space(self, name: str) -> float:
        """Find a space of the house."""
        return self.style.spaces[name]

    def color(self, name: str) -> str:
        """Find a color of the house."""
        return self.style.colors[name]

    @property
    def section_space(self) -> float:
        """The space above a section."""
        return self.style.section_space(self.document.layout)

    @property
    def speaks_to_patient(self) -> bool:
        """Whether the page speaks in the patient's voice, not in large print."""
        return not self.large and self.document.layout.voice == "patient"

    def field_name(self, part: str) -> str:
        """Name a form field by section and place, once in a file."""
        section = "".join(c if c.isalnum() else "-" for c in self.section) or "page"
        return f"{self.name}{section}-{part}{next(self.numbers)}"

    def heading_kind(self, wished: int) -> str:
        """Name the element of a heading; no level is left out on the way down."""
        self.level = min(max(wished, 1), self.level + 1, 6)
        return f"H{self.level}"

    def text(
        self, words: Words, role: Role, node: Node | str, width: float, *, bold: bool = False, end: bool = False
    ) -> Text:
        """Set words in a width; they belong to the node."""
        language, rtl = self.language, self.rtl
        for span in words:
            if span.language or span.look:  # few are
                language, rtl = self._direction(words, node)
                words = with_room(words)
                break
        if self.rtl and not rtl:
            words = (*words, Span(" "))  # beside it stands the next cell, with no gap a reader would see
        known = _ways.get((id(role), language, rtl, bold))
        way = known[1] if known else self._way(role, language, rtl, bold)
        prepared = prepared_in(words, way)
        if prepared.longest > width and any(NO_BREAK in span.text for span in words):
            prepared = prepared_in(loosened(words), way)
        base = way.step / 2 + CAPITAL / 2 * role.size
        turned = rtl and not self.rtl  # on a page from the right, words in Latin begin at its edge, as their marks do
        text = Text(prepared.lines(width), way.step, base, node, width, end != turned)
        text.linked = prepared.is_linked
        return text

    def _direction(self, words: Words, node: Node | str) -> tuple[str, bool]:
        """Find the language of words and whether they run to the left; the node says it, if it is one of its own."""
        own = own_language(words)
        if not own:
            return self.language, self.rtl
        if isinstance(node, Node) and own != self.language:
            node.options.setdefault("lang", own)
        if all(span.isolated for span in words):  # a name alone stands where the page's words begin
            return own, self.rtl
        return own, own.split("-")[0] in RTL_LANGUAGES

    def _way(self, role: Role, language: str, rtl: bool, bold: bool) -> Way:
        """Find how a role is set; roles are held, so that no other can take the identity of one."""
        key = (id(role), language, rtl, bold)
        known = _ways.get(key)
        if known is None:
            if len(_ways) >= MOST_WAYS:
                _ways.clear()
            known = _ways[key] = role, way_of(role, language, rtl, bold)
        return known[1]

    def natural(self, words: Words, role: Role, *, bold: bool = False) -> float:
        """Measure words as one line."""
        return prepared_in(with_room(words), self._way(role, self.language, self.rtl, bold)).natural

    def longest(self, words: Words, role: Role, *, bold: bool = False) -> float:
        """Measure the widest part of some words that cannot be broken."""
        return prepared_in(with_room(words), self._way(role, self.language, self.rtl, bold)).longest


def own_language(words: Words) -> str | None:
    """Find the language of words that are all in one other than their document's; digits and marks have none."""
    found: str | None = None
    for span in words:
        if span.language is None:
            if any(c.isalpha() for c in span.text):
                return None
        elif found not in (None, span.language):
            return None
        else:
            found = span.language
    return found
