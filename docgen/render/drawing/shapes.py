"""
What a drawing consists of: paths, rows of dots and labels, in mm, origin top left, y downward.

Apart from the figures, so that who paints a drawing (PDF, a picture for DOCX) knows shapes and no figure.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from docgen.blocks import Words, plain
from docgen.values import dataclass

Step = tuple[float, ...]
"""2 numbers: a line to x, y. 3 (x, y, 0): begin a part there. 6: a cubic curve, two controls and the end. 0: close."""


Measure = Callable[[Words, float, bool], float]
"""Width in mm of words in one line, each in its own language: of a size in pt, all bold or as the words are."""

MM_PER_PT = 25.4 / 72

SMALLEST_PT = 8.5
"""No label is smaller (design 6)."""

HALO_MM = 0.45
"""White around a label that lies on shapes."""


def move(x: float, y: float) -> Step:
    """Begin a part of a path at a point."""
    return (x, y, 0.0)


@dataclass(frozen=True)
class Path:
    """Lines and curves, filled, then stroked. Colors are names of the house style; empty for none."""

    steps: tuple[Step, ...]
    """Of length 3: begin at x, y; 2: a line; 6: a curve; 0: close."""
    fill: str = ""
    stroke: str = ""
    width: float = 0.0
    dash: tuple[float, ...] = ()
    """Lengths of dash and gap in mm."""
    round_ends: bool = False
    """Round caps and joins."""


@dataclass(frozen=True)
class DotRow:
    """Equal steps from a first center."""

    x: float
    y: float
    dx: float
    dy: float
    count: int


@dataclass(frozen=True)
class Dots:
    """
    Discs of one radius, filled, in straight rows.

    A painter may draw a row as one line of round-capped dashes of length 0 (or each disc as a line of length 0):
    a hundredth of the bytes that curves take.
    """

    rows: tuple[DotRow, ...]
    radius: float
    color: str

    def centers(self) -> Iterator[tuple[float, float]]:
        """Give the center of every disc."""
        for row in self.rows:
            for place in range(row.count):
                yield row.x + place * row.dx, row.y + place * row.dy


@dataclass(frozen=True)
class Label:
    """One line of words, in the language of its spans (None: that of the document)."""

    x: float
    y: float
    """Of the base line."""
    words: Words
    size: float = SMALLEST_PT
    """In pt."""
    bold: bool = False
    """All of it; a span may be bold by itself."""
    color: str = "ink"
    anchor: str = "start"
    """Which point of the line x is: start is its LEFT end (also in a page that runs to the left), middle, end."""
    halo: bool = False
    """A white edge of HALO_MM around the letters."""

    @property
    def text(self) -> str:
        """Its letters."""
        return plain(self.words)


Part = Path | Dots | Label


@dataclass(frozen=True)
class Drawing:
    """A finished drawing. Paint the parts in order; each lies on those before it."""

    width: float
    height: float
    parts: tuple[Part, ...]
    caption: Words = ()
    """Set below the drawing, as wide as it, in the role caption; empty for none."""

    @property
    def labels(self) -> tuple[Label, ...]:
        """The words of the drawing, in reading order."""
        return tuple(part for part in self.parts if isinstance(part, Label))
