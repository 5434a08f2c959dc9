"""
A document of the model > what its structure tree must say: for each text, its kind of element and its words, in order.

Apart from `docgen.render.words`, which tells what is printed: here stands also what it is to who hears it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from docgen import blocks as model
from docgen.blocks import Block, Document, Words, plain
from docgen.render.figures import draw
from docgen.render.words import EMPTY_BOX, TICKED_BOX, figure_lines, labeled_cells
from tests.render.tree import Elem, fold

WIDE = 999.0
"""Millimeters in which every figure finds room; its caption does not depend on it."""

Said = tuple[str, str]
"""Kind of element, and folded text; for a Figure what it shows."""


def said(root: Elem) -> list[Said]:
    """List what a tree says: every element that has words of its own, and every figure."""
    found = []
    for elem in root.walk():
        text = fold(elem.alt or "") if elem.kind == "Figure" else fold(elem.text)
        if text:
            found.append((elem.kind, text))
    return found


class Speech:
    """Lists what a document says; `drawn` holds the folded texts of figures that are drawn, not printed in words."""

    def __init__(self, document: Document, drawn: Iterable[str]) -> None:
        self.document, self.drawn = document, set(drawn)
        self.large, self.level = False, 0

    def list(self) -> list[Said]:
        """List it all, in reading order."""
        return [(kind, text) for kind, text in ((kind, fold(text)) for kind, text in self._all()) if text]

    def _all(self) -> Iterator[Said]:
        furniture = self.document.furniture
        if furniture.logo:
            yield "Figure", furniture.logo.alt
        yield "P", plain(furniture.clinic)
        yield "P", plain(furniture.contact)
        for mark in furniture.marks:
            yield "P", mark.words
        for words in furniture.issue.said if furniture.issue else ():
            yield "P", plain(words)
        yield self._heading(1, self.document.title)
        for words in furniture.person:
            yield "P", plain(words)
        for section in self.document.sections:
            self.large = self.document.in_voice(section.voice).layout.large_print
            for block in section.headed_blocks:
                yield from self._block(block)

    def _heading(self, wished: int, words: Words) -> Said:
        """No level is left out on the way down."""
        self.level = min(wished, self.level + 1)
        return f"H{self.level}", plain(words)

    def _block(self, block: Block) -> Iterator[Said]:
        match block:
            case model.Heading():
                yield self._heading(block.level, block.words)
            case model.Paragraph() | model.Note() | model.Caution():
                yield "P", plain(block.words)
            case model.Items():
                for number, words in enumerate(block.items, 1):
                    if block.ordered:
                        yield "Lbl", f"{number}."
                    yield "LBody", plain(words)
            case model.Table():
                yield from self._table(block)
            case model.Pairs():
                yield from _pairs(block.rows)
            case model.Danger():
                yield self._heading(3 if self.level > 1 else 2, block.title)
                yield from self._inner(block.blocks)
            case model.Choice():
                yield "P", plain(block.label)
                answered = block.complete or block.chosen is not None
                for place, words in enumerate(block.options):
                    box = TICKED_BOX if block.is_ticked(place) else EMPTY_BOX
                    yield ("Form" if answered else "Lbl"), box  # an answer is no field: the box itself is the form
                    yield "LBody", plain(words)
            case model.Writing():
                yield "P", plain(block.label)
            case model.Signature():
                yield from _signature(block)
            case model.Image():
                yield "Figure", block.alt
            case model.Figure():
                yield from self._figure(block)
            case model.Together():
                yield from self._inner(block.blocks)

    def _inner(self, blocks: Iterable[Block]) -> Iterator[Said]:
        for block in blocks:
            yield from self._block(block)

    def _figure(self, figure: model.Figure) -> Iterator[Said]:
        if fold(plain(figure.alt)) in self.drawn:
            yield "Figure", plain(figure.alt)
            yield "P", plain(caption_of(figure))
        else:
            for words in figure_lines(figure):
                yield "P", plain(words)

    def _table(self, table: model.Table) -> Iterator[Said]:
        if self.large:
            yield "P", plain(table.caption)
            for number, row in enumerate(labeled_cells(table)):
                figure = table.drawings[number] if table.drawings else None
                yield from _pairs(row)
                if figure and fold(plain(figure.alt)) in self.drawn:
                    yield "Figure", plain(figure.alt)
            return
        yield "Caption", plain(table.caption)
        for words in table.header:
            yield "TH", plain(words)
        for number, cells in enumerate(table.rows):
            named = len(cells) > 1 and 0 not in (*table.numeric, *table.boxes) and plain(cells[0]).strip()
            for place, words in enumerate(cells):
                kind = "TH" if named and not place else "TD"
                yield kind, EMPTY_BOX if place in table.boxes else plain(words)
                figure = table.drawings[number] if table.drawings and not place else None
                if figure and fold(plain(figure.alt)) in self.drawn:
                    yield "Figure", plain(figure.alt)


def caption_of(figure: model.Figure) -> Words:
    """Give the words below a drawing."""
    drawing = draw(figure, rtl=False, large=False, width_mm=WIDE, measure=lambda *_: 1.0)
    return drawing.caption if drawing else ()


def _pairs(rows: Iterable[tuple[Words, Words]]) -> Iterator[Said]:
    for label, value in rows:
        yield "Lbl", plain(label)
        yield "LBody", plain(value)


def _signature(block: model.Signature) -> Iterator[Said]:
    yield "P", plain(block.statement)
    yield "P", f"{plain(block.labels[0])} {plain(block.name)}"
    for words in (block.role, block.details, block.moment, block.labels[1]):
        yield "P", plain(words)
