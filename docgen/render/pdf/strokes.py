"""Shapes > the operators that draw them: points, y upward. Apart from the sheet, for whoever draws without one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache

from docgen.render.drawing.shapes import Step

_OPERATORS = {0: "h", 2: "l", 3: "m", 6: "c"}
"""By the length of a step."""

Point = tuple[float, float]


def number(value: float) -> str:
    """Write a number of a content stream, to a hundredth of a point."""
    return f"{round(value, 2) + 0.0:.10g}"


def numbers(*values: float) -> str:
    """Write numbers with spaces between them."""
    return " ".join([f"{round(value, 2) + 0.0:.10g}" for value in values])


@lru_cache(maxsize=64)
def color(value: str, stroke: bool = False) -> str:
    """Write the operator that takes up a color, given as #RRGGBB."""
    parts = (int(value[place : place + 2], 16) / 255 for place in (1, 3, 5))
    return " ".join([f"{round(part, 4):.10g}" for part in parts]) + (" RG" if stroke else " rg")


def filled(x: float, y: float, width: float, height: float, ink: str) -> bytes:
    """Fill a rectangle."""
    return f"{color(ink)} {numbers(x, y, width, height)} re f\n".encode()


def framed(x: float, y: float, width: float, height: float, weight: float, ink: str) -> bytes:
    """Stroke a rectangle."""
    return f"{color(ink, True)} {number(weight)} w {numbers(x, y, width, height)} re S\n".encode()


def stroked(x: float, y: float, end: float, weight: float, ink: str) -> bytes:
    """Stroke a level line from x to an end."""
    return f"{color(ink, True)} {number(weight)} w {numbers(x, y)} m {numbers(end, y)} l S\n".encode()


def outline(points: Sequence[Point], weight: float, ink: str) -> bytes:
    """Stroke a line through points."""
    return f"{color(ink, True)} {number(weight)} w {_track(points)} S\n".encode()


def shape(points: Sequence[Point], ink: str) -> bytes:
    """Fill the area between points."""
    return f"{color(ink)} {_track(points)} h f\n".encode()


def _track(points: Sequence[Point]) -> str:
    first, *rest = points
    return " ".join([f"{numbers(*first)} m", *(f"{numbers(*point)} l" for point in rest)])


def track(steps: Sequence[Step], write: Callable[[float], str]) -> str:
    """Write the steps of a path, each number as `write` does."""
    points = ((*(step[:2] if len(step) == 3 else step),) for step in steps)
    pairs = zip(points, steps, strict=True)
    return " ".join([" ".join([*map(write, values), _OPERATORS[len(step)]]) for values, step in pairs])
