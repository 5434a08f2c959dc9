"""
The sections of a document > its passages, and a passage > its sentences: the text that is counted.

Counted are headings, paragraphs, remarks, list items and the rows of a table that hold words and computed figures.
Left out are labels with values, rows that print a field of the record (identifiers, doses), forms to tick or fill in
and signatures, and every section that is not for the patient.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from docgen.blocks import Block, Danger, Figure, Heading, Items, Note, Paragraph, Section, Span, Table, Together, Words
from docgen.readability.syllables import WORD
from docgen.values import dataclass

_END = re.compile(r"(?<=[.!?…؟。])[\"'”’»)\]*]*[ \n\t]+(?=[^a-zà-öø-ÿа-яё])|\n")
"""Where a sentence ends: its mark, then a space; a space that may not break a line ends none."""

_ORDINAL = re.compile(r"(?:^|\D)\d{1,2}\.[\"'”’»)\]*]*[ \n\t]+$")
_ORDINALS_WITH_DOT = frozenset({"de", "da", "nb", "nn", "no", "fi", "cs", "sk", "hu", "sl", "hr", "et", "lv"})

BLANK = "…"
"""Stands for a value where a sentence is named in a message."""


@dataclass(frozen=True)
class Sentence:
    """One sentence of the finished text."""

    text: str
    masked: str
    """With every value blanked, so that a message may name it."""
    paths: tuple[str, ...] = ()
    """Fields it prints."""

    @property
    def words(self) -> tuple[str, ...]:
        """Its words."""
        return tuple(WORD.findall(self.text))


def for_patient(sections: Iterable[Section], staff: Iterable[str]) -> Iterator[Section]:
    """Leave out the sections that are for staff, by the IDs of their elements."""
    hidden = set(staff)
    for section in sections:
        if not hidden & set(section.id.split()):
            yield section


def passages(title: Words, sections: Iterable[Section]) -> Iterator[Words]:
    """Give what is counted, in reading order; a passage ends a sentence even without a mark."""
    yield title
    for section in sections:
        if section.heading:
            yield section.heading
        for block in section.blocks:
            yield from _passages_of(block)


def _passages_of(block: Block) -> Iterator[Words]:
    if isinstance(block, Heading | Paragraph | Note):
        yield block.words
    elif isinstance(block, Items):
        yield from block.items
    elif isinstance(block, Danger):
        yield block.title
        for inner in block.blocks:
            yield from _passages_of(inner)
    elif isinstance(block, Together):
        for inner in block.blocks:
            yield from _passages_of(inner)
    elif isinstance(block, Table):
        for row in block.rows:
            if not any(is_field(span.path) for cell in row for span in cell):
                yield from (cell for place, cell in enumerate(row) if place not in block.numeric and cell)


def is_field(path: str) -> bool:
    """True for the path of a field; a part of a computed fact has one that begins with its mark."""
    return path[:1] not in ("", ".", "[")


def all_words(value: Any) -> Iterator[Words]:
    """
    Give every run of words in sections or blocks, tables and forms included: what a reader has to read.

    Of a drawing these are its labels, not what it says to who cannot see it.
    """
    if isinstance(value, tuple):
        if value and all(isinstance(one, Span) for one in value):
            yield value
        else:
            for one in value:
                yield from all_words(one)
    elif isinstance(value, Figure):
        yield from all_words(value.words)
    elif is_dataclass(value) and not isinstance(value, type | Span):
        for one in fields(value):
            yield from all_words(getattr(value, one.name))


def sentences(words: Words, language: str) -> Iterator[Sentence]:
    """Take a passage apart; what stands in another language than the document's is not counted."""
    spans = [span for span in words if span.language in (None, language)]
    text = "".join(span.text for span in spans)
    start = 0
    for end in [*_ends(text, language), len(text)]:
        piece = text[start:end]
        if WORD.search(piece):
            yield Sentence(piece.strip(), *_masked(spans, start, end))
        start = end


def _ends(text: str, language: str) -> Iterator[int]:
    for match in _END.finditer(text):
        is_ordinal = language.partition("-")[0] in _ORDINALS_WITH_DOT and _ORDINAL.search(text[: match.end()])
        if not is_ordinal:
            yield match.end()


def _masked(spans: list[Span], start: int, end: int) -> tuple[str, tuple[str, ...]]:
    """Blank the values between two places of a passage, and name the fields they come from."""
    shown, paths, at = "", [], 0
    for span in spans:
        inside = span.text[max(0, start - at) : max(0, end - at)]
        at += len(span.text)
        if not inside:
            continue
        if is_field(span.path):
            paths.append(span.path)
        shown += BLANK if span.path or span.isolated else inside
    return shown.strip(), tuple(dict.fromkeys(paths))
