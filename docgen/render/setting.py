"""What setting a block needs to know: the document, the style, and the column the words stand in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Paragraph, Spacer, Table

from docgen.blocks import Document, Layout, Words
from docgen.render.sheet import Beside, Kept, Mark, MarkedParagraph, paragraph
from docgen.render.style import Role, Style


@dataclass(frozen=True)
class Setting:
    """A column that begins at `indent`; all its lengths are in points."""

    document: Document
    style: Style
    large: bool
    inside: float = 0
    """Width inside a frame; 0 on the open page."""

    @property
    def layout(self) -> Layout:
        """The wishes about the page."""
        return self.document.layout

    def role(self, name: str) -> Role:
        """Find how a role is set in this document."""
        return self.style.role(name, self.layout)

    def space(self, name: str) -> Spacer:
        """Make a space of the house."""
        return Spacer(1, self.style.spaces[name])

    def length(self, name: str) -> float:
        """Find a length of the house."""
        return float(self.style.lengths[name] * mm)

    @property
    def indent(self) -> float:
        """Where the text begins."""
        return 0 if self.large or self.inside else self.length("side")

    @property
    def width(self) -> float:
        """From the indent to the end edge."""
        return float(self.inside or self.length("content")) - self.indent

    def text(self, words: Words, role: str, further: float = 0, mark: Mark | None = None) -> MarkedParagraph:
        """Set a paragraph in the column."""
        return paragraph(words, self.role(role), indent=self.indent + further, mark=mark)

    def shifted(self, grid: Flowable, width: float) -> Flowable:
        """Let a grid end at the end edge."""
        if isinstance(grid, Table):
            grid.hAlign = "RIGHT" if width <= self.width else "LEFT"
        return grid


def height_of(parts: Iterable[Flowable], width: float) -> float:
    """Measure flowables one below the other."""
    return float(sum(part.wrap(width, 1e6)[1] for part in Kept(parts).parts))


def with_room(section: list[Flowable], width: float) -> list[Flowable]:
    """Leave room below text that is shorter than the heading beside it."""
    parts = Kept(section).parts
    place = next((place for place, part in enumerate(parts) if isinstance(part, Beside)), None)
    if place is None:
        return section
    missing = parts[place].heading_height - height_of(parts[place + 1 :], width)
    return [*section, Spacer(1, missing)] if missing > 0 else section


def height_to_begin(parts: Sequence[Flowable], width: float, line: float) -> float:
    """Measure how much of what follows a heading must stand below it: two lines, or what a page cannot cut there."""
    total, text = 0.0, 0.0
    for part in parts:
        whole = height_of([part], width)
        if isinstance(part, Table):
            kept = [bottom for _, (_, top), (_, bottom) in part._nosplitCmds if top == 0]
            return total + float(sum(part._rowHeights[: max(kept, default=part.repeatRows) + 1]))
        if isinstance(part, Kept):
            return total + whole
        if isinstance(part, Paragraph):
            leading = part.style.leading
            first = whole if whole <= 3.1 * leading else 2 * leading
            if first < whole or text + whole >= 2 * line:
                return total + first
            text += whole
        total += whole
    return total
