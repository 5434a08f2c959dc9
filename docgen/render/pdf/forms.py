"""
What a person fills in > pieces: boxes to tick and lines for the pen; form fields where the style says so.

What the record already answers is drawn, and is no field: nobody changes it on a screen.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from docgen.blocks import Choice, Writing, plain
from docgen.render.pdf.halves import set_both
from docgen.render.pdf.marks import Group, paint_box
from docgen.render.pdf.pieces import Paint, Piece, hold
from docgen.render.pdf.setting import MM, Place, Setting, Text
from docgen.render.pdf.sheet import Sheet
from docgen.render.pdf.strokes import stroked

WEIGHT = 0.75
"""Points, of a line for the pen."""

BELOW_BASE = 0.6 * MM
"""How far a box stands below the base line of its words (page design, section 5)."""

APART = 6 * MM
"""Between two boxes in one line."""

FIELD = 6.2 * MM
"""Height of a text field above its line."""

LATIN = frozenset(
    ("en", "es", "pt", "de", "fr", "it", "nl", "da", "sv", "nb", "nn", "no", "fi", "is", "ca", "gl", "eu")
)
"""Languages whose letters a viewer can type into a field: those of Latin-1. In others the line is for the pen."""


def is_typed(setting: Setting) -> bool:
    """Tell whether the lines of a document are fields to type into."""
    return setting.style.forms == "fill" and setting.language.split("-")[0] in LATIN


def set_choice(setting: Setting, place: Place, choice: Choice) -> list[Piece]:
    """
    Set a box before each option: all in the label's line, in one line below it, or one below the other.

    A question has one answer: a box that is ticked on a screen leaves the others empty.
    """
    role, gap = setting.role("body"), setting.space("item")
    asking = set_both(setting, choice.label, role, place.node.child("P"), place.width, kind="Span")
    above, label = (asking[:-1], asking[-1]) if choice.label else ([], None)
    list_node = place.node.child("L")
    step = setting.length("box") + setting.length("box_gap")
    options = []
    asked = plain(choice.label).strip() or ", ".join(plain(words).strip() for words in choice.options)
    group = Group(setting.field_name("choice"), asked)
    for number, words in enumerate(choice.options):
        item = list_node.child("LI")
        text = setting.text(words, role, item.child("LBody"), max(place.width - step, 1.0))
        answered = choice.complete or choice.chosen is not None
        tip = " ".join(part for part in (plain(choice.label).strip(), plain(words).strip()) if part)
        field = None if answered else (group, tip)
        box = partial(paint_box, setting, node=item.child("Lbl"), field=field, ticked=choice.is_ticked(number))
        options.append((text, box))
    made = _in_a_line(setting, place, label, options, step)
    if not made:
        made = label.pieces(place.x, below=gap) if label else []
        for text, box in options:
            pieces = text.pieces(place.x + step, below=gap)
            pieces[0].paint = partial(_paint_option, place.x, box, text.base, pieces[0].paint)
            pieces[0].height = max(pieces[0].height, setting.length("box"))
            made += pieces
    made = [*(piece for text in above for piece in text.pieces(place.x)), *made]
    if made:
        made[-1].below = setting.space("paragraph")
    return hold(made, setting.room)


Option = tuple[Text, partial[None]]
"""The words of a choice and what paints the box before them."""


def _in_a_line(
    setting: Setting, place: Place, label: Text | None, options: Sequence[Option], step: float
) -> list[Piece]:
    """Set options in one line, with their label if there is room; nothing if there is none."""
    texts = [text for text, _ in options]
    if not texts or any(len(text.lines) > 1 for text in texts) or len({text.step for text in texts}) > 1:
        return []
    widths = [step + text.lines[0].width + APART for text in texts]
    needed, start = sum(widths) - APART, 0.0
    if label and len(label.lines) == 1 and label.lines[0].width + APART + needed <= place.width:
        start = label.lines[0].width + APART
    if start + needed > place.width:
        return []
    height = max(texts[0].height, setting.length("box"))
    line = Piece(height, partial(_paint_line, place.x, label if start else None, start, options, widths, step))
    line.base = texts[0].base
    return [line] if start or not label else [*label.pieces(place.x, below=setting.space("item")), line]


def _paint_line(
    x: float,
    label: Text | None,
    start: float,
    options: Sequence[Option],
    widths: Sequence[float],
    step: float,
    sheet: Sheet,
    top: float,
) -> None:
    if label:
        label.paint(x, sheet, top)
    left = x + start
    for (text, box), width in zip(options, widths, strict=True):
        box(sheet=sheet, x=left, y=top - text.base - BELOW_BASE)
        text.paint(left + step, sheet, top)
        left += width


def _paint_option(x: float, box: partial[None], base: float, text: Paint | None, sheet: Sheet, top: float) -> None:
    box(sheet=sheet, x=x, y=top - base - BELOW_BASE)
    if text:
        text(sheet, top)


def set_writing(setting: Setting, place: Place, writing: Writing) -> list[Piece]:
    """Set the label and the lines below it, or the first of them beside it."""
    label = setting.text(writing.label, setting.role("body"), place.node.child("P"), place.width)
    gap, step, tip = setting.space("paragraph"), setting.length("writing"), plain(writing.label).strip()
    pieces = label.pieces(place.x)
    end, count, beside = place.x + place.width, max(writing.lines, 1) + writing.more, not writing.lines
    for number in range(1, count + 1):
        field = _field(setting, f"{tip} ({number}/{count})" if count > 1 else tip)
        if beside and number == 1:
            used = min(label.lines[-1].width + setting.length("box_gap"), place.width)
            line = partial(_paint_pen, setting, place, place.x + used, end, field)
            pieces[-1].paint = partial(_paint_both, pieces[-1].paint, pieces[-1].height, line)
        else:
            line = partial(_paint_pen, setting, place, place.x, end, field)
            pieces.append(Piece(step, partial(paint_low, step, line)))
    pieces[-1].below = gap if beside else 2 * gap
    return hold(pieces, setting.room)


def _field(setting: Setting, tooltip: str) -> tuple[str, str] | None:
    name = setting.field_name("line")
    return (name, tooltip or name) if is_typed(setting) else None


def _paint_both(text: Paint | None, height: float, line: Paint, sheet: Sheet, top: float) -> None:
    if text:
        text(sheet, top)
    line(sheet, top - height)


def paint_low(height: float, line: Paint, sheet: Sheet, top: float) -> None:
    """Draw a line at the lower edge of its piece."""
    line(sheet, top - height)


def _paint_pen(
    setting: Setting,
    place: Place,
    start: float,
    end: float,
    field: tuple[str, str] | None,
    sheet: Sheet,
    y: float,
) -> None:
    """Draw a line for the pen from start to end, and lay a text field over it."""
    width = end - start
    left = sheet.left(start, width)
    sheet.below(stroked(left, y + WEIGHT / 2, left + width, WEIGHT, setting.color("ink")))
    if field and width > FIELD:
        name, tooltip = field
        size = setting.role("body").size
        sheet.then(
            lambda: sheet.page.text_field(
                place.node.child("Form").element,
                *(left, y + WEIGHT, width, FIELD),
                name=name,
                tooltip=tooltip,
                size=size,
            )
        )
