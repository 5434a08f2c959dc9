"""Doses given and their limits > a bar for each, the limit as a line (design 6.5). Staff only, never mirrored."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from docgen.blocks import Figure, Words
from docgen.render.drawing.lettering import Lettering
from docgen.render.drawing.shapes import Drawing, Label, Measure, Part, Path, move
from docgen.render.drawing.strokes import box, hatched, line

LABEL, TRACK, AFTER = 24.0, 48.0, 3.0
LIMIT_AT = LABEL + TRACK
GAP, LEAST_TRACK = 2.0, 30.0
"""From a label to its bar; the track of a figure with a long word among its labels is shorter, down to this."""

WIDTH = 126.0
HEAD, ROW, BAR = 5.2, 8.4, 4.6
BEYOND = 0.25
"""How much of the track a bar may pass the limit before it ends in an arrow."""

ARROW = 2.6
LIMIT, LIMIT_OUT = 0.265, 1.1
"""0.75 pt; how far the line passes the bar."""

PITCH, STROKE = 1.2, 0.5
SIZE = 9.5
"""Staff text is never smaller (design 8)."""


def draw_dose(figure: Figure, *, width_mm: float, measure: Measure) -> Drawing | None:
    """Draw a bar for each term; None where the bars do not fit into the width."""
    if width_mm < WIDTH - 0.1:
        return None
    none, half, limit, *words = figure.words
    rows: list[tuple[float, Words, Words, Words]] = []
    for part in figure.data["parts"]:
        mine, words = words[: int(part["labels"])], words[int(part["labels"]) :]
        name, over, numbers = mine if len(mine) == 3 else (mine[0], (), mine[1])
        rows.append((float(part["percent"]) / 100, name, over, numbers))
    ink = Lettering(measure, SIZE)
    widest = max([ink.widest(name, LABEL - GAP) for _, name, _, _ in rows], default=0.0)
    start = min(max(LABEL, widest + GAP), LIMIT_AT - LEAST_TRACK)
    scale = Lettering(measure, color="quiet")
    base = scale.ascent
    parts: list[Part] = [scale.one(none, start, base, "middle")]
    parts.append(scale.one(half, (start + LIMIT_AT) / 2, base, "middle"))
    parts.append(Lettering(measure, bold=True).one(limit, LIMIT_AT, base, "middle"))
    top = HEAD
    for share, name, over, numbers in rows:
        labels = list(_labels(name, numbers, over, measure))
        height = max(ROW, *(_depth(label, measure) for label in labels))
        middle = top + height / 2
        parts += _bar(middle, share, start)
        parts += [replace(label, y=label.y + middle) for label in labels]
        top += height
    return Drawing(WIDTH, top, tuple(parts))


def _bar(middle: float, share: float, start: float) -> Iterator[Path]:
    top, track = middle - BAR / 2, LIMIT_AT - start
    filled = track * min(share, 1.0)
    yield Path(box(start, top, track, BAR), fill="paper", stroke="line", width=0.3)
    if filled > 0:
        yield Path(box(start, top, filled, BAR), fill="deep")
    half = start + track / 2
    yield Path(line((half, top), (half, top + BAR)), stroke="paper" if share > 0.5 else "line", width=0.3)
    if share > 1:
        yield from _over(LIMIT_AT, top, track * min(share - 1, BEYOND), share - 1 > BEYOND)
    yield Path(line((LIMIT_AT, top - LIMIT_OUT), (LIMIT_AT, top + BAR + LIMIT_OUT)), stroke="ink", width=LIMIT)


def _over(limit: float, top: float, length: float, farther: bool) -> Iterator[Path]:
    """Hatch what passes the limit; an arrow says that it goes on."""
    yield hatched(limit, top, length, BAR, color="danger", stroke=STROKE, pitch=PITCH)
    yield Path(box(limit, top, length, BAR), stroke="danger", width=0.3)
    if farther:
        tip = limit + length
        head = (move(tip, top), (tip + ARROW, top + BAR / 2), (tip, top + BAR), ())
        yield Path(head, fill="danger")


def _labels(name: Words, numbers: Words, over: Words, measure: Measure) -> Iterator[Label]:
    """Set name and numbers about the middle of a row, at height 0."""
    ink = Lettering(measure, SIZE)
    start = LIMIT_AT + (TRACK * BEYOND + ARROW if over else 0.0) + AFTER
    yield from ink.block(name, 0.0, 0.0, LABEL - GAP)
    room = WIDTH - start
    lines = len(ink.lines(numbers, room))
    loud = Lettering(measure, SIZE, bold=True, color="danger")
    told = len(loud.lines(over, room))
    shift = ink.leading / 2
    if over:
        yield from loud.block(over, WIDTH, -shift * lines, room, "end")
    yield from ink.block(numbers, WIDTH, shift * told, room, "end")


def _depth(label: Label, measure: Measure) -> float:
    """Give the height of a row that holds a label."""
    ink = Lettering(measure, label.size)
    return 2 * max(ink.ascent - label.y, label.y + ink.descent) + 1.0
