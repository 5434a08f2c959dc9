"""
A place to sign > pieces that never part: statement, free height, the line of the name, the line of the date.

Apart from the other fields, because a signature is one thing of several lines.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from docgen.blocks import Signature, Span, plain
from docgen.render.pdf.forms import FIELD, WEIGHT, is_typed, paint_low
from docgen.render.pdf.halves import first_role, set_both
from docgen.render.pdf.pieces import Bond, Piece, hold
from docgen.render.pdf.setting import MM, Place, Setting, Stack, Text, row
from docgen.render.pdf.sheet import Sheet
from docgen.render.pdf.strokes import stroked

CAPTION_GAP = 2.0
"""Points from a line to the words below it."""

LARGE_APART = 15 * MM
"""From what stands below a signature to the line of its date, in large print (page design, section 5)."""


def set_signature(setting: Setting, place: Place, signature: Signature) -> list[Piece]:
    """Set the statement, then free height and two lines: signature, date and time; never parted."""
    share = 1.0 if setting.large else min(place.width / setting.length("text"), 1.0)
    gap = setting.length("signature_gap") * share
    first = min(setting.length("text" if setting.large else "signature") * share, place.width)
    second = min(setting.length("signature" if setting.large else "moment") * share, place.width)
    node, body, note = place.node.child("Div"), setting.role("body"), setting.role("note")
    inner = Place(place.x, place.width, node, place.inside)
    named = (*signature.labels[0], Span(" "), *(replace(span, bold=True) for span in signature.name))
    lines = [words for words in (named, signature.role, signature.details) if plain(words).strip()]
    below = [text for words in lines for text in set_both(setting, words, note, node.child("P"), first, kind="Span")]
    stated, over = node.child("P"), first_role(setting, "body")
    said = set_both(setting, signature.statement, body, stated, place.width, kind="Span", first=over)
    made = [piece for text in said for piece in text.pieces(place.x)]
    pen = _Pen(setting, inner, signature, (first, second), gap)
    captions = [setting.text(signature.labels[1], note, node.child("P"), second)] if signature.labels[1] else []
    moment: list[Text] = []
    if signature.moment:
        moment = set_both(setting, signature.moment, note, node.child("P"), second, kind="Span", fixed=True)
    made += _large(pen, below, moment, captions) if setting.large else _beside(pen, below, moment, captions)
    made[0].above = setting.space("paragraph")
    made[-1].below = max(setting.section_space, 9.0)
    return hold(made, setting.room)


class _Pen:
    """The two lines of a signature."""

    __slots__ = ("gap", "names", "place", "setting", "signature", "widths")

    def __init__(
        self, setting: Setting, place: Place, signature: Signature, widths: tuple[float, float], gap: float
    ) -> None:
        self.setting, self.place, self.signature, self.widths, self.gap = setting, place, signature, widths, gap
        self.names = (setting.field_name("signature"), setting.field_name("moment"))

    def sign(self, sheet: Sheet, y: float) -> None:
        """Draw the line of the signature, with its field above."""
        setting, width = self.setting, self.widths[0]
        left = sheet.left(self.place.x, width)
        sheet.below(stroked(left, y, left + width, WEIGHT, setting.color("ink")))
        if setting.style.forms == "fill":
            parts = (self.signature.labels[0], self.signature.name, self.signature.role)
            tip = " ".join(text for words in parts if (text := plain(words).strip()))
            height = setting.length("signature_height") - 2
            sheet.then(
                lambda: sheet.page.signature_field(
                    self.place.node.child("Form").element,
                    *(left, y + WEIGHT, width, height),
                    name=self.names[0],
                    tooltip=tip or self.names[0],
                )
            )

    def date(self, x: float, sheet: Sheet, y: float) -> None:
        """Draw the line of the date; with a field above it, if the moment is still open."""
        setting, width = self.setting, self.widths[1]
        left = sheet.left(x, width)
        sheet.below(stroked(left, y, left + width, WEIGHT, setting.color("ink")))
        if is_typed(setting) and not self.signature.moment:
            parts = (self.signature.labels[1], self.signature.name)
            tip = ", ".join(text for words in parts if (text := plain(words).strip()))
            size = setting.role("body").size
            sheet.then(
                lambda: sheet.page.text_field(
                    self.place.node.child("Form").element,
                    *(left, y + WEIGHT, width, FIELD),
                    name=self.names[1],
                    tooltip=tip or self.names[1],  # a field without a tooltip says nothing to who cannot see it
                    size=size,
                )
            )


def _beside(pen: _Pen, below: list[Text], moment: list[Text], captions: list[Text]) -> list[Piece]:
    """Set both lines beside each other."""
    setting, place = pen.setting, pen.place
    second = place.x + pen.widths[0] + pen.gap
    height = max(setting.length("signature_height"), sum(text.height for text in moment) + CAPTION_GAP)
    under = [Stack(place.x, below), Stack(second, [*moment, *captions])]
    tall = max(sum(text.height for text in below), sum(text.height for text in captions))
    if height + CAPTION_GAP + tall > setting.tallest:
        lines = Piece(setting.length("signature_height"), partial(_paint_lines, pen, second), bond=Bond.HEADED)
        return [lines, *row(under, 0.0)]

    def paint(sheet: Sheet, top: float) -> None:
        y = top - height
        pen.sign(sheet, y)
        under[0].paint(sheet, y - CAPTION_GAP)
        Stack(second, moment).paint(sheet, y + sum(text.height for text in moment))
        pen.date(second, sheet, y)
        Stack(second, captions).paint(sheet, y - CAPTION_GAP)

    return [Piece(height + CAPTION_GAP + tall, paint)]


def _paint_lines(pen: _Pen, second: float, sheet: Sheet, top: float) -> None:
    y = top - pen.setting.length("signature_height")
    pen.sign(sheet, y)
    pen.date(second, sheet, y)


def _large(pen: _Pen, below: list[Text], moment: list[Text], captions: list[Text]) -> list[Piece]:
    """Set both lines one below the other."""
    place, height = pen.place, pen.setting.length("signature_height")
    made = [Piece(height, partial(paint_low, height, pen.sign), below=CAPTION_GAP, bond=Bond.HEADED)]
    for text in below:
        made += text.pieces(place.x)
    for text in moment:
        made += text.pieces(place.x, above=pen.setting.space("paragraph"))
    height = max(LARGE_APART - sum(text.height for text in moment), 1.0)
    line = partial(paint_low, height, partial(pen.date, place.x))
    made.append(
        Piece(1.0 if moment else height, partial(paint_low, 1.0, partial(pen.date, place.x)) if moment else line)
    )
    made[-1].below = CAPTION_GAP
    for text in captions:
        made += text.pieces(place.x)
    return made
