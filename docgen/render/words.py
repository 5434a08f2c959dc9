"""
A composed document > the words it prints, in reading order: what PDF, DOCX and review text have in common.

Apart from the renderers, so that tests hold all three against it.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import assert_never

from docgen.blocks import (
    BELOW,
    Block,
    Caution,
    Choice,
    Danger,
    Document,
    Figure,
    Heading,
    Image,
    Items,
    Note,
    PageBreak,
    Pairs,
    Paragraph,
    Signature,
    Span,
    Table,
    Together,
    Words,
    Writing,
    plain,
)
from docgen.values import dataclass

EMPTY_BOX, TICKED_BOX = "[ ]", "[x]"
"""How a drawn box is read out; the glyphs of boxes are in no text font."""

_TELEPHONE = re.compile("[+(]?\\d[\\d ()/.\u00a0-]*[.,;]?\\s*")
_LINE_BREAK = re.compile("\r\n|[\n\r\u2028\u2029]")


@dataclass(frozen=True)
class PrintedWords:
    """The words of a document; state marks, its issue, title and person open the body of the first page."""

    head: tuple[str, ...]
    """Clinic and contact, above the first page."""
    running_head: tuple[str, ...]
    """Above each later page: clinic, title, marks, person."""
    body: tuple[str, ...]
    foot: tuple[str, ...]
    """Below each page, without the page line."""


def document_words(document: Document) -> PrintedWords:
    """List the words of a document in the order every format prints them."""
    furniture = document.furniture
    clinic, title, person = plain(furniture.clinic), plain(document.title), [plain(part) for part in furniture.person]
    marks = [mark.words for mark in furniture.marks]
    said = [plain(line) for line in furniture.issue.said] if furniture.issue else []
    body = [*marks, *said, title, *person]
    for section in document.sections:
        large_print = document.in_voice(section.voice).layout.large_print
        body += [text for block in section.headed_blocks for text in _block(block, large_print)]
    return PrintedWords(
        split_words([clinic, plain(furniture.contact)]),
        split_words([clinic, title, *marks, *person]),
        split_words(body),
        split_words(plain(line) for line in furniture.foot),
    )


def split_words(texts: Iterable[str]) -> tuple[str, ...]:
    """Cut texts at white space; characters that leave no trace on paper are left out."""
    return tuple(word for text in texts for word in without_format_characters(text).split())


def without_format_characters(text: str) -> str:
    """Leave out what prints nothing: soft hyphens, zero-width and direction characters."""
    return text if text.isascii() else "".join(c for c in text if unicodedata.category(c) != "Cf")


def lines_of(words: Words) -> tuple[Words, ...]:
    """Part words where a value begins a new line; a tab is a space."""
    lines: list[list[Span]] = [[]]
    for span in words:
        for position, text in enumerate(_LINE_BREAK.split(span.text.replace("\t", " "))):
            if position:
                lines.append([])
            if text:
                lines[-1].append(replace(span, text=text))
    return tuple(tuple(line) for line in lines)


def parted(words: Words, at: int) -> tuple[Words, Words]:
    """Part words before a character."""
    head: list[Span] = []
    tail: list[Span] = []
    for span in words:
        end = max(min(at, len(span.text)), 0)
        head += [replace(span, text=span.text[:end])] if end else []
        tail += [replace(span, text=span.text[end:])] if end < len(span.text) else []
        at -= len(span.text)
    return tuple(head), tuple(tail)


def number_and_hours(value: Words) -> tuple[Words, Words]:
    """Part the telephone number with which a value begins from the hours that may follow it."""
    found = _TELEPHONE.match(plain(value))
    return parted(value, found.end() if found else 0)


def halves(words: Words) -> tuple[Words, ...]:
    """Part words from the same words in another language below them; all of them, if they are in one alone."""
    if BELOW.look not in [span.look for span in words]:  # most are
        return (words,)
    parts: list[list[Span]] = [[]]
    for span in words:
        if span.look == BELOW.look:
            parts.append([])
        else:
            parts[-1].append(span)
    return tuple(tuple(part) for part in parts)


def in_a_line(words: Words) -> str:
    """Join the text of words in two languages into one line, as a title or bookmark."""
    return " / ".join(plain(part) for part in halves(words))


def with_second(words: Words) -> tuple[Words, Words]:
    """Part the name of a row from the smaller lines below it."""
    return _with_last(words, "second")


def with_small(words: Words) -> tuple[Words, Words]:
    """Part the words of a cell from the smaller line below them."""
    return _with_last(words, "small")


def _with_last(words: Words, look: str) -> tuple[Words, Words]:
    looks = [span.look for span in words]
    if look not in looks:
        return words, ()
    at = looks.index(look)
    said = words[at:]
    return (words[:at], said) if all(span.look in (look, BELOW.look) for span in said) else (words, ())


def introduces(paragraph: Paragraph) -> bool:
    """Tell whether a paragraph announces what follows, and stays with it: it ends in a colon, or is a bold title."""
    text = plain(paragraph.words).rstrip()
    return text.endswith(":") or (all(span.bold for span in paragraph.words) and not text.endswith((".", "!", "?")))


def heads_group(table: Table, row: tuple[Words, ...]) -> bool:
    """Tell whether a row is the name of those that follow it: it has a first cell, and nothing in the others."""
    if len(row) < 3 or table.boxes or any(plain(words).strip() for words in row[1:]):
        return False
    return bool(plain(row[0]).strip())


def run_on(lines: Iterable[Words]) -> Words:
    """Put lines one after the other in one line."""
    return tuple(span for number, words in enumerate(lines) for span in ((Span(" "),) if number else ()) + words)


def labeled_cells(table: Table) -> Iterator[tuple[tuple[Words, Words], ...]]:
    """
    Give each row as labels and values: how large print shows a table; a box is read out.

    The name of several rows is nothing of its own: it labels the first cell of each of them.
    """
    header = table.header
    for row in table.rows:
        if heads_group(table, row):
            header = (row[0], *table.header[1:])
            yield ()
            continue
        yield tuple(zip(header, boxed(table, row), strict=True))


def boxed(table: Table, row: tuple[Words, ...]) -> Iterator[Words]:
    """Give the cells of a row with their boxes read out."""
    return ((Span(EMPTY_BOX),) if place in table.boxes else words for place, words in enumerate(row))


def figure_lines(figure: Figure) -> tuple[Words, ...]:
    """Give what is printed instead of a drawing: its sentences, or what it shows."""
    return figure.instead or (figure.alt,)


def _block(block: Block, large_print: bool) -> list[str]:
    match block:
        case Heading() | Paragraph() | Note() | Caution():
            return [plain(block.words)]
        case Items():
            texts = [plain(item) for item in block.items]
            return [f"{number}. {text}" for number, text in enumerate(texts, 1)] if block.ordered else texts
        case Table():
            return _table(block, large_print)
        case Pairs():
            return [plain(words) for row in block.rows for words in row]
        case Danger():
            return [plain(block.title), *(text for inner in block.blocks for text in _block(inner, large_print))]
        case Choice():
            boxes = [TICKED_BOX if block.is_ticked(place) else EMPTY_BOX for place in range(len(block.options))]
            options = (f"{box} {plain(option)}" for box, option in zip(boxes, block.options, strict=True))
            return [plain(block.label), *options]
        case Writing():
            return [plain(block.label)]
        case Signature():
            below = (block.labels[0], block.name, block.role, block.details, block.moment, block.labels[1])
            return [plain(block.statement), *(plain(words) for words in below)]
        case Figure():
            return [plain(words) for words in figure_lines(block)]
        case Image() | PageBreak():
            return []
        case Together():
            return [text for inner in block.blocks for text in _block(inner, large_print)]
        case _:
            assert_never(block)


def _table(table: Table, large_print: bool) -> list[str]:
    if large_print:
        rows = [words for row in labeled_cells(table) for pair in row for words in pair]
    else:
        rows = [*table.header, *(cell for row in table.rows for cell in boxed(table, row))]
    return [plain(table.caption), *(plain(words) for words in rows)]
