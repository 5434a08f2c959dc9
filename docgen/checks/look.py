"""What a cross-document check may look at, and what it finds."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date, datetime
from enum import Enum
from typing import Any

from docgen.answer import Answer
from docgen.case import Case
from docgen.clinical.table import Tables
from docgen.clinical.teeth import NotATooth, to_fdi
from docgen.facts import Known, Request, Result
from docgen.problem import Message, Severity
from docgen.values import dataclass

AFTER_THE_OPERATION = ("operative-note", "aftercare", "reply")
"""Kinds that speak of an operation that is over; an undated leaflet does not."""


class Lift(Enum):
    """What a written departure does to the refusals of a check."""

    NOTHING = "nothing"
    NOTE = "the operative note is still made, for what has happened can always be written down (the dagger)"
    NAMED = 'every document the check refuses is still made ("unless a departure")'


@dataclass(frozen=True)
class Finding:
    """One place where the record contradicts itself or the documents."""

    path: str
    what: Message
    fix: Message
    severity: Severity | None = None
    """None: that of the check."""
    can_be_departed_from: bool = True
    """False if this finding stands even where its check may knowingly not be followed."""


@dataclass(frozen=True)
class Look:
    """The case as one document sees it."""

    case: Case
    request: Request
    stated: Mapping[str, Result]
    tables: Tables

    @property
    def kind(self) -> str:
        """The kind as which the document is looked at: its own, or the one its kind.yaml names."""
        return self.request.checked_as or self.request.kind

    @property
    def operation_is_over(self) -> bool:
        """True if the document speaks of an operation that is over: only then is operation.* looked at."""
        return self.kind in AFTER_THE_OPERATION and (self.kind != "aftercare" or self.request.dated)

    def is_signed_in(self, group: str) -> bool:
        """Tell whether the document is the one whose signature lies in this group of the record."""
        return any(path.startswith(f"{group}.") for path in self.request.signed_at)

    def known(self, name: str) -> Any:
        """Give the value of a fact, None if it is unknown; nothing is assumed."""
        result = self.stated.get(name)
        return result.value if isinstance(result, Known) else None

    def items(self, path: str) -> Iterator[tuple[str, Any]]:
        """Go through the groups of a list with their paths; nothing if there is no list."""
        value = self.case.value(path)
        for number, item in enumerate(value if isinstance(value, tuple) else ()):
            yield f"{path}[{number}]", item

    def words(self, path: str) -> tuple[str, ...] | None:
        """Give the plain words of a list; None if it is not recorded, not known, or an item was faulty."""
        value = self.case.value(path)
        return value if isinstance(value, tuple) and not self.case.is_faulty(path) else None

    def day(self, path: str) -> date | None:
        """Give the day of a date or moment."""
        return day_of(self.case.value(path))

    def moment(self, path: str) -> datetime | None:
        """Give a moment; None if a word stands for it."""
        value = self.case.value(path)
        return value if isinstance(value, datetime) else None

    def fdi(self, written: object) -> str | None:
        """Give the FDI number of a tooth as written; None if notation or number are missing."""
        notation = self.case.fields.record.tooth_notation
        if not isinstance(written, str) or notation is None or isinstance(notation, Answer):
            return None
        try:
            return to_fdi(written, notation)  # type: ignore[arg-type] # the dictionary admits the three notations only
        except NotATooth:
            return None

    def teeth(self, pattern: str) -> tuple[tuple[str, str], ...] | None:
        """
        Give path and FDI number of each tooth of a list, "plan.procedures[].tooth" or "consent.teeth[]".

        None if the list is not recorded or one number is missing: then nothing can be said about the whole.
        """
        if not isinstance(self.case.value(pattern.partition("[]")[0]), tuple):
            return None
        found = [(path, self.fdi(self.case.value(path))) for path in self.case.expand(pattern)]
        if self.case.is_faulty(pattern.partition("[]")[0]) or any(tooth is None for _, tooth in found):
            return None
        return tuple((path, tooth) for path, tooth in found if tooth is not None)

    def has_departure(self, code: str) -> bool:
        """Tell whether a clinician wrote down why a check is knowingly not followed."""
        return any(item.code == code and item.reason and item.by for _, item in self.items("departures"))


@dataclass(frozen=True)
class Check:
    """One row of section 6."""

    code: str
    find: Callable[[Look], Iterator[Finding]]
    severity: Severity = Severity.REFUSE
    kinds: tuple[str, ...] = ()
    """Kinds of document it concerns; empty: all."""
    of_operation: bool = False
    """True if it looks at operation.*, and so is silent for a document made before."""
    signed_in: str = ""
    """Group of the record; the check concerns only the document whose signature lies in it."""
    departure: Lift = Lift.NOTHING
    """Which refusals a departure turns into notes."""

    def concerns(self, look: Look) -> bool:
        """Tell whether the check has anything to say about this document."""
        if self.of_operation and not look.operation_is_over:
            return False
        if self.signed_in and not look.is_signed_in(self.signed_in):
            return False
        return not self.kinds or look.kind in self.kinds

    def may_be_lifted(self, look: Look) -> bool:
        """Tell whether a departure lifts its refusal of this document."""
        return self.departure is Lift.NAMED or (self.departure is Lift.NOTE and look.kind == "operative-note")


def day_of(value: object) -> date | None:
    """Give the day of a date or moment; None for anything else."""
    if isinstance(value, datetime):
        return value.date()
    return value if isinstance(value, date) else None
