"""Blocks > the paragraphs and tables of the body of a Word file."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import field, replace
from itertools import zip_longest
from typing import assert_never

from docgen import blocks as model
from docgen.blocks import Block, Document, Span, Words, plain
from docgen.render.docx.controls import Controls
from docgen.render.docx.frames import FRAME_PADDING, Frame, answer_frame
from docgen.render.docx.looks import FRAMED, NUMBERS, STAFF, TURNED, framed_names, staff_names, text_indent
from docgen.render.docx.markup import twentieths, twips
from docgen.render.docx.paragraphs import Para, Part, paragraphs, written
from docgen.render.docx.pictures import Pictures
from docgen.render.docx.runs import BESIDE, BREAK, QUIET, TAB, Runs, run
from docgen.render.docx.tables import Tables, has_caption
from docgen.render.fonts.characters import width_em
from docgen.render.style import Style
from docgen.render.words import figure_lines, introduces, labeled_cells
from docgen.values import dataclass

_REGULAR = 0.95
"""How wide Regular is, against the Bold that `width_em` measures."""

_LINE = f'<w:r><w:rPr><w:rStyle w:val="{BESIDE}"/></w:rPr><w:tab/></w:r>'
"""To the end of a line for the pen, beside a heading."""

_LABEL_GAP_MM, _SPACE = 1.2, run("\u2002")
"""From a label to its value, at least; and what stands between them where the column leaves less."""

_CAUTIONS = {"bar": "Caution", "frame": "Urgency Frame", "band": "Urgency Band"}
_REMARKS = ("Small", "Note")
_PARAGRAPHS = {"body": "Body Text", "lead": "Lead", "small": "Small"}


@dataclass
class Body:
    """Writes blocks into a list of parts: those of the body, or of the cell of a danger box."""

    document: Document
    style: Style
    runs: Runs
    controls: Controls
    tables: Tables
    pictures: Pictures
    staff: bool = False
    """True in a section for staff of a document that speaks in another voice."""
    inside: bool = False
    parts: list[Part] = field(default_factory=list)
    heading: Words = ()
    """The last one."""
    begins_page: bool = False
    """True if the next paragraph begins a page."""

    def add(self, name: str, words: Words = (), look: str = "") -> Para:
        """Add a paragraph in a style, with words in a style of characters."""
        return self.put(written(self.runs, name, words, look))

    def put(self, made: Para) -> Para:
        """Add a paragraph; in the danger box, in a section for staff and from the right its style is another."""
        if self.inside and made.style in framed_names():
            made.style = FRAMED + made.style
        elif self.staff and made.style in staff_names():
            made.style = STAFF + made.style
        elif made.bidi and made.style in framed_names():
            made.style, made.bidi = TURNED + made.style, None
        made.begins_page, self.begins_page = self.begins_page, False
        self.parts.append(made)
        return made

    def write(self, parts: Iterable[Block]) -> None:
        """Write blocks; a sentence stays with what it announces."""
        blocks = [*parts]
        for part, following in zip_longest(blocks, blocks[1:]):
            self.block(part)
            if isinstance(part, model.Paragraph) and _stays(part, following):
                next(paragraphs(self.parts[-1:])).keep_next = following is not None

    def block(self, block: Block) -> None:
        """Write one block."""
        match block:
            case model.Heading():
                self.add(f"heading {block.level}", block.words)
                self.heading = block.words
            case model.Paragraph():
                self.add(_PARAGRAPHS[block.role], block.words)
            case model.Items():
                self.items(block)
            case model.Table():
                self.table(block)
            case model.Pairs():
                self.pairs(block.rows)
            case model.Note():
                self.add("Note", block.words)
            case model.Caution():
                self.add(_CAUTIONS[block.look], block.words)
            case model.Danger():
                self.danger(block)
            case model.Choice():
                self.choice(block)
            case model.Writing():
                self.writing(block)
            case model.Signature():
                self.signature(block)
            case model.Image():
                self.put(Para("Figure", self.pictures.image(block, self.runs.relations)))
            case model.Figure():
                self.figure(block)
            case model.PageBreak():
                self.begins_page = not self.inside
            case model.Together():
                self.together(block)
            case _:
                assert_never(block)

    def items(self, items: model.Items) -> None:
        """Write a list; the first two items stay together, and the last two."""
        number = 0
        if items.ordered:  # lists that share a numbering would count on
            self.runs.ledger.numberings += 1
            number = NUMBERS + self.runs.ledger.numberings
        for place, words in enumerate(items.items, 1):
            made = self.add("List Number" if items.ordered else "List Bullet", words)
            made.numbering = number
            made.keep_next = place < len(items.items) and place in (1, len(items.items) - 1)
        if items.items:
            made.after = twentieths(self.style.spaces["paragraph"])

    def table(self, table: model.Table) -> None:
        """Write a table; in large print, each row as labels and values."""
        if plain(table.caption) and (has_caption(table) or self.document.layout.large_print):
            self.add("caption", table.caption)
        if not self.document.layout.large_print:
            self.break_before_table()
            self.parts.append(self.tables.grid(table, self.inside))
            self.add("After Box Table" if table.boxes else "After Table")
            return
        for row, drawing in zip_longest(labeled_cells(table), table.drawings):
            before = len(self.parts)
            self.pairs(row[:1])
            self.strip(drawing)
            self.pairs(row[1:])
            self.hold(before)

    def break_before_table(self) -> None:
        """Begin a page with a line of no height: a table cannot begin one itself."""
        if self.begins_page:
            self.add("After Table")

    def pairs(self, rows: Sequence[tuple[Words, Words]]) -> None:
        """Write labels and values; the first two stay together, and the last two: none stands alone on a page."""
        for place, (label, value) in enumerate(rows, 1):
            if self.document.layout.large_print:
                self.add("Label", label)
                made = self.add("Value", value)
            else:
                made = self.pair(label, value)
            made.keep_next = place < len(rows) and place in (1, len(rows) - 1)
        if rows and not self.document.layout.large_print:
            made.after = twentieths(self.style.spaces["paragraph"])

    def pair(self, label: Words, value: Words) -> Para:
        """Write a value beside its label, or on the line below if the label reaches into its column."""
        made = self.add("Pair", label, QUIET)
        size = self.style.role("body", self.document.layout).size * 25.4 / 72
        free = self.style.lengths["label"] - width_em(plain(label)) * _REGULAR * size
        gap = TAB if self.inside or free > _LABEL_GAP_MM else _SPACE if free > 0 else BREAK
        made.content += gap + self.runs.words(value)
        made.letters += sum(len(span.text) for span in value)
        return made

    def danger(self, danger: model.Danger) -> None:
        """Write the danger box: a frame, its heading and what stands below it."""
        self.break_before_table()
        within = replace(self, inside=True, parts=[], begins_page=False)
        title = within.add("Danger Heading", danger.title)
        last = danger.blocks[-1] if danger.blocks else None
        numbers = last.rows if isinstance(last, model.Pairs) else ()
        within.write(danger.blocks[:-1] if numbers else danger.blocks)
        if len(within.parts) == 1 or not isinstance(within.parts[-1], Para):
            within.add("After Table")  # Word wants a paragraph below whatever fills a cell
        frame = Frame(self.document, self.style, self.runs, self.inside)
        self.parts.append(frame.grid(title, within.parts[1:], numbers, plain(danger.title)))
        self.add("After Table")

    def choice(self, choice: model.Choice) -> None:
        """Write a question and a box before each answer; a long list that is already ticked may be cut."""
        if plain(choice.label):
            self.add("Question", choice.label)
        for place, option in enumerate(choice.options):
            made = self.add("Choice", option)
            made.content = self.controls.box(choice.is_ticked(place), option) + TAB + made.content
            last = len(choice.options) - 1
            made.keep_next = place < last and (not choice.complete or place in (0, last - 1))

    def writing(self, writing: model.Writing) -> None:
        """Write a label and lines for the pen; the first holds what is typed."""
        above = self.parts[-1] if self.parts else None
        if not writing.lines and isinstance(above, Para) and above.style.endswith("heading 2"):
            self.line_beside(above, writing)
            return
        label = self.add("Question" if writing.lines else "Line Beside", writing.label)
        if not writing.lines:
            end = self.style.lengths["content"] - (FRAME_PADDING if self.inside else 0)
            label.tabs = f'<w:tab w:val="right" w:leader="underscore" w:pos="{twips(end)}"/>'
            label.content += f"{self.controls.text(writing.label)}{TAB}"
        count = writing.lines + writing.more
        for number in range(1, count + 1):
            made = self.add("Writing Line")
            made.keep_next = number < count
            if number == 1 and writing.lines:
                made.content = self.controls.text(writing.label, lines=True)

    def line_beside(self, heading: Para, writing: model.Writing) -> None:
        """Write a label and a line for the pen in the line of a heading, as in the PDF: a check list has one page."""
        size = self.style.role("heading", self.document.layout).size * 25.4 / 72
        start, end = self.style.lengths["side"], self.style.lengths["content"]
        is_short = width_em(plain(self.heading)) * size + _LABEL_GAP_MM < start
        begins = f'<w:tab w:val="left" w:pos="{twips(start)}"/>' if is_short else ""
        heading.tabs = f'{begins}<w:tab w:val="right" w:leader="underscore" w:pos="{twips(end)}"/>'
        heading.content += (TAB if is_short else _SPACE) + self.runs.words(writing.label, BESIDE)
        heading.content += self.controls.text(writing.label) + _LINE

    def signature(self, signature: model.Signature) -> None:
        """Write the statement and two lines, one under the other, each with its words below; all on one page."""
        name = tuple(replace(span, bold=True) for span in signature.name)
        named = (*signature.labels[0], Span(" "), *name)
        self.add("Statement", signature.statement)
        self.add("Signature Line").content = self.controls.ink((*named, Span(", "), *signature.role))
        for words in (named, signature.role, signature.details):
            if plain(words).strip():
                self.add("Signature Label", words)
        moment = self.add("Moment Line", signature.moment)
        if not plain(signature.moment).strip():
            moment.content += self.controls.text((*signature.labels[1], Span(", "), *signature.role))
        self.add("Signature End", signature.labels[1])

    def together(self, together: model.Together) -> None:
        """Write blocks of which no page parts one from the next."""
        before = len(self.parts)
        if together.framed and not self.inside:
            self.framed(together)
        else:
            self.write(together.blocks)
            self.hold(before)

    def framed(self, together: model.Together) -> None:
        """Write the quiet frame around what somebody else fills in, over the whole width; no page cuts it."""
        self.break_before_table()
        within = replace(self, inside=True, parts=[], begins_page=False)
        within.write(together.blocks)
        if not isinstance(within.parts[-1], Para):
            within.add("After Table")  # Word wants a paragraph below whatever fills a cell
        self.parts.append(answer_frame(together, within.parts, self.document, self.style))
        self.add("After Table")

    def hold(self, before: int) -> None:
        """Keep on one page what was written since there were so many parts."""
        for made in [*paragraphs(self.parts[before:])][:-1]:
            made.keep_next = True

    def figure(self, figure: model.Figure) -> None:
        """Show a figure as a picture with its caption, or write the words printed instead."""
        lengths = self.style.lengths
        indent = 0 if self.inside else text_indent(self.style, self.document.layout)
        made = self.pictures.drawn(figure, lengths["content"] - indent - (FRAME_PADDING if self.inside else 0))
        if made is None:
            for words in figure_lines(figure):
                self.add("Small", words)
            return
        shown = self.put(Para("Figure", self.pictures.drawing(figure, made, self.runs.relations)))
        if plain(made.caption):
            shown.keep_next = True
            self.add("Figure Caption", made.caption)

    def strip(self, figure: model.Figure | None) -> None:
        """Show the drawing of a row of a table below its name."""
        made = self.pictures.drawn(figure, self.style.lengths["content"]) if figure else None
        if figure and made:
            self.put(Para("Figure", self.pictures.drawing(figure, made, self.runs.relations)))

    def hold_remark(self) -> None:
        """Keep a remark that ends a document with what is above it: it shall not have a page of its own."""
        *_, above, last = (None, None, *self.parts)
        if isinstance(above, Para) and isinstance(last, Para) and last.style.removeprefix(STAFF) in _REMARKS:
            above.keep_next = True


def _stays(paragraph: model.Paragraph, following: Block | None) -> bool:
    """Tell whether a paragraph stays with what follows: it announces it, or tells how to read what comes after that."""
    if introduces(paragraph) or isinstance(following, model.Writing):
        return True
    return paragraph.role == "small" and isinstance(following, model.Paragraph) and introduces(following)
