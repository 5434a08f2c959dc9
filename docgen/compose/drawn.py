"""
The calls of a template that place a drawing: plain numbers out of facts and fields, every word out of the catalog.

Apart from the other calls: a drawing gathers its rows or marks from the calls it encloses.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date, datetime, timedelta
from typing import Any

from babel.dates import format_date, get_day_names

from docgen.answer import Answer
from docgen.blocks import Block, Figure, Paragraph, Span, Words
from docgen.clinical.teeth import to_fdi
from docgen.compose.markup import read_blocks
from docgen.compose.tokens import Drawn, Placed, Sentence
from docgen.compose.view import Opened, TemplateFault, View
from docgen.language import Language
from docgen.values import dataclass

PART = "part"
"""Name of a figure that is a row or mark of the one around it."""

DAYS = 22
"""A calendar shows the day of the operation and three weeks (design 6.6)."""

DAYS_OFF = frozenset({5, 6})
"""Saturday and Sunday, counted from Monday: tinted, with no meaning alone."""

SPACE = Span(" ")

WHOLE = 100
"""Per cent of a limit."""

OPERATION_DAYS = ("since", "sure", "possible", "at")
"""Numbers of a row that are days after the operation, or dates."""


class Drawing:
    """The calls that place a drawing; each gives the token that stands for it."""

    def __init__(self, opened: Opened) -> None:
        self._opened, self._tokens = opened, opened.tokens

    def _words(self, value: Any) -> Words:
        if not isinstance(value, Sentence | View):
            raise TemplateFault('a drawing was given a bare text; pass a value or _("...")')
        blocks = read_blocks(str(value), self._tokens)
        if len(blocks) == 1 and isinstance(blocks[0], Paragraph):
            return blocks[0].words
        raise TemplateFault("words on a drawing must be one line")

    def figure(
        self,
        name: str,
        alt: Any,
        *labels: Any,
        caption: Any = None,
        caller: Callable[[], str] | None = None,
        **numbers: View,
    ) -> Placed:
        """
        Place a drawing with its labels, the parts it encloses and its caption, in the order of reading.

        A label of none is left out; a drawing that was to enclose parts and encloses none is not placed.
        """
        inner = _parts(read_blocks(str(caller()), self._tokens)) if caller else ()
        if caller and not inner:
            return Placed("")
        data = {key: self._number(key, value) for key, value in numbers.items()}
        words = tuple(self._words(one) for one in labels if one is not None)
        below = (self._words(caption),) if caption is not None else ()
        return self._keep(name, data, self._words(alt), words, inner, below)

    def part(self, sentence: Any, *labels: Any, **numbers: View) -> Placed:
        """Place a row or mark inside a drawing; the sentence says the same to who cannot see it."""
        data = {key: self._number(key, value) for key, value in numbers.items()}
        words = tuple(self._words(one) for one in labels)
        return self._tokens.keep_block(Figure(PART, {**data, "labels": len(words)}, self._words(sentence), words))

    def bar(self, sentence: Any, over: Any, name: Any, numbers: Any, percent: View) -> Placed:
        """Place the bar of a dose inside a drawing; `over` is said and set only where the dose passes its limit."""
        alt, labels = self._words(sentence), [self._words(name), self._words(numbers)]
        if percent._raw > WHOLE:
            alt, labels[1:1] = (*alt, SPACE, *self._words(over)), [self._words(over)]
        data = {"percent": percent._raw, "labels": len(labels)}
        return self._tokens.keep_block(Figure(PART, data, alt, tuple(labels)))

    def people(self, row: View, alt: Any) -> Sentence:
        """Draw one row of risks beside its name: written into the first cell of the row."""
        line = row._raw
        data = {"affected": line.affected, "denominator": line.denominator, "frame": line.frame}
        name = "people-1000" if line.denominator == 1000 else "people-100000"
        return Sentence(self._tokens.keep_span(Drawn("", figure=Figure(name, data, self._words(alt)))))

    def calendar(
        self, alt: Any, sure: Any, possible: Any, day: Any, caller: Callable[[], str], start: View | None = None
    ) -> Placed:
        """Place the calendar of the first weeks; `start` is the day of the operation, without it days are counted."""
        inner = _parts(read_blocks(str(caller()), self._tokens))
        first = _day(start._raw) if start is not None else None
        head = _dated(first, self._opened.language) if first else _counted(self._words(day))
        rows = tuple(Figure(PART, _in_days(one.data, first), one.alt, one.words) for one in inner)
        words = (self._words(sure), self._words(possible), *head.words)
        return self._keep("calendar", head.numbers, self._words(alt), words, rows, ())

    def _keep(
        self,
        name: str,
        data: dict[str, Any],
        alt: Words,
        labels: tuple[Words, ...],
        inner: tuple[Figure, ...],
        below: tuple[Words, ...],
    ) -> Placed:
        if inner:
            data = {**data, "parts": tuple(one.data for one in inner)}
        sentences = (alt, *(one.alt for one in inner))
        whole = tuple(span for place, one in enumerate(sentences) for span in ((SPACE,) if place else ()) + one)
        words = (*labels, *(word for one in inner for word in one.words), *below)
        return self._tokens.keep_block(Figure(name, data, whole, words, sentences if inner else ()))

    def _number(self, key: str, value: Any) -> Any:
        """Give the plain value of a place; a tooth as its FDI number."""
        if not isinstance(value, View):
            return value
        if key == "tooth" and value._path and value._path[0] not in ".[":
            notation: Any = self._opened.case.value("record.tooth_notation")
            return to_fdi(value._raw, notation)
        return None if isinstance(value._raw, Answer) else value._raw


def _parts(blocks: Iterable[Block]) -> tuple[Figure, ...]:
    found = tuple(block for block in blocks if isinstance(block, Figure) and block.name == PART)
    if len(found) != len(tuple(blocks)):
        raise TemplateFault("a drawing encloses its parts and nothing else")
    return found


@dataclass(frozen=True)
class _Head:
    """The first lines of a calendar: numbers for the drawing, and its words in their order."""

    numbers: dict[str, Any]
    words: tuple[Words, ...]


def _day(value: Any) -> date:
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    raise TemplateFault("a calendar begins on a date")


def _dated(first: date, language: Language) -> _Head:
    days = [first + timedelta(days=n) for n in range(DAYS)]
    months = [n for n, day in enumerate(days) if n == 0 or day.day == 1]
    letters = get_day_names("narrow", "stand-alone", language.locale)
    names = [format_date(days[n], "LLLL yyyy" if n == 0 else "LLLL", language.locale) for n in months]
    texts = [*names, *(letters[day.weekday()] for day in days), *(str(day.day) for day in days)]
    off = tuple(n for n, day in enumerate(days) if day.weekday() in DAYS_OFF)
    numbers = {"days": DAYS, "months": tuple(months), "weekdays": DAYS, "off": off}
    return _Head(numbers, tuple((Span(text),) for text in texts))


def _counted(day: Words) -> _Head:
    """Count the days after the operation where nobody knows its date yet."""
    numbers = {"days": DAYS, "months": (0,), "weekdays": 0, "off": ()}
    return _Head(numbers, (day, *((Span(str(n)),) for n in range(DAYS))))


def _in_days(data: Any, first: date | None) -> dict[str, Any]:
    """Turn the dates of a row into days after the operation."""
    found = dict(data)
    for name in OPERATION_DAYS:
        if isinstance(found.get(name), date) and first is not None:
            found[name] = (_day(found[name]) - first).days
    return found


DRAWING_CALLS = ("figure", "part", "bar", "people", "calendar")
"""Calls of a template, by name."""


def drawings(opened: Opened) -> dict[str, Callable[..., str]]:
    """Give the calls that place a drawing."""
    drawing = Drawing(opened)
    return {name: getattr(drawing, name) for name in DRAWING_CALLS}
