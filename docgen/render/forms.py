"""What a person fills in > flowables: boxes to tick, lines for the pen, places to sign."""

from __future__ import annotations

from dataclasses import replace

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, Spacer

from docgen.blocks import Choice, Signature, Span, Words, Writing, plain
from docgen.render.grids import TALLEST, fitting_grids
from docgen.render.setting import Setting
from docgen.render.sheet import Line, draw_box, paragraph, text_width


def set_choice(setting: Setting, choice: Choice) -> list[Flowable]:
    """Set a box before each option."""
    side, gap = setting.length("box"), setting.length("box_gap")
    made: list[Flowable] = [setting.text(choice.label, "body"), setting.space("item")] if choice.label else []
    for place, option in enumerate(choice.options):
        ticked = choice.is_ticked(place)

        def draw(canvas: Canvas, _height: float, base: float, ticked: bool = ticked) -> None:
            draw_box(canvas, setting.indent, base - 0.6 * mm, side, ticked)

        made += [setting.text(option, "body", side + gap, draw), setting.space("item")]
    return made


def set_writing(setting: Setting, writing: Writing) -> list[Flowable]:
    """Set the label and the lines below it, or the one line beside it."""
    label, end = setting.text(writing.label, "body"), setting.indent + setting.width
    start = setting.indent + (0 if writing.lines else text_width(label) + setting.length("box_gap"))
    rule = Line((min(start, end), end, 0.75, setting.style.colors["ink"]))
    below = [part for _ in range(writing.lines) for part in (Spacer(1, setting.length("writing")), rule)]
    return [label, *(below or [rule])]


def set_signature(setting: Setting, signature: Signature) -> list[Flowable]:
    """Set the statement, then free height and two lines: signature, date and time."""
    share = 1 if setting.large else min(setting.width / setting.length("text"), 1)
    names = ("signature", "signature_gap", "signature" if setting.large else "moment")
    widths = [setting.length(name) * share for name in names]
    moment = paragraph(signature.moment, setting.role("small"))
    height = min(moment.wrap(widths[2], 1e6)[1], TALLEST) if signature.moment else 0
    free = max(setting.length("signature_height"), height)
    named = (*signature.labels[0], Span(" "), *(replace(span, bold=True) for span in signature.name))
    ink = setting.style.colors["ink"]
    left = [Spacer(1, free), Line((0, widths[0], 0.75, ink)), Spacer(1, 2)]
    left += _captions(setting, [named, signature.role, signature.details])
    right = [Spacer(1, free - height), *([moment] if signature.moment else [])]
    right += [Line((0, widths[2], 0.75, ink)), Spacer(1, 2), *_captions(setting, [signature.labels[1]])]
    statement = setting.text(signature.statement, "body")
    if setting.large:
        return [statement, *left, *right]
    grids = fitting_grids([[left, "", right]], widths, lambda *_: [], indent=setting.indent)
    return [statement, *(setting.shifted(grid, setting.width) for grid in grids)]


def _captions(setting: Setting, lines: list[Words]) -> list[Flowable]:
    return [paragraph(words, setting.role("note")) for words in lines if plain(words).strip()]
