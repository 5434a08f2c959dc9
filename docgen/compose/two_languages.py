"""
Words in one language and the same words in another > words that say both, or one of them where they say the same.

Apart from `bilingual`, which pairs blocks: here is what stands beside or below what inside a line, a cell, a label.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from babel import Locale

from docgen.blocks import BELOW, Span, Words, plain
from docgen.compose.furniture import BETWEEN
from docgen.compose.late import COUNTED, rewritten
from docgen.language import numbers_in
from docgen.readability import all_words
from docgen.values import dataclass

LONGEST_LINE = 44
"""Letters of words in both languages up to which they share a line; longer ones stand one below the other."""

_LAST_WORDS = ("second", "small")
"""Looks of what stands below the words of a cell: it does so in both languages, below both."""

_NUMBER = re.compile(r"(\D*?)(\s*)(\d[\d.,'\u2019\u00a0\u202f]*)")


@dataclass(frozen=True)
class TwoLanguages:
    """The language of a document and that of its reader, with the locales of their numbers."""

    first: str
    second: str
    locales: tuple[Locale, Locale]

    def tagged(self, value: Any) -> Any:
        """Mark what stands in the second language; what was typed in the first stays in it."""
        return rewritten(value, lambda span: replace(span, language=self._language_of(span)))

    def _language_of(self, span: Span) -> str | None:
        if span.look == BELOW.look:
            return None
        if span.language in (None, self.second):
            return self.second
        return None if span.language == self.first else span.language

    def label(self, one: Words, other: Words) -> Words:
        """Write a label once in both languages; once alone if both say the same."""
        if not one or plain(one) == plain(other):
            return one
        return (*one, Span(BETWEEN), *self.tagged(other))

    def below(self, one: Words, other: Words) -> Words:
        """Write words with those of the other language below them; once alone if both say the same."""
        if not one or plain(one) == plain(other):
            return one
        return (*one, BELOW, *self.tagged(other))

    def either(self, one: Words, other: Words) -> Words:
        """Write words in one line with those of the other language if both are short, else one below the other."""
        short = len(plain(one)) + len(plain(other)) <= LONGEST_LINE
        return self.label(one, other) if short else self.below(one, other)

    def name(self, one: Words, other: Words) -> Words:
        """Write the name of a row in both languages, then, smaller, what stands below it in both."""
        (mine, small), (theirs, others) = _parted(one), _parted(other)
        if bool(small) != bool(others):
            raise ValueError(plain(one))
        return (*self.below(mine, theirs), *self.below(small, others))

    def number(self, one: Words, other: Words) -> Words:
        """
        Write what a number is about in both languages, then the number, as its reader writes it.

        Words with several numbers, or with one that they do not end in, stand as they are.
        """
        mine, theirs = (_NUMBER.fullmatch(plain(words).strip()) for words in (one, other))
        if not mine or not theirs or plain(one) == plain(other) or self.numbers_differ(one, other):
            return self.name(one, other)
        number = tuple(replace(span, text=theirs[3]) for span in self.tagged(other[-1:]))
        about = [(Span(found[1].replace("\u00a0", " ")),) if found[1] else () for found in (mine, theirs)]
        both = self.label(*about) if all(about) else about[0] or self.tagged(about[1])
        return (*both, BELOW, *number) if both else number

    def numbers_differ(self, one: Any, other: Any) -> bool:
        """Tell whether words or blocks have other numbers than those of the other language."""
        return numbers((one,), self.locales[0]) != numbers((other,), self.locales[1])


def _parted(words: Words) -> tuple[Words, Words]:
    """Part words from the smaller ones at their end."""
    at = next((place for place, span in enumerate(words) if span.look in _LAST_WORDS), len(words))
    last = words[at:]
    return (words[:at], last) if all(span.look in _LAST_WORDS for span in last) else (words, ())


def numbers(value: Any, locale: Locale) -> tuple[str, ...]:
    """Give the numbers of some words, sorted and written alike; what was counted on the text itself is left out."""
    texts = (plain(tuple(span for span in words if span.path != COUNTED)) for words in all_words(value))
    return tuple(sorted(one for text in texts for one in numbers_in(text, locale)))
