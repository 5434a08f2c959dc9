"""
Entries of one number > its life, and which action may follow which.

Apart from the database, so that the rules can be read and tested by themselves.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from docgen.issue.chain import written
from docgen.issue.entry import Action, Entry, KeptFile, Life

STANDING = (Action.ISSUED, Action.SIGNED)
"""States in which a document is valid."""
GIVEN_OUT = (*STANDING, Action.SUPERSEDED, Action.WITHDRAWN)
"""States of a document that was made; its files are kept."""
STATES = (Action.PREPARED, *GIVEN_OUT, Action.VOIDED)
AFTER: Mapping[Action, tuple[Action, ...]] = {
    Action.ISSUED: (Action.PREPARED,),
    Action.SIGNED: (Action.PREPARED,),
    Action.VOIDED: (Action.PREPARED,),
    Action.SUPERSEDED: STANDING,
    Action.WITHDRAWN: STANDING,
    Action.COUNTERSIGNED: (Action.SIGNED,),
    Action.HELD: GIVEN_OUT,
    Action.RELEASED: GIVEN_OUT,
    Action.ERASED: GIVEN_OUT,
}
"""An action > the states it may follow. What was superseded or withdrawn stays so: its successor is the valid one."""


@dataclass(frozen=True)
class Standing:
    """The state of one number, as the table `documents` holds it."""

    number: int
    state: Action
    kind: str
    record_digest: str
    issued_on: str
    key: str
    taken: str
    """Digest of the entry that took the number: who prepared it knows its own preparation by it."""
    taken_at: str
    on_hold: bool = False
    erased: bool = False
    countersigned: bool = field(default=False, compare=False)
    """Stands in no table: who must know reads the entries (`recalled`)."""


def taken_by(entry: Entry) -> Standing:
    """
    Give the state of a number after the entry that took it.

    Errors: ValueError, if that entry names no paper.
    """
    paper = entry.paper
    if paper is None or entry.action is not Action.PREPARED:
        raise ValueError("a number is taken by an entry with its paper")
    at = written(entry.at)
    return Standing(
        entry.number, entry.action, paper.kind, paper.record_digest, paper.issued_on, entry.key, entry.digest, at
    )


def after(standing: Standing, action: Action) -> Standing:
    """Give the state of a number after one more action; whether it is allowed is not asked here."""
    if action is Action.HELD:
        return replace(standing, on_hold=True)
    if action is Action.RELEASED:
        return replace(standing, on_hold=False)
    if action is Action.ERASED:
        return replace(standing, erased=True)
    if action is Action.COUNTERSIGNED:
        return replace(standing, countersigned=True)
    return replace(standing, state=action)


def is_allowed(action: Action, standing: Standing) -> bool:
    """Say whether an action may follow; a legal hold is kept, and what is erased is neither held nor erased again."""
    if standing.state not in AFTER.get(action, ()):
        return False
    if action is Action.COUNTERSIGNED:
        return not standing.countersigned and not standing.erased
    if action in (Action.HELD, Action.ERASED):
        return not standing.on_hold and not standing.erased
    return standing.on_hold if action is Action.RELEASED else True


def recalled(standing: Standing, entries: Iterable[Entry]) -> Standing:
    """Add to a state what only the entries of its number tell."""
    return replace(standing, countersigned=any(entry.action is Action.COUNTERSIGNED for entry in entries))


def life_of(entries: Sequence[Entry], keys: Mapping[tuple[str, str], bytes | None]) -> Life:
    """
    Tell the life of a number from its entries, in order; `keys`: name and digest of a file > its wrapped key.

    Errors: ValueError, if the first entry does not take the number.
    """
    standing = taken_by(entries[0])
    files: list[KeptFile] = []
    for entry in entries[1:]:
        standing = after(standing, entry.action)
    for entry in entries:
        files += [replace(file, wrapped_key=keys.get((file.name, file.digest))) for file in entry.files]
    paper = entries[0].paper
    assert paper is not None  # noqa: S101 - taken_by has asked
    return Life(
        number=standing.number,
        paper=paper,
        state=standing.state,
        files=tuple(files),
        entries=tuple(entries),
        code=next((entry.code for entry in entries if entry.code), ""),
        key=standing.key,
        on_hold=standing.on_hold,
        erased=standing.erased,
    )
