"""
Pieces > pages: what stands on which page and how far down. Knows neither words nor files.

A page is filled; then the weakest bond on it gives way, the last of its kind first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from docgen.render.pdf.pieces import Bond, Piece, Repeat

SOFT_FILL = 0.5
"""Share of a page that must be full for a soft bond to hold."""

LEAST = 90.0
"""Points. A last page with less on it takes some of the page before: five lines of text (section 8 asks for three)."""

SPARED = 0.3
"""Share of a page: a last page that is no fuller is saved, if the spaces between sections can take it in."""

_CLOSE = 0.01
"""Points; less is a rounding, not a lack of room."""


@dataclass(slots=True)
class Filled:
    """A page: its pieces with the distance of their upper edge from the top of its body, in points."""

    pieces: list[tuple[Piece, float]]
    repeat: Repeat | None = None
    """What stands again at its top."""


def into_pages(pieces: Sequence[Piece], first: float, later: float) -> list[Filled]:
    """
    Break pieces into pages with bodies of two heights; at least one page.

    What begins on a page of its own is broken by itself, so that the page before it holds more than a remark, too.
    """
    begins = [0, *(place for place, piece in enumerate(pieces) if piece.opens and place), len(pieces)]
    parts = [pieces[start:end] for start, end in pairwise(begins)]
    return [page for place, part in enumerate(parts) for page in _broken(part, later if place else first, later)]


def _broken(pieces: Sequence[Piece], first: float, later: float) -> list[Filled]:
    """
    Break pieces that follow each other.

    Spaces between sections give way where that saves a page that would hold little, or makes one page of two.
    """
    if not pieces:
        return [Filled([])]
    starts = _starts(pieces, first, later, 0)
    last = _height(pieces, starts[-1], len(pieces), 0)
    if len(starts) == 2 or (len(starts) > 1 and last < max(LEAST, SPARED * later)):
        closer = _starts(pieces, first, later, 1)
        if len(closer) < len(starts):
            return _pages(pieces, closer, 1)
        starts = _balanced(pieces, starts, later) if last < LEAST else starts
    return _pages(pieces, starts, 0)


def _starts(pieces: Sequence[Piece], first: float, later: float, tight: int) -> list[int]:
    """Find the piece that begins each page."""
    starts, start = [0], 0
    while True:
        end = _fill(pieces, start, first if start == 0 else later, tight)
        if end >= len(pieces):
            return starts
        start = _break(pieces, start, end, first if start == 0 else later)
        starts.append(start)


def _fill(pieces: Sequence[Piece], start: int, room: float, tight: int) -> int:
    """Find the first piece that has no room on a page; one always has."""
    repeat = pieces[start].repeat
    depth = repeat.height if repeat and start else 0.0
    below: float | None = None
    for place in range(start, len(pieces)):
        piece = pieces[place]
        if below is not None:
            depth += max(below, piece.above - tight * piece.loose)
        needed = depth + (piece.height if piece.height > piece.reach else piece.reach)
        if piece.frame is not None:
            needed += piece.frame.pad
        if needed > room + _CLOSE and place > start:
            return place
        depth += piece.height
        below = piece.below
    return len(pieces)


def _break(pieces: Sequence[Piece], start: int, end: int, room: float) -> int:
    """Choose where a page ends, after its first piece and not after `end`."""
    last = {}
    for place in range(start + 1, end + 1):
        last[pieces[place - 1].bond] = place
    free, soft = last.get(Bond.FREE), last.get(Bond.SOFT)
    if free and soft and soft > free and _height(pieces, start, free, 0) < SOFT_FILL * room:
        return soft
    return last[min(last)]


def _height(pieces: Sequence[Piece], start: int, end: int, tight: int) -> float:
    """Measure what a page would hold."""
    return _depths(pieces, start, end, tight)[1]


def _depths(pieces: Sequence[Piece], start: int, end: int, tight: int) -> tuple[list[float], float]:
    repeat = pieces[start].repeat if start < len(pieces) else None
    depth = repeat.height if repeat and start else 0.0
    depths, below = [], None
    for place in range(start, end):
        piece = pieces[place]
        if below is not None:
            depth += max(below, piece.above - tight * piece.loose)
        depths.append(depth)
        depth += piece.height
        below = piece.below
    return depths, depth


def _balanced(pieces: Sequence[Piece], starts: list[int], later: float) -> list[int]:
    """Let a last page that is nearly empty begin earlier, where a free bond allows it."""
    before, last = starts[-2], starts[-1]
    for place in range(last - 1, before, -1):
        height = _height(pieces, place, len(pieces), 0)
        if height > later or _height(pieces, before, place, 0) < LEAST:
            break
        if pieces[place - 1].bond == Bond.FREE and height >= LEAST:
            return [*starts[:-1], place]
    return starts


def _pages(pieces: Sequence[Piece], starts: list[int], tight: int) -> list[Filled]:
    pages = []
    for start, end in zip(starts, [*starts[1:], len(pieces)], strict=True):
        depths, _ = _depths(pieces, start, end, tight)
        repeat = pieces[start].repeat if start and start < len(pieces) else None
        pages.append(Filled(list(zip(pieces[start:end], depths, strict=True)), repeat))
    return pages
