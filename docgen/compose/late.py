"""
A composed document with slots > its late facts, counted without the paragraphs that hold slots, and no slot left.

A late fact is promised to the template as a value that can be printed and not tested.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from docgen.blocks import Section, Span, Words
from docgen.case import Case
from docgen.clinical.table import Tables
from docgen.compose.tokens import Slot
from docgen.compose.view import LateValue, Opened, View
from docgen.facts import Known, Result, Unknown
from docgen.kinds import DocumentKind
from docgen.language import Language
from docgen.problem import Problem, Refused, say
from docgen.readability import (
    WORD,
    Index,
    Measured,
    all_words,
    find_index,
    for_patient,
    index_names,
    measure,
    passages,
    sentences,
)
from docgen.values import dataclass

PACE = "reading.words_per_minute"

COUNTED = ".counted"
"""Path of what was counted on the text itself, so that it may differ between two languages."""

VALUE, IS_MET, MINUTES = LateValue("readability.value"), LateValue("readability.is_met"), LateValue("reading_minutes")


@dataclass(frozen=True)
class Readability:
    """The fact `readability`: what a template may print of it."""

    index: str
    """Its name; words in the group `readability.index`."""
    value: Decimal | LateValue
    target: Decimal
    is_met: bool | LateValue
    wanted: str
    """at_most or at_least."""
    counter: str
    """The syllable counter; words in the group `readability.counter`."""


@dataclass(frozen=True)
class Yardstick:
    """What a document is measured by; an index of None means that none is validated for its language."""

    index: Index | None
    target: Fraction
    words_per_minute: int

    def promise(self) -> dict[str, Result]:
        """Give the late facts as far as they are known before the document is counted."""
        minutes = Known(MINUTES, ("memory",))
        if self.index is None:
            return {"readability": Unknown(()), "reading_minutes": minutes}
        return {
            "readability": Known(self._told(self.index, VALUE, IS_MET), self.index.source),
            "reading_minutes": minutes,
        }

    def facts(self, measured: Measured | None, minutes: int) -> dict[str, Result]:
        """Give the late facts of a counted document."""
        late: dict[str, Result] = {"reading_minutes": Known(minutes, ("memory",)), "readability": Unknown(())}
        if self.index is not None and measured is not None:
            told = self._told(self.index, self.index.printed(measured.value), measured.is_met)
            late["readability"] = Known(told, self.index.source)
        return late

    def _told(self, index: Index, value: Decimal | LateValue, is_met: bool | LateValue) -> Readability:
        target = Decimal(self.target.numerator) / Decimal(self.target.denominator)
        return Readability(index.name, value, target, is_met, index.wanted, index.counter)


def setting_names(kind: str, language: str) -> dict[str, str]:
    """Name the settings that bear on the readability of a kind in a language."""
    return {part: f"readability.{language}.{kind}.{part}" for part in ("index", "target", "severity")}


def choose_yardstick(kind: DocumentKind, language: Language, case: Case, tables: Tables) -> Yardstick:
    """
    Choose what a document is measured by: the clinic's choice, else the language's; a staff text by no index.

    Errors: Refused with bad-value, if the clinic names an index that the table does not have.
    """
    names = setting_names(kind.name, language.name)
    chosen = case.setting(names["index"]) or ""
    index = find_index(chosen or language.description.readability.index, tables) if kind.audience == "patient" else None
    if chosen and index is None and kind.audience == "patient":
        raise Refused([_no_such_index(f"settings.{names['index']}", case, tables)])
    target = case.setting(names["target"])
    wanted = Fraction(target) if target else index.target(kind.name) if index else Fraction(0)
    return Yardstick(index, wanted, int(case.setting(PACE) or 0))


def _no_such_index(path: str, case: Case, tables: Tables) -> Problem:
    known = ", ".join(index_names(tables))
    what = say("%(path)s names no index that docgen can compute", path=path)
    return Problem("bad-value", path, what, say("one of %(words)s", words=known), case.place(path))


def settle(
    title: Words, sections: tuple[Section, ...], kind: DocumentKind, opened: Opened, by: Yardstick
) -> tuple[tuple[Section, ...], Mapping[str, Result], Measured | None]:
    """Count a document and fill its slots."""
    read = tuple(for_patient(sections, kind.staff_sections))
    text = [words for words in passages(title, read) if not _waits(words)]
    spoken = [one for words in text for one in sentences(words, opened.language.name)]
    measured = measure(spoken, by.index, by.target) if by.index else None
    number = sum(len(WORD.findall(span.text)) for words in all_words(read) if not _waits(words) for span in words)
    late = by.facts(measured, max(1, -(-number // by.words_per_minute)))
    values = {name: result.value for name, result in late.items() if isinstance(result, Known)}
    readability = values.get("readability")
    known = {
        MINUTES.name: values["reading_minutes"],
        VALUE.name: readability.value if readability else None,
        IS_MET.name: readability.is_met if readability else None,
    }
    filled: tuple[Section, ...] = rewritten(sections, lambda span: _filled(span, known, opened))
    return filled, late, measured


def _waits(words: Words) -> bool:
    return any(isinstance(span, Slot) for span in words)


def _filled(span: Span, known: Mapping[str, Any], opened: Opened) -> Span:
    if not isinstance(span, Slot):
        return span
    value = known[span.late]
    shown = opened.show(View(opened, value, "", span.late)).text
    if span.forms:
        sentence = opened.language.plural(*span.forms, value)
        shown = sentence % dict.fromkeys(span.placeholders, shown) if span.placeholders else sentence
    return Span(shown, span.bold, span.italic, isolated=span.isolated, path=COUNTED)


def rewritten(value: Any, change: Callable[[Span], Span]) -> Any:
    """Give sections or blocks with every span changed."""
    if isinstance(value, Span):
        return change(value)
    if isinstance(value, tuple):
        return tuple(rewritten(one, change) for one in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{one.name: rewritten(getattr(value, one.name), change) for one in fields(value)})
    return value
