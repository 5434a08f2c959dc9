"""Shapes > the operators that draw them: points, y upward. Apart from the sheet, for whoever draws without one."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from docgen.render.drawing.shapes import Step
from docgen.render.pdf.numbers import color, number, numbers

_OPERATORS = {0: "h", 2: "l", 3: "m", 6: "c"}
"""By the length of a step."""

Point = tuple[float, float]


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
