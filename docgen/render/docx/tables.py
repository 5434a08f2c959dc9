"""A table of the model > a table of a Word file: its head repeated, its rows whole, its strips beside their names."""

from __future__ import annotations

from docgen.blocks import Document, Figure, Span, Table, Words, plain
from docgen.render.columns import (
    NARROWER,
    PEN,
    column_widths,
    in_fewest_lines,
    lines_of_rows,
    pen_lines,
    wide,
    with_its_like,
)
from docgen.render.docx.controls import Controls
from docgen.render.docx.frames import FRAME_PADDING
from docgen.render.docx.looks import STAFF, text_indent
from docgen.render.docx.paragraphs import TITLE, Cell, Grid, Para, Row, written
from docgen.render.docx.pictures import Pictures
from docgen.render.docx.runs import BREAK, QUIET, Runs
from docgen.render.docx.scripts import runs_from_right
from docgen.render.fonts.sources import family_of_language
from docgen.render.style import Style
from docgen.render.words import halves, heads_group, with_small
from docgen.values import dataclass

_TALL = 1500
"""Characters in a cell from which on its row may be cut: it could be higher than a page."""

_STRIP, _LEAST_STRIP = 76.0, 60.5
"""Widest and narrowest drawing of a row, in mm (page design, section 6.1); rounding shall not drop it."""

_BOX_ROW, _ROOMY = 5.3, 36
"""Height of a row with a box, in mm, in a check list of no more lines than this: a longer one keeps to its page."""

_POINT = 25.4 / 72


@dataclass
class Tables:
    """Writes the tables of one document."""

    document: Document
    style: Style
    runs: Runs
    controls: Controls
    pictures: Pictures
    staff: bool = False
    """True in a section for staff of a document that speaks in another voice."""

    def grid(self, table: Table, inside: bool) -> Grid:
        """Write a table; `inside` the danger box it is narrower."""
        length, drawn = self.style.lengths, any(table.drawings)
        full = wide(table) or inside or drawn
        room = length["content"] - (FRAME_PADDING if inside else 0) if full else length["text"]
        script = family_of_language(self.document.language)  # digits beside its letters may take its size
        size = self.style.role("cell", self.document.layout).size * max(script.size, 1.0) * _POINT
        like = with_its_like(table, self.document)
        gap = length["cell_gap"] * (NARROWER if table.boxes else 1)
        widths = column_widths(like, room, size, gap)
        if table.boxes:
            widths = in_fewest_lines(like, widths, size, gap)
        if drawn:
            widths = _with_strip(widths, _LEAST_STRIP + gap)
        prefix = "Box " if table.boxes else ""
        heads = [self._cell(f"{prefix}Column Head", one, n in table.numeric) for n, one in enumerate(table.header)]
        if table.caption and not has_caption(table):  # the number of a table in two languages
            heads[0][0].content = self.runs.words(table.caption, QUIET) + heads[0][0].content
        head = Row([Cell([*cell]) for cell in heads], is_head=True, whole=_is_short(heads))
        rows = [self._row(table, number) for number in range(len(table.rows))]
        is_roomy = bool(table.boxes) and lines_of_rows(like, widths, size, gap) <= _ROOMY
        for row, words in zip(rows, table.rows, strict=True):
            free = [width - gap for width in widths]
            row.least = max(PEN * pen_lines(table, words, free, size), _BOX_ROW if is_roomy else 0)
        for row, figure in zip(rows, table.drawings if drawn else (), strict=False):
            row.cells[0].parts += self._strip(figure, widths[0] - gap, row.keeps_next)
        indent = 0 if full else text_indent(self.style, self.document.layout)
        right, title = self.document.direction == "rtl", plain(table.caption)[:TITLE].strip()
        looks = "Check List" if table.boxes else "House Table"
        return Grid(looks, widths, [head, *rows], indent, right, True, table.total, title)

    def _strip(self, figure: Figure | None, width: float, keeps: bool) -> list[Para]:
        """Show the drawing of a row below its name: beside it, a long name would have too little room."""
        made = self.pictures.drawn(figure, min(width, _STRIP)) if figure else None
        if not figure or not made:
            return []
        shown = self.pictures.drawing(figure, made, self.runs.relations)
        return [Para(f"{STAFF if self.staff else ''}Strip", shown, keep_next=keeps)]

    def _row(self, table: Table, number: int) -> Row:
        """Write a row; the first stays with the second and the last with the one before: none is alone on a page."""
        words, last = table.rows[number], len(table.rows) - 1
        if heads_group(table, words):
            name = self._cell("Cell", words[0], False)
            for part in name:
                part.keep_next = True
            return Row([Cell([*name], len(words))], whole=_is_short([name]), keeps_next=True)
        prefix = "Box " if table.boxes else ""
        cells = [self._cell(f"{prefix}Cell", one, place in table.numeric) for place, one in enumerate(words)]
        for place in table.boxes:
            cells[place][-1].content += self.controls.box(
                False, tuple(span for one in words for span in (*one, Span(" ")))
            )
        keeps = number < last and (number in (0, last - 1) or _goes_on(table, number))
        for part in (part for cell in cells for part in cell):
            part.keep_next = keeps
        return Row(_spread(table, words, cells), whole=_is_short(cells), keeps_next=keeps)

    def _cell(self, name: str, words: Words, flush_end: bool) -> list[Para]:
        """Write a cell; two languages stand in two paragraphs, but for numbers, which end on one edge."""
        words, below = with_small(words)
        style = f"{STAFF if self.staff else ''}{name}{' End' if flush_end else ''}"
        first, *others = [words] if flush_end else halves(words)
        made = [written(self.runs, style, first), *(self._half(style, part) for part in others)]
        if below:
            made[-1].content += BREAK + self.runs.words(below, QUIET)
            made[-1].letters += len(plain(below))
        return made

    def _half(self, style: str, words: Words) -> Para:
        right = runs_from_right(self.runs.own_language(words) or self.document.language)
        if not right or self.runs.from_right:
            return Para(style, self.runs.words(words), letters=len(plain(words)))
        return Para(style, self.runs.words(words, from_right=True), bidi=True, letters=len(plain(words)))


def _goes_on(table: Table, number: int) -> bool:
    """Tell whether the next row stands under the same name: on a page without it, it would not say what it is about."""
    named = any(heads_group(table, row) for row in table.rows[:number])
    return named and not heads_group(table, table.rows[number + 1])


def _spread(table: Table, words: tuple[Words, ...], cells: list[list[Para]]) -> list[Cell]:
    """Give the room of a cell without words to the one before it, in a check list: it has one page."""
    made: list[Cell] = []
    for place, cell in enumerate(cells):
        free = table.boxes and place and not {place, place - 1} & {*table.boxes} and not plain(words[place]).strip()
        if free and place < min(table.boxes) and place not in table.writing:
            made[-1].columns += 1
        else:
            made.append(Cell([*cell]))
    return made


def _with_strip(widths: list[float], least: float) -> list[float]:
    """Give the names of rows the width that the drawings below them need, if the numbers keep half of theirs."""
    rest = sum(widths) - least
    share = rest / sum(widths[1:]) if len(widths) > 1 else 0.0
    return [least, *(width * share for width in widths[1:])] if 0.5 < share < 1 else widths


def has_caption(table: Table) -> bool:
    """Tell whether a table has words above it, not only the number of a table in two languages."""
    return bool(plain(table.caption[1:]).strip()) or not plain(table.caption).endswith("\u2002")


def _is_short(cells: list[list[Para]]) -> bool:
    return all(sum(part.letters for part in cell) < _TALL for cell in cells)
