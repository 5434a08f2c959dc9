"""The filters a template may use: other ways to print a value, and the item that an identifier names."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from docgen.answer import Answer
from docgen.blocks import Span, printed_number
from docgen.clinical.teeth import to_fdi
from docgen.compose.show import said, show, tooth_in_full, tooth_phrase
from docgen.compose.tokens import Placed, Sentence
from docgen.compose.view import NamedValue, SettingGroup, TemplateFault, View
from docgen.facts import FACTS, Known
from docgen.kinds.template import PARENT_TEXT

_DECIMAL = re.compile(r"\d+\.\d+")
"""A setting that is a number with decimals: every language has its own sign for them."""


def _kept(view: View, text: str) -> Sentence:
    """Keep a printed form as a token."""
    return Sentence(view._opened.tokens.keep_span(Span(text, isolated=True, path=view._path)))


def _fdi(view: View) -> str:
    """Give the FDI number of a tooth: a field in the declared notation, or a fact that is FDI already."""
    notation: Any = view._opened.case.value("record.tooth_notation")
    is_field = bool(view._path) and view._path[0] not in ".["
    return to_fdi(view._raw, notation) if is_field and notation else str(view._raw)


def tooth_words(view: View) -> Sentence:
    """Name a tooth in words alone, where its notations stand beside it."""
    return _kept(view, tooth_phrase(view._opened, _fdi(view)))


def tooth_full(view: View) -> Sentence:
    """Name a tooth in words and two labelled notations."""
    return _kept(view, tooth_in_full(view._opened, _fdi(view)))


def teeth_listed(view: View) -> Sentence:
    """Join several teeth, each in words and two notations."""
    names = [tooth_in_full(view._opened, _fdi(item)) for item in view]
    return _kept(view, view._opened.language.listing(names))


def teeth_named(view: View) -> Sentence:
    """Join several teeth in words alone, where their notations stand elsewhere on the page."""
    return _kept(view, view._opened.language.listing([tooth_phrase(view._opened, _fdi(item)) for item in view]))


def tipped(view: View) -> View:
    """Say which way a measured tooth is tipped: forward, backward or upright."""
    angle = view._raw
    if not isinstance(angle, Decimal):
        raise TemplateFault(f"{view._pattern} is asked for its direction, but it is no number")
    way = "forward" if angle > 0 else "backward" if angle < 0 else "upright"
    return View(view._opened, way, view._path, view._pattern)


def unsigned(view: View) -> Sentence:
    """Print a number without its sign, where words beside it say the direction."""
    if not isinstance(view._raw, Decimal):
        raise TemplateFault(f"{view._pattern} is printed without its sign, but it is no number")
    return _kept(view, view._opened.language.number(abs(view._raw)))


def listed(view: View) -> Sentence:
    """Join the items of a list as the language does; the word for "none" if there are none."""
    if not isinstance(view._raw, tuple) or not view._raw:
        return _kept(view, show(view).text)
    return _kept(view, view._opened.language.listing([show(item).text for item in view]))


def joined(parts: Iterable[Sentence | View | None]) -> Sentence:
    """Join remarks, each a sentence or value, by semicolons; none is left out."""
    return Sentence("; ".join(str(part) for part in parts if part is not None))


def running(view: View) -> Sentence:
    """Join codes whose words are whole sentences to running text."""
    return _kept(view, " ".join(show(item).text for item in view))


def _moment(view: View) -> datetime | date:
    if not isinstance(view._raw, datetime | date):
        raise TemplateFault(f"{view._pattern} is printed as a date, but it is none")
    return view._raw


def day(view: View) -> Sentence:
    """Print the day of a date or moment."""
    moment = _moment(view)
    return _kept(view, view._opened.language.date(moment.date() if isinstance(moment, datetime) else moment))


def weekday(view: View) -> Sentence:
    """Print the day with its weekday."""
    moment = _moment(view)
    when = moment.date() if isinstance(moment, datetime) else moment
    return _kept(view, view._opened.language.date(when, weekday=True))


def clock(view: View) -> Sentence:
    """Print the clock time of a moment."""
    moment = _moment(view)
    if not isinstance(moment, datetime):
        raise TemplateFault(f"{view._pattern} has no clock time")
    return _kept(view, view._opened.language.time(moment))


def clocks(view: View) -> Sentence:
    """Join the clock times of several windows."""
    language = view._opened.language
    return _kept(view, language.listing([language.time(item.from_at._raw) for item in view]))


def of_tooth(view: View, tooth: View) -> View:
    """Find the value of one tooth in a fact that has one for each."""
    return View(view._opened, (view._raw or {}).get(_fdi(tooth)), view._path, view._pattern)


def named(view: View) -> Sentence:
    """Join names with their values, as they are."""
    return _kept(view, "; ".join(f"{one.name}: {one.value}" for one in view._raw))


def by_part(view: View) -> Iterator[View]:
    """Group settings by the first part of their name; a value that has words stands behind them."""
    opened, groups = view._opened, dict[str, list[NamedValue]]()
    for one in view._raw:
        part, _, rest = one.name.partition(".")
        words = said(opened, rest, one.value)
        value = opened.language.number(Decimal(one.value)) if _DECIMAL.fullmatch(one.value) else one.value
        groups.setdefault(part, []).append(NamedValue(rest, f"{words} ({value})" if words else value))
    for part, settings in groups.items():
        yield View(opened, SettingGroup(part, tuple(settings)), view._path, view._pattern)


def bold(view: View) -> Sentence:
    """Print a value in bold inside a sentence that is not."""
    return Sentence(f"**{view}**")


def six_digits(view: View) -> Sentence:
    """
    Print a number of the register with six digits at least, as the register itself writes it.

    Errors: TemplateFault, if it is no whole number.
    """
    if isinstance(view._raw, bool) or not isinstance(view._raw, int):
        raise TemplateFault(f"{view._pattern} is printed as a number of the register, but it is no whole number")
    return _kept(view, printed_number(view._raw))


def keys(view: View) -> Sentence:
    """Print identifiers (source keys, rows of a table) as they are."""
    raw = view._raw if isinstance(view._raw, tuple) else (view._raw,)
    return _kept(view, ", ".join(str(one) for one in raw))


def in_one_line(view: View) -> Sentence:
    """Print the lines of an address one after another, as they are."""
    if not isinstance(view._raw, tuple) or not view._raw:
        return _kept(view, show(view).text)
    return _kept(view, ", ".join(str(one) for one in view._raw))


def source_names(view: View) -> Sentence:
    """Name the sources of a fact, or those in a list of keys; a key without words stands as it is."""
    opened, result = view._opened, view._result
    declared = next((fact.sources for fact in FACTS if fact.name == view._pattern), ())
    keys_of_fact = result.sources if isinstance(result, Known) and result.sources else declared
    raw = view._raw if view._result is None else keys_of_fact
    names = [said(opened, "source_name", key) or key for key in (raw if isinstance(raw, tuple) else (str(raw),))]
    return _kept(view, "; ".join(dict.fromkeys(names)))


def counted(view: View) -> Sentence:
    """Print how many items a list has."""
    return _kept(view, view._opened.language.number(len(view)))


def proposed(view: View) -> Sentence:
    """Print what was proposed for a tooth; an added tooth was not."""
    opened, wanted = view._opened, _fdi(view)
    for item in View(opened, opened.case.value("plan.procedures") or (), "plan.procedures", "plan.procedures"):
        if _fdi(item.tooth) == wanted:
            return _kept(view, show(item.procedure).text)
    return _kept(view, opened.language.text("not proposed"))


def in_voice(view: View, voice: str) -> Sentence:
    """Print a code in the voice named, whatever the voice of the document."""
    opened = view._opened
    words = said(opened, opened.words.group_of(view._pattern), str(view._raw), voice)
    if words is None:
        raise TemplateFault(f"the code at {view._pattern} has no words in the voice {voice}")
    return _kept(view, words)


def in_group(view: View, group: str) -> Sentence:
    """Print a code with the words of a group of its own."""
    words = said(view._opened, group, str(view._raw))
    if words is None:
        raise TemplateFault(f"{view._pattern} has no words in the group {group}")
    return _kept(view, words)


def drug_names(view: View) -> Sentence:
    """Print one drug or several by the names of the document's language; a name it does not know as it is."""
    raw = view._raw if isinstance(view._raw, tuple) else (view._raw,)
    return _kept(view, ", ".join(said(view._opened, "inn", str(one)) or str(one) for one in raw))


def code_or_name(view: View, group: str) -> Sentence:
    """Print a code with the words of a group; what has none there is the name of a drug."""
    words = said(view._opened, group, str(view._raw))
    return drug_names(view) if words is None else _kept(view, words)


def in_question(view: View) -> Iterator[View]:
    """Keep the items of a list whose tooth is one the document is about."""
    result = view._opened.stated.get("teeth_in_question")
    asked = result.value if isinstance(result, Known) else ()
    for item in view:
        if _fdi(item.tooth) in asked:
            yield item


def person(view: View) -> View:
    """Find the practitioner an id names."""
    return _find(view, "practitioners", "id", view._raw)


def tooth_item(view: View) -> View:
    """Find the tooth item of a tooth number."""
    opened = view._opened
    wanted = _fdi(view)
    for item in View(opened, opened.case.value("teeth"), "teeth", "teeth"):
        if _fdi(item.tooth) == wanted:
            return item
    return View(opened, None, "teeth", "teeth[]")


def _find(view: View, group: str, key: str, wanted: Any) -> View:
    opened = view._opened
    items = opened.case.value(group)
    if not isinstance(wanted, Answer) and isinstance(items, tuple):
        for item in View(opened, items, group, group):
            if getattr(item, key)._raw == wanted:
                return item
    return View(opened, None, group, f"{group}[]")


FILTERS: dict[str, Callable[..., Any]] = {
    "tooth_words": tooth_words,
    "tooth_full": tooth_full,
    "teeth_listed": teeth_listed,
    "teeth_named": teeth_named,
    "tipped": tipped,
    "unsigned": unsigned,
    "listed": listed,
    "joined": joined,
    "running": running,
    "day": day,
    "weekday": weekday,
    "clock": clock,
    "clocks": clocks,
    "by_part": by_part,
    "bold": bold,
    "six_digits": six_digits,
    "keys": keys,
    "drug_names": drug_names,
    "in_one_line": in_one_line,
    "source_names": source_names,
    "of_tooth": of_tooth,
    "named": named,
    "counted": counted,
    "proposed": proposed,
    "in_voice": in_voice,
    "in_group": in_group,
    "code_or_name": code_or_name,
    "in_question": in_question,
    "person": person,
    "tooth_item": tooth_item,
    PARENT_TEXT: Placed,
}
"""Filters by the name a template uses."""
