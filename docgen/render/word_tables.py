"""A table or a danger box > the table of a Word file that holds it."""

from __future__ import annotations

from typing import Any

from docx.enum.text import WD_ALIGN_PARAGRAPH
from docx.oxml import OxmlElement
from docx.oxml.ns import qn
from docx.table import Table as WordTable
from docx.table import _Cell

from docgen.blocks import Document, Table, Words, plain
from docgen.render.columns import column_widths, wide, with_its_like
from docgen.render.style import Style
from docgen.render.word_runs import add_box, add_words
from docgen.render.word_styles import style_id, twips

_TALL = 1500
"""Characters in a cell from which on its row may be cut: it could be higher than a page."""

_POINT = 25.4 / 72
_PADDING = 8
"""Of the danger box, both sides together, in mm."""


def add_table(container: Any, table: Table, document: Document, style: Style, inside: bool) -> None:
    """Add a table whose head is repeated and whose rows are not cut, and the line that parts it from the next."""
    size, length = style.role("cell", document.layout).size * _POINT, style.lengths
    full = wide(table) or inside
    room = length["content"] - (_PADDING if inside else 0) if full else length["text"]
    widths = column_widths(with_its_like(table, document), room, size, length["cell_gap"])
    indent = 0 if full else length["side"]
    made = _new(container, len(table.rows) + 1, widths, "House Table", indent, document)
    look = made._tbl.tblPr.find(qn("w:tblLook"))
    look.attrib.clear()
    for name, on in (("firstRow", 1), ("lastRow", int(table.total)), ("firstColumn", 0), ("lastColumn", 0)):
        look.set(qn(f"w:{name}"), str(on))
    look.set(qn("w:val"), "0660" if table.total else "0620")  # the same bits, for programs that read only these
    look.set(qn("w:noHBand"), "1")
    look.set(qn("w:noVBand"), "1")
    for number, (row, cells) in enumerate(zip(made._tbl.tr_lst, (table.header, *table.rows), strict=True)):
        properties = row.get_or_add_trPr()
        if all(len(plain(words)) < _TALL for words in cells):
            properties.append(OxmlElement("w:cantSplit"))
        if not number:
            properties.append(OxmlElement("w:tblHeader"))
        name = f"{'Box ' if table.boxes else ''}{'Cell' if number else 'Column Head'}"
        alone = number < len(table.rows) and number in (0, 1, len(table.rows) - 1)
        for place, (cell, words) in enumerate(zip(row.tc_lst, cells, strict=True)):
            _fill(_Cell(cell, made), words, name, place in table.numeric, document)
            if number and place in table.boxes:
                add_box(_Cell(cell, made).paragraphs[0], ticked=False)
            if number and alone:  # no row stands alone at the end of a page, or on the next
                _Cell(cell, made).paragraphs[0].paragraph_format.keep_with_next = True
    _part(container, inside)


def add_frame(container: Any, document: Document, style: Style, inside: bool) -> _Cell:
    """Add the frame of a danger box and give its only cell."""
    width = style.lengths["content"] - (_PADDING if inside else 0)
    made = _new(container, 1, [width], "Danger Box", 0, document)
    _part(container, inside)
    return made.cell(0, 0)


def _new(container: Any, rows: int, widths: list[float], name: str, indent: float, document: Document) -> WordTable:
    made: WordTable = container.add_table(rows, len(widths))
    made.style, made.autofit = name, False
    properties = made._tbl.tblPr
    if document.direction == "rtl":
        properties.insert(1, OxmlElement("w:bidiVisual"))
    for tag, width in (("w:tblW", sum(widths)), ("w:tblInd", indent)):
        old = properties.find(qn(tag))
        if old is not None:
            properties.remove(old)
        made_width = OxmlElement(tag)
        made_width.set(qn("w:w"), str(twips(width)))
        made_width.set(qn("w:type"), "dxa")
        properties.insert(1 + (tag == "w:tblInd"), made_width)
    for column, width in zip(made._tbl.tblGrid.gridCol_lst, widths, strict=True):
        column.set(qn("w:w"), str(twips(width)))
    for row in made._tbl.tr_lst:
        for cell, width in zip(row.tc_lst, widths, strict=True):
            cell.get_or_add_tcPr().get_or_add_tcW().set(qn("w:w"), str(twips(width)))
    return made


def _fill(cell: _Cell, words: Words, name: str, flush_end: bool, document: Document) -> None:
    paragraph = cell.paragraphs[0]
    paragraph._p.style = style_id(name)
    if flush_end:
        paragraph.alignment = WD_ALIGN_PARAGRAPH.RIGHT
    add_words(paragraph, words, document.language)


def _part(container: Any, inside: bool) -> None:  # python-docx has no types
    """Part a table from what follows: two in a row would become one. Inside a cell python-docx has done so."""
    paragraph = container.paragraphs[-1] if inside else container.add_paragraph()
    paragraph.style = "After Table"
