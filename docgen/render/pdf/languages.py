"""
A sentence and its translation under one number > pieces: the clinic's language first, the reader's below, larger.

The number stands in the side column beside both; a line at the start edge marks what the reader reads.
"""

from __future__ import annotations

from functools import partial

from docgen.blocks import Note, Paragraph, Section, Span, Table, Together, Words
from docgen.render.pdf.halves import own_setting
from docgen.render.pdf.pieces import Paint, Piece, hold
from docgen.render.pdf.setting import MM, Place, Setting, Text
from docgen.render.pdf.sheet import Sheet, in_language
from docgen.render.pdf.strokes import filled

MARK_END = "\u2002"
"""What ends the number of a pair (compose.bilingual)."""

MARGIN, INDENT, BAR = 9 * MM, 3.2 * MM, 1.5
"""Width of the numbers at the end of the side column, from the edge to the text, the line before a translation."""

INSIDE, AFTER = 3.0, 7.0
"""Points inside a pair and after it (page design, section 5)."""

Half = Paragraph | Note


def parted_mark(words: Words) -> tuple[Words, Words]:
    """Part the number of a pair, as it stands in the margin, from the words that follow it; it may be missing."""
    if words and words[0].text.endswith(MARK_END):
        return (Span(words[0].text.removesuffix(MARK_END)),), words[1:]
    return (), words


def margin_of(setting: Setting, place: Place) -> float | None:
    """Find where the numbers of pairs stand, beside the text; None where there is no side column."""
    aside = place.x - (setting.length("side") - setting.length("side_rule")) - MARGIN
    return aside if aside >= 0 and not place.inside else None


def pair_of(block: Together) -> tuple[Half, Half] | None:
    """Give the halves of a pair, if this is one."""
    match block.blocks:
        case (Paragraph() | Note() as one, Paragraph() | Note() as other):
            (first, _), (second, words) = parted_mark(one.words), parted_mark(other.words)
            if first and first == second and any(span.language for span in words):
                return one, other
    return None


def set_pair(setting: Setting, place: Place, pair: tuple[Half, Half]) -> list[Piece]:
    """Set a pair, never cut; without a side column the number stands before the words."""
    one, other = pair
    made = [*_half(setting, place, one, "staff", False), *_half(setting, place, other, "patient", True)]
    made[-1].below = AFTER
    return hold(made, setting.room)


def _half(setting: Setting, place: Place, half: Half, voice: str, translated: bool) -> list[Piece]:
    name = "note" if isinstance(half, Note) else half.role
    role = setting.role(name) if setting.large else setting.style.voices[voice][name]
    mark, words = parted_mark(half.words)
    own, words, tag = own_setting(setting, words) if translated else (setting, words, "")
    node = place.node.child("P", **in_language(tag))
    aside = margin_of(setting, place)
    if aside is None:
        words = (half.words[0], *words)
    text = own.text(words, role, node, place.width - INDENT, end=own.rtl != setting.rtl)
    pieces = text.pieces(place.x + INDENT, below=INSIDE)
    if aside is not None:
        number = setting.text(mark, setting.role("furniture"), node, MARGIN, end=True)
        number.base = text.base
        pieces[0].paint = partial(_paint_first, number, aside, pieces[0].paint)
    for piece in pieces if translated else ():
        piece.paint = partial(_paint_bar, setting.color("deep"), place.x, piece.height, piece.paint)
    return pieces


def _paint_first(number: Text, x: float, text: Paint | None, sheet: Sheet, top: float) -> None:
    number.paint(x, sheet, top)
    if text:
        text(sheet, top)


def _paint_bar(ink: str, x: float, height: float, text: Paint | None, sheet: Sheet, top: float) -> None:
    sheet.below(filled(sheet.left(x, BAR), top - height, BAR, height, ink))
    if text:
        text(sheet, top)


def has_pair(section: Section) -> bool:
    """Tell whether a section holds a pair, or a table of pairs, whose number needs the end of the side column."""
    return any(
        (isinstance(block, Together) and pair_of(block)) or (isinstance(block, Table) and parted_mark(block.caption)[0])
        for block in section.blocks
    )
