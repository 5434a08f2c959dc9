"""
A table of risks > rows of a name, a strip of dots and two numbers (page design, section 6.1).

Apart from `grid`: a strip has its own column without a head, and a long name stands above the strip it names, where
it has the whole width; what is said of the row stands beside the strip.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

from docgen.blocks import Figure, Table, Words, plain
from docgen.render.columns import tables_of
from docgen.render.pdf.cells import Cell, number_widths, set_number
from docgen.render.pdf.drawings import draw_figure
from docgen.render.pdf.grid import Grid, Rule
from docgen.render.pdf.halves import first_role, height_of_texts, set_both
from docgen.render.pdf.pieces import Piece
from docgen.render.pdf.setting import MM, Place, Setting, Text, own_language
from docgen.render.pdf.sheet import Node, Sheet, in_language
from docgen.render.words import halves, heads_group, with_second

STRIPS = (76 * MM, 68 * MM, 60 * MM)
"""
Widths of a strip, the usual and the smallest (6.1), and one between them, where "about 230" is wider than in English.

The smallest is for a comparison, and where two languages need the room.
"""

GAP, PAD, CLOSE, NEAR = 2 * MM, 3 * MM, 1.5 * MM, 1 * MM
"""Between columns, above and below a strip, the same among rows of one name, and from a name to the strip below it."""

WIDER = 4.5 * MM
"""Between the numbers of a comparison, which would run into each other."""

HEAD_SHARE = 0.58
"""Of the width of a column's head, which may take two lines."""

BESIDE, BOTH_BESIDE = 3, 2
"""Lines of a name that stands beside its strip, and of each of two languages; a longer one stands above it."""


def set_risks(setting: Setting, table: Table, x: float, width: float, place: Place) -> list[Piece] | None:
    """Set a table with strips; None where it leaves no room for them. Lengths in points."""
    first = _strip(setting, table, width)
    for strip in (one for one in STRIPS if one <= first):
        widths = _widths(setting, table, width - strip - GAP)
        if widths:
            return _Risks(setting, table, x, width, place, widths, strip).pieces()
    return None


def _is_narrow(table: Table) -> bool:
    """Tell whether a table is a comparison, or in two languages."""
    return any(heads_group(table, row) for row in table.rows) or len(halves(table.header[0])) > 1


def _gap(table: Table) -> float:
    """Give the gap between two columns of numbers: wider where each spells its denominator."""
    return WIDER if any(heads_group(table, row) for row in table.rows) else GAP


def _strip(setting: Setting, table: Table, width: float) -> float:
    """Find the widest strip beside which the numbers look well: the same in all tables of a document."""
    if _is_narrow(table):
        return STRIPS[-1]
    like = [one for one in tables_of(setting.document) if any(one.drawings) and not _is_narrow(one)] or [table]
    wished = max(sum(_needs(setting, one)[1]) for one in like)
    least = setting.length("side_rule")
    return next((strip for strip in STRIPS if least + wished <= width - strip - GAP), STRIPS[-1])


def _needs(setting: Setting, table: Table) -> tuple[list[float], list[float]]:
    """Measure the columns of numbers: the least width of each, and the one in which it looks well."""
    role, last = setting.role("cell"), len(table.header) - 1
    least, wished = [], []
    for column in range(1, last + 1):
        cells = [row[column] for row in table.rows if plain(row[column]).strip()]
        gap = _gap(table) if column < last else 0.0
        pairs = [number_widths(setting, cell, role, large=column == 1) for cell in cells]
        heads, look = halves(table.header[column]), setting.role("column")
        least.append(max(*(setting.longest(words, look) for words in heads), *(low for low, _ in pairs), 0.0) + gap)
        two_lines = max(setting.natural(words, look) for words in heads) * HEAD_SHARE
        wished.append(max(least[-1], two_lines + gap, *(wish + gap for _, wish in pairs)))
    return least, wished


def _widths(setting: Setting, table: Table, room: float) -> list[float]:
    """
    Share what a strip leaves among the name, as wide as the side column, and the numbers; nothing if it is too little.

    The name gives up its gutter to numbers that would look better.
    """
    least, wished = _needs(setting, table)
    name, gutter = setting.length("side"), setting.length("side") - setting.length("side_rule")
    name -= min(max(sum(wished) - (room - name), 0.0), gutter)
    return [name, *shared(least, wished, room - name)] if least and sum(least) <= room - name else []


class _Risks(Grid):
    """A grid with a column for strips behind the first."""

    def __init__(
        self,
        setting: Setting,
        table: Table,
        x: float,
        width: float,
        place: Place,
        widths: Sequence[float],
        strip: float,
    ) -> None:
        super().__init__(setting, table, x, width, place, widths)
        self.strip = strip
        self.grouped = any(heads_group(table, row) for row in table.rows)
        self.gap = _gap(table)

    def left(self, column: int) -> float:
        """Give the start edge of a column."""
        return super().left(column) + (self.strip + GAP if column else 0.0)

    def words(
        self,
        node: Node,
        column: int,
        words: Words,
        role: str,
        *,
        bold: bool = False,
        name: Words = (),
        wide: float = 0.0,
    ) -> Cell:
        """Set one cell; the number that is seen first is large."""
        if role != "cell" or column != 1 or not words:
            return super().words(node, column, words, role, bold=bold, name=name, wide=wide)
        last = column == len(self.widths) - 1
        cell = Cell(self.left(column), max(self.widths[column] - (0.0 if last else self.gap), 1.0), node)
        set_number(self.setting, cell, words)
        return cell

    def body_row(
        self, line: Node, words: tuple[Words, ...], figure: Figure | None, rule: Rule, *, bold: bool = False
    ) -> list[Piece]:
        """Set a row: its name, the strip, its numbers on the middle of the strip."""
        cells = self.cells(line, words, bold=bold)
        over: list[Text] = []
        if figure or self.grouped:
            over, said = self._name(cells[0], words[0])
            cells[0].hold(said)
        if figure and isinstance(cells[0].node, Node):
            node = cells[0].node.child("Figure", **in_language(own_language(figure.alt)))
            node.options["alt"] = plain(figure.alt)
            strip = Cell(self.x + self.widths[0], self.strip, node)
            strip.drawn = draw_figure(self.setting, figure, self.strip)
            cells.insert(1, strip)
        high = max(cell.height(self.setting) for cell in cells)
        above = below = self.pad
        if drawn := max([cell.drawn.height for cell in cells if cell.drawn], default=0.0):
            pad = CLOSE if self.grouped else PAD
            high = max(high, drawn + pad - below if over else drawn + 2 * pad - above - below)
        upper = above + (height_of_texts(over) + NEAR if over else 0.0)
        height = upper + high + below
        if height > self.setting.tallest:
            return self.cut(cells, line)
        return [Piece(height, partial(self._paint_risk, cells, line, over, (above, upper, high), height, rule))]

    def _name(self, cell: Cell, words: Words) -> tuple[list[Text], list[Text]]:
        """Give what stands above the strip and what stands beside it."""
        setting, wide = self.setting, Cell(self.x, self.width, cell.node)
        name, said = with_second(words)
        second = setting.role("caption" if setting.speaks_to_patient else "small")
        if not name:
            second = replace(second, color=setting.color("ink"))
        first = replace(first_role(setting, "small"), color=second.color)
        beside = set_both(setting, said, second, cell.node, cell.width, first=first) if said else []
        if not name:
            return [], beside
        if not (said or any(span.look == "tag" for span in words)) and self._fits_beside(cell):
            return [], [*cell.above, *([cell.text] if cell.text else [])]
        return self.texts(wide, name, "cell"), beside

    def _fits_beside(self, cell: Cell) -> bool:
        """Tell whether a name is short enough to stand beside its strip: of two languages, in each."""
        most = BESIDE if not cell.above else BOTH_BESIDE
        return all(len(text.lines) <= most for text in cell.texts)

    def _paint_risk(
        self,
        cells: Sequence[Cell],
        line: Node,
        over: Sequence[Text],
        room: tuple[float, float, float],
        height: float,
        rule: Rule,
        sheet: Sheet,
        top: float,
    ) -> None:
        """Paint the name above, if it stands there, then all cells on one middle."""
        above, upper, high = room
        self.paint_rule(height, rule, sheet, top)
        sheet.mention(line)
        if over and isinstance(cells[0].node, Node):
            sheet.mention(cells[0].node)
            depth = top - above
            for text in over:
                text.paint(self.x, sheet, depth)
                depth -= text.height
        for cell in cells:
            cell.paint(self.setting, sheet, top - upper - (high - cell.height(self.setting)) / 2)


def shared(least: Sequence[float], wished: Sequence[float], room: float) -> list[float]:
    """Share a room among columns: what each needs, then the same part of what each wishes more, the rest evenly."""
    spare, more = room - sum(least), sum(wished) - sum(least)
    part = min(spare / more, 1.0) if more > 0 else 0.0
    rest = (spare - part * more) / len(least)
    return [low + part * (wish - low) + rest for low, wish in zip(least, wished, strict=True)]
