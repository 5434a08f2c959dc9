"""
Words with a look of their own > room for it in their line, and what is drawn there.

A framed word behind a diamond touches what matters to a patient; an open diamond stands before what nobody recorded.
Apart from `setting`: the words ride through the line as a link that leads nowhere, and so tell where they stand.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby

from docgen.blocks import Span, Words
from docgen.render.pdf.strokes import framed, outline, shape

ROOM = "\u2007\u2007"
"""Before the words, for the diamond: two spaces as wide as digits, at which no line breaks."""

NO_BREAK = "\u00a0"

OPEN, FILLED, FRAME = "look:open", "look:filled", "look:frame"
"""In place of an address: the room of a diamond, and words in a frame."""

OPEN_HALF, FILLED_HALF, MIDDLE = 0.42, 0.27, 0.357
"""In em: half the width of a diamond, and the height of its middle, which is that of capitals."""

BELOW, ABOVE = 0.32, 1.02
"""In em: from the base line to the edges of a frame."""

LINE = 0.75
"""Points (page design, section 5)."""

Stretch = tuple[float, float, str]
"""Start, end and address of some words in a line."""


def with_room(words: Words) -> Words:
    """Give words with a look the room for it; a frame keeps its words in one line."""
    return tuple(part for span in words for part in _parts(span)) if any(span.look for span in words) else words


def _parts(span: Span) -> Iterator[Span]:
    if span.look == "unrecorded":
        yield replace(span, text=ROOM, look="", link=OPEN, isolated=False)
        yield replace(span, look="")
    elif span.look == "tag":
        yield replace(span, text=ROOM, look="", link=FILLED, isolated=False)
        yield replace(span, text=span.text.replace(" ", NO_BREAK) + NO_BREAK, look="", link=FRAME)
    else:
        yield replace(span, look="") if span.look else span


def loosened(words: Words) -> Words:
    """Let words part that are kept together, where a column is narrower than they are."""
    return tuple(replace(span, text=span.text.replace(NO_BREAK, " ")) for span in words)


def is_look(address: str) -> bool:
    """Tell whether an address is no address."""
    return address.startswith("look:")


def drawn_looks(stretches: Sequence[Stretch], left: float, base: float, size: float, ink: str) -> bytes:
    """Draw the looks of a line: diamonds in their room, a frame around each; all in points."""
    made = b""
    framing: list[Stretch] = []
    for address, group in groupby(stretches, key=lambda one: one[2]):
        parts = [*group]  # right-to-left words are placed one by one
        if address != FRAME:
            made += _frame(framing, left, base, size, ink)
            framing = parts if address == FILLED else []
            middle = (min(one[0] for one in parts) + max(one[1] for one in parts)) / 2
            made += _diamond(left + middle, base + MIDDLE * size, size, address, ink)
        else:
            framing = framing + parts
    return made + _frame(framing, left, base, size, ink)


def _diamond(x: float, y: float, size: float, address: str, ink: str) -> bytes:
    half = (FILLED_HALF if address == FILLED else OPEN_HALF) * size
    points = [(x - half, y), (x, y + half), (x + half, y), (x, y - half)]
    return shape(points, ink) if address == FILLED else outline([*points, *points[:2]], LINE, ink)


def _frame(stretches: Sequence[Stretch], left: float, base: float, size: float, ink: str) -> bytes:
    if not stretches:
        return b""
    start, end = min(one[0] for one in stretches), max(one[1] for one in stretches)
    return framed(left + start, base - BELOW * size, end - start, (BELOW + ABOVE) * size, LINE, ink)
