"""What a fact is: a name, what it needs, and a function; its result is Known with sources, or Unknown with needs."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import field, replace
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from docgen.answer import Answer
from docgen.case import Case
from docgen.clinical.table import Tables
from docgen.values import dataclass


@dataclass(frozen=True)
class Request:
    """What is asked for: one document, in one copy and language, on one day."""

    kind: str
    copy: str
    """patient, clinic, or empty."""
    language: str
    issued_on: date
    dated: bool = True
    teeth_lists: tuple[str, ...] = ("plan.procedures", "referral.teeth")
    """Where the teeth of the document stand: the first list that is recorded."""
    reference_paths: tuple[str, ...] = ("consent.confirmed_at", "consent.first_talk_on")
    """The day on which age and history are judged: the first that is recorded."""
    signed_at: tuple[str, ...] = ()
    """Fields that hold the moment of signing; empty for a document that is not signed."""
    checked_as: str = ""
    """The kind as which gate 3 looks at the document; empty: as its own."""


@dataclass(frozen=True)
class Known:
    """A value that could be computed."""

    value: Any
    sources: tuple[str, ...] = ()
    """Source keys, or the tag of a rule without one (design, cp, field)."""
    working: str = ""
    """The arithmetic, as figures and keys, for the clinician's check."""


@dataclass(frozen=True)
class Unknown:
    """A value that could not be computed; it is never False."""

    needs: tuple[str, ...]
    """Paths that would settle it."""
    asked: bool = False
    """True if somebody was asked and could not say."""
    assumed: Any = None
    """What rules act on instead, where the specification names it; None: nothing may be assumed."""
    partial: Mapping[str, Any] = field(default_factory=dict)
    """Of a fact with one value for each tooth: the teeth whose value is known all the same."""


Result = Known | Unknown


class NeedMissing(Exception):
    """A fact's function came upon a need nobody has recorded."""

    def __init__(
        self, needs: tuple[str, ...], *, asked: bool = False, partial: Mapping[str, Any] | None = None
    ) -> None:
        super().__init__(", ".join(needs))
        self.needs, self.asked, self.partial = needs, asked, partial or {}


@dataclass(frozen=True)
class Fact:
    """One row of the ordered list."""

    name: str
    needs: tuple[str, ...]
    """Path patterns and names of facts above; the function looks at nothing else (a test watches it)."""
    function: Callable[[Reading], Any]
    """Gives the value, or a Known if it has sources or working of its own."""
    sources: tuple[str, ...]
    assumed: Any = None


@dataclass
class Reading:
    """What a fact's function may look at: the case, the request, the tables and the facts above it."""

    case: Case
    request: Request
    tables: Tables
    stated: Mapping[str, Result]
    used_settings: set[str] = field(default_factory=set)
    looked_at: set[str] = field(default_factory=set)
    """Paths and facts a function asked for, so that a test can hold them against what it declares."""

    def value(self, path: str) -> Any:
        """Give a field's value, an answer word included; None if it is not recorded."""
        self.looked_at.add(path)
        return self.case.value(path)

    def expand(self, pattern: str) -> tuple[str, ...]:
        """Name the concrete paths of a pattern."""
        self.looked_at.add(pattern)
        return self.case.expand(pattern)

    def need(self, path: str) -> Any:
        """
        Give a field's value.

        Errors: NeedMissing, if it is not recorded or not known.
        """
        value = self.value(path)
        if value is None or value is Answer.NOT_KNOWN:
            raise NeedMissing((path,), asked=value is Answer.NOT_KNOWN)
        return value

    def fact(self, name: str) -> Any:
        """
        Give the value of a fact above, or what is assumed in its place.

        Errors: NeedMissing, if it is unknown and nothing may be assumed.
        """
        self.looked_at.add(name)
        result = self.stated[name]
        if isinstance(result, Known):
            return result.value
        if result.assumed is not None:
            return result.assumed
        raise NeedMissing(result.needs, asked=result.asked)

    def known(self, name: str) -> Any:
        """Give the value of a fact above, or None if it is unknown; nothing is assumed."""
        self.looked_at.add(name)
        result = self.stated[name]
        return result.value if isinstance(result, Known) else None

    def result(self, name: str) -> Result:
        """Give a fact above as it stands, for a rule that tells unknown from assumed."""
        self.looked_at.add(name)
        return self.stated[name]

    def of_tooth(self, name: str, fdi: str) -> Any:
        """
        Give what a fact above says of one tooth, though it may be unknown for another.

        Errors: NeedMissing, if it is unknown for this one and nothing may be assumed.
        """
        result = self.result(name)
        if isinstance(result, Known):
            values = result.value
        else:
            values = result.partial if result.assumed is None else result.assumed
        if fdi not in values:
            needs = result.needs if isinstance(result, Unknown) else ("teeth",)
            raise NeedMissing(needs, asked=isinstance(result, Unknown) and result.asked)
        return values[fdi]

    def setting(self, name: str) -> Any:
        """
        Give a setting of the clinic, its default if nobody set it.

        Errors: NeedMissing, for a required setting that is missing.
        """
        self.looked_at.add(f"settings.{name}")
        value = self.case.setting(name)
        if value is None:
            raise NeedMissing((f"settings.{name}",))
        self.used_settings.add(name)
        return value

    def moment(self, path: str) -> datetime:
        """Give a recorded moment in the clinic's time zone."""
        value: datetime = self.need(path)
        return value.replace(tzinfo=ZoneInfo(self.need("clinic.time_zone")))


def state(fact: Fact, reading: Reading) -> Result:
    """Compute one fact; a missing need makes it Unknown, and nothing else does."""
    try:
        value = fact.function(reading)
    except NeedMissing as missing:
        return Unknown(missing.needs, missing.asked, fact.assumed, missing.partial)
    if isinstance(value, Known):
        return value if value.sources else replace(value, sources=fact.sources)
    return value if isinstance(value, Unknown) else Known(value, fact.sources)
