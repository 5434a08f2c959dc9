"""
Prepared numbers with their files > their entries, together in one transaction, or none of them.

Apart from the register's face because a pack is given out as one: nobody finds half of it after a power cut.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from docgen.issue.database import Told
from docgen.issue.entry import REASONS, Action, Entry, KeptFile
from docgen.issue.life import STANDING, Standing
from docgen.issue.refusals import IN_WORDS, lost_number, unfit_successor
from docgen.issue.statements import TWIN
from docgen.issue.writing import Pen
from docgen.problem import say


@dataclass(frozen=True)
class Made:
    """A document that was made for its number, and all that its entry says."""

    number: int
    files: Sequence[KeptFile]
    code: str
    """Check code printed on the page."""
    action: Action = Action.ISSUED
    supersedes: int | None = None
    """The number that gives up its place in the same transaction."""
    reason: str = ""
    """One of REASONS; with `supersedes`, and only then."""
    note: tuple[tuple[str, str], ...] = ()

    def __post_init__(self) -> None:
        if self.action not in STANDING or (self.supersedes is not None) != (self.reason in REASONS):
            raise ValueError("issued or signed; a reason with `supersedes`, and only then")

    @property
    def numbers(self) -> tuple[int, ...]:
        """The numbers whose state it changes."""
        return (self.number,) if self.supersedes is None else (self.number, self.supersedes)


def twins_of(pack: Sequence[Made]) -> list[Told]:
    """Ask for the valid documents that have the same keys as those of a pack."""
    return [(TWIN, {"number": one.number}) for one in pack]


def give(pack: Sequence[Made], lent: Pen, taken: Mapping[int, str], by: str) -> Iterator[Entry | int]:
    """
    Write the entries of a pack; gives each document's own, or the number that stands by its key already.

    The pen has asked for their numbers, and last for `twins_of` them; `taken`: number > digest of the entry by which
    this process prepared it. Errors: Refused with number-unknown, number-lost, number-state or successor-unfit.
    """
    given: dict[str, int] = {}
    for one, rows in zip(pack, lent.rest[-len(pack) :], strict=True):
        _is_mine(one.number, lent, taken.get(one.number))
        standing = lent.standing(one.number)
        twin = next((row[0] for row in rows if row[0] != one.supersedes), given.get(standing.key))
        if twin is not None:
            lent.follow(one.number, Action.VOIDED, by, reason="not_completed")
            yield twin
            continue
        given[standing.key] = one.number
        if one.supersedes is not None:
            fits(lent.standing(one.supersedes), standing, Action.PREPARED)
            lent.follow(one.supersedes, Action.SUPERSEDED, by, successor=one.number, reason=one.reason)
        yield lent.follow(one.number, one.action, by, files=tuple(one.files), note=one.note, code=one.code)


def _is_mine(number: int, lent: Pen, taken: str | None) -> None:
    """Refuse a number this process prepared, if a crash of the database has lost it."""
    if taken and not (lent.knows(number) and lent.standing(number).taken == taken):
        raise lost_number(number)


def fits(old: Standing, new: Standing, *states: Action) -> None:
    """Refuse a successor that is not valid, or is of another record or kind. Errors: Refused with successor-unfit."""
    if new.number == old.number or new.state not in states:
        raise unfit_successor(old.number, new.number, say("it is %(state)s", state=IN_WORDS[new.state]))
    if (new.record_digest, new.kind) != (old.record_digest, old.kind):
        raise unfit_successor(old.number, new.number, say("it is of another record or kind"))
