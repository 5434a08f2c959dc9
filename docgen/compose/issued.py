"""
A composed document and what the register says of it > the same document with its number, or with the mark of its end.

Works on a document alone, so that one kept for years can be marked without its case. Nothing here is printed by a
document that is not issued.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import fields, is_dataclass, replace
from datetime import date
from typing import Any

import segno

from docgen.blocks import MARK_CODES, Choice, Document, Figure, Issue, Mark, Span, Words, plain, printed_number
from docgen.compose.furniture import ISSUE_LINE, copy_sentence
from docgen.language import Language
from docgen.problem import Problem, Refused, say
from docgen.values import dataclass

NO_BREAK = "\u202f"
"""Narrow: a word processor cuts a code from right to left at the usual one."""

_HALF = 4
"""Of the eight characters of a check code, which are read in two groups."""

LEFT_TO_RIGHT = "\u200e"
"""A mark of direction, without width."""


@dataclass(frozen=True)
class Stamp:
    """What the register gives a document when it is issued."""

    number: int
    code: str
    """The check code: eight characters of base32."""
    on: date
    head: str
    """Digest of the register's last entry before the number was taken, in hexadecimal."""


def spoken(document: Document) -> tuple[str, ...]:
    """Name the languages of a document in their order: what it says of its issue is said in each of them."""
    return tuple(tag for tag in (document.language, document.second_language) if tag)


def stamped(document: Document, stamp: Stamp, languages: Sequence[Language]) -> Document:
    """
    Print number, date and check code above the title, in all languages, and in the foot, in the document's own.

    `languages` are those that `spoken` names, in its order. A screen reader passes over the foot of a page.

    Errors: Refused with language-missing, if a catalog lacks the sentence.
    """
    _forget_missing(languages)
    furniture, own, number = document.furniture, languages[0], printed_number(stamp.number)
    said = [
        one.text("Number %(number)s, issued on %(date)s, check code %(code)s")
        % {"number": number, "date": one.date(stamp.on), "code": _in_groups(stamp.code, one)}
        for one in languages
    ]
    line = (Span(f"{said[0]}.{copy_sentence(furniture.copy)}", path=ISSUE_LINE),)
    lines = [
        (Span(f"{sentence}.", language=None if one is own else one.name, path=ISSUE_LINE),)
        for one, sentence in zip(languages, said, strict=True)
    ]
    alt = own.text("QR code: number %(number)s, check code %(code)s") % {
        "number": number,
        "code": _in_groups(stamp.code, own),
    }
    issue = Issue(number, stamp.code, stamp.head, _square(f"{number} {stamp.code}"), alt, tuple(lines))
    _refuse_untranslated(document, languages)
    return replace(
        document,
        furniture=replace(furniture, foot=_with_line(furniture.foot, line), issue=issue),
        origin=replace(document.origin, issued_on=stamp.on.isoformat()),
    )


def superseded(document: Document, successor: int, languages: Sequence[Language]) -> Document:
    """
    Mark a document as superseded by another number; `languages` as for `stamped`.

    Errors: Refused with language-missing.
    """

    def mark(language: Language) -> tuple[str, str]:
        words = language.text("SUPERSEDED BY %(number)s") % {"number": printed_number(successor)}
        return words, language.text("SUPERSEDED")

    return _with_mark(document, "superseded", mark, languages)


def withdrawn(document: Document, on: date, languages: Sequence[Language]) -> Document:
    """
    Mark a document as withdrawn on a day; `languages` as for `stamped`.

    Errors: Refused with language-missing.
    """

    def mark(language: Language) -> tuple[str, str]:
        return language.text("WITHDRAWN (%(date)s)") % {"date": language.date(on)}, language.text("WITHDRAWN")

    return _with_mark(document, "withdrawn", mark, languages)


def words_of(document: Document) -> str:
    """
    Give the words of a document in reading order, a line for each run: title, person and sections.

    Neither head nor foot nor state marks, so that they are the same before and after it is issued, superseded or
    withdrawn; a drawing says its alternative text and its labels, a box whether it is ticked.
    """
    return "\n".join(_lines((document.title, document.furniture.person, document.sections)))


def _lines(value: Any) -> Iterator[str]:
    if isinstance(value, tuple):
        if value and all(isinstance(one, Span) for one in value):
            yield plain(value)
        else:
            for one in value:
                yield from _lines(one)
    elif isinstance(value, Choice):
        yield plain(value.label)
        for place, option in enumerate(value.options):
            yield f"{'[x]' if value.is_ticked(place) else '[ ]'} {plain(option)}"
    elif isinstance(value, Figure):
        yield from _lines((value.alt, value.words, value.instead))
    elif is_dataclass(value):
        for one in fields(value):
            yield from _lines(getattr(value, one.name))


def _in_groups(code: str, language: Language) -> str:
    """Write a check code in two groups on one line; from left to right, whatever letters stand before it."""
    shown = f"{code[:_HALF]}{NO_BREAK}{code[_HALF:]}"
    return f"{LEFT_TO_RIGHT}{shown}" if language.direction == "rtl" else shown


def _with_line(foot: tuple[Words, ...], told: Words) -> tuple[Words, ...]:
    """Put a line in the place of what the foot says of the issue; at its end, if it says nothing."""
    says = [any(span.path == ISSUE_LINE for span in line) for line in foot]
    at = says.index(True) if True in says else len(foot)
    rest = [line for line, is_said in zip(foot, says, strict=True) if not is_said]
    return (*rest[:at], told, *rest[at:])


def _with_mark(
    document: Document, code: str, say_it: Callable[[Language], tuple[str, str]], languages: Sequence[Language]
) -> Document:
    """Set a mark in each language in its place among the others; only the first goes across the page."""
    _forget_missing(languages)
    marks = [mark for mark in document.furniture.marks if mark.code != code]
    for place, language in enumerate(languages):
        words, across = say_it(language)
        marks.append(Mark(code, words, language=language.name if place else "", across="" if place else across))
    _refuse_untranslated(document, languages)
    in_order = sorted(marks, key=lambda mark: MARK_CODES.index(mark.code))
    return replace(document, furniture=replace(document.furniture, marks=tuple(in_order)))


def _forget_missing(languages: Sequence[Language]) -> None:
    """Forget what another document asked for in vain."""
    for language in languages:
        language.missing.clear()


def _refuse_untranslated(document: Document, languages: Sequence[Language]) -> None:
    """Refuse to say in English what a catalog has no words for."""
    missing = [f"{one.name}: {msgid}" for one in languages for msgid in one.missing]
    if missing:
        what = say(
            "%(number)s sentences of %(document)s have no translation",
            number=len(missing),
            document=document.origin.kind,
        )
        fix = say(
            "complete the catalog, or choose another language with --language; to translate: %(sentences)s",
            sentences=" | ".join(missing),
        )
        raise Refused([Problem("language-missing", "", what, fix, needed_by=(document.origin.kind,))])


def _square(text: str) -> tuple[str, ...]:
    """Give the rows of a square code; the strongest correction that the smallest code has room for, at least M."""
    code = segno.make_qr(text, error="m", mode="alphanumeric", boost_error=True)
    return tuple("".join("1" if dark else "0" for dark in row) for row in code.matrix)
