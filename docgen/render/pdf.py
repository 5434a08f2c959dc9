"""A composed document > a plain PDF: the sizes and colors of the house, in one flow. No clock and no markup."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import partial
from typing import assert_never

from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import CondPageBreak, Flowable, PageBreak, Spacer, Table

from docgen import blocks as model
from docgen.blocks import Block, Document, Span, Words
from docgen.render.columns import column_widths, wide
from docgen.render.grids import TALLEST, Cell, Rule, fitting_grids, grid_of, pieces
from docgen.render.pages import build, opening
from docgen.render.sheet import (
    REGULAR_FONT,
    Beside,
    Box,
    Kept,
    Line,
    Mark,
    MarkedParagraph,
    draw_box,
    paragraph,
    picture,
    register_fonts,
    text_width,
)
from docgen.render.style import Role, Style
from docgen.render.words import figure_lines, labeled_cells

_LONGEST_HEAD = 300
"""Characters of a table head that is repeated on each page; a longer one would fill them."""


def render(document: Document, style: Style) -> bytes:
    """Print a PDF; the same document and style give the same bytes."""
    register_fonts()
    setter = _Setter(document, style, document.layout.large_print)
    story = [*opening(document, style), *setter.flow(document.blocks)]
    return build(document, style, story)


@dataclass(frozen=True)
class _Setter:
    """Sets blocks in a column that begins at `indent`; a danger box makes one for its inside."""

    document: Document
    style: Style
    large: bool
    inside: float = 0
    """Width inside a frame, in points; 0 on the open page."""

    def role(self, name: str) -> Role:
        return self.style.role(name, self.document.layout)

    def space(self, name: str) -> Spacer:
        return Spacer(1, self.style.spaces[name])

    def length(self, name: str) -> float:
        return float(self.style.lengths[name] * mm)

    @property
    def indent(self) -> float:
        return 0 if self.large or self.inside else self.length("side")

    @property
    def width(self) -> float:
        """From the indent to the end edge."""
        return float(self.inside or self.length("content")) - self.indent

    def text(self, words: Words, role: str, further: float = 0, mark: Mark | None = None) -> MarkedParagraph:
        return paragraph(words, self.role(role), indent=self.indent + further, mark=mark)

    def flow(self, parts: Iterable[Block]) -> list[Flowable]:
        """Set blocks; a heading waits for what stands under it, which may begin on its line."""
        story: list[Flowable] = []
        waiting: list[model.Heading] = []
        for part in parts:
            if isinstance(part, model.Heading):
                story += self.headings(waiting, [])
                waiting = [part]
                continue
            below = self.block(part)
            above = self.headings(waiting, [] if self.from_edge(part) else below)
            if waiting and isinstance(below[0] if below else None, Kept):
                story += [Kept([*above, below[0]]), *below[1:]]
            else:
                story += [*above, *below]
            waiting = []
        return [*story, *self.headings(waiting, [])]

    def from_edge(self, block: Block) -> bool:
        """Tell whether a block uses the side column."""
        return isinstance(block, model.Danger | model.PageBreak) or (isinstance(block, model.Table) and wide(block))

    def headings(self, waiting: list[model.Heading], below: list[Flowable]) -> list[Flowable]:
        return [flowable for heading in waiting for flowable in self.heading(heading, below)]

    def block(self, block: Block) -> list[Flowable]:
        gap = self.space("paragraph")
        match block:
            case model.Heading():
                return self.heading(block, [])
            case model.Paragraph():
                return [self.text(block.words, block.role), gap]
            case model.Items():
                return self.items(block)
            case model.Table():
                return [*(self.labeled_rows(block) if self.large else self.table(block)), gap]
            case model.Pairs():
                return [*self.pairs(block.rows), gap]
            case model.Note():
                return [self.text(block.words, "note"), gap]
            case model.Caution():
                return [self.caution(block.words), gap]
            case model.Danger():
                return [*self.danger(block), gap]
            case model.Choice():
                return [Kept(self.choice(block)), gap]
            case model.Writing():
                return [Kept(self.writing(block)), gap, *([gap] if block.lines else [])]
            case model.Signature():
                return [Kept(self.signature(block)), self.space("section_large")]
            case model.Image():
                return [picture(block, self.indent, self.width), gap]
            case model.Figure():
                return [flowable for words in figure_lines(block) for flowable in (self.text(words, "small"), gap)]
            case model.PageBreak():
                return [PageBreak()] if not self.inside else []
            case model.Together():
                return [Kept(self.flow(block.blocks))]
            case _:
                assert_never(block)

    def heading(self, heading: model.Heading, below: list[Flowable]) -> list[Flowable]:
        """Set a heading; it moves to the next page if two lines of text would not fit below it."""
        role = self.role({1: "title", 2: "heading"}.get(heading.level, "subheading"))
        words = paragraph(heading.words, role, indent=self.indent if heading.level > 2 else 0)
        height = words.wrap(self.length("content"), 1e6)[1] + 3 * self.role("body").line
        keep = CondPageBreak(min(height + 30, 300))
        if heading.level != 2 or self.inside:
            return [keep, self.space("item"), words, self.space("item")]
        side, full, text = self.length("side_rule"), self.length("content"), self.length("side")
        colors = self.style.colors
        rule = Line((0, side, 1.5, colors["deep"]), (text, full, 0.5, colors["hair"]))
        above = Spacer(1, max(self.style.section_space(self.document.layout) - self.style.spaces["paragraph"], 1))
        beside = Beside(words, side)
        if self.large or not beside.fits(below, full):
            return [keep, above, rule, self.space("rule"), words, self.space("item")]
        return [keep, above, rule, self.space("rule"), beside]

    def items(self, items: model.Items) -> list[Flowable]:
        made: list[Flowable] = []
        role, step, square = self.role("body"), self.length("item"), self.length("square")
        for number, words in enumerate(items.items, 1):
            label = f"{number}."
            step = max(step, (len(label) + 1) * role.size * 0.58) if items.ordered else step

            def draw(canvas: Canvas, _height: float, base: float, label: str = label) -> None:
                canvas.setFillColor(HexColor(role.color))
                if items.ordered:
                    canvas.setFont(REGULAR_FONT, role.size)
                    canvas.drawString(self.indent, base, label)
                else:
                    canvas.rect(self.indent, base + role.size * 0.36 - square / 2, square, square, stroke=0, fill=1)

            made += [self.text(words, "body", step, draw), self.space("item")]
        return [*made, self.space("item")]

    def table(self, table: model.Table) -> list[Flowable]:
        width = self.length("content") if wide(table) and not self.inside else self.width
        gap, last = self.length("cell_gap"), len(table.rows)
        head = [paragraph(w, self.role("column"), flush_end=c in table.numeric) for c, w in enumerate(table.header)]
        rows = [
            [
                Box(self.length("box"))
                if c in table.boxes
                else paragraph(w, self.role("cell"), flush_end=c in table.numeric, bold=table.total and number == last)
                for c, w in enumerate(row)
            ]
            for number, row in enumerate(table.rows, 1)
        ]
        widths = column_widths(table, width, self.role("cell").size, gap)
        repeat = not self.inside and sum(len(model.plain(words)) for words in table.header) <= _LONGEST_HEAD
        rules = partial(_table_rules, self.style, table.total, gap)
        grids = fitting_grids([head, *rows], widths, rules, indent=self.indent, repeat=int(repeat))
        caption = [self.text(table.caption, "caption")] if table.caption else []
        return [*caption, *(self.shifted(grid, width) for grid in grids)]

    def labeled_rows(self, table: model.Table) -> list[Flowable]:
        rows = [[*self.pairs(row), self.space("paragraph")] for row in labeled_cells(table)]
        caption = [self.text(table.caption, "caption")] if table.caption else []
        return [*caption, *(flowable for row in rows for flowable in row)]

    def pairs(self, rows: Iterable[tuple[Words, Words]]) -> list[Flowable]:
        if self.large:
            return [
                flowable
                for label, value in rows
                for flowable in (self.text(label, "column"), self.text(value, "body"), self.space("item"))
            ]
        cells = [[paragraph(label, self.role("label")), paragraph(value, self.role("body"))] for label, value in rows]
        label = self.width * 0.4 if self.inside else self.length("label")
        pads = [("BOTTOMPADDING", (0, 0), (-1, -1), 1.5), ("RIGHTPADDING", (0, 0), (0, -1), 3 * mm)]
        grids = fitting_grids(cells, [label, self.width - label], lambda *_: pads, indent=self.indent)
        return [self.shifted(grid, self.width) for grid in grids]

    def shifted(self, grid: Flowable, width: float) -> Flowable:
        """Let a grid end at the end edge."""
        if isinstance(grid, Table):
            grid.hAlign = "RIGHT" if width <= self.width else "LEFT"
        return grid

    def caution(self, words: Words) -> Flowable:
        gap, color = self.length("caution_gap"), HexColor(self.style.colors["ink"])

        def draw(canvas: Canvas, height: float, _base: float) -> None:
            canvas.setFillColor(color)
            canvas.rect(self.indent, 0, 2.25, height, stroke=0, fill=1)

        made = self.text(words, "body", gap + 2.25, draw)
        made.marks_each_part = True
        return made

    def danger(self, danger: model.Danger) -> list[Flowable]:
        pad, content = 4 * mm, self.inside or self.length("content")
        within = replace(self, inside=content - 2 * pad)
        title = pieces(paragraph(danger.title, self.role("danger")), within.inside)
        parts = [piece for part in Kept(within.flow(danger.blocks)).parts for piece in pieces(part, within.inside)]
        rows: list[list[Cell]] = [[part] for part in (*title, *parts)]
        last = len(title) - 1
        color = HexColor(self.style.colors["danger"])
        rules = [
            *(("BOX", (0, 0), (-1, -1), 2.25, color), ("BACKGROUND", (0, 0), (-1, last), color)),
            *(("LEFTPADDING", (0, 0), (-1, -1), pad), ("RIGHTPADDING", (0, 0), (-1, -1), pad)),
            *(("TOPPADDING", (0, 0), (-1, 0), 4), ("BOTTOMPADDING", (0, last), (-1, last), 5)),
            ("TOPPADDING", (0, last + 1), (-1, last + 1), 6),
        ]
        return [self.space("item"), grid_of(rows, [content], rules), self.space("paragraph")]

    def choice(self, choice: model.Choice) -> list[Flowable]:
        side, gap = self.length("box"), self.length("box_gap")
        made: list[Flowable] = [self.text(choice.label, "body"), self.space("item")] if choice.label else []
        for place, option in enumerate(choice.options):
            ticked = choice.is_ticked(place)

            def draw(canvas: Canvas, _height: float, base: float, ticked: bool = ticked) -> None:
                draw_box(canvas, self.indent, base - 0.6 * mm, side, ticked)

            made += [self.text(option, "body", side + gap, draw), self.space("item")]
        return made

    def writing(self, writing: model.Writing) -> list[Flowable]:
        """Set the label and the lines below it, or the one line beside it."""
        label, end = self.text(writing.label, "body"), self.indent + self.width
        start = self.indent + (0 if writing.lines else text_width(label) + self.length("box_gap"))
        rule = Line((min(start, end), end, 0.75, self.style.colors["ink"]))
        below = [part for _ in range(writing.lines) for part in (Spacer(1, self.length("writing")), rule)]
        return [label, *(below or [rule])]

    def signature(self, signature: model.Signature) -> list[Flowable]:
        """Set the statement, then free height and two lines: signature, date and time."""
        share = 1 if self.large else min(self.width / self.length("text"), 1)
        widths = [self.length(name) * share for name in ("signature", "signature_gap", "moment")]
        moment = paragraph(signature.moment, self.role("small"))
        height = min(moment.wrap(widths[2], 1e6)[1], TALLEST) if signature.moment else 0
        free = max(self.length("signature_height"), height)
        named = (*signature.labels[0], Span(" "), *(replace(span, bold=True) for span in signature.name))
        below = [named, signature.role, signature.details]
        ink = self.style.colors["ink"]
        left = [Spacer(1, free), Line((0, widths[0], 0.75, ink)), Spacer(1, 2), *self.captions(below)]
        right = [Spacer(1, free - height), *([moment] if signature.moment else [])]
        right += [Line((0, widths[2], 0.75, ink)), Spacer(1, 2), *self.captions([signature.labels[1]])]
        statement = self.text(signature.statement, "body")
        if self.large:
            return [statement, *left, *right]
        grids = fitting_grids([[left, "", right]], widths, lambda *_: [], indent=self.indent)
        return [statement, *(self.shifted(grid, self.width) for grid in grids)]

    def captions(self, lines: list[Words]) -> list[Flowable]:
        return [paragraph(words, self.role("note")) for words in lines if model.plain(words).strip()]


def _table_rules(style: Style, total: bool, gap: float, has_head: bool, has_last: bool) -> list[Rule]:
    """Draw a line under the head, hair between rows, a line under a sum."""
    pad, body = style.spaces["row"], int(has_head)
    ink, hair = HexColor(style.colors["ink"]), HexColor(style.colors["hair"])
    return [
        *(("TOPPADDING", (0, body), (-1, -1), pad - 1), ("BOTTOMPADDING", (0, 0), (-1, -1), pad)),
        ("RIGHTPADDING", (0, 0), (-2, -1), gap),
        ("LINEBELOW", (0, body), (-1, -1), 0.5, hair),
        *([("LINEBELOW", (0, 0), (-1, 0), 0.75, ink)] if has_head else []),
        *([("LINEBELOW", (0, -1), (-1, -1), 0.75, ink)] if total and has_last else []),
    ]
