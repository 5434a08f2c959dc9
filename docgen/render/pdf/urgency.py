"""
The urgency of a letter > pieces: a frame over the whole width, or the same filled with ink.

Apart from the caution and the danger box: it stands in letters only, and its weight follows the fact.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from docgen.blocks import Caution
from docgen.render.pdf.pieces import Bond, Frame, Piece, hold
from docgen.render.pdf.setting import MM, Place, Setting
from docgen.render.pdf.sheet import Sheet
from docgen.render.pdf.strokes import filled, framed

WEIGHT = 1.0
"""Points, of the frame."""

PAD_X, PAD_Y = 3 * MM, 1.5 * MM


def set_urgency(setting: Setting, place: Place, caution: Caution) -> list[Piece]:
    """Set a frame or a band; cut by a page, each part has its own."""
    x, width = (place.x, place.width) if place.inside else (0.0, setting.content)
    role, is_band = setting.role("lead"), caution.look == "band"
    if is_band:
        role = replace(role, color=setting.color("paper"))
    text = setting.text(caution.words, role, place.node.child("P"), width - 2 * PAD_X)
    pieces = [Piece(PAD_Y, bond=Bond.HEADED), *text.pieces(x + PAD_X)]
    frame = Frame(PAD_Y, partial(_paint, setting, x, width, is_band))
    for piece in pieces:
        piece.frame = frame
    pieces[0].above, pieces[-1].below = setting.space("paragraph"), setting.space("paragraph") + 2 * PAD_Y
    return hold(pieces, setting.tallest)


def _paint(setting: Setting, x: float, width: float, is_band: bool, sheet: Sheet, top: float, bottom: float) -> None:
    left, height, ink = sheet.left(x, width), top - bottom, setting.color("ink")
    if is_band:
        sheet.below(filled(left, bottom, width, height, ink))
    else:
        sheet.below(framed(left + WEIGHT / 2, bottom + WEIGHT / 2, width - WEIGHT, height - WEIGHT, WEIGHT, ink))
