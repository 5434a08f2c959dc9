"""
Teeth with their treatment > both arches seen from the front, the teeth marked and named (design 6.3).

The patient's right is on the left of the page, in every language: a jaw is never mirrored. Left and right are words.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

from docgen.blocks import Figure, Span, Words
from docgen.render.drawing.jaw_words import Around, Box, Mark
from docgen.render.drawing.lettering import Lettering
from docgen.render.drawing.shapes import SMALLEST_PT, Drawing, Label, Measure, Part, Path
from docgen.render.drawing.strokes import disc, extent, placed, rounded_box, scaled
from docgen.render.words import halves
from docgen.values import dataclass

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

UPPER_BASE, LOWER_BASE, BOTTOM = 23.6, 28.9, 52.6
ALONG, ROUNDNESS, OUTLINE = 0.92, 0.34, 0.28
RING_AIR, RING, RING_EDGE = 1.7, 0.6, 1.6
TWO_LANGUAGES = 0.88
"""Scale of the arches where the words around them stand in two languages; the words are no smaller (design 6.3)."""

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
    scale = TWO_LANGUAGES if any(len(halves(one)) > 1 for one in figure.words) else 1.0
    size = SMALLEST_PT / scale
    around = Around(
        Lettering(measure, size, bold=True),
        Lettering(measure, size),
        Lettering(measure, size, color="quiet"),
        _boxes(milk),
        [Mark((p.x, p.y, p.ring), p.outward, said) for (p, _), said in zip(marks, told, strict=False)],
    )
    labels, before, after = around.labels(right, left, upper, lower)
    if (before + after) * scale > width_mm + 0.1:
        return None
    teeth: list[Path | Label] = [_arches(milk), *(part for place, how in marks for part in _marked(place, how))]
    top = min(0.0, *(label.y - around.strong.ascent for label in labels))
    height = max(BOTTOM, *(label.y + around.strong.descent for label in labels)) - top
    caption = words[len(marks)] if len(words) > len(marks) else ()
    parts = tuple(_moved(part, before, -top) for part in [*teeth, *labels])
    return scaled(Drawing(before + after, height, parts, caption), scale)


def _numbered(words: tuple[Words, ...]) -> tuple[Words, ...]:
    """Number the words of several teeth, as the teeth are."""
    if len(words) < 2:
        return words
    return tuple((Span(f"{n}\u00a0"), *one) for n, one in enumerate(words, 1))


@lru_cache(maxsize=2)
def _all_places(milk: bool) -> tuple[Place, ...]:
    quadrants, count = ("5678", 5) if milk else ("1234", 8)
    return tuple(place_of(f"{q}{n}", milk=milk) for q in quadrants for n in range(1, count + 1))


@lru_cache(maxsize=2)
def _boxes(milk: bool) -> tuple[Box, ...]:
    """Give the box of each tooth."""
    return tuple(extent(_body(place)) for place in _all_places(milk))


@lru_cache(maxsize=2)
def _arches(milk: bool) -> Path:
    """Draw all teeth of one set; they are of one look, so they are one path."""
    steps = [step for place in _all_places(milk) for step in _body(place)]
    return Path(tuple(steps), fill="paper", stroke="line", width=OUTLINE)


def _body(place: Place) -> tuple[tuple[float, ...], ...]:
    radius = ROUNDNESS * min(place.width, place.depth)
    body = rounded_box(ALONG * place.width, place.depth, radius)
    return placed(body, place.turn, place.x, place.y)


def _marked(place: Place, treatment: str) -> Iterator[Path]:
    fill, weight = BODIES.get(treatment, BODIES["watched"])
    ring = disc(place.x, place.y, place.ring)
    yield Path(ring, stroke="paper", width=RING_EDGE)  # not filled: the teeth beside it must not look lost
    yield Path(ring, stroke="ink", width=RING)
    yield Path(_body(place), fill=fill, stroke="ink", width=weight)


def _moved(part: Path | Label, right: float, down: float) -> Part:
    """Move a part from the midline to its place, and down to make room above the arches."""
    if isinstance(part, Label):
        return replace(part, x=part.x + right, y=part.y + down)
    return replace(part, steps=placed(part.steps, 0.0, right, down))
