"""
What a page is filled with: pieces that are never cut, each with its height, the space around it and its bond.

Apart from what makes them (words, tables, forms) and from what breaks them into pages: both know only this.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from enum import IntEnum
from typing import Any

Paint = Callable[[Any, float], None]
"""Paints a piece on a sheet, given the height of its upper edge."""


class Bond(IntEnum):
    """How strongly a piece holds the next one on its page; the weakest bond on a page gives way first."""

    FREE = 0
    SOFT = 1
    """Gives way rather than leave half a page empty: a signature and the text above it."""
    KEPT = 2
    """Inside what stays together."""
    ALONE = 3
    """A first or last line, row or item, which must not stand alone."""
    HEADED = 4
    """A heading and what it announces."""
    WITHIN = 5
    """Inside a row that is taller than a page."""


class Repeat:
    """What stands again above a page that begins inside its part: the head of a table, the band of a box."""

    __slots__ = ("height", "paint")

    def __init__(self, height: float, paint: Paint) -> None:
        self.height, self.paint = height, paint


class Frame:
    """A frame around several pieces; cut by a page, each part has a whole one."""

    __slots__ = ("pad", "paint")

    def __init__(self, pad: float, paint: Callable[[Any, float, float], None]) -> None:
        self.pad, self.paint = pad, paint
        """Space below the last piece, and what draws the frame from a top to a bottom."""


class Piece:
    """A part of the flow; lengths in points."""

    __slots__ = ("above", "base", "below", "bond", "frame", "height", "loose", "opens", "paint", "reach", "repeat")

    def __init__(
        self,
        height: float,
        paint: Paint | None = None,
        *,
        above: float = 0.0,
        below: float = 0.0,
        bond: Bond = Bond.FREE,
        base: float = 0.0,
    ) -> None:
        self.height, self.paint, self.above, self.below, self.bond, self.base = height, paint, above, below, bond, base
        self.reach = height
        """How far down it needs room: a heading in the side column hangs below its own piece."""
        self.loose = 0.0
        """How much of the space above it may be given up to save a page."""
        self.opens = False
        """True if it begins a page."""
        self.repeat: Repeat | None = None
        self.frame: Frame | None = None


def height_of(pieces: Iterable[Piece]) -> float:
    """Measure pieces one below the other, without the space above the first and below the last."""
    total, below = 0.0, None
    for piece in pieces:
        total += piece.height + (0.0 if below is None else max(below, piece.above))
        below = piece.below
    return total


def hold(pieces: list[Piece], limit: float, bond: Bond = Bond.KEPT) -> list[Piece]:
    """Keep pieces on one page, unless they are taller than the limit."""
    if height_of(pieces) <= limit:
        for piece in pieces[:-1]:
            piece.bond = max(piece.bond, bond)
    return pieces


def hold_ends(groups: list[list[Piece]]) -> list[Piece]:
    """Put groups one below the other; the first two stay on one page, and the last two: none stands alone there."""
    for group in {0, len(groups) - 2} if len(groups) > 1 else ():
        if groups[group]:
            groups[group][-1].bond = max(groups[group][-1].bond, Bond.ALONE)
    return [piece for group in groups for piece in group]


def head(pieces: list[Piece]) -> list[Piece]:
    """Bind the last of some pieces to what follows, as a heading is."""
    for piece in pieces:
        piece.bond = max(piece.bond, Bond.HEADED)
    return pieces
