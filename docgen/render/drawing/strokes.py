"""
Discs, boxes, hatching and turned outlines > the steps of a path, in mm.

Apart from `shapes`, which says what a path is, and from the figures, which say where it lies.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from docgen.render.drawing.shapes import DotRow, Dots, Drawing, Label, Part, Path, Step, move

Point = tuple[float, float]

ROUND = 0.5522847498
"""How far the controls of a cubic quarter circle lie from its ends, as a part of the radius."""

CLOSE: Step = ()


def line(*points: Point) -> tuple[Step, ...]:
    """Join points by straight lines."""
    return (move(*points[0]), *points[1:])


def disc(x: float, y: float, radius: float) -> tuple[Step, ...]:
    """Draw a circle as four curves."""
    k = ROUND * radius
    return (
        move(x + radius, y),
        (x + radius, y + k, x + k, y + radius, x, y + radius),
        (x - k, y + radius, x - radius, y + k, x - radius, y),
        (x - radius, y - k, x - k, y - radius, x, y - radius),
        (x + k, y - radius, x + radius, y - k, x + radius, y),
        CLOSE,
    )


def box(x: float, y: float, width: float, height: float) -> tuple[Step, ...]:
    """Draw a rectangle from its top left corner."""
    return (*line((x, y), (x + width, y), (x + width, y + height), (x, y + height)), CLOSE)


def rounded_box(width: float, height: float, radius: float) -> tuple[Step, ...]:
    """Draw a rectangle with round corners about the origin."""
    w, h, k = width / 2, height / 2, radius * (1 - ROUND)
    return (
        move(radius - w, -h),
        (w - radius, -h),
        (w - k, -h, w, k - h, w, radius - h),
        (w, h - radius),
        (w, h - k, w - k, h, w - radius, h),
        (radius - w, h),
        (k - w, h, -w, h - k, -w, h - radius),
        (-w, radius - h),
        (-w, k - h, k - w, -h, radius - w, -h),
        CLOSE,
    )


def arc(x: float, y: float, radius: float, start: float, end: float) -> tuple[Step, ...]:
    """Draw a part of a circle; degrees clockwise from the top."""
    pieces = max(1, math.ceil(abs(end - start) / 90))
    steps = [(start + (end - start) * n / pieces) for n in range(pieces + 1)]
    points: list[Step] = [move(*_on(x, y, radius, steps[0]))]
    for one, other in pairwise(steps):
        length = 4 / 3 * math.tan(math.radians(other - one) / 4) * radius
        first, last = _on(x, y, radius, one), _on(x, y, radius, other)
        a, b = math.radians(one), math.radians(other)
        out = (first[0] + length * math.cos(a), first[1] + length * math.sin(a))
        into = (last[0] - length * math.cos(b), last[1] - length * math.sin(b))
        points.append((*out, *into, *last))
    return tuple(points)


def _on(x: float, y: float, radius: float, degrees: float) -> Point:
    return x + radius * math.sin(math.radians(degrees)), y - radius * math.cos(math.radians(degrees))


def through_midpoints(points: Sequence[Point]) -> tuple[Step, ...]:
    """Draw a closed curve through the middles of the sides of a polygon; its points are quadratic controls."""
    middles = [_middle(one, other) for one, other in zip(points, [*points[1:], points[0]], strict=True)]
    steps: list[Step] = [move(*middles[-1])]
    before = middles[-1]
    for control, middle in zip(points, middles, strict=True):
        first = (before[0] + (control[0] - before[0]) * 2 / 3, before[1] + (control[1] - before[1]) * 2 / 3)
        second = (middle[0] + (control[0] - middle[0]) * 2 / 3, middle[1] + (control[1] - middle[1]) * 2 / 3)
        steps.append((*first, *second, *middle))
        before = middle
    return (*steps, CLOSE)


def _middle(one: Point, other: Point) -> Point:
    return (one[0] + other[0]) / 2, (one[1] + other[1]) / 2


def turned(point: Point, degrees: float, about: Point = (0.0, 0.0)) -> Point:
    """Turn a point clockwise about another."""
    sine, cosine = math.sin(math.radians(degrees)), math.cos(math.radians(degrees))
    x, y = point[0] - about[0], point[1] - about[1]
    return about[0] + x * cosine - y * sine, about[1] + x * sine + y * cosine


def placed(steps: Iterable[Step], degrees: float, x: float, y: float) -> tuple[Step, ...]:
    """Turn steps clockwise about the origin, then move them."""

    def put(step: Step) -> Step:
        if not step:
            return step
        points = [turned((step[n], step[n + 1]), degrees) for n in range(0, len(step) - 1, 2)]
        moved = tuple(number for px, py in points for number in (px + x, py + y))
        return (*moved, 0.0) if len(step) == 3 else moved

    return tuple(put(step) for step in steps)


def mapped(steps: Iterable[Step], sx: float, dx: float, sy: float = 1.0, dy: float = 0.0) -> tuple[Step, ...]:
    """Mirror, scale and move steps: x becomes sx x + dx, y becomes sy y + dy."""

    def put(step: Step) -> Step:
        pairs = step[:2] if len(step) == 3 else step
        moved = tuple(sy * v + dy if n % 2 else sx * v + dx for n, v in enumerate(pairs))
        return (*moved, 0.0) if len(step) == 3 else moved

    return tuple(put(step) for step in steps)


def extent(steps: Iterable[Step]) -> tuple[float, float, float, float]:
    """Give left, top, right and bottom of the points that steps go through (not of their controls)."""
    ends = [step[:2] if len(step) == 3 else step[-2:] for step in steps if step]
    xs, ys = [end[0] for end in ends], [end[1] for end in ends]
    return min(xs), min(ys), max(xs), max(ys)


def hatching(x: float, y: float, width: float, height: float, pitch: float) -> tuple[Step, ...]:
    """Draw lines of 45 degrees, rising to the right, cut to a rectangle; `pitch` is measured across the lines."""
    step = pitch * math.sqrt(2)
    found: list[Step] = []
    start = step / 2
    while start < width + height:  # a line leaves the left edge and meets the top, until it has passed a corner
        low = (x + max(0.0, start - height), y + min(start, height))
        high = (x + min(start, width), y + max(0.0, start - width))
        found += line(low, high)
        start += step
    return tuple(found)


def hatched(x: float, y: float, width: float, height: float, *, color: str, stroke: float, pitch: float) -> Path:
    """Fill a rectangle with hatching."""
    return Path(hatching(x, y, width, height, pitch), stroke=color, width=stroke)


def scaled(drawing: Drawing, factor: float) -> Drawing:
    """Make a drawing larger, its words with it."""

    def part(one: Part) -> Part:
        if isinstance(one, Path):
            dash = tuple(length * factor for length in one.dash)
            return replace(one, steps=mapped(one.steps, factor, 0.0, factor), width=one.width * factor, dash=dash)
        if isinstance(one, Label):
            return replace(one, x=one.x * factor, y=one.y * factor, size=one.size * factor)
        rows = (DotRow(r.x * factor, r.y * factor, r.dx * factor, r.dy * factor, r.count) for r in one.rows)
        return Dots(tuple(rows), one.radius * factor, one.color)

    parts = tuple(part(one) for one in drawing.parts)
    return Drawing(drawing.width * factor, drawing.height * factor, parts, drawing.caption)
