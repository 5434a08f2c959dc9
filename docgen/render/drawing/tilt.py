"""
A measured angle > two molars side by side, the third turned to scale (design 6.4).

The angle is true; all else is a sketch, and the caption says so. Seen from the side, midline of the mouth at the left
for a tooth of the patient's left, at the right for one of the right; never mirrored for a language.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from docgen.blocks import Figure, Words
from docgen.render.drawing.lettering import Lettering
from docgen.render.drawing.shapes import Drawing, Label, Measure, Part, Path, Step, move
from docgen.render.drawing.strokes import arc, extent, line, mapped, through_midpoints, turned
from docgen.values import dataclass

_SIDE = (
    *((-5, 1.6), (-4.4, 0.3), (-3.2, 0), (-1.6, 0.8), (0, 0.5), (1.6, 0.8), (3.2, 0), (4.4, 0.3), (5, 1.6)),
    *((4.9, 4.2), (4.2, 7.4), (4.1, 10.5), (3.5, 15), (2.6, 18.2), (1.7, 18.4), (1.3, 15.5), (0.8, 12.4), (0, 11.2)),
    *((-0.8, 12.4), (-1.3, 15.5), (-1.7, 18.4), (-2.6, 18.2), (-3.5, 15), (-4.1, 10.5), (-4.2, 7.4), (-4.9, 4.2)),
)
"""Outline of a molar about the middle of its biting edge, in units of k."""

K = 1.05
"""Size of a molar: mm for a unit of the outline."""

UPPER, PAGE_LEFT = "1256", "1458"
"""Quadrants of the upper jaw, and of the patient's right."""

NECK = 7.4
BITE = 12.6
"""The design has 9.6; 3 more keep arc and axes clear of the words above, whatever the language."""

SECOND = 18.0
"""From the edge at the midline to the axis of the second molar."""

HALF = 5.0
"""Half the width of a crown, in units."""

BESIDE = 0.5
"""From the second molar to the third."""

DEPTHS = {"A": 0.2, "B": 4.0 * K, "C": 8.4 * K}
"""Highest point of the third molar below the biting line, by its depth."""

CANAL = {"clear": 2.4, "touching": -0.2, "overlapping": -2.2}
SINUS = {"clear": 2.4, "tips_on_floor": -0.2, "some_roots_overlap": -2.2, "all_roots_overlap": -2.2}
"""Upper line of the canal (upper teeth: floor of the sinus) below the lowest point of the roots."""

CANAL_DEEP = 3.4
STEEPEST, LEAST = 90, -25
"""The construction is checked from -25 to 90 degrees; beyond, the words are printed instead."""

AIR = 1.0
"""From a tooth to its name."""

ARC, CLEAR = 13.5, 7.4
"""Radius of the arc at most, and how far from the top it stays."""

DASH, DOTTED = (1.6, 1.2), (0.35, 1.0)
DEGREES_PT = 12.0
"""4.2 mm."""

FRONT, FRONT_WIDTH = 3.0, 40.0
NAME_WIDTH, CANAL_WIDTH = 13.0, 30.0
WIDTH = 54.0
"""Wider where a name needs it."""


@dataclass(frozen=True)
class _Third:
    """The third molar in its place, drawn for the patient's left lower jaw."""

    steps: tuple[Step, ...]
    neck: tuple[float, float]
    left: float
    top: float
    right: float
    bottom: float


def draw_tilt(figure: Figure, *, width_mm: float, measure: Measure) -> Drawing | None:
    """Draw both molars; None for an angle beyond the construction, or where they do not fit into the width."""
    data = figure.data
    angle, depth, tooth = float(data["angle"]), str(data.get("depth") or "B"), str(data["tooth"])
    upper = tooth[0] in UPPER
    if not LEAST <= angle <= STEEPEST:
        return None
    front, degrees, second, third, *more = figure.words
    relation = str(data.get("relation") or "")
    below = more.pop(0) if relation in (SINUS if upper else CANAL) else ()
    quiet = Lettering(measure, color="quiet")
    bite = BITE + quiet.leading * (len(quiet.lines(front, FRONT_WIDTH)) - 1)
    sketch = _Sketch(_third(angle, DEPTHS.get(depth, DEPTHS["B"]), bite), angle, relation, upper, measure, bite)
    spots = tuple(sketch.spots(front, degrees, second, third, below))
    before = max(0.0, *(0.3 - spot.left for spot in spots))
    width = before + max(WIDTH, *(spot.right + 0.3 for spot in spots))
    if width > width_mm + 0.1:
        return None
    height = max(sketch.height, *(spot.bottom for spot in spots))
    drawn = _Turned(width, height, before, tooth[0] in PAGE_LEFT, upper)
    parts: list[Part] = [drawn.path(path) for path in sketch.paths()]
    parts += [label for spot in spots for label in drawn.labels(spot)]
    return Drawing(width, height, tuple(parts), more[0] if more else ())


def _third(angle: float, depth: float, bite: float) -> _Third:
    """Turn the outline about its neck, then move it beside the second molar and to its depth."""
    neck = (0.0, NECK * K)
    points = [turned((x * K, y * K), -angle, neck) for x, y in _SIDE]
    left, top, _, _ = extent(through_midpoints(points))
    dx = SECOND + HALF * K + BESIDE - left
    dy = bite + depth - top
    moved = [(x + dx, y + dy) for x, y in points]
    steps = through_midpoints(moved)
    return _Third(steps, (dx, neck[1] + dy), *extent(steps))


@dataclass(frozen=True)
class _Sketch:
    """All lines and words for a lower left tooth."""

    third: _Third
    angle: float
    relation: str
    upper: bool
    measure: Measure
    bite: float
    """Height of the biting line, lower where the words above it have several lines."""

    @property
    def canal(self) -> float | None:
        """Upper line of the canal; None if nobody knows where it runs."""
        offset = (SINUS if self.upper else CANAL).get(self.relation)
        return None if offset is None else self.third.bottom + offset

    @property
    def below(self) -> float:
        """Lower edge of canal or floor, and of the roots: its name stands below both."""
        return max((self.canal or 0.0) + (0.0 if self.upper else CANAL_DEEP), self.third.bottom)

    @property
    def height(self) -> float:
        """Down to the roots, or to the canal."""
        return max(self.third.bottom, self.bite + 18.4 * K, 0.0 if self.canal is None else self.below) + AIR

    @property
    def radius(self) -> float:
        """Of the arc that shows the angle."""
        return min(ARC, self.third.neck[1] - CLEAR - (self.bite - BITE))

    def paths(self) -> Iterator[Path]:
        """Draw from the back to the front; lines end at the third molar, before its name."""
        third, neck, bite = self.third, self.third.neck, self.bite
        yield Path(line((0.6, bite), (third.right, bite)), stroke="line", width=0.3, dash=DOTTED)
        second = through_midpoints([(x * K + SECOND, y * K + bite) for x, y in _SIDE])
        yield Path(second, fill="paper", stroke="line", width=0.4)
        yield Path(third.steps, fill="tint", stroke="ink", width=0.7, round_ends=True)
        if self.canal is not None:
            walls = (self.canal,) if self.upper else (self.canal, self.canal + CANAL_DEEP)
            ends = [((third.left - 1.5, y), (third.right, y)) for y in walls]
            yield Path(tuple(step for one in ends for step in line(*one)), stroke="line", width=0.4)
        axis = [turned((neck[0], neck[1] + y), -self.angle, neck) for y in (-self.radius - 1.2, 11.6 * K)]
        dashed = (
            *line((SECOND, bite - 4.0), (SECOND, bite + 12.4 * K)),
            *line((neck[0], neck[1] - self.radius - 1.2), (neck[0], neck[1] + 1.0)),
            *line(*axis),
        )
        yield Path(dashed, stroke="ink", width=0.3, dash=DASH)
        yield Path(arc(*neck, self.radius, 0.0, -self.angle), stroke="ink", width=0.5)
        y = self._front
        yield Path(line((0.6, y), (4.2, y)), stroke="ink", width=0.35)
        yield Path((move(0.3, y), (1.9, y - 0.8), (1.9, y + 0.8), ()), fill="ink")

    @property
    def _front(self) -> float:
        """Middle of the words above."""
        return FRONT + (self.bite - BITE) / 2

    def spots(self, front: Words, degrees: Words, second: Words, third: Words, below: Words) -> Iterator[_Spot]:
        """Place the names outside the teeth, in reading order."""
        quiet, strong = Lettering(self.measure, color="quiet"), Lettering(self.measure, bold=True)
        x, y = self.third.neck
        tip, _ = turned((x, y - self.radius), max(0.0, -self.angle), (x, y))
        yield _Spot(quiet, front, 5.4, self._front, FRONT_WIDTH)
        large = Lettering(self.measure, DEGREES_PT, bold=True)
        angle = _Spot(large, degrees, tip + 1.2, min(y - self.radius + 0.6, self.bite - large.leading / 2), NAME_WIDTH)
        yield angle
        half = quiet.leading * len(quiet.lines(second, NAME_WIDTH)) / 2
        yield _Spot(quiet, second, SECOND - HALF * K - AIR, self.bite + max(8.0, half + 0.6), NAME_WIDTH, "end")
        beside = max(self.third.right + AIR, x + 1.2)
        half = strong.leading * len(strong.lines(third, NAME_WIDTH)) / 2
        wished = max(self.bite + 5.2, self.third.top + 7.0)
        name = _Spot(strong, third, beside, max(wished, angle.bottom + 0.5 + half), NAME_WIDTH)
        yield name
        if below:
            half = quiet.leading * len(quiet.lines(below, CANAL_WIDTH)) / 2
            top = self.below + AIR
            wide = quiet.widest(below, CANAL_WIDTH)
            if self.third.left + wide + 0.5 > name.x:
                top = max(top, name.bottom + 0.5)
            yield _Spot(quiet, below, self.third.left, top + half, CANAL_WIDTH)


@dataclass(frozen=True)
class _Spot:
    """Words with the point their lines stand at."""

    lettering: Lettering
    words: Words
    x: float
    middle: float
    width: float
    anchor: str = "start"

    @property
    def left(self) -> float:
        """Where the widest line begins."""
        return self.x - (self.lettering.widest(self.words, self.width) if self.anchor == "end" else 0.0)

    @property
    def right(self) -> float:
        """Where the widest line ends."""
        return self.x + (self.lettering.widest(self.words, self.width) if self.anchor == "start" else 0.0)

    @property
    def bottom(self) -> float:
        """Lower edge of the last line."""
        return self.middle + self.lettering.leading * len(self.lettering.lines(self.words, self.width)) / 2


@dataclass(frozen=True)
class _Turned:
    """Turns the lower left sketch to the side and jaw of the tooth; words stay upright."""

    width: float
    height: float
    before: float
    """How far all moves from the edge at the midline, to make room for words."""
    right: bool
    upper: bool

    def path(self, path: Path) -> Path:
        """Mirror lines."""
        sx, dx = (-1.0, self.width - self.before) if self.right else (1.0, self.before)
        sy, dy = (-1.0, self.height) if self.upper else (1.0, 0.0)
        return replace(path, steps=mapped(path.steps, sx, dx, sy, dy))

    def labels(self, spot: _Spot) -> tuple[Label, ...]:
        """Move words to the mirrored place; their other end then stands at the tooth."""
        x = self.width - self.before - spot.x if self.right else self.before + spot.x
        anchor = {"start": "end", "end": "start"}[spot.anchor] if self.right else spot.anchor
        middle = self.height - spot.middle if self.upper else spot.middle
        return spot.lettering.block(spot.words, x, middle, spot.width, anchor)
