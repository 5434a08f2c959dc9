"""The two loud things of a page > pieces: a caution to staff, and a patient's danger box."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial

from docgen import blocks as model
from docgen.blocks import Block, Caution, Danger, Words
from docgen.render.pdf.lists import paint_square
from docgen.render.pdf.pieces import Bond, Frame, Paint, Piece, Repeat, head, height_of, hold
from docgen.render.pdf.setting import MM, Place, Setting, Stack, Text, row
from docgen.render.pdf.sheet import Node, Sheet
from docgen.render.pdf.strokes import filled, framed, shape, stroked
from docgen.render.style import Role, telephone
from docgen.render.words import number_and_hours

Inner = Callable[[Iterable[Block], Place], list[Piece]]
"""Sets blocks inside a frame."""

BAR, FRAME, LARGE_FRAME, PARTING = 2.25, 2.25, 3.0, 0.75
"""Points: the bar of a caution, the frame of the box, in large print, the line above its telephone numbers."""

PAD = 4 * MM
TRIANGLE = ((3.2, 0.3), (6.2, 5.5), (0.2, 5.5))
"""In mm, y downward, in a place of 6.4 by 5.8."""

TWO_COLUMNS = (4, 12)
"""The fewest and the most signs that stand in two columns."""

ABREAST = (3, 2)
"""Telephone numbers beside each other, if they fit."""

LONGEST_BAND = 3
"""Lines of a title that stands again on the next page."""


def set_caution(setting: Setting, place: Place, caution: Caution) -> list[Piece]:
    """Set a caution behind a bar, which goes on where a page cuts the text."""
    step = setting.length("caution_gap") + BAR
    text = setting.text(caution.words, setting.role("body"), place.node.child("P"), place.width - step)
    pieces = text.pieces(place.x + step, below=setting.space("paragraph"))
    for piece in pieces:
        piece.paint = partial(_with_bar, setting.color("ink"), place.x, piece.height, piece.paint)
    return pieces


def _with_bar(ink: str, x: float, height: float, paint: Paint | None, sheet: Sheet, top: float) -> None:
    sheet.below(filled(sheet.left(x, BAR), top - height, BAR, height, ink))
    if paint:
        paint(sheet, top)


def set_danger(setting: Setting, place: Place, danger: Danger, inner: Inner) -> list[Piece]:
    """Set a frame below a band, whole if a page can hold it; else each part has its frame and the band."""
    x, width = (place.x, place.width) if place.inside else (0.0, setting.content)
    node = place.node.child("Div")
    title = node.child(setting.heading_kind(3 if setting.level > 1 else 2))
    within = Place(x + PAD, width - 2 * PAD, node, True)
    band, repeat = _band(setting, danger.title, title, x, width)
    blocks = danger.blocks
    last = blocks[-1] if blocks and isinstance(blocks[-1], model.Pairs) else None
    parts = _signs(setting, within, blocks[:-1] if last else blocks, inner)
    parts = _close(parts) if setting.large else parts
    numbers = _telephones(setting, within, last, x, width) if last else []
    parts += numbers
    parts = [*band, *(parts or [Piece(0.0)])]
    parts[-1].below = setting.space("paragraph") + PAD / 2 + FRAME
    parts[0].above = max(setting.space("paragraph"), 9.0)
    frame = Frame(PAD / 2, partial(_paint_frame, setting, x, width))
    for piece in parts:
        piece.frame = frame
        if repeat and piece not in band:
            piece.repeat = repeat
    _bind(parts, len(band), setting.room - PAD)
    if numbers:  # rather than on a later page, the signs stand where they are read first
        parts[-len(numbers) - 1].bond = min(parts[-len(numbers) - 1].bond, Bond.SOFT)
    return parts


def _bind(parts: list[Piece], band: int, limit: float) -> None:
    whole = height_of(parts)
    if whole <= limit:
        hold(parts, limit)
        return
    for piece in (*parts[: band + 3], *parts[-4:-1]):  # three signs follow the band, three stand at the end
        piece.bond = max(piece.bond, Bond.ALONE)


def _band(setting: Setting, words: Words, node: Node, x: float, width: float) -> tuple[list[Piece], Repeat | None]:
    role = setting.role("danger")
    step = 9.5 * MM * role.size / 14
    text = setting.text(words, role, node, width - 2 * PAD - step)
    pieces = text.pieces(x + PAD + step)
    pad = 4.0
    for number, piece in enumerate(pieces):
        piece.bond, above, below = Bond.HEADED, pad * (number == 0), pad * (number == len(pieces) - 1)
        paint = piece.paint
        piece.height += above + below
        piece.reach = piece.height
        piece.paint = partial(_paint_band, setting, x, width, piece.height, above, number == 0, role, paint)
    pieces[-1].below = setting.space("rule")
    if len(text.lines) > LONGEST_BAND:
        return pieces, None
    height = text.height + 2 * pad
    again = partial(text.again().paint, x + PAD + step)
    paint = partial(_paint_band, setting, x, width, height, pad, True, role, again)
    return pieces, Repeat(height + setting.space("rule"), paint)


def _paint_band(
    setting: Setting,
    x: float,
    width: float,
    height: float,
    above: float,
    marked: bool,
    role: Role,
    text: Paint | None,
    sheet: Sheet,
    top: float,
) -> None:
    """Paint the band and, on its first line, a triangle with an exclamation mark."""
    danger, paper = setting.color("danger"), setting.color("paper")
    sheet.below(filled(sheet.left(x, width), top - height, width, height, danger))
    if marked:
        scale = MM * role.size / 14
        left, upper = sheet.left(x + PAD, 6.4 * scale), top - above - role.line / 2 + 2.9 * scale
        sheet.below(shape([(left + dx * scale, upper - dy * scale) for dx, dy in TRIANGLE], paper))
        sheet.below(filled(left + 2.85 * scale, upper - 3.7 * scale, 0.7 * scale, 1.8 * scale, danger))
        sheet.below(filled(left + 2.85 * scale, upper - 4.8 * scale, 0.7 * scale, 0.7 * scale, danger))
    if text:
        text(sheet, top - above)


def _paint_frame(setting: Setting, x: float, width: float, sheet: Sheet, top: float, bottom: float) -> None:
    weight = LARGE_FRAME if setting.large else FRAME
    left = sheet.left(x, width) + weight / 2
    sheet.below(framed(left, bottom, width - weight, top - bottom, weight, setting.color("danger")))


def _close(pieces: list[Piece]) -> list[Piece]:
    """Take the space out of a list in large print: the signs and the numbers shall stand on the first page."""
    for piece in pieces[:-1]:
        piece.below = 0.0
    return pieces


def _signs(setting: Setting, place: Place, blocks: Iterable[Block], inner: Inner) -> list[Piece]:
    """Set what stands in the box; a list of short signs in two columns."""
    made: list[Piece] = []
    open_blocks: list[Block] = []
    for block in blocks:
        columns = _columns(setting, place, block) if isinstance(block, model.Items) else None
        if columns is None:
            open_blocks.append(block)
            continue
        made += [*inner(open_blocks, place), columns]
        open_blocks = []
    return [*made, *inner(open_blocks, place)]


def _columns(setting: Setting, place: Place, items: model.Items) -> Piece | None:
    """Set a list in two columns, read down the first and then the second; None if it is too long or too short."""
    fewest, most = TWO_COLUMNS
    if setting.large or items.ordered or not fewest <= len(items.items) <= most:
        return None
    step, gap, role = setting.length("item"), setting.space("item"), setting.role("body")
    node, half = place.node.child("L"), place.width / 2
    texts = [setting.text(words, role, node.child("LI").child("LBody"), half - step - gap) for words in items.items]
    if any(len(text.lines) > 3 for text in texts):
        return None
    middle = (len(texts) + 1) // 2
    sides = (texts[:middle], texts[middle:])
    height = max(sum(text.height + gap for text in side) for side in sides) - gap
    return Piece(height, partial(_paint_columns, setting, place.x, half, sides), below=setting.space("paragraph"))


def _paint_columns(
    setting: Setting, x: float, half: float, sides: tuple[list[Text], list[Text]], sheet: Sheet, top: float
) -> None:
    step, gap = setting.length("item"), setting.space("item")
    for side, texts in enumerate(sides):
        depth = top
        for text in texts:
            paint_square(setting, x + side * half, depth - text.base, sheet)
            text.paint(x + side * half + step, sheet, depth)
            depth -= text.height + gap


def _telephones(setting: Setting, place: Place, pairs: model.Pairs, x: float, width: float) -> list[Piece]:
    """Set labels above their large numbers, parted from the signs by a line; beside each other if all fit."""
    body = setting.role("body")
    number = telephone(body, setting.large)
    node, split = place.node.child("L"), [number_and_hours(value) for _, value in pairs.rows]
    widest = max((setting.natural(one, number) for one, _ in split), default=0.0)
    across = next((n for n in ABREAST if n * (widest + PAD) <= place.width + PAD), 1)
    room, last = (place.width + PAD) / across - PAD, len(pairs.rows) - 1
    made: list[Piece] = []
    stacks: list[Stack] = []
    for place_of, ((name, _), (one, hours)) in enumerate(zip(pairs.rows, split, strict=True)):
        item, alone = node.child("LI"), place_of == last and not stacks
        said, wide = item.child("LBody"), place.width if alone else room
        label = setting.text(name, setting.role("column"), item.child("Lbl"), wide)
        texts = [setting.text(one, number, said, wide)] if one else []
        texts += [setting.text(hours, setting.role("small") if one else body, said, wide)] if hours else []
        if alone and len(texts) > 1 and _fit_beside(texts, wide):
            made += [*head(label.pieces(place.x)), *_in_a_line(setting, place.x, texts)]
            break
        stacks.append(Stack(place.x + len(stacks) * (room + PAD), [label, *texts]))
        if len(stacks) == across or place_of == last:
            made += row_of(setting, stacks)
            stacks = []
    if made:
        line_above = partial(_paint_parting, setting, x, width, made[0].paint)
        made[0].paint, made[0].above = line_above, setting.space("paragraph") * (1 if setting.large else 1.5)
    return made


def _fit_beside(texts: list[Text], width: float) -> bool:
    """Tell whether a number and its hours fit into one line."""
    whole = sum(text.lines[0].width for text in texts) + PAD / 2
    return all(len(text.lines) == 1 for text in texts) and whole <= width


def _in_a_line(setting: Setting, x: float, texts: list[Text]) -> list[Piece]:
    """Set hours beside their number, on its base line."""
    number, hours = texts
    hours.base = number.base
    return row_of(setting, [Stack(x, [number]), Stack(x + number.lines[0].width + PAD / 2, [hours])])


def row_of(setting: Setting, stacks: list[Stack]) -> list[Piece]:
    """Set telephone numbers beside each other."""
    pieces = row(stacks, setting.tallest)
    pieces[-1].below = setting.space("item")
    return pieces


def _paint_parting(setting: Setting, x: float, width: float, below: Paint | None, sheet: Sheet, top: float) -> None:
    left = sheet.left(x, width)
    sheet.below(stroked(left, top + setting.space("item"), left + width, PARTING, setting.color("danger")))
    if below:
        below(sheet, top)
