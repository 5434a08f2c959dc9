"""
What somebody else fills in > pieces in one frame, over the whole width: where it begins and ends is seen at once.

Apart from the danger box, which has a band and is loud; this frame is quiet.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial

from docgen.blocks import Block, Together, Writing
from docgen.render.pdf.pieces import Bond, Frame, Piece, Repeat, hold
from docgen.render.pdf.setting import MM, Place, Setting
from docgen.render.pdf.sheet import Sheet
from docgen.render.pdf.strokes import framed

WEIGHT = 1.0
"""Points, of the frame (page design, other kinds)."""

PAD_X, PAD_Y = 4 * MM, 1.5 * MM

PEN = 1.5 * MM
"""Above the line at the end of a frame: who answers signs there."""

Inner = Callable[[Iterable[Block], Place], list[Piece]]
"""Sets blocks inside a frame."""


def set_framed(setting: Setting, place: Place, together: Together, inner: Inner) -> list[Piece]:
    """Set a frame around blocks, on one page if one can hold it; cut by a page, each part has its own."""
    x, width = (place.x, place.width) if place.inside else (0.0, setting.content)
    pieces = inner(together.blocks, Place(x + PAD_X, width - 2 * PAD_X, place.node.child("Div"), True))
    if not pieces:
        return []
    frame, repeat = Frame(PAD_Y, partial(_paint, setting, x, width)), Repeat(PAD_Y, _paint_nothing)
    pieces[0].above, pieces[-1].below = 0.0, setting.space("paragraph") + PAD_Y
    if isinstance(together.blocks[-1], Writing):
        pieces[-1].above = setting.space("paragraph") + PEN
    for piece in pieces:
        piece.frame, piece.repeat = frame, piece.repeat or repeat
    edge = Piece(PAD_Y, above=setting.space("paragraph"), bond=Bond.HEADED)
    edge.frame = frame
    return hold([edge, *pieces], setting.room - PAD_Y)


def _paint(setting: Setting, x: float, width: float, sheet: Sheet, top: float, bottom: float) -> None:
    left = sheet.left(x, width) + WEIGHT / 2
    sheet.below(framed(left, bottom, width - WEIGHT, top - bottom, WEIGHT, setting.color("ink")))


def _paint_nothing(sheet: Sheet, top: float) -> None:
    """Leave room at the upper edge of a frame that goes on from the page before."""
