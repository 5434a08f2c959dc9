"""
Words and a width > labels, one for each line, with two languages on lines of their own.

Apart from the figures, so that every drawing breaks and places its words in one way.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from docgen.blocks import Span, Words, plain
from docgen.render.drawing.shapes import MM_PER_PT, SMALLEST_PT, Label, Measure
from docgen.render.words import halves
from docgen.values import dataclass

LEADING = 1.28
"""Line to line, as a part of the size: labels are short and stand close."""

ASCENT = 0.76
"""Height of capitals above the base line, as a part of the size, with a little air."""

DESCENT = 0.24
"""What hangs below the base line, as a part of the size."""


@dataclass(frozen=True)
class Lettering:
    """How words are set: size in pt, weight, color; and how wide they come out."""

    measure: Measure
    size: float = SMALLEST_PT
    bold: bool = False
    color: str = "ink"

    @property
    def leading(self) -> float:
        """Line to line, in mm."""
        return self.size * MM_PER_PT * LEADING

    @property
    def ascent(self) -> float:
        """Top of the letters above the base line, in mm."""
        return self.size * MM_PER_PT * ASCENT

    @property
    def descent(self) -> float:
        """What hangs below the base line, in mm."""
        return self.size * MM_PER_PT * DESCENT

    def width(self, words: Words) -> float:
        """Measure words set in one line, in mm."""
        return self.measure(words, self.size, self.bold)

    def lines(self, words: Words, width: float) -> tuple[Words, ...]:
        """Break words at their spaces; a single word may be wider."""
        return tuple(line for part in halves(words) for line in self._broken(part, width))

    def widest(self, words: Words, width: float) -> float:
        """Give the width of the widest line."""
        return max((self.width(line) for line in self.lines(words, width)), default=0.0)

    def _broken(self, words: Words, width: float) -> Iterator[Words]:
        line: Words = ()
        for piece in _pieces(words):
            longer = (*line, *piece)
            if line and self.width(_trimmed(longer)) > width:
                yield _trimmed(line)
                line = piece
            else:
                line = longer
        if line:
            yield _trimmed(line)

    def one(self, words: Words, x: float, base: float, anchor: str = "start", *, halo: bool = False) -> Label:
        """Set one line."""
        return Label(x, base, words, self.size, self.bold, self.color, anchor, halo)

    def block(
        self, words: Words, x: float, middle: float, width: float, anchor: str = "start", *, halo: bool = False
    ) -> tuple[Label, ...]:
        """Set lines one below the other, their middle at a height."""
        lines = self.lines(words, width)
        first = middle - self.leading * (len(lines) - 1) / 2 + (self.ascent - self.descent) / 2
        return tuple(self.one(w, x, first + n * self.leading, anchor, halo=halo) for n, w in enumerate(lines))


def _pieces(words: Words) -> Iterator[Words]:
    """Cut words behind each space; a no-break space holds."""
    piece: list[Span] = []
    for span in words:
        rest = span.text
        while " " in rest:
            head, _, rest = rest.partition(" ")
            yield (*piece, replace(span, text=f"{head} "))
            piece = []
        if rest:
            piece.append(replace(span, text=rest))
    if piece:
        yield tuple(piece)


def _trimmed(words: Words) -> Words:
    """Take the space off the end, and join spans that the cutting parted."""
    joined: list[Span] = []
    for span in words:
        last = joined[-1] if joined else None
        if last is not None and replace(last, text="") == replace(span, text=""):
            joined[-1] = replace(last, text=last.text + span.text)
        else:
            joined.append(span)
    if joined and plain(tuple(joined)).endswith(" "):
        joined[-1] = replace(joined[-1], text=joined[-1].text.rstrip(" "))
    return tuple(span for span in joined if span.text)
