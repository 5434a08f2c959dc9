"""A table, or whose document it is > the width of its columns: the same in PDF and DOCX."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from docgen.blocks import Danger, Document, Table, Together, Words, plain
from docgen.render.fonts import width_em
from docgen.render.words import heads_group, with_small

_LONGEST_WORD, _LONGEST_CELL, _LEAST = 12.0, 36.0, 1.6
"""In em; what is longer does not widen its column any further, and none is narrower than the least."""

_STEPS, _STEP, _SPACE, _REGULAR = 12, 0.015, 0.26, 0.94
"""Tried shares of two columns, one step of them, the width of a space in em, and of Regular against Bold."""

_SLACK = 0.15
"""In em, beside the longest word: programs that set the file anew round their widths."""


PEN = 7.0
"""From one line for the pen to the next, in the cell of a table, in mm."""

_HAND = 1.25
"""How wide a hand writes, against print."""

_GAP, _ANY_GAP = re.compile("[ \t\n]"), re.compile("[ \t\n\u00a0]")


def wide(table: Table) -> bool:
    """Tell whether a table needs the side column as well."""
    return len(table.header) > 3


def tables_of(part: Document | Danger | Together) -> Iterator[Table]:
    """Find the tables of a document in reading order."""
    for block in part.blocks:
        if isinstance(block, Table):
            yield block
        elif isinstance(block, Danger | Together):
            yield from tables_of(block)


def with_its_like(table: Table, document: Document) -> Table:
    """Add the rows of all tables with the same head, to measure: columns of one kind stand under each other."""
    like = [other for other in tables_of(document) if other.header == table.header]
    return replace(table, rows=tuple(row for other in (like or [table]) for row in other.rows))


NARROWER, CLOSER = 2 / 3, 0.9
"""The gap between columns of a check list, and the lines of its words, against those of other tables."""


def person_widths(parts: Sequence[Words], width: float, side: float, size: float) -> list[float]:
    """
    Share a line among name, birth date and number.

    They stand on the columns of the page; a longer name takes its own width, if all still fit. Units: as `width`.
    """
    if len(parts) != 3:
        return [width / len(parts)] * len(parts)
    name, born, number = ((width_em(plain(part)) + 1) * size for part in parts)
    if name <= side or name + born + number > width:
        return [side, width - 2 * side, side]
    return [name, width - name - number, number]


def column_widths(table: Table, width: float, size: float, gap: float) -> list[float]:
    """
    Share a width among the columns of a table, gap to the next column included.

    A column gets its longest word first, then room by its longest cell. Units: as `width`, for `size` and `gap` too.
    """
    rows = [table.header, *(row for row in table.rows if not heads_group(table, row))]
    columns = [_text(rows, place) for place in range(len(table.header))]
    least = [(_longest_word(column, _GAP) + _SLACK) * size + gap for column in columns]
    if sum(least) > width:  # what is kept together parts where there is no room for it
        least = [(_longest_word(column, _ANY_GAP) + _SLACK) * size + gap for column in columns]
    wished = [
        max((_longest_cell(column) + _SLACK) * size + gap, low) for column, low in zip(columns, least, strict=True)
    ]
    for place in table.writing:  # who writes it again needs as much room as print
        least[place], wished[place] = max(least), max(wished)
    if sum(wished) <= width or sum(least) >= width:
        shares = wished if sum(wished) <= width else least
        return [part * width / sum(shares) for part in shares]
    return _filled(least, wished, width)


def in_fewest_lines(table: Table, widths: Sequence[float], size: float, gap: float) -> list[float]:
    """
    Share what the two widest columns of a check list have so that its rows have the fewest lines: it has one page.

    Units: as `widths`, for `size` and `gap` too.
    """
    one, other = sorted(sorted(range(len(widths)), key=lambda place: -widths[place])[:2])
    both, best = widths[one] + widths[other], (math.inf, 0.0, list(widths))
    columns = {place: _text((table.header, *table.rows), place) for place in (one, other)}
    least = {place: (_longest_word(column, _GAP) + _SLACK) * size + gap for place, column in columns.items()}
    for step in range(-_STEPS, _STEPS + 1):
        tried = list(widths)
        tried[one] = widths[one] + step * _STEP * both
        tried[other] = both - tried[one]
        if step and any(tried[place] < least[place] for place in least):
            continue
        room = [(width - gap) / size for width in tried]
        lines = 0
        for row in table.rows:
            wide = room[one] if plain(row[other]).strip() else room[one] + tried[other] / size
            lines += max(_lines(row[one], wide), _lines(row[other], room[other]))
        best = min(best, (lines, abs(step), tried))
    return best[2]


def lines_of_rows(table: Table, widths: Sequence[float], size: float, gap: float) -> int:
    """
    Count the lines that the rows of a table have, as near as the widths of their words tell.

    Units: as `widths`, for `size` and `gap` too.
    """
    rooms = [(width - gap) / size for width in widths]
    return sum(max(1, *(_lines(words, room) for words, room in zip(row, rooms, strict=True))) for row in table.rows)


def _lines(words: Words, room: float) -> int:
    """Count the lines of words in a room, in em, as near as their widths one by one tell."""
    lines, left = 0, 0.0
    for word, bold in ((word, span.bold) for span in words for word in span.text.split(" ")):
        width = _word(word) * (1 if bold else _REGULAR)
        if width > left + _SPACE:
            lines, left = lines + 1, room
        left -= width + _SPACE
    return lines


_word = lru_cache(maxsize=1024)(width_em)
"""Words and lines of tables, which are measured again and again."""


def pen_lines(table: Table, row: tuple[Words, ...], widths: Sequence[float], size: float) -> int:
    """
    Count the lines a hand needs to write the longest cell of a row again, of those in the document's language.

    Units: as `widths`, for `size` too.
    """
    if not table.writing:
        return 0
    own = (tuple(span for span in with_small(words)[0] if span.language is None) for words in row)
    said = max(width_em(plain(words)) for words in own)
    return max(math.ceil(said * _HAND * size / min(widths[place] for place in table.writing)), 1)


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


def _text(rows: Iterable[tuple[Words, ...]], place: int) -> str:
    """Give what a column says, its cells as lines."""
    return "\n".join([plain(row[place]) for row in rows])


def _longest_word(column: str, gap: re.Pattern[str]) -> float:
    """Measure what must not be cut: it stands between two gaps; a no-break space holds words together."""
    return max(min(max(map(_word, gap.split(column))), _LONGEST_WORD), _LEAST)


def _longest_cell(column: str) -> float:
    return min(max(map(_word, column.splitlines()), default=0.0), _LONGEST_CELL)
