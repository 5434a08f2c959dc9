"""
Two documents of one kind in two languages > one, paragraph by paragraph: the clinic's language, the reader's below.

Both stand under the same number. Who signs signs once; numbers must be the same in both, or nothing is made.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any

from babel import Locale

from docgen.blocks import (
    MARK_CODES,
    Block,
    Caution,
    Choice,
    Danger,
    Document,
    Figure,
    Furniture,
    Heading,
    Items,
    Note,
    Pairs,
    Paragraph,
    Section,
    Signature,
    Span,
    Table,
    Together,
    Words,
    Writing,
    plain,
)
from docgen.compose.late import rewritten
from docgen.problem import Problem, Refused, say
from docgen.readability import all_words

BETWEEN = " / "
"""Parts a label from the same label in the other language."""

GAP = "\u2002"
"""Stands between the number of a pair and its text."""


def pair(first: Document, second: Document, staff: Iterable[str], label: str) -> Document:
    """
    Join two documents; the elements named in `staff` stay in the first language alone.

    Errors: Refused with figures-differ, if the numbers of one element differ between the languages; with
    catalog-shape, if a translation has other blocks than the text it translates.
    """
    hidden = set(staff)
    below = {section.id: section for section in second.sections if not hidden & set(section.id.split())}
    pairing = _Pairing(first.language, second.language, label)
    sections: list[Section] = []
    for section in first.sections:
        other = below.pop(section.id, None) if not hidden & set(section.id.split()) else section
        if other is None:
            raise Refused([pairing.shape(section.id)])
        sections.append(section if other is section else pairing.section(section, other))
    if below:
        raise Refused([pairing.shape(next(iter(below)))])
    return replace(
        first,
        title=pairing.label(first.title, second.title),
        sections=tuple(sections),
        furniture=_furniture(first.furniture, second.furniture),
    )


def _furniture(first: Furniture, second: Furniture) -> Furniture:
    """Keep the first language's page, with the marks and the translation's line that only the second has."""
    marks = {mark.code: mark for mark in (*second.marks, *first.marks)}
    marks_in_order = tuple(marks[code] for code in MARK_CODES if code in marks)
    return replace(first, marks=marks_in_order, foot=(*first.foot, *second.foot[len(first.foot) :]))


@dataclass
class _Pairing:
    """Counts the pairs of one document and knows what to refuse."""

    first: str
    second: str
    document: str
    number: int = 0

    def shape(self, element: str) -> Problem:
        """Say that the translation has another shape."""
        return Problem(
            "catalog-shape",
            element,
            say(
                "%(element)s of %(document)s has other paragraphs in its translation",
                element=element,
                document=self.document,
            ),
            say("translate each sentence of the catalog without adding or leaving out marks of lists or headings"),
            needed_by=(self.document,),
        )

    def _differ(self, element: str) -> Problem:
        return Problem(
            "figures-differ",
            element,
            say(
                "the numbers of %(element)s differ between %(one)s and %(other)s",
                element=element,
                one=self.first,
                other=self.second,
            ),
            say("correct the catalog, so that each number stands in both"),
            needed_by=(self.document,),
        )

    def section(self, one: Section, other: Section) -> Section:
        """Join two sections, block by block."""
        if len(one.blocks) != len(other.blocks) or bool(one.heading) != bool(other.heading):
            raise Refused([self.shape(one.id)])
        blocks: list[Block] = []
        for mine, theirs in zip(one.blocks, other.blocks, strict=True):
            if type(mine) is not type(theirs):
                raise Refused([self.shape(one.id)])
            if numbers((mine,), self.first) != numbers((theirs,), self.second):
                raise Refused([self._differ(one.id)])
            try:
                blocks += self._blocks(mine, self._tagged(theirs))
            except ValueError as error:
                raise Refused([self.shape(one.id)]) from error
        return Section(one.id, self.label(one.heading, other.heading), tuple(blocks))

    def label(self, one: Words, other: Words) -> Words:
        """Write a label once in both languages; once alone if both say the same."""
        if not one or plain(one) == plain(other):
            return one
        return (*one, Span(BETWEEN), *self._tagged(other))

    def _tagged(self, value: Any) -> Any:
        """Mark what stands in the second language; what was typed in the first stays in it."""
        return rewritten(value, lambda span: replace(span, language=self._language_of(span)))

    def _language_of(self, span: Span) -> str | None:
        if span.language in (None, self.second):
            return self.second
        return None if span.language == self.first else span.language

    def _blocks(self, mine: Any, theirs: Any) -> tuple[Block, ...]:
        """
        Join two blocks of one sort.

        Errors: ValueError, if one has more parts than the other.
        """
        join = _JOINS.get(type(mine))
        return join(self, mine, theirs) if join else (mine,)

    def heading(self, mine: Heading, theirs: Heading) -> tuple[Block, ...]:
        """Write a heading once, in both languages."""
        return (Heading(mine.level, self.label(mine.words, theirs.words)),)

    def text(self, mine: Paragraph, theirs: Paragraph) -> tuple[Block, ...]:
        """Set two paragraphs or remarks one below the other, under one number; what was typed stands once."""
        if plain(mine.words) == plain(theirs.words):
            return (mine,)
        mark = self._mark()
        pair = (replace(mine, words=(mark, *mine.words)), replace(theirs, words=(mark, *theirs.words)))
        return (Together(pair),)

    def items(self, mine: Items, theirs: Items) -> tuple[Block, ...]:
        """Set two lists one below the other; each item has its number in both, and what was typed stands once."""
        if [plain(words) for words in mine.items] == [plain(words) for words in theirs.items]:
            return (mine,)
        self.number += 1
        marks = [Span(f"{self.number}.{place}{GAP}") for place in range(1, len(mine.items) + 1)]
        lists = [tuple((m, *words) for m, words in zip(marks, one.items, strict=True)) for one in (mine, theirs)]
        return (Items(lists[0], mine.ordered), Items(lists[1], theirs.ordered))

    def table(self, mine: Table, theirs: Table) -> tuple[Block, ...]:
        """Set two tables one below the other, under one number; what is drawn stands once, in the reader's."""
        if len(mine.rows) != len(theirs.rows):
            raise ValueError(len(mine.rows))
        mark = self._mark()
        return (
            replace(mine, caption=(mark, *mine.caption), drawings=()),
            replace(theirs, caption=(mark, *theirs.caption)),
        )

    def pairs(self, mine: Pairs, theirs: Pairs) -> tuple[Block, ...]:
        """Write each label and value once, in both languages where they differ."""
        rows = [
            (self.label(one[0], other[0]), self.label(one[1], other[1]))
            for one, other in zip(mine.rows, theirs.rows, strict=True)
        ]
        return (Pairs(tuple(rows)),)

    def danger(self, mine: Danger, theirs: Danger) -> tuple[Block, ...]:
        """Keep one box."""
        return (Danger(self.label(mine.title, theirs.title), self._inside(mine.blocks, theirs.blocks)),)

    def together(self, mine: Together, theirs: Together) -> tuple[Block, ...]:
        """Keep on one page what the text keeps there."""
        return (Together(self._inside(mine.blocks, theirs.blocks)),)

    def choice(self, mine: Choice, theirs: Choice) -> tuple[Block, ...]:
        """Give each box once, with both labels."""
        options = tuple(self.label(one, other) for one, other in zip(mine.options, theirs.options, strict=True))
        return (replace(mine, label=self.label(mine.label, theirs.label), options=options),)

    def writing(self, mine: Writing, theirs: Writing) -> tuple[Block, ...]:
        """Give the empty lines once, with both labels."""
        return (replace(mine, label=self.label(mine.label, theirs.label)),)

    def signature(self, mine: Signature, theirs: Signature) -> tuple[Block, ...]:
        """Let each person sign once, under both languages."""
        words = ("statement", "role", "name", "details", "moment")
        joined = {name: self.label(getattr(mine, name), getattr(theirs, name)) for name in words}
        one, other = zip(mine.labels, theirs.labels, strict=True)
        return (replace(mine, **joined, labels=(self.label(*one), self.label(*other))),)

    def figure(self, mine: Figure, theirs: Figure) -> tuple[Block, ...]:
        """Draw once, with both labels."""
        labels = tuple(self.label(one, other) for one, other in zip(mine.words, theirs.words, strict=True))
        instead = tuple(self.label(one, other) for one, other in zip(mine.instead, theirs.instead, strict=True))
        return (replace(mine, alt=self.label(mine.alt, theirs.alt), words=labels, instead=instead),)

    def _inside(self, mine: tuple[Block, ...], theirs: tuple[Block, ...]) -> tuple[Block, ...]:
        pairs = zip(mine, theirs, strict=True)
        return tuple(block for one, other in pairs for block in self._blocks(one, other))

    def _mark(self) -> Span:
        """Give the number of the next pair."""
        self.number += 1
        return Span(f"{self.number}{GAP}")


_JOINS: dict[type, Callable[..., tuple[Block, ...]]] = {
    Heading: _Pairing.heading,
    Paragraph: _Pairing.text,
    Note: _Pairing.text,
    Caution: _Pairing.text,
    Items: _Pairing.items,
    Table: _Pairing.table,
    Pairs: _Pairing.pairs,
    Danger: _Pairing.danger,
    Together: _Pairing.together,
    Choice: _Pairing.choice,
    Writing: _Pairing.writing,
    Signature: _Pairing.signature,
    Figure: _Pairing.figure,
}
"""Blocks without words (a picture, the end of a page) stand once."""


def numbers(value: Any, language: str) -> tuple[str, ...]:
    """Give the numbers of some words, sorted and written alike for every language."""
    symbols = Locale.parse(language.replace("-", "_")).number_symbols.get("latn", {})
    group, decimal = symbols.get("group", ","), symbols.get("decimal", ".")
    found: list[str] = []
    for words in all_words(value):
        text = re.sub(rf"(?<=\d)[{re.escape(group)}\u00a0\u202f](?=\d{{3}}(?!\d))", "", plain(words))
        found += re.findall(r"\d+(?:\.\d+)?", re.sub(rf"(?<=\d){re.escape(decimal)}(?=\d)", ".", text))
    return tuple(sorted(found))
