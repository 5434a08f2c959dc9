"""Lists, and labels with their values > pieces. Both are lists to who hears the page: a label names its value."""

from __future__ import annotations

from functools import partial

from docgen.blocks import Items, Pairs, Span, Words
from docgen.render.pdf.pieces import Paint, Piece, hold, hold_ends
from docgen.render.pdf.setting import MM, Place, Setting, Stack, Text, row
from docgen.render.pdf.sheet import Node, Sheet
from docgen.render.pdf.strokes import filled

CAPITALS_MIDDLE = 0.357
"""Height of the middle of capitals in em, where the square before an item stands."""

LARGE_GAP = 8.0
"""Points between two pairs in large print (page design, section 5)."""

PAIR_GAP = 1.5
"""Points between two pairs (page design, section 5)."""

LABEL_SHARE = 0.4
"""Of the width, inside a frame."""


def set_items(setting: Setting, place: Place, items: Items) -> list[Piece]:
    """Set a list; each item behind a square or its number."""
    role, gap = setting.role("body"), setting.space("item")
    node = place.node.child("L", numbering="Decimal" if items.ordered else "")
    labels = [(Span(f"{number}."),) for number in range(1, len(items.items) + 1)] if items.ordered else []
    step = setting.length("item")
    if labels:
        step = max(step, setting.natural(labels[-1], role) + 0.5 * role.size)
    step = min(step, place.width / 2)
    groups = []
    for number, words in enumerate(items.items):
        item = node.child("LI")
        label = setting.text(labels[number], role, item.child("Lbl"), step) if labels else None
        text = setting.text(words, role, item.child("LBody"), place.width - step)
        pieces = text.pieces(place.x + step, below=gap)
        pieces[0].paint = partial(_paint_item, setting, label, place.x, text.base, pieces[0].paint)
        groups.append(pieces)
    made = hold_ends(groups)
    if made:
        made[-1].below = setting.space("paragraph")
    return made


def _paint_item(
    setting: Setting, label: Text | None, x: float, base: float, text: Paint | None, sheet: Sheet, top: float
) -> None:
    if label:
        label.paint(x, sheet, top)
    else:
        paint_square(setting, x, top - base, sheet)
    if text:
        text(sheet, top)


def paint_square(setting: Setting, x: float, base: float, sheet: Sheet) -> None:
    """Draw the square before an item, on the middle of its capitals."""
    square, role = setting.length("square"), setting.role("body")
    low = base + CAPITALS_MIDDLE * role.size - square / 2
    sheet.below(filled(sheet.left(x, square), low, square, square, role.color))


def set_pairs(setting: Setting, place: Place, pairs: Pairs) -> list[Piece]:
    """Set labels with their values beside them; in large print the value stands below."""
    node = place.node.child("L")
    if setting.large:
        groups = [_labeled(setting, place, label, value, node) for label, value in pairs.rows]
    else:
        width = place.width * LABEL_SHARE if place.inside else setting.length("label")
        groups = []
        for label, value in pairs.rows:
            item = node.child("LI")
            name = setting.text(label, setting.role("label"), item.child("Lbl"), width - 3 * MM)
            text = setting.text(value, setting.role("body"), item.child("LBody"), place.width - width)
            groups.append(row([Stack(place.x, [name]), Stack(place.x + width, [text])], setting.tallest))
            groups[-1][-1].below = PAIR_GAP
    made = hold_ends(groups)
    if made:
        made[-1].below = setting.space("paragraph")
    return made


def _labeled(setting: Setting, place: Place, label: Words, value: Words, node: Node) -> list[Piece]:
    """Set a value below its label, on the same page as it."""
    item = node.child("LI")
    name = setting.text(label, setting.role("column"), item.child("Lbl"), place.width)
    text = setting.text(value, setting.role("body"), item.child("LBody"), place.width)
    pieces = [*name.pieces(place.x), *text.pieces(place.x, below=LARGE_GAP)]
    return hold(pieces, setting.room)
