"""
A measured angle > two molars side by side, the third turned to scale (design 6.4).

The angle is true; all else is a sketch, and the caption says so. Seen from the side, midline of the mouth at the left
for a tooth of the patient's left, at the right for one of the right; never mirrored for a language.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from docgen.blocks import Figure, Words
from docgen.render.drawing.lettering import Lettering
from docgen.render.drawing.shapes import Drawing, Label, Measure, Part, Path, Step, move
from docgen.render.drawing.strokes import arc, extent, line, mapped, through_midpoints, turned

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
    sketch = _Sketch(
        _third(angle, DEPTHS.get(depth, DEPTHS["B"])),
        angle,
        str(data.get("relation") or ""),
        upper,
        measure,
    )
    front, degrees, second, third, *more = figure.words
    below = more.pop(0) if sketch.canal is not None else ()
    spots = tuple(sketch.spots(front, degrees, second, third, below))
    width = max(WIDTH, *(spot.right + 0.3 for spot in spots))
    if width > width_mm + 0.1:
        return None
    drawn = _Turned(width, sketch.height, tooth[0] in PAGE_LEFT, upper)
    parts: list[Part] = [drawn.path(path) for path in sketch.paths(width)]
    parts += [label for spot in spots for label in drawn.labels(spot)]
    return Drawing(width, sketch.height, tuple(parts), more[0] if more else ())


def _third(angle: float, depth: float) -> _Third:
    """Turn the outline about its neck, then move it beside the second molar and to its depth."""
    neck = (0.0, NECK * K)
    points = [turned((x * K, y * K), -angle, neck) for x, y in _SIDE]
    left, top, _, _ = extent(through_midpoints(points))
    dx = SECOND + HALF * K + BESIDE - left
    dy = BITE + depth - top
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
        """Down to the name of the canal, or to the roots."""
        roots = max(self.third.bottom, BITE + 18.4 * K)
        quiet = Lettering(self.measure, color="quiet")
        canal = 0.0 if self.canal is None else self.below + AIR + quiet.leading + quiet.descent
        return max(roots + AIR, canal)

    @property
    def radius(self) -> float:
        """Of the arc that shows the angle."""
        return min(ARC, self.third.neck[1] - CLEAR)

    def paths(self, width: float) -> Iterator[Path]:
        """Draw from the back to the front."""
        third, neck = self.third, self.third.neck
        yield Path(line((0.6, BITE), (width, BITE)), stroke="line", width=0.3, dash=DOTTED)
        second = through_midpoints([(x * K + SECOND, y * K + BITE) for x, y in _SIDE])
        yield Path(second, fill="paper", stroke="line", width=0.4)
        yield Path(third.steps, fill="tint", stroke="ink", width=0.7, round_ends=True)
        if self.canal is not None:
            walls = (self.canal,) if self.upper else (self.canal, self.canal + CANAL_DEEP)
            ends = [((third.left - 1.5, y), (width, y)) for y in walls]
            yield Path(tuple(step for one in ends for step in line(*one)), stroke="line", width=0.4)
        axis = [turned((neck[0], neck[1] + y), -self.angle, neck) for y in (-self.radius - 1.2, 11.6 * K)]
        dashed = (
            *line((SECOND, BITE - 4.0), (SECOND, BITE + 12.4 * K)),
            *line((neck[0], neck[1] - self.radius - 1.2), (neck[0], neck[1] + 1.0)),
            *line(*axis),
        )
        yield Path(dashed, stroke="ink", width=0.3, dash=DASH)
        yield Path(arc(*neck, self.radius, 0.0, -self.angle), stroke="ink", width=0.5)
        yield Path(line((0.6, 3.0), (4.2, 3.0)), stroke="ink", width=0.35)
        yield Path((move(0.3, 3.0), (1.9, 2.2), (1.9, 3.8), ()), fill="ink")

    def spots(self, front: Words, degrees: Words, second: Words, third: Words, below: Words) -> Iterator[_Spot]:
        """Place the names outside the teeth, in reading order."""
        quiet, strong = Lettering(self.measure, color="quiet"), Lettering(self.measure, bold=True)
        large = Lettering(self.measure, DEGREES_PT, bold=True)
        x, y = self.third.neck
        tip, _ = turned((x, y - self.radius), max(0.0, -self.angle), (x, y))
        yield _Spot(quiet, front, 5.4, FRONT, FRONT_WIDTH)
        yield _Spot(large, degrees, tip + 1.2, y - self.radius + 0.6, NAME_WIDTH, halo=True)
        yield _Spot(quiet, second, SECOND - HALF * K - AIR, BITE + 8.0, NAME_WIDTH, "end")
        beside = max(self.third.right + AIR, x + 1.2)
        half = strong.leading * len(strong.lines(third, NAME_WIDTH)) / 2
        free = self.canal if self.canal is not None else self.height
        middle = min(max(BITE + 5.2, self.third.top + 7.0), free - half - 0.3)
        yield _Spot(strong, third, beside, middle, NAME_WIDTH, halo=True)
        if below:
            middle = self.below + AIR + quiet.leading / 2
            yield _Spot(quiet, below, self.third.left, middle, CANAL_WIDTH)


@dataclass(frozen=True)
class _Spot:
    """Words with the point their lines stand at."""

    lettering: Lettering
    words: Words
    x: float
    middle: float
    width: float
    anchor: str = "start"
    halo: bool = False

    @property
    def right(self) -> float:
        """Where the widest line ends."""
        return self.x + (self.lettering.widest(self.words, self.width) if self.anchor == "start" else 0.0)


@dataclass(frozen=True)
class _Turned:
    """Turns the lower left sketch to the side and jaw of the tooth; words stay upright."""

    width: float
    height: float
    right: bool
    upper: bool

    def path(self, path: Path) -> Path:
        """Mirror lines."""
        sx, dx = (-1.0, self.width) if self.right else (1.0, 0.0)
        sy, dy = (-1.0, self.height) if self.upper else (1.0, 0.0)
        return replace(path, steps=mapped(path.steps, sx, dx, sy, dy))

    def labels(self, spot: _Spot) -> tuple[Label, ...]:
        """Move words to the mirrored place; their other end then stands at the tooth."""
        x = self.width - spot.x if self.right else spot.x
        anchor = {"start": "end", "end": "start"}[spot.anchor] if self.right else spot.anchor
        middle = self.height - spot.middle if self.upper else spot.middle
        return spot.lettering.block(spot.words, x, middle, spot.width, anchor, halo=spot.halo)
