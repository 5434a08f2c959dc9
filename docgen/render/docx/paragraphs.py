"""
Paragraphs and tables of a Word file, kept apart until all is written.

Only then is it known what stays with what follows.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from docgen.blocks import Words, plain
from docgen.render.docx.markup import escaped, style_id, twips
from docgen.render.docx.runs import Runs

TITLE = 255
"""Characters of a table's title that is read out."""


@dataclass(slots=True)
class Para:
    """A paragraph: its style, its runs, and what depends on where it stands."""

    style: str
    content: str = ""
    keep_next: bool = False
    begins_page: bool = False
    numbering: int = 0
    tabs: str = ""
    bidi: bool | None = None
    """Direction from right to left, if other than that of the document."""
    after: int | None = None
    """Space below in twentieths of a point, if other than that of the style."""
    border: str = ""
    """Its edges, if other than those of the style."""
    place: str = ""
    """Its line and indents, if other than those of the style."""
    letters: int = 0

    def xml(self) -> str:
        """Write it; properties in the order the schema wants."""
        more = "<w:keepNext/>" if self.keep_next else ""
        if self.begins_page:
            more += "<w:pageBreakBefore/>"
        if self.numbering:
            more += f'<w:numPr><w:ilvl w:val="0"/><w:numId w:val="{self.numbering}"/></w:numPr>'
        if self.border:
            more += f"<w:pBdr>{self.border}</w:pBdr>"
        if self.tabs:
            more += f"<w:tabs>{self.tabs}</w:tabs>"
        if self.bidi is not None:
            more += f'<w:bidi w:val="{int(self.bidi)}"/>'
        if self.after is not None:
            more += f'<w:spacing w:after="{self.after}"/>'
        more += self.place
        return f'<w:p><w:pPr><w:pStyle w:val="{style_id(self.style)}"/>{more}</w:pPr>{self.content}</w:p>'


@dataclass(slots=True)
class Cell:
    """A cell and what stands in it."""

    parts: list[Part]
    columns: int = 1
    """How many it covers."""


@dataclass(slots=True)
class Row:
    """A row of a table."""

    cells: list[Cell]
    is_head: bool = False
    whole: bool = True
    """True if no page may cut it."""
    keeps_next: bool = False
    """True if it stays with the row below it."""
    least: float = 0
    """Height it has at the least, in mm."""


@dataclass(slots=True)
class Grid:
    """A table; lengths in mm."""

    style: str
    widths: Sequence[float]
    rows: list[Row]
    indent: float = 0
    from_right: bool = False
    has_head: bool = False
    has_total: bool = False
    title: str = ""
    """Read out, not printed."""

    def xml(self) -> str:
        """Write it with its paragraphs."""
        columns = [twips(width) for width in self.widths]
        title = f'<w:tblCaption w:val="{escaped(self.title)}"/>' if self.title else ""
        # the same bits twice: programs read either the names or the number
        bits = f"{0x0600 | (0x20 if self.has_head else 0) | (0x40 if self.has_total else 0):04X}"
        return (
            f'<w:tbl><w:tblPr><w:tblStyle w:val="{style_id(self.style)}"/>'
            f"{'<w:bidiVisual/>' if self.from_right else ''}"
            f'<w:tblW w:w="{sum(columns)}" w:type="dxa"/><w:tblInd w:w="{twips(self.indent)}" w:type="dxa"/>'
            f'<w:tblLayout w:type="fixed"/><w:tblLook w:val="{bits}" w:firstRow="{int(self.has_head)}"'
            f' w:lastRow="{int(self.has_total)}" w:firstColumn="0" w:lastColumn="0" w:noHBand="1" w:noVBand="1"/>'
            f"{title}</w:tblPr><w:tblGrid>"
            + "".join(f'<w:gridCol w:w="{width}"/>' for width in columns)
            + "</w:tblGrid>"
            + "".join(_row(row, columns) for row in self.rows)
            + "</w:tbl>"
        )


Part = Para | Grid


def written(runs: Runs, style: str, words: Words, look: str = "") -> Para:
    """
    Write words as a paragraph; `look` is a style of characters.

    Words from the right have a paragraph from the right; others stay where the lines of their document begin.
    """
    if not runs.from_right and runs.reversed(words):
        return Para(style, runs.words(words, look, True), bidi=True, letters=len(plain(words)))
    return Para(style, runs.words(words, look), letters=sum([len(span.text) for span in words]))


def _row(row: Row, columns: list[int]) -> str:
    high = f'<w:trHeight w:val="{twips(row.least)}" w:hRule="atLeast"/>' if row.least else ""
    looks = ("<w:cantSplit/>" if row.whole else "") + high + ("<w:tblHeader/>" if row.is_head else "")
    made, at = "", 0
    for cell in row.cells:
        width, inner = sum(columns[at : at + cell.columns]), "".join([part.xml() for part in cell.parts])
        at += cell.columns
        covers = f'<w:gridSpan w:val="{cell.columns}"/>' if cell.columns > 1 else ""
        made += f'<w:tc><w:tcPr><w:tcW w:w="{width}" w:type="dxa"/>{covers}</w:tcPr>{inner}</w:tc>'
    return f"<w:tr>{f'<w:trPr>{looks}</w:trPr>' if looks else ''}{made}</w:tr>"


def paragraphs(parts: Sequence[Part]) -> Iterator[Para]:
    """Give all paragraphs in reading order, those of tables too."""
    for part in parts:
        if isinstance(part, Para):
            yield part
        else:
            for row in part.rows:
                for cell in row.cells:
                    yield from paragraphs(cell.parts)
