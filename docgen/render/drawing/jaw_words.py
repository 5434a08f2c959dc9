"""
Words and the teeth they belong to > labels around and inside the arches: none on another, on a tooth or on a ring.

Apart from `jaw`, which says where teeth stand: here only their boxes count. Lengths in mm from the midline, y downward.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import field

from docgen.blocks import Words
from docgen.render.drawing.lettering import Lettering
from docgen.render.drawing.shapes import Label
from docgen.values import dataclass

Box = tuple[float, float, float, float]
"""Left, top, right, bottom."""

Ring = tuple[float, float, float]
"""Middle and radius."""

WORD_AIR, BETWEEN_WORDS, OUTWARD = 1.0, 0.8, 1.2
"""From ring or tooth to a word, from the words of one mark to other words, and how far words lean out of the arch."""

SIDE, SIDE_HEIGHT = 13.5, 19.0
"""Room for the words left and right of the arches, wider where a word needs it; where "your left" stands if it may."""

ARCH_HALF, BESIDE = 22.5, 8.0
"""Half the width of the arches with their air; from which distance on words stand beside a tooth, not above it."""

INSIDE, INSIDE_HEIGHTS, MIDDLE, STEP = (22.0, 18.0, 15.0, 12.0), (14.0, 39.5), 26.25, 0.5
"""Widths for the words inside the arches, where they stand if they may, what parts the upper from the lower ones."""

MOST_LINES = 2
"""Of the words of a single mark, in each language."""


@dataclass(frozen=True)
class Mark:
    """A marked tooth: its ring, the way out of its arch from -1 (up) to 1 (down), and its words."""

    ring: Ring
    outward: float
    words: Words

    @property
    def is_beside(self) -> bool:
        """Tell whether its words stand left or right of the arches."""
        return abs(self.ring[0]) > BESIDE


@dataclass
class Around:
    """Places words around the arches."""

    strong: Lettering
    ink: Lettering
    quiet: Lettering
    teeth: Sequence[Box]
    marks: Sequence[Mark]
    taken: list[Box] = field(default_factory=list)
    """Words that have their place."""

    def labels(self, right: Words, left: Words, upper: Words, lower: Words) -> tuple[list[Label], float, float]:
        """Give all labels in reading order, and the room they need on the left and on the right of the midline."""
        beside = {out: list(self._beside(out)) for out in (False, True)}
        room = [ARCH_HALF + max(SIDE, self.ink.widest(words, SIDE - WORD_AIR) + WORD_AIR) for words in (right, left)]
        room = [max(room[out], *(_far(box, out) for box in self.taken), 0.0) for out in (False, True)]
        said = [self._side(words, out, room[out]) for words, out in ((right, False), (left, True))]
        inside = [*self._inside(upper, True), *self._inside(lower, False)]
        named: dict[int, Sequence[Label]] = {place: labels for side in beside.values() for place, labels in side}
        for place, mark in enumerate(self.marks):
            if not mark.is_beside:
                named[place] = self._outside(mark, room)
        words = [label for place in sorted(named) for label in named[place]]
        return [*said[0], *said[1], *inside, *words], room[0], room[1]

    def _beside(self, out: bool) -> Iterator[tuple[int, Sequence[Label]]]:
        """Place the words of the marks of one side at the heights of their teeth, or lower where others stand."""
        mine = [place for place, mark in enumerate(self.marks) if mark.is_beside and (mark.ring[0] > 0) == out]
        free = -math.inf
        for place in sorted(mine, key=lambda place: self.marks[place].ring[1]):
            mark = self.marks[place]
            width = self._width(mark.words)
            half = self.strong.leading * len(self.strong.lines(mark.words, width)) / 2
            middle = max(mark.ring[1] + mark.outward * (half + OUTWARD), free + half)
            free = middle + half + BETWEEN_WORDS
            edge = self._reach(out, middle - half, middle + half) + WORD_AIR
            wide = self.strong.widest(mark.words, width)
            self._take(sorted((_signed(edge, out), _signed(edge + wide, out))), middle, half)
            yield place, self.strong.block(mark.words, _signed(edge, out), middle, width, "start" if out else "end")

    def _width(self, words: Words) -> float:
        """Find in which width the words of a mark are broken: those of several marks have a line each."""
        if len(self.marks) > 1:
            return math.inf
        width, languages = SIDE - WORD_AIR, len(self.strong.lines(words, math.inf))
        while len(self.strong.lines(words, width)) > MOST_LINES * languages:
            width += STEP
        return width

    def _reach(self, out: bool, top: float, bottom: float) -> float:
        """Find how far teeth and rings reach to one side between two heights."""
        boxes = [*self.teeth, *(_box_of(mark.ring) for mark in self.marks)]
        near = [box for box in boxes if box[1] < bottom + WORD_AIR / 2 and top - WORD_AIR / 2 < box[3]]
        return max([box[2] if out else -box[0] for box in near], default=BESIDE)

    def _side(self, words: Words, out: bool, room: float) -> tuple[Label, ...]:
        """Place "your left" at a height that no word of a mark and no ring of its side has."""
        half = self.ink.leading * len(self.ink.lines(words, SIDE - WORD_AIR)) / 2
        boxes = [*self.taken, *(_box_of(mark.ring) for mark in self.marks)]
        held = [(box[1], box[3]) for box in boxes if _far(box, out) > ARCH_HALF]
        gap = half + BETWEEN_WORDS
        heights = [SIDE_HEIGHT, *(top - gap for top, _ in held), *(bottom + gap for _, bottom in held)]
        free = [y for y in heights if all(y + gap <= top + 0.01 or bottom <= y - gap + 0.01 for top, bottom in held)]
        middle = min(free, key=lambda y: abs(y - SIDE_HEIGHT))
        self._take(sorted((_signed(ARCH_HALF, out), _signed(room, out))), middle, half)
        return self.ink.block(words, _signed((room + ARCH_HALF) / 2, out), middle, SIDE - WORD_AIR, "middle")

    def _inside(self, words: Words, upper: bool) -> tuple[Label, ...]:
        """Place words inside an arch: as the design has it, or nearer to the middle, or in more lines."""
        first = INSIDE_HEIGHTS[not upper]
        steps = int(abs(MIDDLE - first) / STEP)
        for width in INSIDE:
            half = self.quiet.leading * len(self.quiet.lines(words, width)) / 2
            wide = self.quiet.widest(words, width) / 2
            for n in range(steps):
                middle = first + n * STEP * (1 if upper else -1)
                box = (-wide, middle - half, wide, middle + half)
                own = box[3] <= MIDDLE if upper else box[1] >= MIDDLE
                if own and not self._meets(box, WORD_AIR / 2):
                    return self.quiet.block(words, 0.0, middle, width, "middle")
        return self.quiet.block(words, 0.0, first, INSIDE[0], "middle")

    def _outside(self, mark: Mark, room: Sequence[float]) -> tuple[Label, ...]:
        """Place the words of a front tooth above or below its arch, as near as nothing else stands."""
        width = 2 * SIDE
        half, wide = (
            self.strong.leading * len(self.strong.lines(mark.words, width)) / 2,
            self.strong.widest(mark.words, width),
        )
        x = min(max(mark.ring[0], wide / 2 - room[0]), room[1] - wide / 2)
        way = 1 if mark.outward > 0 else -1
        middle = mark.ring[1] + way * (mark.ring[2] + WORD_AIR + half)
        while self._meets((x - wide / 2, middle - half, x + wide / 2, middle + half), BETWEEN_WORDS):
            middle += way * STEP
        self._take((x - wide / 2, x + wide / 2), middle, half)
        return self.strong.block(mark.words, x, middle, width, "middle")

    def _meets(self, box: Box, air: float) -> bool:
        """Tell whether a box comes near a tooth, a ring or words."""
        near = any(_overlap(box, other, air) for other in (*self.teeth, *self.taken))
        return near or any(_distance(box, mark.ring) < mark.ring[2] + air for mark in self.marks)

    def _take(self, across: Sequence[float], middle: float, half: float) -> None:
        self.taken.append((across[0], middle - half, across[1], middle + half))


def _signed(x: float, out: bool) -> float:
    return x if out else -x


def _far(box: Box, out: bool) -> float:
    return box[2] if out else -box[0]


def _box_of(ring: Ring) -> Box:
    x, y, radius = ring
    return x - radius, y - radius, x + radius, y + radius


def _overlap(one: Box, other: Box, air: float) -> bool:
    across = one[0] < other[2] + air and other[0] < one[2] + air
    return across and one[1] < other[3] + air and other[1] < one[3] + air


def _distance(box: Box, ring: Ring) -> float:
    """Measure from the middle of a ring to a box."""
    across = max(box[0] - ring[0], 0.0, ring[0] - box[2])
    return math.hypot(across, max(box[1] - ring[1], 0.0, ring[1] - box[3]))
