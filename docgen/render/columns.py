"""A table > the width of its columns: the same in PDF and DOCX."""

from __future__ import annotations

import re

from docgen.blocks import Table, Words, plain
from docgen.render.fonts import width_em

_LONGEST_WORD, _LONGEST_CELL, _LEAST = 12.0, 36.0, 1.6
"""In em; what is longer does not widen its column any further, and none is narrower than the least."""


_GAP = re.compile("[ \t\n]")


def wide(table: Table) -> bool:
    """Tell whether a table needs the side column as well."""
    return len(table.header) > 4


def column_widths(table: Table, width: float, size: float, gap: float) -> list[float]:
    """
    Share a width among the columns of a table, gap to the next column included.

    A column gets its longest word first, then room by its longest cell. Units: as `width`, for `size` and `gap` too.
    """
    columns = [[row[place] for row in (table.header, *table.rows)] for place in range(len(table.header))]
    least = [_longest_word(column) * size + gap for column in columns]
    wished = [max(_longest_cell(column) * size + gap, low) for column, low in zip(columns, least, strict=True)]
    if sum(wished) <= width or sum(least) >= width:
        shares = wished if sum(wished) <= width else least
        return [part * width / sum(shares) for part in shares]
    return _filled(least, wished, width)


def _filled(least: list[float], wished: list[float], width: float) -> list[float]:
    """Give narrow columns what they wish and let the wide ones share the rest."""
    widths = list(least)
    waiting = sorted(range(len(widths)), key=lambda place: wished[place] - least[place])
    spare = width - sum(least)
    for number, place in enumerate(waiting):
        more = min(wished[place] - least[place], spare / (len(waiting) - number))
        widths[place] += more
        spare -= more
    return widths


def _longest_word(column: list[Words]) -> float:
    """Measure what must not be cut; a no-break space holds words together."""
    words = (width_em(word) for cell in column for word in _GAP.split(plain(cell)))
    return max(min(max(words, default=0.0), _LONGEST_WORD), _LEAST)


def _longest_cell(column: list[Words]) -> float:
    lines = (width_em(line) for cell in column for line in plain(cell).splitlines())
    return min(max(lines, default=0.0), _LONGEST_CELL)
