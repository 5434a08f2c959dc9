"""
A risk > its icon strip: 100 columns of 10 dots, of 1,000 people, or of 100,000 in hundreds (design 6.1, 6.2).

A strip, not a square of 100, which people read as percent. Size, not color, separates affected from not affected.
"""

from __future__ import annotations

import math
from functools import lru_cache

from docgen.blocks import Figure
from docgen.render.drawing.shapes import DotRow, Dots, Drawing, Part, Path
from docgen.render.drawing.strokes import disc
from docgen.values import dataclass

COLUMNS, ROWS = 100, 10
PEOPLE = COLUMNS * ROWS

AFFECTED, OTHERS = 0.44, 0.2
"""Radius of a dot, as a part of the pitch."""

LENS, LENS_LINE, LENS_CLEAR = 0.95, 0.3, 1.17
"""Radius of the ring around less than one dot, its line, and how near no dot stands; mm at the usual pitch."""


@dataclass(frozen=True)
class Grid:
    """How close the dots stand, in mm."""

    pitch: float
    gap: float
    """After each hundred."""

    @property
    def edge(self) -> float:
        """From the edge of the strip to the first center."""
        return AFFECTED * self.pitch

    @property
    def width(self) -> float:
        """Of the strip."""
        return (COLUMNS - 1) * self.pitch + (COLUMNS // ROWS - 1) * self.gap + 2 * self.edge

    @property
    def height(self) -> float:
        """Of the strip."""
        return (ROWS - 1) * self.pitch + 2 * self.edge

    def x(self, column: int) -> float:
        """Give the center of a column."""
        return self.edge + column * self.pitch + column // ROWS * self.gap


USUAL, LARGE, MIDDLE, SMALL = Grid(0.715, 0.5), Grid(1.4, 1.0), Grid(0.64, 0.45), Grid(0.565, 0.4)
"""W 75.9; W 149 for large print; W 68 beside wider numbers; W 60, the smallest, for two strips side by side."""

ROOM = 0.15
"""A strip may be so much wider than the width asked for: 75.94 is meant by a column of 75.9."""


def draw_people(figure: Figure, *, rtl: bool, large: bool, width_mm: float) -> Drawing | None:
    """Draw the strip of one row; None where none fits."""
    grids = (LARGE, USUAL, SMALL) if large else (USUAL, MIDDLE, SMALL)
    fitting = [grid for grid in grids if grid.width <= width_mm + ROOM]
    if not fitting:
        return None
    data = figure.data
    return _drawn(fitting[0], int(data["affected"]), int(data["denominator"]), str(data["frame"]), rtl)


@lru_cache(maxsize=512)
def _drawn(grid: Grid, affected: int, all_people: int, frame: str, rtl: bool) -> Drawing:
    """Draw a strip once: the same few numbers stand in many documents."""
    if all_people == PEOPLE:
        return Drawing(grid.width, grid.height, tuple(_strip(grid, min(affected, PEOPLE), rtl)))
    return _ringed(grid, 0.0 if frame == "fewer_than" else affected * PEOPLE / all_people, rtl)


def _strip(grid: Grid, affected: int, rtl: bool) -> list[Part]:
    full, rest = divmod(affected, ROWS)
    x = [grid.width - grid.x(c) if rtl else grid.x(c) for c in range(COLUMNS)]
    dark = [DotRow(x[c], grid.edge, 0, grid.pitch, ROWS) for c in range(full)]
    light = [DotRow(x[c], grid.edge, 0, grid.pitch, ROWS) for c in range(full + bool(rest), COLUMNS)]
    if rest:
        dark.append(DotRow(x[full], grid.edge, 0, grid.pitch, rest))
        light.insert(0, DotRow(x[full], grid.edge + rest * grid.pitch, 0, grid.pitch, ROWS - rest))
    sizes = ((light, OTHERS, "dot"), (dark, AFFECTED, "ink"))
    return [Dots(tuple(rows), part * grid.pitch, color) for rows, part, color in sizes if rows]


def _ringed(grid: Grid, share: float, rtl: bool) -> Drawing:
    """Draw a strip of which less than one dot is affected: a ring on the first dot, in it a disc of true area."""
    scale = grid.pitch / USUAL.pitch
    radius, line = LENS * scale, LENS_LINE * scale
    center = grid.edge + grid.pitch / 2
    beyond = max(0.0, radius + line / 2 - center)  # the ring passes the edge of the strip a little
    width, height = grid.width + beyond, grid.height + beyond
    x = width - beyond - center if rtl else beyond + center
    y = beyond + center
    rows = _around(grid, LENS_CLEAR * scale)
    light = tuple(
        DotRow(
            width - beyond - grid.x(c) if rtl else beyond + grid.x(c),
            beyond + grid.edge + r * grid.pitch,
            0,
            grid.pitch,
            n,
        )
        for c, r, n in rows
    )
    parts: list[Part] = [
        Dots(light, OTHERS * grid.pitch, "dot"),
        Path(disc(x, y, radius), fill="paper", stroke="ink", width=line),
    ]
    if share > 0:
        parts.append(Path(disc(x, y, radius * math.sqrt(min(share, 1.0))), fill="ink"))
    return Drawing(width, height, tuple(parts))


def _around(grid: Grid, clear: float) -> list[tuple[int, int, int]]:
    """Give each column with its first row and its number of dots, those near the ring left out."""
    center = grid.edge + grid.pitch / 2
    found: list[tuple[int, int, int]] = []
    for column in range(COLUMNS):
        near = [
            row
            for row in range(ROWS)
            if math.hypot(grid.x(column) - center, grid.edge + row * grid.pitch - center) < clear
        ]
        first = near[-1] + 1 if near else 0
        found.append((column, first, ROWS - first))
    return found
