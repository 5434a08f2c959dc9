"""
How long a document is kept > what may be erased, and what may not yet; apart because nothing is ever erased by a clock.

The register keeps no birthday: of the last day of keeping only its year is written down, and the year's end counts.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from docgen.blocks import printed_number
from docgen.issue.entry import Life
from docgen.problem import Problem, Problems, say

CLASS, YEAR = "retention", "kept_until"
"""Names in the note of an entry: the class of keeping, and the year at whose end it is over."""
RECORD, KIND, UNSET = "record", "kind", "unset"
"""Classes: as the whole record; as the clinic set for this kind; the clinic set nothing, so it is kept."""


@dataclass(frozen=True)
class Retention:
    """How long one document is kept."""

    name: str
    """RECORD, KIND or UNSET."""
    year: int | None = None
    """Kept until the end of this year; None: until somebody sets it."""

    @property
    def note(self) -> tuple[tuple[str, str], ...]:
        """Write it down for an entry of the register."""
        return ((CLASS, self.name), *(((YEAR, str(self.year)),) if self.year else ()))

    def is_over(self, today: date) -> bool:
        """True if the year has ended."""
        return self.year is not None and today.year > self.year


def setting_of(kind: str) -> str:
    """Name the clinic's setting for a kind that is kept longer or shorter than the record."""
    return f"retention.{kind}.years"


def retention_of(record_until: date | None, kind_years: str | None, issued_on: date) -> Retention:
    """
    Say how long a document is kept.

    `record_until` is the fact retention_until, `kind_years` the value of `setting_of` the kind, which wins.
    """
    if kind_years:
        return Retention(KIND, issued_on.year + int(kind_years))
    return Retention(RECORD, record_until.year) if record_until else Retention(UNSET)


def retention_in(life: Life) -> Retention:
    """Read how long a document is kept: its latest entry that says so."""
    for entry in reversed(life.entries):
        note = dict(entry.note)
        if CLASS in note:
            return Retention(note[CLASS], int(note[YEAR]) if YEAR in note else None)
    return Retention(UNSET)


@dataclass(frozen=True)
class Due:
    """A document whose time of keeping is over. A person decides; the program only lists it."""

    number: int
    kind: str
    retention: Retention
    on_hold: bool
    """True if a legal hold keeps it all the same."""


def due(lives: Iterable[Life], today: date) -> Iterator[Due]:
    """List what may be erased, and what only a legal hold keeps; what is erased already is left out."""
    for life in lives:
        kept = retention_in(life)
        if not life.erased and life.files and kept.is_over(today):
            yield Due(life.number, life.paper.kind, kept, life.on_hold)


def check_erasure(life: Life, today: date, *, before_due: bool = False) -> Problems:
    """
    Say what stands against erasing a document; `before_due`: somebody decided it though it should still be kept.

    A legal hold is never passed over.
    """
    problems, number, kept = Problems(), printed_number(life.number), retention_in(life)
    if life.on_hold:
        problems.add(
            Problem(
                "on-hold",
                number,
                say("number %(number)s is under a legal hold and cannot be erased", number=number),
                say("who set the hold releases it first: docgen register release %(number)s", number=number),
            )
        )
    if not kept.is_over(today) and not before_due:
        what = (
            say("number %(number)s is to be kept until the end of %(year)s", number=number, year=kept.year)
            if kept.year
            else say("nobody has set how long number %(number)s is to be kept", number=number)
        )
        fix = say("wait; or, if the law asks for it earlier, give --before-due and say why")
        problems.add(Problem("erasure-too-early", number, what, fix))
    return problems
