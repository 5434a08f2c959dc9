"""
Whose document it is > name, birth date and number between two lines, broken between them and not inside.

Apart from the rest of the head, because the first page and the later ones have it alike.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from docgen.blocks import Words
from docgen.render.columns import person_widths
from docgen.render.pdf.pieces import Piece
from docgen.render.pdf.setting import Setting, Stack, row
from docgen.render.pdf.sheet import Node, Sheet
from docgen.render.pdf.strokes import stroked
from docgen.render.style import Role

RULE = 0.5
"""Points."""

GAP = 1.0
"""Least space between two of the three in a line, in em."""

_SLACK = 0.5
"""Points beside what is measured, so that a rounding breaks no line."""

_ROUNDING = 3.0
"""Points left free where letters are made smaller: their slack is not."""

Row = tuple[int, list[float]]
"""The first of the parts that stand in one line, and the width of each."""


def person_row(setting: Setting, nodes: Sequence[Node | str], role: Role, pad: float) -> list[Piece]:
    """Set name, birth date and number between two lines; the last of a line stands at the end edge."""
    parts, content = setting.document.furniture.person, setting.content
    lines: list[Piece] = []
    for first, widths in _rows(setting, parts, role) if parts else ():
        x, stacks = 0.0, []
        for place, width in enumerate(widths, first):
            end = place == first + len(widths) - 1 > first
            text = setting.text(parts[place], role, nodes[place], width, bold=place == 0, end=end)
            stacks.append(Stack(x, [text]))
            x += width
        lines += row(stacks, setting.tallest)
    height = sum(line.height for line in lines) + 2 * pad
    if not lines or height > setting.tallest:
        return lines

    def paint(sheet: Sheet, top: float) -> None:
        left, ink = sheet.left(0.0, content), setting.color("line")
        sheet.below(stroked(left, top, left + content, RULE, ink))
        sheet.below(stroked(left, top - height, left + content, RULE, ink))
        depth = top - pad
        for line in lines:
            if line.paint:
                line.paint(sheet, depth)
            depth -= line.height

    return [Piece(height, paint)]


def fitted(setting: Setting, role: Role, least: float) -> Role:
    """Give a role in which all three stand in one line, if it need not be under `least` points; else the role."""
    parts, size = setting.document.furniture.person, role.size
    needed = sum(_needed(setting, parts, role)) + GAP * size * (len(parts) - 1)
    share = min(1.0, (setting.content - _ROUNDING) / needed) if parts else 1.0
    return replace(role, size=size * share, line=role.line * share) if least <= size * share < size else role


def _needed(setting: Setting, parts: Sequence[Words], role: Role) -> list[float]:
    return [setting.natural(words, role, bold=place == 0) + _SLACK for place, words in enumerate(parts)]


def _rows(setting: Setting, parts: Sequence[Words], role: Role) -> Iterator[Row]:
    """Share the lines: all on the columns of the page, close together, the name above the others, or each alone."""
    content, gap = setting.content, GAP * role.size
    needed = _needed(setting, parts, role)
    columns = person_widths(parts, content, setting.length("side"), role.size)
    if all(part <= column for part, column in zip(needed, columns, strict=True)):
        yield 0, columns
        return
    for first in range(min(2, len(parts))):
        *others, last = needed[first:]
        widths = [part + gap for part in others]
        if sum(widths) + last <= content:
            yield from ((place, [content]) for place in range(first))
            yield first, [*widths, content - sum(widths)]
            return
    yield from ((place, [content]) for place in range(len(parts)))
