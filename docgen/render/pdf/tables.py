"""
Tables > pieces: a head that each page repeats, rows that are never cut, in large print labels and values.

A row is one piece; one taller than a page becomes running text, cell by cell.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from docgen.blocks import Figure, Pairs, Table, Words, plain
from docgen.render.columns import column_widths, wide, with_its_like
from docgen.render.pdf.cells import Cell, number_width, set_number
from docgen.render.pdf.drawings import draw_figure
from docgen.render.pdf.lists import set_pairs
from docgen.render.pdf.pieces import Bond, Paint, Piece, Repeat, hold, hold_ends
from docgen.render.pdf.setting import MM, Place, Setting, Stack, row
from docgen.render.pdf.sheet import Node, Sheet
from docgen.render.pdf.strokes import stroked
from docgen.render.words import labeled_cells

LONGEST_HEAD = 60.0
"""Points of a table head that is repeated on each page; a taller one would fill them."""

TIGHTER = 0.6
"""Space in a table with boxes, against that in others: a check list is long, and has one page."""

LARGE_ROW_GAP = 18.0
"""Points between two rows in large print, where labels and values stand 8 apart."""

HEAD_RULE, ROW_RULE = 0.75, 0.5
"""Points."""

STRIP, STRIP_GAP, STRIP_PAD = 76 * MM, 2 * MM, 3 * MM
"""Width of a strip beside a row's name, the gap between columns, and the free height (page design, section 6.1)."""


def set_table(setting: Setting, place: Place, table: Table) -> list[Piece]:
    """Set a table; all its lengths in points."""
    if setting.large:
        return _labeled_rows(setting, place, table)
    from_edge = not place.inside and (wide(table) or any(table.drawings))
    x, width = (0.0, setting.content) if from_edge else (place.x, place.width)
    return _Grid(setting, table, x, width, place).pieces()


def _labeled_rows(setting: Setting, place: Place, table: Table) -> list[Piece]:
    """Set each row of a table as labels and values, on one page if it is not long."""
    made: list[Piece] = []
    if table.caption:
        text = setting.text(table.caption, setting.role("caption"), place.node.child("P"), place.width)
        made += text.pieces(place.x, below=setting.space("item"))
        made[-1].bond = Bond.HEADED
    for number, cells in enumerate(labeled_cells(table)):
        figure = table.drawings[number] if table.drawings else None
        drawn = draw_figure(setting, figure, place.width) if figure else None
        pieces = set_pairs(setting, place, Pairs(cells))
        if drawn and figure:
            pieces[2:2] = drawn.pieces(place.x, place.node)
        pieces[-1].below = LARGE_ROW_GAP
        made += hold(pieces, setting.room)
    return made


class _Grid:
    """The columns of one table, and its rows on them."""

    def __init__(self, setting: Setting, table: Table, x: float, width: float, place: Place) -> None:
        self.setting, self.table, self.x, self.width, self.place = setting, table, x, width, place
        self.node = place.node.child("Table")
        self.gap = setting.length("cell_gap")
        self.drawn = any(table.drawings)
        self.widths = self._risk_widths() if self.drawn else self._widths()
        self.pad = setting.space("row") * (TIGHTER if table.boxes else 1)

    def _widths(self) -> list[float]:
        like = with_its_like(self.table, self.setting.document)
        return column_widths(like, self.width, self.setting.role("cell").size, self.gap)

    def _risk_widths(self) -> list[float]:
        """Give the name its column, the strip its place, and share the rest among the numbers."""
        setting, role, side = self.setting, self.setting.role("cell"), self.setting.length("side")
        rest, last = self.width - side - STRIP - STRIP_GAP, len(self.table.header) - 1
        least, wished = [], []
        for column in range(1, last + 1):
            cells = [row[column] for row in self.table.rows]
            gap = STRIP_GAP if column < last else 0.0
            first = setting.longest(self.table.header[column], setting.role("column"))
            least.append(max([first, *(setting.longest(cell, role, bold=column == 1) for cell in cells)]) + gap)
            widths = [number_width(setting, cell) if column == 1 else setting.natural(cell, role) for cell in cells]
            wished.append(max([least[-1], *(width + gap for width in widths)]))
        if not least or sum(least) > rest:
            self.drawn = False
            return self._widths()
        self.gap = STRIP_GAP
        return [side, *shared(least, wished, rest)]

    def _left(self, column: int) -> float:
        strip = STRIP + STRIP_GAP if self.drawn and column else 0.0
        return self.x + sum(self.widths[:column]) + strip

    def pieces(self) -> list[Piece]:
        """Set caption, head and rows."""
        setting, table = self.setting, self.table
        made: list[Piece] = []
        if table.caption:
            text = setting.text(table.caption, setting.role("caption"), self.node.child("Caption"), self.place.width)
            made += text.pieces(self.place.x, below=setting.space("item"))
            made[-1].bond = Bond.HEADED
        line = self.node.child("THead").child("TR")
        cells = [
            self._words(line.child("TH", scope="Column"), column, words, body=False)
            for column, words in enumerate(table.header)
        ]
        heads = self._row(cells, line, (0.0, setting.space("row")), (HEAD_RULE, "ink"))
        for piece in heads:
            piece.bond = max(piece.bond, Bond.HEADED)
        groups = self._body()
        if heads and not self.place.inside and len(heads) == 1 and heads[0].height <= LONGEST_HEAD:
            repeat = self._again(cells, heads[0].height)
            for group in groups:
                for piece in group:
                    piece.repeat = repeat
        made += [*heads, *hold_ends(groups)]
        made[-1].below = setting.space("paragraph")
        if not groups:
            made[-1].bond = Bond.FREE
        return made

    def _body(self) -> list[list[Piece]]:
        body, last, groups = self.node.child("TBody"), len(self.table.rows) - 1, []
        for number, words in enumerate(self.table.rows):
            line, total = body.child("TR"), self.table.total and number == last
            names = (
                len(words) > 1 and 0 not in self.table.numeric and 0 not in self.table.boxes and plain(words[0]).strip()
            )
            cells = []
            for column, cell in enumerate(words):
                node = line.child("TH", scope="Row") if names and not column else line.child("TD")
                cells.append(self._words(node, column, cell, bold=total, name=words[0]))
            figure = self.table.drawings[number] if self.drawn and self.table.drawings else None
            if figure:
                cells.insert(1, self._strip(cells[0], figure))
            rule = (HEAD_RULE, "ink") if total else (ROW_RULE, "hair")
            groups.append(self._row(cells, line, (self.pad, self.pad), rule, middle=bool(figure)))
        return groups

    def _strip(self, name: Cell, figure: Figure) -> Cell:
        node = name.node.child("Figure", alt=plain(figure.alt)) if isinstance(name.node, Node) else name.node
        cell = Cell(self.x + self.widths[0], STRIP, node)
        cell.drawn = draw_figure(self.setting, figure, STRIP)
        return cell

    def _words(
        self, node: Node, column: int, words: Words, *, body: bool = True, bold: bool = False, name: Words = ()
    ) -> Cell:
        last = column == len(self.widths) - 1
        width = max(self.widths[column] - (0.0 if last else self.gap), 1.0)
        cell = Cell(self._left(column), width, node)
        if body and column in self.table.boxes:
            tip = ", ".join(part for part in (plain(name), plain(self.table.header[column])) if part.strip())
            cell.box = (self.setting.field_name("box"), tip)
        elif words:
            if body and self.drawn and column == 1:
                set_number(self.setting, cell, words)
                return cell
            role = self.setting.role("cell" if body else "column")
            cell.text = self.setting.text(words, role, node, width, bold=bold, end=column in self.table.numeric)
        return cell

    def _row(
        self,
        cells: Sequence[Cell],
        line: Node,
        pads: tuple[float, float],
        rule: tuple[float, str],
        middle: bool = False,
    ) -> list[Piece]:
        above, below = pads
        inner = max([cell.height(self.setting) for cell in cells], default=0.0)
        strip = max([cell.drawn.height for cell in cells if cell.drawn], default=0.0)
        inner = max(inner, strip + 2 * STRIP_PAD - above - below) if strip else inner
        height = inner + above + below
        if height <= self.setting.tallest:
            paint = partial(self._paint, cells, line, above, height, rule, middle)
            base = next((cell.text.base + above for cell in cells if cell.text), 0.0)
            return [Piece(height, paint, base=base)]
        pieces = row([Stack(cell.x, cell.texts) for cell in cells if cell.texts], 0.0)
        pieces[0].paint = partial(self._paint_first, cells, line, pieces[0].paint)
        return pieces

    def _again(self, cells: Sequence[Cell], height: float) -> Repeat:
        copies = [cell.again() for cell in cells]
        return Repeat(height, partial(self._paint, copies, None, 0.0, height, (HEAD_RULE, "ink"), False))

    def _paint_first(self, cells: Sequence[Cell], line: Node, paint: Paint | None, sheet: Sheet, top: float) -> None:
        sheet.mention(line)
        for cell in cells:
            if isinstance(cell.node, Node):
                sheet.mention(cell.node)
        if paint:
            paint(sheet, top)

    def _paint(
        self,
        cells: Sequence[Cell],
        line: Node | None,
        above: float,
        height: float,
        rule: tuple[float, str],
        middle: bool,
        sheet: Sheet,
        top: float,
    ) -> None:
        """Paint the cells of a row, in order, and the rule below it."""
        weight, ink = rule
        left = sheet.left(self.x, self.width)
        sheet.below(stroked(left, top - height + weight / 2, left + self.width, weight, self.setting.color(ink)))
        if line:
            sheet.mention(line)
        for cell in cells:
            depth = top - above
            if middle:
                depth = top - (height - cell.height(self.setting)) / 2
            cell.paint(self.setting, sheet, depth)


def shared(least: Sequence[float], wished: Sequence[float], room: float) -> list[float]:
    """Share a room among columns: what each needs, then what they wish, first things first, the rest evenly."""
    widths, spare = list(least), room - sum(least)
    for place, wish in enumerate(wished):
        more = min(wish - least[place], spare)
        widths[place] += more
        spare -= more
    return [width + spare / len(widths) for width in widths]
