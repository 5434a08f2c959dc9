"""
Teeth with their treatment > both arches seen from the front, the teeth marked and named (design 6.3).

The patient's right is on the left of the page, in every language: a jaw is never mirrored. Left and right are words.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

from docgen.blocks import Figure, Span, Words
from docgen.render.drawing.lettering import Lettering
from docgen.render.drawing.shapes import Drawing, Label, Measure, Part, Path
from docgen.render.drawing.strokes import disc, placed, rounded_box

Row = tuple[float, float, float, float, float]
"""From the midline: x, y on the arch, turn in degrees, width along the arch, depth."""

UPPER: tuple[Row, ...] = (
    (2.0, 19.9, 6, 4.0, 3.3),
    (5.5, 19.2, 17, 3.1, 3.0),
    (8.7, 17.9, 27, 3.6, 3.8),
    (11.6, 16.1, 37, 3.4, 4.3),
    (14.1, 13.8, 47, 3.3, 4.3),
    (16.5, 10.6, 59, 4.9, 5.2),
    (18.5, 6.4, 72, 4.6, 5.2),
    (19.4, 2.1, 84, 4.2, 4.9),
)
LOWER: tuple[Row, ...] = (
    (1.3, 20.0, 4, 2.6, 2.9),
    (4.0, 19.6, 12, 2.9, 3.0),
    (7.0, 18.7, 22, 3.3, 3.7),
    (10.0, 17.2, 32, 3.4, 3.8),
    (12.8, 15.1, 42, 3.5, 4.0),
    (15.7, 11.8, 54, 5.3, 5.0),
    (18.2, 7.3, 69, 5.0, 4.9),
    (19.4, 2.5, 83, 4.9, 4.7),
)
"""Permanent teeth from the midline back, on half ellipses of 19.5 and 20 mm."""

MILK_WIDTHS = {"upper": (6.5, 5.1, 7.0, 7.3, 8.2), "lower": (4.2, 4.1, 5.0, 7.7, 9.9)}
"""Of the five milk teeth in life, mm: their shares of the same arch."""

MILK_DEPTH = 4.6
ARCH = 19.5, 20.0
"""Half axes of the half ellipses."""

AXIS, UPPER_BASE, LOWER_BASE, BOTTOM = 36.0, 23.6, 28.9, 52.6
ALONG, ROUNDNESS, OUTLINE = 0.92, 0.34, 0.28
RING_AIR, RING, RING_EDGE = 1.7, 0.6, 1.6
WORD_AIR, OUTWARD = 1.0, 1.2
"""From ring or arch to a word."""

SIDE = 13.5
"""Room for the words left and right of the arches; wider where a word needs it."""

SIDE_HEIGHTS, SIDE_CLEAR = (19.0, 26.2, 7.0, 46.0), 6.5
"""Where "your left" may stand, best first, and how far from another word."""

ARCH_HALF = 22.5
"""Half the width of the arches with their air."""

INSIDE = 22.0
"""Width for the words inside the arches."""

BODIES = {"removal": ("ink", OUTLINE), "coronectomy": ("paper", 1.25), "watched": ("paper", 0.6)}
"""How a marked tooth is filled, and how heavy its outline is."""


@dataclass(frozen=True)
class Place:
    """Where a tooth stands: center, turn in degrees clockwise, width along the arch and depth."""

    x: float
    """From the midline; positive on the right of the page, the patient's left."""
    y: float
    turn: float
    width: float
    depth: float

    @property
    def outward(self) -> float:
        """Up (below 0) or down (above 0): the way out of the arch, as a part of its height."""
        base = UPPER_BASE if self.y < UPPER_BASE else LOWER_BASE
        return (self.y - base) / ARCH[1]

    @property
    def ring(self) -> float:
        """Radius of the ring around it."""
        return max(self.width, self.depth) / 2 + RING_AIR


def place_of(fdi: str, *, milk: bool = False) -> Place:
    """
    Find where a tooth stands, by its FDI number; `milk`: on arches of milk teeth alone.

    On the arches of permanent teeth a milk tooth has the place of the one that follows it.
    Errors: KeyError for a number that names no tooth.
    """
    quadrant, number = int(fdi[0]), int(fdi[1])
    upper, left = quadrant in (1, 2, 5, 6), quadrant in (2, 3, 6, 7)
    rows = milk_rows("upper" if upper else "lower") if milk else UPPER if upper else LOWER
    if not (0 < quadrant <= 8 and 0 < number <= (8 if quadrant <= 4 else 5)):
        raise KeyError(fdi)
    x, y, turn, width, depth = rows[number - 1]
    page_right = 1 if left else -1
    clockwise = turn if upper == left else -turn
    base = UPPER_BASE - y if upper else LOWER_BASE + y
    return Place(page_right * x, base, clockwise, width, depth)


@lru_cache(maxsize=2)
def milk_rows(jaw: str) -> tuple[Row, ...]:
    """Walk the arch of milk teeth from the midline, as the permanent teeth are walked."""
    (a, b), widths, steps = ARCH, MILK_WIDTHS[jaw], 900
    points = [(a * math.sin(math.pi / 2 * n / steps), b * math.cos(math.pi / 2 * n / steps)) for n in range(steps + 1)]
    lengths = [0.0]
    for one, other in pairwise(points):
        lengths.append(lengths[-1] + math.dist(one, other))
    scale, walked, rows = lengths[-1] / sum(widths), 0.0, []
    for width in widths:
        middle = (walked + width / 2) * scale
        x, y = points[next(n for n, length in enumerate(lengths) if length >= middle)]
        turn = math.degrees(math.atan2(x / a**2, y / b**2))
        rows.append((x, y, turn, width * scale, MILK_DEPTH))
        walked += width
    return tuple(rows)


def draw_jaw(figure: Figure, *, width_mm: float, measure: Measure) -> Drawing | None:
    """Draw the arches; None where they do not fit into the width."""
    right, left, upper, lower, *words = figure.words
    marked = [(str(mark["tooth"]), str(mark["treatment"])) for mark in figure.data["parts"]]
    milk = bool(marked) and all(tooth[0] in "5678" for tooth, _ in marked)
    marks = [(place_of(tooth, milk=milk), treatment) for tooth, treatment in marked]
    told = _numbered(tuple(words[: len(marks)]))
    quiet, ink = Lettering(measure, color="quiet"), Lettering(measure)
    strong = Lettering(measure, bold=True)
    sides = _room(ink, strong, right, left, marks, told)
    axis, width = sides[0] + ARCH_HALF, sides[0] + sides[1] + 2 * ARCH_HALF
    if width > width_mm + 0.1:
        return None
    named = list(_named(marks, told, strong, axis, width))
    left_side = [label for label in named if label.anchor == "end"]
    right_side = [label for label in named if label.anchor == "start"]
    parts: list[Part] = [*ink.block(right, sides[0] / 2, _free(left_side), sides[0] - WORD_AIR, "middle")]
    parts += ink.block(left, width - sides[1] / 2, _free(right_side), sides[1] - WORD_AIR, "middle")
    parts += quiet.block(upper, axis, 14.0, INSIDE, "middle")
    parts += quiet.block(lower, axis, 39.5, INSIDE, "middle")
    teeth = [_arches(axis, milk), *(part for place, how in marks for part in _marked(place, how, axis))]
    top = min([0.0, *(label.y - strong.ascent for label in named)])
    height = max([BOTTOM, *(label.y + strong.descent for label in named)]) - top
    caption = words[len(marks)] if len(words) > len(marks) else ()
    shifted = tuple(_lowered(part, -top) for part in [*teeth, *parts, *named])
    return Drawing(width, height, shifted, caption)


def _numbered(words: tuple[Words, ...]) -> tuple[Words, ...]:
    """Number the words of several teeth, as the teeth are."""
    if len(words) < 2:
        return words
    return tuple((Span(f"{n}\u00a0"), *one) for n, one in enumerate(words, 1))


def _room(
    ink: Lettering,
    strong: Lettering,
    right: Words,
    left: Words,
    marks: list[tuple[Place, str]],
    told: tuple[Words, ...],
) -> tuple[float, float]:
    """Give the room the words need on the left and on the right of the page."""
    needed = [max(SIDE, ink.widest(words, SIDE - WORD_AIR) + WORD_AIR) for words in (right, left)]
    for out in (False, True):
        mine = [(p, words) for (p, _), words in zip(marks, told, strict=False) if _beside(p) and (p.x > 0) == out]
        if mine:
            reach = max(abs(place.x) + place.ring for place, _ in mine) + WORD_AIR
            widest = max(_word_width(strong, words, len(told)) for _, words in mine)
            needed[out] = max(needed[out], reach + widest - ARCH_HALF + 0.5)
    return needed[0], needed[1]


def _word_width(strong: Lettering, words: Words, count: int) -> float:
    """A single mark may have its words on two lines; several have one line each."""
    return strong.widest(words, SIDE - WORD_AIR if count == 1 else math.inf)


def _beside(place: Place) -> bool:
    """Tell whether the words stand left or right of the ring, not above or below it."""
    return abs(place.x) > 8.0


@lru_cache(maxsize=64)
def _arches(axis: float, milk: bool) -> Path:
    """Draw all teeth of one set; they are of one look, so they are one path."""
    quadrants, count = ("5678", 5) if milk else ("1234", 8)
    steps = [
        step
        for quadrant in quadrants
        for number in range(1, count + 1)
        for step in _body(place_of(f"{quadrant}{number}", milk=milk), axis)
    ]
    return Path(tuple(steps), fill="paper", stroke="line", width=OUTLINE)


def _body(place: Place, axis: float) -> tuple[tuple[float, ...], ...]:
    radius = ROUNDNESS * min(place.width, place.depth)
    body = rounded_box(ALONG * place.width, place.depth, radius)
    return placed(body, place.turn, axis + place.x, place.y)


def _marked(place: Place, treatment: str, axis: float) -> Iterator[Path]:
    fill, weight = BODIES.get(treatment, BODIES["watched"])
    ring = disc(axis + place.x, place.y, place.ring)
    yield Path(ring, stroke="paper", width=RING_EDGE)  # not filled: the teeth beside it must not look lost
    yield Path(ring, stroke="ink", width=RING)
    yield Path(_body(place, axis), fill=fill, stroke="ink", width=weight)


def _named(
    marks: list[tuple[Place, str]], told: tuple[Words, ...], strong: Lettering, axis: float, width: float
) -> Iterator[Label]:
    """Set the word of each mark outside its ring; those of one side keep their distance."""
    room = SIDE - WORD_AIR if len(told) == 1 else math.inf
    heights = _heights([place for place, _ in marks], told, strong, room)
    for (place, _), words, middle in zip(marks, told, heights, strict=False):
        half = strong.leading * len(strong.lines(words, room)) / 2
        if _beside(place):
            out = place.x > 0
            near = [p for p, _ in marks if (p.x > 0) == out and abs(p.y - middle) < p.ring + half]
            reach = max([abs(p.x) + p.ring for p in near], default=abs(place.x) + place.ring) + WORD_AIR
            edge = axis + (reach if out else -reach)
            yield from strong.block(words, edge, middle, room, "start" if out else "end")
        else:
            half = strong.leading * len(strong.lines(words, 2 * SIDE)) / 2
            away = (place.ring + WORD_AIR + half) * (-1 if place.y < UPPER_BASE else 1)
            x = _kept_in(axis + place.x, words, strong, width)
            yield from strong.block(words, x, place.y + away, 2 * SIDE, "middle")


def _heights(places: list[Place], told: tuple[Words, ...], strong: Lettering, room: float) -> list[float]:
    """Give the height of each word beside the arches: that of its tooth, or lower where another word stands."""
    free = {True: -math.inf, False: -math.inf}
    heights = [place.y for place in places]
    for n in sorted(range(len(told)), key=lambda n: places[n].y):
        half = strong.leading * len(strong.lines(told[n], room)) / 2
        if _beside(places[n]):
            outward = places[n].outward * (half + OUTWARD)
            heights[n] = max(places[n].y + outward, free[places[n].x > 0] + half)
            free[places[n].x > 0] = heights[n] + half
    return heights


def _free(labels: list[Label]) -> float:
    """Find a height for "your left" that no word of a mark has."""
    return next((y for y in SIDE_HEIGHTS if all(abs(label.y - y) > SIDE_CLEAR for label in labels)), SIDE_HEIGHTS[0])


def _kept_in(x: float, words: Words, strong: Lettering, width: float) -> float:
    half = strong.widest(words, 2 * SIDE) / 2
    return min(max(x, half), width - half)


def _lowered(part: Part, by: float) -> Part:
    """Move a part down, to make room above the arches."""
    if not by:
        return part
    if isinstance(part, Label):
        return replace(part, y=part.y + by)
    if isinstance(part, Path):
        return replace(part, steps=placed(part.steps, 0.0, 0.0, by))
    return part
