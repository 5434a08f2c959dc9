"""
Two documents of one kind in two languages > one, paragraph by paragraph: the clinic's language, the reader's below.

Both stand under the same number; a row of a table and an item of a list stand once, with the words of both. Who signs
signs once; numbers must be the same in both, or nothing is made.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
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
from docgen.compose.two_languages import TwoLanguages
from docgen.problem import Problem, Refused, say
from docgen.values import dataclass

GAP = "\u2002"
"""Stands between the number of a pair and its text."""


def pair(
    first: Document,
    second: Document,
    locales: tuple[Locale, Locale],
    staff: Iterable[str],
    label: str,
    translation: tuple[Words, ...] = (),
) -> Document:
    """
    Join two documents; the elements named in `staff` stay in the first language alone.

    `locales` are those of the numbers in each; `translation` are the lines of the second's foot that say whether it is
    reviewed.

    Errors: Refused with figures-differ, if the numbers of one element differ between the languages; with
    catalog-shape, if a translation has other blocks than the text it translates.
    """
    hidden = set(staff)
    below = {section.id: section for section in second.sections if not hidden & set(section.id.split())}
    pairing = _Pairing(TwoLanguages(first.language, second.language, locales), label)
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
        title=pairing.both.below(first.title, second.title),
        sections=tuple(sections),
        furniture=_furniture(first.furniture, second.furniture, translation),
        second_language=second.language,
    )


def _furniture(first: Furniture, second: Furniture, translation: tuple[Words, ...]) -> Furniture:
    """Keep the first language's page, with the marks and the lines on the translation that only the second has."""
    marks = {mark.code: mark for mark in (*second.marks, *first.marks)}
    marks_in_order = tuple(marks[code] for code in MARK_CODES if code in marks)
    return replace(first, marks=marks_in_order, foot=(*first.foot, *translation))


@dataclass
class _Pairing:
    """Counts the pairs of one document and knows what to refuse."""

    both: TwoLanguages
    document: str
    count: int = 0

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
                one=self.both.first,
                other=self.both.second,
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
            if self.both.numbers_differ(mine, theirs):
                raise Refused([self._differ(one.id)])
            try:
                blocks += self._blocks(mine, self.both.tagged(theirs))
            except ValueError as error:
                raise Refused([self.shape(one.id)]) from error
        return replace(one, heading=self.both.below(one.heading, other.heading), blocks=tuple(blocks))

    def _blocks(self, mine: Any, theirs: Any) -> tuple[Block, ...]:
        """
        Join two blocks of one sort.

        Errors: ValueError, if one has more parts than the other.
        """
        join = _JOINS.get(type(mine))
        return join(self, mine, theirs) if join else (mine,)

    def heading(self, mine: Heading, theirs: Heading) -> tuple[Block, ...]:
        """Write a heading once, in both languages."""
        return (Heading(mine.level, self.both.below(mine.words, theirs.words)),)

    def text(self, mine: Paragraph, theirs: Paragraph) -> tuple[Block, ...]:
        """Set two paragraphs or remarks one below the other, under one number; what was typed stands once."""
        if plain(mine.words) == plain(theirs.words):
            return (mine,)
        mark = self._mark()
        pair = (replace(mine, words=(mark, *mine.words)), replace(theirs, words=(mark, *theirs.words)))
        return (Together(pair),)

    def items(self, mine: Items, theirs: Items) -> tuple[Block, ...]:
        """Give each item once, with its number and the words of both; a list that was typed has no numbers."""
        if [plain(words) for words in mine.items] == [plain(words) for words in theirs.items]:
            return (mine,)
        self.count += 1
        both = [self.both.either(one, other) for one, other in zip(mine.items, theirs.items, strict=True)]
        items = ((Span(f"{self.count}.{place}{GAP}"), *words) for place, words in enumerate(both, 1))
        return (Items(tuple(items), mine.ordered),)

    def table(self, mine: Table, theirs: Table) -> tuple[Block, ...]:
        """Give each row once, under one number: words of both, one number for both, the reader's drawing."""
        if len(mine.header) != len(theirs.header):
            raise ValueError(len(mine.header))
        header = tuple(self.both.below(*heads) for heads in zip(mine.header, theirs.header, strict=True))
        rows = tuple(self._row(mine, *row) for row in zip(mine.rows, theirs.rows, strict=True))
        caption = (self._mark(), *self.both.below(mine.caption, theirs.caption))
        return (replace(mine, header=header, rows=rows, caption=caption, drawings=theirs.drawings),)

    def _row(self, table: Table, mine: tuple[Words, ...], theirs: tuple[Words, ...]) -> tuple[Words, ...]:
        """Join two rows, cell by cell."""
        cells = []
        for place, (one, other) in enumerate(zip(mine, theirs, strict=True)):
            if bool(one) != bool(other):
                raise ValueError(place)
            cells.append((self.both.number if place in table.numeric else self.both.name)(one, other))
        return tuple(cells)

    def pairs(self, mine: Pairs, theirs: Pairs) -> tuple[Block, ...]:
        """Write each label and value once, in both languages where they differ."""
        rows = [
            (self.both.label(one[0], other[0]), self.both.either(one[1], other[1]))
            for one, other in zip(mine.rows, theirs.rows, strict=True)
        ]
        return (Pairs(tuple(rows)),)

    def danger(self, mine: Danger, theirs: Danger) -> tuple[Block, ...]:
        """Keep one box."""
        return (Danger(self.both.label(mine.title, theirs.title), self._inside(mine.blocks, theirs.blocks)),)

    def together(self, mine: Together, theirs: Together) -> tuple[Block, ...]:
        """Keep on one page what the text keeps there."""
        return (replace(mine, blocks=self._inside(mine.blocks, theirs.blocks)),)

    def choice(self, mine: Choice, theirs: Choice) -> tuple[Block, ...]:
        """Give each box once, with both labels."""
        options = tuple(self.both.label(one, other) for one, other in zip(mine.options, theirs.options, strict=True))
        return (replace(mine, label=self.both.either(mine.label, theirs.label), options=options),)

    def writing(self, mine: Writing, theirs: Writing) -> tuple[Block, ...]:
        """Give the empty lines once, with both labels."""
        return (replace(mine, label=self.both.label(mine.label, theirs.label)),)

    def signature(self, mine: Signature, theirs: Signature) -> tuple[Block, ...]:
        """Let each person sign once, under both languages."""
        joined = {name: self.both.label(getattr(mine, name), getattr(theirs, name)) for name in ("role", "name")}
        for name in ("statement", "details", "moment"):
            joined[name] = self.both.below(getattr(mine, name), getattr(theirs, name))
        one, other = (self.both.label(*pair) for pair in zip(mine.labels, theirs.labels, strict=True))
        return (replace(mine, **joined, labels=(one, other)),)

    def figure(self, mine: Figure, theirs: Figure) -> tuple[Block, ...]:
        """Draw once, with both labels."""
        labels = tuple(self.both.below(one, other) for one, other in zip(mine.words, theirs.words, strict=True))
        instead = tuple(self.both.label(one, other) for one, other in zip(mine.instead, theirs.instead, strict=True))
        return (replace(mine, alt=self.both.label(mine.alt, theirs.alt), words=labels, instead=instead),)

    def _inside(self, mine: tuple[Block, ...], theirs: tuple[Block, ...]) -> tuple[Block, ...]:
        pairs = zip(mine, theirs, strict=True)
        return tuple(block for one, other in pairs for block in self._blocks(one, other))

    def _mark(self) -> Span:
        """Give the number of the next pair."""
        self.count += 1
        return Span(f"{self.count}{GAP}")


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
