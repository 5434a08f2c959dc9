"""
What a template sees: the case and its facts, one view for each place, printed only as a token.

A view refuses to print or test what nobody recorded, so that a template cannot fall silent by accident.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import field
from typing import Any

from docgen.answer import Answer
from docgen.blocks import Span
from docgen.case import Case
from docgen.case.recorded import Recorded
from docgen.compose.tokens import Tokens
from docgen.facts import Known, Request, Result, Unknown
from docgen.kinds import HouseWords
from docgen.language import Language
from docgen.values import dataclass


class TemplateFault(Exception):
    """A template prints or tests what it may not; the message is for who wrote the template."""


@dataclass(frozen=True)
class LateValue:
    """What is known only once the document is counted; it can be printed, not tested."""

    name: str


@dataclass
class Opened:
    """Everything a document is composed from."""

    case: Case
    stated: Mapping[str, Result]
    request: Request
    language: Language
    words: HouseWords
    voice: str
    """patient or staff."""
    show: Callable[[View], Span]
    """Turns a view into the span that prints."""
    tokens: Tokens = field(default_factory=Tokens)
    late: Mapping[str, Result] = field(default_factory=dict)
    """Facts of the composed document, by name; their values are LateValue until it is counted."""
    clinics_language: Language | None = None
    """The language of the record, if the document is in another that is not known to be reviewed."""


@dataclass(frozen=True)
class Entry:
    """One entry of a mapping, a fact of one value for each tooth."""

    key: str
    value: Any


@dataclass(frozen=True)
class NamedValue:
    """A setting with the value the document used."""

    name: str
    value: str


@dataclass(frozen=True)
class SettingGroup:
    """Settings whose names begin alike, named by what follows."""

    name: str
    settings: tuple[NamedValue, ...]


@dataclass(frozen=True)
class OriginView:
    """What a template may say of its own origin."""

    editions: tuple[str, ...]
    settings: tuple[NamedValue, ...]


class View:
    """One place of the case, or one part of a fact."""

    __slots__ = ("_opened", "_path", "_pattern", "_raw", "_result")

    def __init__(self, opened: Opened, raw: Any, path: str, pattern: str, result: Result | None = None) -> None:
        self._opened, self._raw, self._path, self._pattern, self._result = opened, raw, path, pattern, result

    def __getattr__(self, name: str) -> View:
        raw = self._raw
        below = None
        if isinstance(raw, Mapping):
            below = raw.get(name)
        elif raw is not None and not isinstance(raw, Answer | tuple):
            if name.startswith("_"):
                raise AttributeError(name)
            part = raw.parts.get(name) if isinstance(raw, Recorded) else None
            below = getattr(raw, part.attribute if part else name)
        return View(self._opened, below, f"{self._path}.{name}", f"{self._pattern}.{name}")

    def __iter__(self) -> Iterator[View]:
        if isinstance(self._raw, Mapping):
            for key in sorted(self._raw):
                yield View(self._opened, Entry(key, self._raw[key]), f"{self._path}[]", f"{self._pattern}[]")
            return
        if not isinstance(self._raw, tuple):
            raise TemplateFault(f"{self._pattern} is gone through as a list, but it is not a recorded list")
        for index, item in enumerate(self._raw):
            yield View(self._opened, item, f"{self._path}[{index}]", f"{self._pattern}[]")

    def __len__(self) -> int:
        return len(self._raw) if isinstance(self._raw, tuple) else 0

    def __bool__(self) -> bool:
        if self._raw is Answer.NOT_APPLICABLE:
            return False
        if not isinstance(self._raw, bool):
            raise TemplateFault(f"{self._pattern} is tested, but it is neither yes nor no here")
        return self._raw

    def __eq__(self, other: object) -> bool:
        if isinstance(self._raw, LateValue):
            raise TemplateFault(f"{self._pattern} is tested, but it is known only once the document is counted")
        mine = self._raw.value if isinstance(self._raw, Answer) else self._raw
        return bool(mine == (other._raw if isinstance(other, View) else other))

    def __hash__(self) -> int:
        return hash((self._path, self._pattern))

    def __str__(self) -> str:
        return self._opened.tokens.keep_span(self._opened.show(self))


class FactsView:
    """All facts, by name."""

    __slots__ = ("_opened",)

    def __init__(self, opened: Opened) -> None:
        self._opened = opened

    def __getattr__(self, name: str) -> View:
        result = self._opened.stated.get(name) or self._opened.late.get(name)
        if result is None:
            raise AttributeError(name)
        if isinstance(result, Known):
            raw = result.value
        else:  # of a fact about each tooth, the teeth that are known stand all the same
            raw = result.partial or None if result.assumed is None else result.assumed
        return View(self._opened, raw, "", name, result)


def is_recorded(view: View) -> bool:
    """True if something stands there, an answer word included."""
    raw = view._raw
    return bool(raw.recorded_names) if isinstance(raw, Recorded) else raw is not None


def is_answered(view: View) -> bool:
    """True if a value stands there, not a word for its absence."""
    return is_recorded(view) and not isinstance(view._raw, Answer) and view._raw != ()


def is_nothing(view: View) -> bool:
    """True if somebody was asked and there is none."""
    return view._raw is Answer.NONE or (isinstance(view._raw, tuple) and not view._raw)


def is_not_applicable(view: View) -> bool:
    """True if the question cannot arise."""
    return view._raw is Answer.NOT_APPLICABLE


def is_not_known(view: View) -> bool:
    """True if somebody was asked and could not say."""
    return view._raw is Answer.NOT_KNOWN


def is_known(view: View) -> bool:
    """True if a fact could be computed."""
    return isinstance(view._result, Known)


def is_unknown(view: View) -> bool:
    """True if a fact could not be computed, even if a value is assumed in its place."""
    return isinstance(view._result, Unknown)


TESTS = {
    "recorded": is_recorded,
    "answered": is_answered,
    "nothing": is_nothing,
    "not_applicable": is_not_applicable,
    "not_known": is_not_known,
    "known": is_known,
    "unknown": is_unknown,
}
"""The tests a template may use."""
