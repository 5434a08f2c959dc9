"""
A table > its columns, and rows on them that are never cut; one taller than a page becomes running text, cell by cell.

Apart from `risks`, whose rows hold drawings, and from `tables`, which chooses.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from itertools import accumulate, pairwise

from docgen.blocks import Figure, Table, Words, plain
from docgen.render.columns import CLOSER, NARROWER, column_widths, in_fewest_lines, pen_lines, with_its_like
from docgen.render.pdf.cells import Cell
from docgen.render.pdf.halves import first_role, set_both
from docgen.render.pdf.languages import MARGIN, margin_of, parted_mark
from docgen.render.pdf.pieces import Bond, Paint, Piece, Repeat, head, hold, hold_ends
from docgen.render.pdf.setting import Place, Setting, Stack, Text, row
from docgen.render.pdf.sheet import Node, Sheet
from docgen.render.pdf.strokes import stroked
from docgen.render.words import heads_group, with_small

LONGEST_HEAD = 60.0
"""Points of a table head that is repeated on each page; a taller one would fill them."""

TIGHTER = 0.5
"""Space in a table with boxes, and its lines, against those of others: a check list is long, and has one page."""

MARK_GAP = 6.0
"""Points from the number of a table to the first word of its head."""

LEAST_PADS = 1.25, 0.5
"""Points above and below a row of a check list that has several lines: its box is far enough from the next."""

HEAD_RULE, ROW_RULE = 0.75, 0.5
"""Points."""

Rule = tuple[float, str]
"""Weight in points and color of the line below a row; a weight of 0 draws none."""


class Grid:
    """The columns of one table, and its rows on them; lengths in points."""

    def __init__(
        self, setting: Setting, table: Table, x: float, width: float, place: Place, widths: Sequence[float] = ()
    ) -> None:
        self.setting, self.table, self.x, self.width, self.place = setting, table, x, width, place
        self.node = place.node.child("Table")
        self.gap = setting.length("cell_gap") * (NARROWER if table.boxes else 1)
        self.widths = [*widths] or self._widths()
        self._lefts = [x + before for before in accumulate(self.widths, initial=0.0)]
        self.pad = setting.space("row") * (TIGHTER if table.boxes else 1)
        roles = {name: setting.role(name) for name in ("cell", "column")}
        self.close = {name: replace(role, line=role.line * CLOSER) for name, role in roles.items()}
        """How the words of a check list are set."""

    def _widths(self) -> list[float]:
        like = with_its_like(self.table, self.setting.document)
        size = self.setting.role("cell").size
        widths = column_widths(like, self.width, size, self.gap)
        return in_fewest_lines(like, widths, size, self.gap) if like.boxes else widths

    def left(self, column: int) -> float:
        """Give the start edge of a column."""
        return self._lefts[column]

    def pieces(self) -> list[Piece]:
        """Set caption, head and rows."""
        setting, table = self.setting, self.table
        number, caption = parted_mark(table.caption)
        made = self._caption(number, caption) if caption else []
        line = self.node.child("THead").child("TR")
        cells = [
            self.words(line.child("TH", scope="Column"), column, words, "column")
            for column, words in enumerate(table.header)
        ]
        mark = self._mark(number, cells) if number and not caption else None
        below = self.pad if table.boxes else setting.space("row")
        heads = self.row(cells, line, (0.0, below), (HEAD_RULE, "ink"))
        if mark and heads:
            mark[0].base = heads[0].base or mark[0].base
            heads[0].paint = partial(_paint_after, *mark, heads[0].paint)
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

    def _caption(self, number: Words, words: Words) -> list[Piece]:
        """Set the caption above the head, in the text column."""
        setting, node = self.setting, self.node.child("Caption")
        texts = set_both(
            *(setting, (*number, *words), setting.role("caption"), node, self.place.width),
            kind="Span",
            first=first_role(setting, "caption"),
        )
        made = [piece for text in texts for piece in text.pieces(self.place.x)]
        made[-1].below = setting.space("item")
        return head(made)

    def _mark(self, number: Words, cells: Sequence[Cell]) -> tuple[Text, float]:
        """Set the number of a table that stands in two languages: in the margin, else before the words of its head."""
        role, node = self.setting.role("furniture"), self.node.child("Caption")
        aside = margin_of(self.setting, self.place) if self.x == self.place.x else None
        if aside is not None:
            return self.setting.text(number, role, node, MARGIN, end=True), aside
        width = self.setting.natural(number, role) + MARK_GAP
        for text in cells[0].texts:
            text.width -= width
        cells[0].x, cells[0].width = cells[0].x + width, cells[0].width - width
        return self.setting.text(number, role, node, width), self.x

    def _body(self) -> list[list[Piece]]:
        body, rows, groups = self.node.child("TBody"), self.table.rows, []
        heads = [heads_group(self.table, words) for words in rows]
        grouped = any(heads)
        for number, words in enumerate(rows):
            line, last = body.child("TR"), number == len(rows) - 1
            figure = self.table.drawings[number] if self.table.drawings else None
            rule = (ROW_RULE, "hair") if last or not grouped or heads[number + 1] else (0.0, "hair")
            if heads[number]:
                groups.append(self._group_head(line, words))
            elif self.table.total and last:
                groups.append(self.body_row(line, words, figure, (HEAD_RULE, "ink"), bold=True))
            else:
                groups.append(self.body_row(line, words, figure, rule))
        self._keep_under(heads, groups)
        return groups

    def _keep_under(self, heads: Sequence[bool], groups: Sequence[list[Piece]]) -> None:
        """Keep rows on the page of the name they stand under: alone they would not say what they are about."""
        places = [place for place, is_head in enumerate(heads) if is_head]
        for start, stop in pairwise([*places, len(heads)]):
            hold([piece for group in groups[start:stop] for piece in group], self.setting.room)

    def _group_head(self, line: Node, words: tuple[Words, ...]) -> list[Piece]:
        """Set the name of the rows that follow over the whole width; it stays with them."""
        cells = [Cell(self.left(column), 1.0, line.child("TD")) for column in range(1, len(words))]
        name = Cell(self.x, self.width, line.child("TH", scope="Row"))
        self.fill(name, words[0], "cell")
        pieces = self.row([name, *cells], line, (self.pad, 0.0), (0.0, "hair"))
        for piece in pieces:
            piece.bond = Bond.HEADED
        return pieces

    def body_row(
        self, line: Node, words: tuple[Words, ...], figure: Figure | None, rule: Rule, *, bold: bool = False
    ) -> list[Piece]:
        """Set a row; only `risks` has a place for a figure."""
        del figure
        cells, pads = self.cells(line, words, bold=bold), (self.pad, self.pad)
        if self.table.boxes and max(cell.height(self.setting) for cell in cells) > 2 * self.close["cell"].line - 1:
            pads = LEAST_PADS
        return self.row(cells, line, pads, rule)

    def cells(self, line: Node, words: tuple[Words, ...], *, bold: bool = False) -> list[Cell]:
        """Set the cells of a row; the first names it, unless it is a number or a box."""
        table = self.table
        names = len(words) > 1 and 0 not in table.numeric and 0 not in table.boxes and plain(words[0]).strip()
        cells = []
        for column, cell in enumerate(words):
            node = line.child("TH", scope="Row") if names and not column else line.child("TD")
            wide = self._wide(words, column)
            cells.append(self.words(node, column, cell, "cell", bold=bold, name=words[0], wide=wide))
        lines = pen_lines(table, words, [cell.width for cell in cells], self.setting.role("cell").size)
        for column in table.writing:
            cells[column].pen = lines
        return cells

    def _wide(self, words: tuple[Words, ...], column: int) -> float:
        """Give the room of a cell without words to those before it, in a check list: it has one page."""
        after, table = column + 1, self.table
        taken = {*table.boxes, *table.writing}
        free = table.boxes and after < len(words) and not words[after] and after not in taken
        return self.widths[after] if free and column not in table.boxes else 0.0

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
        """Set one cell in the role of a cell or of a head; `wide`: by how much it is wider than its column."""
        last = column == len(self.widths) - 1
        cell = Cell(self.left(column), max(self.widths[column] + wide - (0.0 if last else self.gap), 1.0), node)
        if role == "cell" and column in self.table.boxes:
            tip = ", ".join(part for part in (plain(name), plain(self.table.header[column])) if part.strip())
            cell.box = (self.setting.field_name("box"), tip)
        elif words:
            words, below = with_small(words)
            self.fill(cell, words, role, end=column in self.table.numeric, bold=bold)
            if below:
                cell.under = self.texts(cell, below, "caption", end=column in self.table.numeric)
        return cell

    def fill(self, cell: Cell, words: Words, role: str, *, end: bool = False, bold: bool = False) -> None:
        """Put words into a cell."""
        cell.hold(self.texts(cell, words, role, end=end, bold=bold))

    def texts(self, cell: Cell, words: Words, role: str, *, end: bool = False, bold: bool = False) -> list[Text]:
        """Set words for a cell; `end`: at its end edge, in any language."""
        setting, look = self.setting, self.setting.role(role)
        if self.table.boxes:
            look = self.close.get(role, look)
        first = first_role(setting, role)
        made = set_both(setting, words, look, cell.node, cell.width, first=first, end=end, fixed=end, bold=bold)
        if len(made) == 1:  # in whatever language: the lines of a column begin at one edge
            made[0].end = end
        return made

    def row(self, cells: Sequence[Cell], line: Node, pads: tuple[float, float], rule: Rule) -> list[Piece]:
        """Put cells into one piece, with room above and below them."""
        above, below = pads
        height = max([cell.height(self.setting) for cell in cells], default=0.0) + above + below
        if height <= self.setting.tallest:
            base = next((cell.base + above for cell in cells if cell.text), 0.0)
            return [Piece(height, partial(self._paint, cells, line, above, height, rule), base=base)]
        return self.cut(cells, line)

    def cut(self, cells: Sequence[Cell], line: Node) -> list[Piece]:
        """Set a row that no page holds as running text."""
        pieces = row([Stack(cell.x, cell.texts) for cell in cells if cell.texts], 0.0)
        pieces[0].paint = partial(self._paint_first, cells, line, pieces[0].paint)
        return pieces

    def _again(self, cells: Sequence[Cell], height: float) -> Repeat:
        copies = [cell.again() for cell in cells]
        return Repeat(height, partial(self._paint, copies, None, 0.0, height, (HEAD_RULE, "ink")))

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
        rule: Rule,
        sheet: Sheet,
        top: float,
    ) -> None:
        """Paint the cells of a row, in order, and the rule below it."""
        self.paint_rule(height, rule, sheet, top)
        if line:
            sheet.mention(line)
        for cell in cells:
            cell.paint(self.setting, sheet, top - above)

    def paint_rule(self, height: float, rule: Rule, sheet: Sheet, top: float) -> None:
        """Draw the line below a row of a height."""
        weight, ink = rule
        left = sheet.left(self.x, self.width)
        if weight:
            sheet.below(stroked(left, top - height + weight / 2, left + self.width, weight, self.setting.color(ink)))


def _paint_after(mark: Text, x: float, paint: Paint | None, sheet: Sheet, top: float) -> None:
    """Paint the number of a table, then its head."""
    mark.paint(x, sheet, top)
    if paint:
        paint(sheet, top)
