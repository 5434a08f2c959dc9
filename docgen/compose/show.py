"""A view > the span that prints: dates, numbers, teeth, codes and answers in the words of the document's language."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time
from decimal import Decimal
from fractions import Fraction
from typing import Any

from docgen.answer import Answer
from docgen.blocks import Span
from docgen.case import field_specs
from docgen.clinical.teeth import to_fdi, tooth_palmer, tooth_universal
from docgen.compose.tokens import Slot
from docgen.compose.view import LateValue, Opened, TemplateFault, View, is_recorded
from docgen.language import name_of

PLAIN = ("origin.", "planned_drugs", "risk_sources", "settings.", "own.")
"""Places whose text prints as it is, though it is no field with a type; so does the name of a drug."""


DRUGS = "inn"
NAMES = (DRUGS, "form")
"""Groups of words for names that the clinic types: in English, the INN of a drug."""


def show(view: View) -> Span:
    """
    Print one place.

    Errors: TemplateFault, if nothing is recorded there and the reader is a patient, or if it is a whole group.
    """
    opened, raw = view._opened, view._raw
    if isinstance(raw, LateValue):
        return Slot("", isolated=True, late=raw.name)
    if not is_recorded(view):
        return _not_recorded(view)
    if isinstance(raw, Answer) or raw == ():
        return _answer(view, Answer.NONE if raw == () else raw)
    spec = field_specs().get(view._pattern)
    if spec is not None and spec.type == "tooth":
        return _span(view, tooth_in_full(opened, _fdi(view)))
    if isinstance(raw, str):
        return _text(view, raw, spec.type if spec else "", is_closed=bool(spec is None or spec.codes))
    return _span(view, _number_or_moment(view, raw))


def _span(view: View, text: str, *, bold: bool = False) -> Span:
    return Span(text, bold=bold, isolated=True, path=view._path)


def _not_recorded(view: View) -> Span:
    if view._opened.voice == "patient":
        raise TemplateFault(f"{view._pattern or 'a fact'} is printed to a patient, but nothing is recorded there")
    span = _span(view, view._opened.language.text("not recorded"), bold=True)
    return replace(span, look="unrecorded")  # so that it cannot pass for "none" (page design, section 5)


def _answer(view: View, answer: Any) -> Span:
    opened = view._opened
    words = opened.words.find("answer", answer.value, opened.voice)
    if not words:
        raise TemplateFault(f"{view._pattern} is printed to a patient, but its answer {answer.value} has no words")
    return _span(view, opened.language.text(words, "answer"))


def _text(view: View, raw: str, type_name: str, *, is_closed: bool) -> Span:
    """Print a text: a code of a closed list in its words, everything else to the letter."""
    opened = view._opened
    if type_name in ("line", "text") or view._pattern.startswith(PLAIN) or view._pattern.endswith(".inn"):
        return _name(view, raw) or free_text(opened, raw, view._path)
    if type_name == "language":
        return _span(view, language_name(raw, opened))
    if type_name == "id":
        return _span(view, _person_name(opened, raw))
    words = said(opened, opened.words.group_of(view._pattern), raw)
    if words is None and is_closed:
        raise TemplateFault(f"the code at {view._pattern} has no words in _house/words.yaml")
    return _span(view, raw if words is None else words)


def _name(view: View, raw: str) -> Span | None:
    """Write a drug or form of medicine as the document's language does; None for a name nobody listed."""
    opened, code = view._opened, raw.strip().lower()
    group = DRUGS if view._pattern.startswith("planned_drugs") else opened.words.group_of(view._pattern)
    words = said(opened, group, code) if group in NAMES else None
    return _span(view, words) if words is not None and words != code else None


def free_text(opened: Opened, raw: str, path: str) -> Span:
    """Print what somebody typed, to the letter, in the language of the record."""
    typed_in = opened.case.fields.record.language
    return Span(raw, language=typed_in if typed_in != opened.language.name else None, isolated=True, path=path)


def said(opened: Opened, group: str | None, code: str, voice: str = "") -> str | None:
    """Give the words of a code, in the voice of the document unless another is named."""
    words = opened.words.find(group, code, voice or opened.voice) if group else None
    return opened.language.text(words, group) if words is not None else None


def language_name(tag: str, opened: Opened) -> str:
    """Name a language in the document's language."""
    return name_of(tag, opened.language.locale)


def _person_name(opened: Opened, identifier: str) -> str:
    people = opened.case.fields.practitioners
    names = [p.name for p in people if p.id == identifier and p.name] if isinstance(people, tuple) else []
    return names[0] if names else identifier


def _number_or_moment(view: View, raw: Any) -> str:
    language = view._opened.language
    if isinstance(raw, bool):
        return language.text("yes") if raw else language.text("no")
    if isinstance(raw, datetime):
        return language.moment(raw)
    if isinstance(raw, date):
        return language.date(raw)
    if isinstance(raw, time):
        return language.time(raw)
    if isinstance(raw, Fraction) and raw.denominator == 1:
        return language.number(int(raw))
    if isinstance(raw, int | Decimal):
        return language.number(raw)
    if isinstance(raw, tuple):
        return language.listing([show(item).text for item in view])
    raise TemplateFault(f"{view._pattern} is printed, but it is a {type(raw).__name__}, not a value")


def _fdi(view: View) -> str:
    notation: Any = view._opened.case.value("record.tooth_notation")
    if notation is None:
        raise TemplateFault("a tooth is printed without a declared notation")
    return to_fdi(view._raw, notation)


def tooth_phrase(opened: Opened, fdi: str) -> str:
    """Name a tooth in words."""
    words = said(opened, "tooth", fdi)
    if words is None:
        raise TemplateFault(f"the tooth {fdi} has no words")
    return words


def tooth_in_full(opened: Opened, fdi: str) -> str:
    """Name a tooth in words and two labelled notations: the declared one, then Palmer (FDI if Palmer is declared)."""
    notation = str(opened.case.value("record.tooth_notation") or "fdi")
    numbers = {"fdi": fdi, "universal": tooth_universal(fdi), "palmer": tooth_palmer(fdi)}
    first, second = notation, "fdi" if notation == "palmer" else "palmer"
    labels = {"fdi": "FDI", "universal": "Universal", "palmer": "Palmer"}
    pattern = opened.language.text("%(tooth)s, %(first)s, %(second)s")
    label = opened.language.text("%(number)s %(notation)s")
    shown = [label % {"number": numbers[n], "notation": labels[n]} for n in (first, second)]
    return pattern % {
        "tooth": tooth_phrase(opened, fdi),
        "first": shown[0].replace(" ", "\u00a0"),
        "second": shown[1].replace(" ", "\u00a0"),
    }
