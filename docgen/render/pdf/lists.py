"""Lists, and labels with their values > pieces. Both are lists to who hears the page: a label names its value."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from docgen.blocks import Items, Pairs, Span, Words
from docgen.render.pdf.halves import first_role, set_both
from docgen.render.pdf.pieces import Paint, Piece, hold, hold_ends
from docgen.render.pdf.setting import MM, Place, Setting, Stack, Text, row
from docgen.render.pdf.sheet import Node, Sheet
from docgen.render.pdf.strokes import filled
from docgen.render.words import lines_of

CAPITALS_MIDDLE = 0.357
"""Height of the middle of capitals in em, where the square before an item stands."""

LARGE_GAP = 8.0
"""Points between two pairs in large print (page design, section 5)."""

PAIR_GAP = 1.5
"""Points between two pairs (page design, section 5)."""

GUTTER, SHORT_LABEL = 3 * MM, 11 * MM
"""From a label to its value, and how much narrower the second label of a line is (page design, section 5: 37)."""

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
        texts = set_both(
            setting, words, role, item.child("LBody"), place.width - step, first=first_role(setting, "body")
        )
        pieces = [piece for text in texts for piece in text.pieces(place.x + step)]
        pieces[0].paint = partial(_paint_item, setting, label, place.x, texts[0].base, pieces[0].paint)
        pieces[-1].below = gap
        groups.append(hold(pieces, setting.room) if len(texts) > 1 else pieces)
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
        groups = [labeled(setting, place, label, value, node) for label, value in pairs.rows]
    else:
        label = place.width * LABEL_SHARE if place.inside else setting.length("label")
        lines = _two_abreast(setting, place, pairs, label)
        groups = [_in_columns(setting, place, line, label, node) for line in lines]
    made = hold_ends(groups)
    if made:
        made[-1].below = setting.space("paragraph")
    return made


def _two_abreast(setting: Setting, place: Place, pairs: Pairs, label: float) -> Iterator[list[tuple[Words, Words]]]:
    """Give pairs line by line: two that follow each other stand beside each other if both are short."""
    rows, number = pairs.rows, 0
    names, room = (label, label - SHORT_LABEL), (place.width - 2 * label + SHORT_LABEL) / 2
    while number < len(rows):
        both = [*rows[number : number + 2]]
        fit = all(_is_short(setting, pair, name, room) for pair, name in zip(both, names, strict=False))
        if place.inside or not fit:
            del both[1:]
        yield both
        number += len(both)


def _is_short(setting: Setting, pair: tuple[Words, Words], label: float, room: float) -> bool:
    """Tell whether label and value take one line each, in half of the column."""
    name, value = pair
    fits = setting.natural(name, setting.role("label")) <= label - GUTTER
    return fits and len(lines_of(value)) == 1 and setting.natural(value, setting.role("body")) <= room - GUTTER


def _in_columns(
    setting: Setting, place: Place, pairs: Sequence[tuple[Words, Words]], label: float, node: Node
) -> list[Piece]:
    """Set one pair over the whole width, or two that are short, in one row."""
    x, stacks = place.x, []
    room = place.width - label if len(pairs) == 1 else (place.width - 2 * label + SHORT_LABEL) / 2
    for name, value in pairs:
        item = node.child("LI")
        text = setting.text(name, setting.role("label"), item.child("Lbl"), label - GUTTER)
        body, first = setting.role("body"), first_role(setting, "body")
        said = set_both(setting, value, body, item.child("LBody"), room, first=first)
        stacks += [Stack(x, [text]), Stack(x + label, said)]
        x, label = x + label + room, label - SHORT_LABEL
    pieces = row(stacks, setting.tallest)
    pieces[-1].below = PAIR_GAP
    return pieces


def labeled(setting: Setting, place: Place, label: Words, value: Words, node: Node) -> list[Piece]:
    """Set a value below its label, on the same page as it."""
    texts = _label_over(setting, label, value, node, place.width)
    made = [piece for text in texts for piece in text.pieces(place.x)]
    made[-1].below = LARGE_GAP
    return hold(made, setting.room)


def abreast(setting: Setting, place: Place, rows: Sequence[tuple[Words, Words]], node: Node) -> list[Piece]:
    """Set values below their labels, beside each other; below each other if one would take two lines."""
    room = (place.width + LARGE_GAP) / len(rows) - LARGE_GAP
    stacks = [
        Stack(place.x + number * (room + LARGE_GAP), _label_over(setting, label, value, node, room))
        for number, (label, value) in enumerate(rows)
    ]
    if any(len(stack.texts) > 2 or len(text.lines) > 1 for stack in stacks for text in stack.texts):
        return [piece for label, value in rows for piece in labeled(setting, place, label, value, node)]
    pieces = row(stacks, setting.tallest)
    pieces[-1].below = LARGE_GAP
    return pieces


def _label_over(setting: Setting, label: Words, value: Words, node: Node, width: float) -> list[Text]:
    item = node.child("LI")
    names = set_both(setting, label, setting.role("column"), item.child("Lbl"), width)
    return [*names, *set_both(setting, value, setting.role("body"), item.child("LBody"), width)]
