"""A composed document > a Word file with real headings, lists and tables; looks come from styles (`word_styles`)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest
from typing import Any, assert_never

from docx.shared import Mm, Pt
from docx.text.paragraph import Paragraph as Lines

from docgen import blocks as model
from docgen.blocks import Block, Document, Span, Words, plain
from docgen.render.fonts import width_em
from docgen.render.style import Style
from docgen.render.word_file import empty_file, packed
from docgen.render.word_furniture import put_furniture, put_person
from docgen.render.word_runs import add_box, add_line, add_marks, add_picture, add_words
from docgen.render.word_styles import NUMBERS, style_id
from docgen.render.word_tables import add_frame, add_table
from docgen.render.words import figure_lines, introduces, labeled_cells

_REGULAR = 0.95
"""How wide Regular is, against the Bold that `width_em` measures."""

_PARAGRAPHS = {"body": "Body Text", "lead": "Lead", "small": "Small"}


def render(document: Document, style: Style) -> bytes:
    """Write a Word file; the same document and style give the same bytes."""
    file = empty_file(document, style)
    put_furniture(file, document, style)
    writer = _Writer(document, style, file, file)
    writer.opening()
    writer.write(document.blocks)
    return packed(file, document)


@dataclass
class _Writer:
    """Writes blocks into a container: the body, or the cell of a danger box."""

    document: Document
    style: Style
    file: Any
    container: Any
    inside: bool = False
    begins_page: bool = False
    """True if the next paragraph begins a page."""

    def add(self, name: str, *parts: Words) -> Lines:
        """Add a paragraph in a style; several parts are parted by tabs."""
        made: Lines = self.container.add_paragraph()
        made._p.style = style_id(name)  # by its ID: python-docx would search all styles for each paragraph
        if self.inside:
            hanging = self.file.styles[name].paragraph_format.first_line_indent
            made.paragraph_format.left_indent = -hanging if hanging else Mm(0)
        if self.begins_page:
            made.paragraph_format.page_break_before = True
            self.begins_page = False
        for number, words in enumerate(parts):
            if number:
                made.add_run("\t")
            add_words(made, words, self.document.language)
        return made

    def opening(self) -> None:
        """Write the state marks as the first line, the title and whose document it is."""
        furniture = self.document.furniture
        if furniture.marks:
            add_marks(self.add("Marks"), furniture.marks)
        self.add("Title", self.document.title)
        put_person(self.container, self.document, self.style, in_lines=self.document.layout.large_print)

    def write(self, parts: Iterable[Block]) -> None:
        blocks = [*parts]
        for part, following in zip_longest(blocks, blocks[1:]):
            self.block(part)
            if isinstance(part, model.Paragraph) and (introduces(part) or isinstance(following, model.Writing)):
                self.container.paragraphs[-1].paragraph_format.keep_with_next = following is not None

    def block(self, block: Block) -> None:
        match block:
            case model.Heading():
                self.add(f"heading {block.level}", block.words)
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
                self.add("Caution", block.words)
            case model.Danger():
                self.danger(block)
            case model.Choice():
                self.choice(block)
            case model.Writing():
                self.writing(block)
            case model.Signature():
                self.signature(block)
            case model.Image():
                add_picture(self.add("Body Text"), block)
            case model.Figure():
                for words in figure_lines(block):
                    self.add("Small", words)
            case model.PageBreak():
                self.begins_page = not self.inside
            case model.Together():
                self.together(block)
            case _:
                assert_never(block)

    def items(self, items: model.Items) -> None:
        number = self.new_numbering() if items.ordered else None
        for place, words in enumerate(items.items, 1):
            made = self.add("List Number" if items.ordered else "List Bullet", words)
            made.paragraph_format.keep_with_next = True if place in (1, len(items.items) - 1) else None
            if place == len(items.items):
                made.paragraph_format.keep_with_next = None
                made.paragraph_format.space_after = Pt(self.style.spaces["paragraph"])
            if number is not None:
                properties = made._p.get_or_add_pPr().get_or_add_numPr()
                properties.get_or_add_ilvl().val = 0
                properties.get_or_add_numId().val = number

    def new_numbering(self) -> int:
        """Make a numbering that begins at 1: lists that share one would count on."""
        made = self.file.part.numbering_part.element.add_num(NUMBERS - 1)
        made.add_lvlOverride(ilvl=0).add_startOverride(1)
        return int(made.numId)

    def table(self, table: model.Table) -> None:
        if plain(table.caption):
            self.add("caption", table.caption)
        if not self.document.layout.large_print:
            self.break_before_table()
            add_table(self.container, table, self.document, self.style, self.inside)
            return
        for row in labeled_cells(table):
            self.pairs(row, together=True)

    def break_before_table(self) -> None:
        """Begin a page with a line of no height: a table cannot begin one itself."""
        if self.begins_page:
            self.add("After Table")

    def pairs(self, rows: Sequence[tuple[Words, Words]], together: bool = False) -> None:
        """Write labels and values; the first two stay together, and the last two: none stands alone on a page."""
        for place, (label, value) in enumerate(rows, 1):
            if self.document.layout.large_print:
                self.add("Label", label)
                made = self.add("Value", value)
            else:
                made = self.pair(label, value)
            if place < len(rows) and (together or place in (1, len(rows) - 1)):
                made.paragraph_format.keep_with_next = True
        if rows:
            made.paragraph_format.space_after = Pt(self.style.spaces["paragraph"])

    def pair(self, label: Words, value: Words) -> Lines:
        """Write a value beside its label, or on the line below if the label reaches into its column."""
        made = self.add("Danger Pair" if self.inside else "Pair", label)
        for run in made.runs:
            run.style = "Quiet"
        size = self.style.role("body", self.document.layout).size * 25.4 / 72
        if not self.inside and width_em(plain(label)) * _REGULAR * size > self.style.lengths["label"]:
            made.add_run().add_break()
        else:
            made.add_run("\t")
        add_words(made, value, self.document.language)
        return made

    def danger(self, danger: model.Danger) -> None:
        self.break_before_table()
        cell = add_frame(self.container, self.document, self.style, self.inside)
        title = cell.paragraphs[0]
        title.style = "Danger Heading"
        add_words(title, danger.title, self.document.language)
        within = replace(self, container=cell, inside=True, begins_page=False)
        within.write(danger.blocks)
        if len(cell.paragraphs) == 1:  # Word wants a paragraph below whatever fills a cell
            within.add("After Table")

    def choice(self, choice: model.Choice) -> None:
        if plain(choice.label):
            self.add("Question", choice.label)
        for place, option in enumerate(choice.options):
            made = self.add("Choice")
            add_box(made, choice.is_ticked(place))
            made.add_run("\t")
            add_words(made, option, self.document.language)
            made.paragraph_format.keep_with_next = place < len(choice.options) - 1

    def writing(self, writing: model.Writing) -> None:
        label = self.add("Question", writing.label)
        if not writing.lines:
            add_line(label, self.style)
        for number in range(1, writing.lines + 1):
            self.add("Writing Line").paragraph_format.keep_with_next = number < writing.lines

    def signature(self, signature: model.Signature) -> None:
        """Write the statement and two lines, one under the other, each with its words below; all on one page."""
        name = tuple(replace(span, bold=True) for span in signature.name)
        self.add("Statement", signature.statement)
        self.add("Signature Line")
        for words in ((*signature.labels[0], Span(" "), *name), signature.role, signature.details):
            if plain(words).strip():
                self.add("Signature Label", words)
        self.add("Moment Line", signature.moment)
        self.add("Signature End", signature.labels[1])

    def together(self, together: model.Together) -> None:
        before = len(self.container.paragraphs)
        self.write(together.blocks)
        for made in self.container.paragraphs[before:-1]:
            made.paragraph_format.keep_with_next = True
