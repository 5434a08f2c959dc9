"""
Cells > ReportLab tables whose rows always fit a page; what is taller becomes running text, in the same order.

ReportLab would cut a tall row across all its cells, and any row that reaches the end of a page.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from reportlab.platypus import Flowable, Paragraph, Table, TableStyle

TALLEST = 220.0
"""Points. With a head repeated above it, less than any page has between its own head and foot (see `pages`)."""

Rule = tuple[Any, ...]
"""A command of ReportLab's table style."""

Cell = Any
"""A flowable, a list of them, or "" for an empty cell; ReportLab has no types."""


_BARE = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM")]


def grid_of(rows: list[list[Cell]], widths: list[float], rules: list[Rule], repeat: int = 0) -> Table:
    """Lay cells out without padding or lines but those given."""
    grid = Table(rows, colWidths=widths, repeatRows=repeat, hAlign="LEFT")
    grid.setStyle(TableStyle([*_BARE, ("VALIGN", (0, 0), (-1, -1), "TOP"), *rules]))
    return grid


class Framed(Table):  # type: ignore[misc]  # ReportLab has no types
    """A grid in a frame; where a page cuts it, both parts have a whole one."""

    color: Any = None

    def split(self, available_width: float, available_height: float) -> list[Flowable]:
        """Cut at a page, as ReportLab does, and give each part its frame."""
        parts: list[Flowable] = super().split(available_width, available_height)
        for part in parts:
            part.color = self.color
        return parts

    def draw(self) -> None:
        """Draw the frame over the edges of the cells."""
        super().draw()
        self.canv.setStrokeColor(self.color)
        self.canv.setLineWidth(2.25)
        self.canv.rect(0, 0, self._width, self._height)


def framed(rows: list[list[Cell]], width: float, rules: list[Rule], repeat: int, color: Any) -> Framed:
    """Lay rows of one cell out in a frame."""
    grid = Framed(rows, colWidths=[width], repeatRows=repeat, hAlign="LEFT")
    grid.setStyle(TableStyle([*_BARE, ("VALIGN", (0, 0), (-1, -1), "TOP"), *rules]))
    grid.color = color
    return grid


def fitting_grids(
    rows: list[list[Cell]],
    widths: list[float],
    rules: Callable[[bool, bool], list[Rule]],
    *,
    indent: float = 0,
    repeat: int = 0,
) -> list[Flowable]:
    """
    Lay rows out in one grid; around a row too tall for a page in several, the row as text from the indent.

    `rules` is asked for each grid, told whether it holds the first row and whether it holds the last.
    """
    made: list[Flowable] = []
    start = 0
    for number in range(len(rows) + 1):
        if number < len(rows) and _height(rows[number], widths) <= TALLEST:
            continue
        if number > start:
            first, last = start == 0, number == len(rows)
            heads, part = repeat if first else 0, rows[start:number]
            ends = whole_ends(part, widths, heads + 1)
            made.append(grid_of(part, widths, [*rules(first, last), *ends], heads))
        if number < len(rows):
            made += [_indented(part, indent) for cell in rows[number] for part in _parts(cell)]
        start = number + 1
    return made


def whole_ends(rows: list[list[Cell]], widths: list[float], first: int, end: int = 2) -> list[Rule]:
    """
    Keep the rows up to place `first`, and the last `end`, on one page each: no row stands alone there.

    Not if they are too tall for it.
    """
    ends = [(0, min(first, len(rows) - 1)), (max(len(rows) - end, 0), len(rows) - 1)]
    if ends[0][1] >= ends[1][0]:
        ends = [(0, len(rows) - 1)]
    tall = (sum(_height(row, widths) for row in rows[top : bottom + 1]) for top, bottom in ends)
    return [
        ("NOSPLIT", (0, top), (-1, bottom))
        for (top, bottom), height in zip(ends, tall, strict=True)
        if top < bottom and height <= TALLEST
    ]


def pieces(flowable: Flowable, width: float) -> list[Flowable]:
    """Cut a paragraph taller than a row may be; anything else is small or cuts itself."""
    made: list[Flowable] = []
    while isinstance(flowable, Paragraph) and flowable.wrap(width, 1e6)[1] > TALLEST:
        first, *rest = flowable.split(width, TALLEST) or [flowable]
        made.append(first)
        if not rest:
            return made
        flowable = rest[0]
    return [*made, flowable]


def _parts(cell: Cell) -> list[Flowable]:
    if isinstance(cell, str):
        return []
    return list(cell) if isinstance(cell, list) else [cell]


def _height(row: list[Cell], widths: list[float]) -> float:
    """Measure the tallest cell, with the width a gap between columns leaves it."""
    heights = (
        sum(part.wrap(max(width - 9, 9), 1e6)[1] for part in _parts(cell))
        for cell, width in zip(row, widths, strict=True)
    )
    return max(heights, default=0.0)


def _indented(flowable: Flowable, indent: float) -> Flowable:
    if isinstance(flowable, Paragraph):
        flowable.style.leftIndent += indent
    return flowable
