"""
Tables > pieces: a head that each page repeats, rows that are never cut, in large print labels and values.

How columns and rows are set is for `grid`, and for `risks` where rows hold drawings.
"""

from __future__ import annotations

from docgen.blocks import Table
from docgen.render.columns import wide
from docgen.render.pdf.drawings import draw_figure
from docgen.render.pdf.grid import Grid
from docgen.render.pdf.lists import abreast, labeled
from docgen.render.pdf.pieces import Bond, Piece, hold
from docgen.render.pdf.risks import set_risks
from docgen.render.pdf.setting import Place, Setting
from docgen.render.words import heads_group, labeled_cells

LARGE_ROW_GAP = 18.0
"""Points between two rows in large print, where labels and values stand 8 apart."""


def set_table(setting: Setting, place: Place, table: Table) -> list[Piece]:
    """Set a table; all its lengths in points."""
    if setting.large:
        return _labeled_rows(setting, place, table)
    drawn = any(table.drawings)
    from_edge = not place.inside and (wide(table) or drawn)
    x, width = (0.0, setting.content) if from_edge else (place.x, place.width)
    with_strips = set_risks(setting, table, x, width, place) if drawn else None
    return with_strips or Grid(setting, table, x, width, place).pieces()


def holds_risks(table: Table) -> bool:
    """Tell whether a table is that of the risks, the main thing of its section; one that compares is not."""
    return any(table.drawings) and not any(heads_group(table, row) for row in table.rows)


def _labeled_rows(setting: Setting, place: Place, table: Table) -> list[Piece]:
    """Set each row of a table as labels and values, on one page if it is not long."""
    made: list[Piece] = []
    if table.caption:
        text = setting.text(table.caption, setting.role("caption"), place.node.child("P"), place.width)
        made += text.pieces(place.x, below=setting.space("item"))
        made[-1].bond = Bond.HEADED
    for number, cells in enumerate(labeled_cells(table)):
        if not cells:  # the name of several rows, which each of them says
            continue
        figure = table.drawings[number] if table.drawings else None
        drawn = draw_figure(setting, figure, place.width) if figure else None
        node = place.node.child("L")
        pieces = labeled(setting, place, *cells[0], node)
        pieces += drawn.pieces(place.x, place.node, place.width) if drawn else []
        split = min((column for column in table.numeric if column), default=len(cells))
        for label, value in cells[1:split]:
            pieces += labeled(setting, place, label, value, node)
        pieces += abreast(setting, place, cells[split:], node) if cells[split:] else []
        pieces[-1].below = LARGE_ROW_GAP
        made += hold(pieces, setting.room)
    return made
