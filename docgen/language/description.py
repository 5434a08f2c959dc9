"""A `language.yaml` > how a language is written: direction, dates, names, marks, its index, words to compare by."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from typing import Any

import yaml
from babel import Locale, UnknownLocaleError

from docgen.cache import cached_tree
from docgen.values import dataclass

ALL_KINDS = "all"

NEEDED = ("name", "direction", "date", "day", "time")
DIRECTIONS = ("ltr", "rtl")
NAME_ORDERS = ("given family", "family given")


@dataclass(frozen=True)
class Yardstick:
    """The readability index made for a language; no name means that none is validated for it, which is said."""

    index: str = ""
    source: tuple[str, ...] = ()


@dataclass(frozen=True)
class Description:
    """How a language is written."""

    name: str
    direction: str
    date: str
    day: str
    time: str
    locale: str
    """CLDR locale of its months, numbers, lists and plurals."""
    kinds: tuple[str, ...] | None
    """Kinds it is whole for; None for all."""
    name_order: str = NAME_ORDERS[0]
    quotation: tuple[str, str] = ("“", "”")
    thousands: tuple[str, int] | None = None
    """Mark between thousands, and the number of digits from which it stands; None for CLDR's way."""
    joins: tuple[tuple[str, str, str], ...] = ()
    """Word of a list, what follows it (a pattern), what the word becomes: Spanish "y" before "i" is "e"."""
    readability: Yardstick = Yardstick()
    compared: Mapping[str, Any] = field(default_factory=dict)
    """Words of sides, negation, numbers and units, each a group of stems."""

    def offers(self, kind: str) -> bool:
        """True if the language is meant to be whole for a kind."""
        return self.kinds is None or kind in self.kinds


def read_description(tag: str, content: bytes) -> tuple[Description | None, tuple[str, ...]]:
    """Read it; without what is needed, give the names of the keys that are missing or say nothing usable."""
    try:
        raw = cached_tree(__file__, (content,), lambda: _texts(content))
    except yaml.YAMLError:
        return None, ("YAML",)
    told: Mapping[str, Any] = raw if isinstance(raw, dict) else {}
    locale = str(told.get("locale") or tag)
    wrong = [key for key in NEEDED if not told.get(key)]
    wrong += [key for key, allowed in _CHOICES.items() if told.get(key, allowed[0]) not in allowed]
    wrong += [] if _is_locale(locale) else ["locale"]
    wrong += [] if len(told.get("quotation", "“”")) == 2 else ["quotation"]
    if wrong:
        return None, tuple(dict.fromkeys(wrong))
    opening, closing = told.get("quotation", "“”")
    return Description(
        name=str(told["name"]),
        direction=str(told["direction"]),
        date=str(told["date"]),
        day=str(told["day"]),
        time=str(told["time"]),
        locale=locale,
        kinds=_kinds(told.get("kinds", ALL_KINDS)),
        name_order=str(told.get("name_order", NAME_ORDERS[0])),
        quotation=(opening, closing),
        thousands=(told["thousands"]["mark"], int(told["thousands"]["from"])) if "thousands" in told else None,
        joins=tuple((one["word"], one["before"], one["becomes"]) for one in told.get("joins", ())),
        readability=_yardstick(told.get("readability")),
        compared=told.get("compared") or {},
    ), ()


def _texts(content: bytes) -> Any:
    return yaml.load(content, yaml.CBaseLoader)  # noqa: S506 # CBaseLoader builds text, lists and groups only


_CHOICES: Mapping[str, Sequence[str]] = {"direction": DIRECTIONS, "name_order": NAME_ORDERS}


def _is_locale(name: str) -> bool:
    try:
        Locale.parse(name.replace("-", "_"))
    except (UnknownLocaleError, ValueError):
        return False
    return True


def _kinds(told: Any) -> tuple[str, ...] | None:
    return None if told == ALL_KINDS else tuple([told] if isinstance(told, str) else told)


def _yardstick(told: Any) -> Yardstick:
    if not isinstance(told, dict):
        return Yardstick()
    source = told.get("source", ())
    return Yardstick(str(told.get("index", "")), (source,) if isinstance(source, str) else tuple(source))
