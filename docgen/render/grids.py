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


def grid_of(rows: list[list[Cell]], widths: list[float], rules: list[Rule], repeat: int = 0) -> Table:
    """Lay cells out without padding or lines but those given."""
    bare = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP", "BOTTOM")]
    grid = Table(rows, colWidths=widths, repeatRows=repeat, hAlign="LEFT")
    grid.setStyle(TableStyle([*bare, ("VALIGN", (0, 0), (-1, -1), "TOP"), *rules]))
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
            made.append(grid_of(rows[start:number], widths, rules(first, last), repeat if first else 0))
        if number < len(rows):
            made += [_indented(part, indent) for cell in rows[number] for part in _parts(cell)]
        start = number + 1
    return made


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
