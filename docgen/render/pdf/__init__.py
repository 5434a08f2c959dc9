"""A composed document > a plain PDF: the sizes and colors of the house, in one flow. No clock and no markup."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import partial
from itertools import zip_longest
from typing import TypeGuard, assert_never

from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import CondPageBreak, Flowable, PageBreak, Spacer

from docgen import blocks as model
from docgen.blocks import Block, Document, Words, plain
from docgen.render.columns import column_widths, wide, with_its_like
from docgen.render.forms import set_choice, set_signature, set_writing
from docgen.render.grids import TALLEST, Cell, Rule, fitting_grids, framed, pieces, whole_ends
from docgen.render.pages import build, opening
from docgen.render.setting import Setting, height_of, height_to_begin, with_room
from docgen.render.sheet import (
    REGULAR_FONT,
    Beside,
    Box,
    Distance,
    Kept,
    Line,
    fits_in,
    paragraph,
    picture,
    register_fonts,
)
from docgen.render.style import Style
from docgen.render.words import figure_lines, introduces, labeled_cells

_LONGEST_HEAD = 300
"""Characters of a table head that is repeated on each page; a longer one would fill them."""

_LONGEST_WAIT = 330.0
"""Points a heading may ask for, itself included; any page holds more."""

_TIGHTER = 0.6
"""Space in a table with boxes, against that in others: a check list is long, and has one page."""

Waiting = model.Heading | model.Paragraph
"""What stays with what follows: a heading, or a line that ends in a colon."""


def render(document: Document, style: Style) -> bytes:
    """Print a PDF; the same document and style give the same bytes."""
    register_fonts()
    setter = _Setter(document, style, document.layout.large_print, stacked=_headings_are_stacked(document, style))
    story = [*opening(document, style), *setter.flow(document.blocks)]
    return build(document, style, story)


def _headings_are_stacked(document: Document, style: Style) -> bool:
    """Tell whether headings stand above the text: in large print, or if one word is too wide for the side column."""
    role, side = style.role("heading", document.layout), style.lengths["side_rule"] * mm
    headings = (block.words for block in document.blocks if isinstance(block, model.Heading) and block.level == 2)
    return document.layout.large_print or not all(fits_in(paragraph(words, role), side) for words in headings)


@dataclass(frozen=True)
class _Setter(Setting):
    """Sets blocks in a column; a danger box makes one for its inside."""

    stacked: bool = False

    def flow(self, parts: Iterable[Block]) -> list[Flowable]:
        """Set blocks; a heading waits for what stands under it, which may begin on its line."""
        story: list[Flowable] = []
        section: list[Flowable] = []
        waiting: list[Waiting] = []
        blocks = [*parts]
        for part, following in zip_longest(blocks, blocks[1:]):
            if isinstance(part, model.Heading) and part.level <= 2:
                story += self.with_room([*section, *self.begun(waiting, None)])
                section, waiting = [], [part]
            elif isinstance(part, model.Heading) or self.waits(part, following, waiting):
                waiting.append(part)
            else:
                if self.from_edge(part):
                    story, section = [*story, *self.with_room(section)], []
                section += self.begun(waiting, part)
                waiting = []
        return [*story, *self.with_room([*section, *self.begun(waiting, None)])]

    def waits(self, part: Block, following: Block | None, waiting: list[Waiting]) -> TypeGuard[model.Paragraph]:
        """Tell whether a paragraph stays with what follows: one that announces it, or a single line below a heading."""
        if not isinstance(part, model.Paragraph) or following is None or isinstance(following, model.Heading):
            return False
        if introduces(part) or isinstance(following, model.Writing):
            return True
        first = bool(waiting) and isinstance(waiting[-1], model.Heading)
        return first and height_of(self.block(part)[:1], self.length("content")) <= self.role(part.role).line

    def begun(self, waiting: list[Waiting], part: Block | None) -> list[Flowable]:
        """Set a block below what waits for it, with enough of it on the same page."""
        below = [] if part is None else self.block(part)
        if not waiting:
            return below
        from_edge = part is None or self.from_edge(part)
        beside = not self.stacked and not self.inside and (len(waiting) > 1 or not from_edge)
        above = [flowable for one in waiting for flowable in self.waiting(one, beside)]
        above = self.with_room(above) if from_edge else above
        if below and isinstance(below[0], Kept):
            return [Kept(self.with_room([*above, below[0]])), *below[1:]]
        width = self.inside or self.length("content")
        needed = height_of(above, width) + height_to_begin(below, width, self.role("body").line)
        return [CondPageBreak(min(needed, _LONGEST_WAIT)), *above, *below]

    def with_room(self, section: list[Flowable]) -> list[Flowable]:
        return with_room(section, self.length("content"))

    def waiting(self, one: Waiting, beside: bool) -> list[Flowable]:
        return self.heading(one, beside) if isinstance(one, model.Heading) else self.block(one)

    def from_edge(self, block: Block) -> bool:
        """Tell whether a block uses the side column."""
        return isinstance(block, model.Danger | model.PageBreak) or (isinstance(block, model.Table) and wide(block))

    def block(self, block: Block) -> list[Flowable]:
        gap = self.space("paragraph")
        match block:
            case model.Heading():
                return self.heading(block, beside=False)
            case model.Paragraph(role="small"):
                return [Kept([self.text(block.words, "small")]), gap]
            case model.Paragraph():
                return [self.text(block.words, block.role), gap]
            case model.Items():
                return self.items(block)
            case model.Table():
                return [*(self.labeled_rows(block) if self.large else self.table(block)), gap]
            case model.Pairs():
                return [*self.pairs(block.rows), gap]
            case model.Note():
                return [Kept([self.text(block.words, "note")]), gap]
            case model.Caution():
                return [self.caution(block.words), gap]
            case model.Danger():
                return [*self.danger(block), gap]
            case model.Choice():
                return [Kept(set_choice(self, block)), gap]
            case model.Writing():
                return [Kept(set_writing(self, block)), gap, *([gap] if block.lines else [])]
            case model.Signature():
                return [Kept(set_signature(self, block)), Spacer(1, max(self.style.section_space(self.layout), 9))]
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

    def heading(self, heading: model.Heading, beside: bool) -> list[Flowable]:
        """Set a heading: a section's in the side column, if the text may begin on its line."""
        role = self.role({1: "title", 2: "heading"}.get(heading.level, "subheading"))
        words = paragraph(heading.words, role, indent=self.indent if heading.level > 2 else 0)
        if heading.level != 2 or self.inside:
            return [self.space("item"), words, self.space("item")]
        side, full, text = self.length("side_rule"), self.length("content"), self.length("side")
        colors = self.style.colors
        rule = Line((0, side, 1.5, colors["deep"]), (text, full, 0.5, colors["hair"]))
        distance = Distance(1, self.style.spaces["rule"])
        above = Spacer(1, max(self.style.section_space(self.layout) - self.style.spaces["paragraph"], 1))
        if beside:
            return [above, rule, distance, Beside(words, side)]
        return [above, rule, distance, words, self.space("item")]

    def items(self, items: model.Items) -> list[Flowable]:
        made: list[list[Flowable]] = []
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

            made.append([self.text(words, "body", step, draw), self.space("item")])
        return [*self.in_company(made), self.space("item")]

    def in_company(self, items: list[list[Flowable]]) -> list[Flowable]:
        """Keep the first two items on one page, and the last two: none stands alone there."""
        parts = [items[:2], *([item] for item in items[2:-2]), items[-2:]] if len(items) > 3 else [items]
        made: list[Flowable] = []
        for part in parts:
            flat = [flowable for item in part for flowable in item]
            made += [Kept(flat)] if len(part) > 1 and height_of(flat, self.width) <= TALLEST else flat
        return made

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
        widths = column_widths(with_its_like(table, self.document), width, self.role("cell").size, gap)
        repeat = not self.inside and sum(len(plain(words)) for words in table.header) <= _LONGEST_HEAD
        rules = partial(_table_rules, self.style, table, gap)
        grids = fitting_grids([head, *rows], widths, rules, indent=self.indent, repeat=int(repeat))
        caption = [self.text(table.caption, "caption")] if table.caption else []
        return [*caption, *(self.shifted(grid, width) for grid in grids)]

    def labeled_rows(self, table: model.Table) -> list[Flowable]:
        """Set each row of a table as labels and values, on one page if it is not long."""
        rows = [[*self.pairs(row), self.space("paragraph")] for row in labeled_cells(table)]
        caption: list[Flowable] = [self.text(table.caption, "caption")] if table.caption else []
        if rows and height_of([*caption, *rows[0]], self.width) <= TALLEST:
            rows[0], caption = [*caption, *rows[0]], []
        kept = ([Kept(row)] if height_of(row, self.width) <= TALLEST * 1.5 else row for row in rows)
        return [*caption, *(flowable for row in kept for flowable in row)]

    def labeled(self, label: Words, value: Words) -> list[Flowable]:
        """Set a value below its label, on the same page as it."""
        parts = [self.text(label, "column"), self.text(value, "body")]
        kept: list[Flowable] = [Kept(parts)] if height_of(parts, self.width) <= TALLEST else [*parts]
        return [*kept, self.space("item")]

    def pairs(self, rows: Iterable[tuple[Words, Words]]) -> list[Flowable]:
        if self.large:
            return [flowable for label, value in rows for flowable in self.labeled(label, value)]
        cells = [[paragraph(label, self.role("label")), paragraph(value, self.role("body"))] for label, value in rows]
        label = self.width * 0.4 if self.inside else self.length("label")
        pads = [("BOTTOMPADDING", (0, 0), (-1, -1), 1.5), ("RIGHTPADDING", (0, 0), (0, -1), 3 * mm)]
        grids = fitting_grids(cells, [label, self.width - label], lambda *_: pads, indent=self.indent)
        return [self.shifted(grid, self.width) for grid in grids]

    def caution(self, words: Words) -> Flowable:
        gap, color = self.length("caution_gap"), HexColor(self.style.colors["ink"])

        def draw(canvas: Canvas, height: float, _base: float) -> None:
            canvas.setFillColor(color)
            canvas.rect(self.indent, 0, 2.25, height, stroke=0, fill=1)

        made = self.text(words, "body", gap + 2.25, draw)
        made.marks_each_part = True
        return made

    def danger(self, danger: model.Danger) -> list[Flowable]:
        """Set a frame below a band; cut by a page it is closed on both, and the band stands above each part."""
        pad, content = 4 * mm, self.inside or self.length("content")
        within = replace(self, inside=content - 2 * pad)
        title = pieces(paragraph(danger.title, self.role("danger")), within.inside)
        parts = [piece for part in Kept(within.flow(danger.blocks)).parts for piece in pieces(part, within.inside)]
        rows: list[list[Cell]] = [[part] for part in (*title, self.space("rule"), *parts)]
        last = len(title) - 1
        color = HexColor(self.style.colors["danger"])
        rules = [
            ("BACKGROUND", (0, 0), (-1, last), color),
            *(("LEFTPADDING", (0, 0), (-1, -1), pad), ("RIGHTPADDING", (0, 0), (-1, -1), pad)),
            *(("TOPPADDING", (0, 0), (-1, 0), 4), ("BOTTOMPADDING", (0, last), (-1, last), 5)),
            *whole_ends(rows, [within.inside + 9], first=last + 7, end=4),
        ]
        repeat = 2 if not self.inside and not last and len(plain(danger.title)) <= _LONGEST_HEAD else 0
        return [self.space("item"), framed(rows, content, rules, repeat, color), self.space("paragraph")]


def _table_rules(style: Style, table: model.Table, gap: float, has_head: bool, has_last: bool) -> list[Rule]:
    """Draw a line under the head, hair between rows, a line under a sum."""
    pad, body = style.spaces["row"] * (_TIGHTER if table.boxes else 1), int(has_head)
    ink, hair = HexColor(style.colors["ink"]), HexColor(style.colors["hair"])
    return [
        *(("TOPPADDING", (0, body), (-1, -1), pad - 1), ("BOTTOMPADDING", (0, 0), (-1, -1), pad)),
        ("RIGHTPADDING", (0, 0), (-2, -1), gap),
        ("LINEBELOW", (0, body), (-1, -1), 0.5, hair),
        *([("LINEBELOW", (0, 0), (-1, 0), 0.75, ink)] if has_head else []),
        *([("LINEBELOW", (0, -1), (-1, -1), 0.75, ink)] if table.total and has_last else []),
    ]
