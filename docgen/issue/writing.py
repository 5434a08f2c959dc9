"""
What happened to a number > its entries, behind one another, in one transaction.

Apart from the register's face because order, locking and durability are decided here and nowhere else.
"""

from __future__ import annotations

import contextlib
import hmac
from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy.sql import ClauseElement

from docgen.issue.chain import canonical, digest_of_text, entry_of, written
from docgen.issue.database import Database, Told, Writing
from docgen.issue.entry import Action, Entry, KeptFile, Paper
from docgen.issue.identity import RegisterIdentity
from docgen.issue.life import Standing, after, is_allowed, recalled, taken_by
from docgen.issue.refusals import not_allowed, unknown_number
from docgen.issue.statements import (
    ADD_DOCUMENT,
    ADD_ENTRY,
    DOCUMENT,
    LOCK_HEAD,
    SET_DOCUMENT,
    SET_HEAD,
    STALE,
    add_files,
)
from docgen.issue.trips import Rows
from docgen.issue.unavailable import Unavailable
from docgen.problem import say

STALE_AFTER = timedelta(hours=1)
"""A preparation as old as this is given up: the next writer voids it."""
PROGRAM = "docgen"
"""By whom a forgotten preparation is voided."""


class Pen:
    """Writes entries in one transaction: each names the one before, and the head follows the last."""

    def __init__(self, writing: Writing, identity: RegisterIdentity, at: datetime, numbers: tuple[int, ...]) -> None:
        head, stale, *documents = writing.answers
        self._writing = writing
        self._identity = identity
        self._at = at
        self._seq, self._digest, self._number = _unbroken(head, identity)
        self._standing = {row[0]: standing_of(row) for rows in documents[: len(numbers)] for row in rows}
        self.rest = documents[len(numbers) :]
        """Answers to further questions."""
        for row in stale:
            if row[0] not in numbers:
                self._standing[row[0]] = standing_of(row)
                self.follow(row[0], Action.VOIDED, PROGRAM, reason="not_completed")

    def knows(self, number: int) -> bool:
        """Say whether a number that was asked for is there."""
        return number in self._standing

    def tell(self, statement: ClauseElement, values: Mapping[str, Any]) -> None:
        """Add a change that belongs to what is written."""
        self._writing.tell(statement, values)

    def standing(self, number: int) -> Standing:
        """Give the state of a number that was asked for. Errors: Refused with number-unknown."""
        found = self._standing.get(number)
        if found is None:
            raise unknown_number(number)
        return found

    def recall(self, number: int, rows: Rows) -> None:
        """Read the entries of a number that was asked for: some actions may follow once only."""
        standing = self.standing(number)
        self._standing[number] = recalled(standing, (entry_of(body, digest) for body, digest in rows))

    def take(self, paper: Paper, key: str, by: str) -> Entry:
        """Take the next number: they follow each other without a gap."""
        self._number += 1
        entry = self._write(Action.PREPARED, self._number, by, paper=paper, key=key)
        standing = self._standing[self._number] = taken_by(entry)
        self._writing.tell(ADD_DOCUMENT, _row(standing))
        return entry

    def follow(self, number: int, action: Action, by: str, **further: Any) -> Entry:
        """Write what happened to a number. Errors: Refused, if the action may not follow the state of the number."""
        standing = self.standing(number)
        if not is_allowed(action, standing):
            raise not_allowed(action, standing)
        entry = self._write(action, number, by, **further)
        now = self._standing[number] = after(standing, action)
        flags = {"new_hold": int(now.on_hold), "new_erased": int(now.erased)}
        self._writing.tell(SET_DOCUMENT, {"number": number, "new_state": now.state.value, **flags})
        if kept := dict.fromkeys(entry.files):
            row: dict[str, Any] = {}
            for n, file in enumerate(kept):
                row |= {f"number_{n}": number, f"digest_{n}": file.digest}
                row |= {f"name_{n}": file.name, f"wrapped_{n}": file.wrapped_key}
            self._writing.tell(add_files(len(kept)), row)
        return entry

    def finish(self) -> None:
        """Move the head to the last entry."""
        seal = self._identity.seal(self._seq, self._digest, self._number)
        values = {"seq": self._seq, "digest": self._digest, "number": self._number, "seal": seal}
        self._writing.tell(SET_HEAD, values)

    def _write(
        self,
        action: Action,
        number: int,
        by: str,
        *,
        paper: Paper | None = None,
        key: str = "",
        files: tuple[KeptFile, ...] = (),
        successor: int | None = None,
        reason: str = "",
        note: tuple[tuple[str, str], ...] = (),
        code: str = "",
    ) -> Entry:
        named: dict[str, Any] = {"paper": paper, "key": key, "files": files, "successor": successor, "reason": reason}
        named |= {"note": note, "code": code, "previous": self._digest, "action": action, "number": number, "by": by}
        bare = Entry(seq=self._seq + 1, at=self._at, digest="", **named)
        body = canonical(bare)
        entry = Entry(seq=bare.seq, at=self._at, digest=digest_of_text(body), **named)
        self._seq, self._digest = entry.seq, entry.digest
        self._writing.tell(ADD_ENTRY, {"seq": entry.seq, "number": number, "body": body, "digest": entry.digest})
        return entry


@contextlib.contextmanager
def pen(
    database: Database,
    identity: RegisterIdentity,
    at: datetime,
    numbers: tuple[int, ...] = (),
    further: Iterable[Told] = (),
    *,
    synced: bool = True,
) -> Iterator[Pen]:
    """
    Lock the head, read the state of some numbers, and lend a pen; all is committed when the body ends well.

    Errors: Unavailable; Refused by the pen. Then nothing was written.
    """
    asked: list[Told] = [(LOCK_HEAD, {}), (STALE, {"before": written(at - STALE_AFTER)})]
    asked += [(DOCUMENT, {"number": number}) for number in numbers]
    with database.writing([*asked, *further], synced=synced) as writing:
        lent = Pen(writing, identity, at, numbers)
        yield lent
        lent.finish()


def _unbroken(head: Rows, identity: RegisterIdentity) -> tuple[int, str, int]:
    """Read the head; nothing is written behind one that another hand has set."""
    for seq, digest, number, seal in head:
        if hmac.compare_digest(seal, identity.seal(seq, digest, number)):
            return seq, digest, number
    raise Unavailable(
        "register-damaged",
        say("the head of the register is not as docgen wrote it"),
        say("see docgen doctor, and take the register from a backup"),
    )


def standing_of(row: tuple[Any, ...]) -> Standing:
    """Read a row of `documents`."""
    number, state, kind, record_digest, issued_on, key, taken, taken_at, on_hold, erased = row
    words = (kind, record_digest, issued_on, key, taken, taken_at)
    return Standing(number, Action(state), *words, bool(on_hold), bool(erased))


def _row(standing: Standing) -> dict[str, Any]:
    flags = {"on_hold": int(standing.on_hold), "erased": int(standing.erased)}
    named = {name: value for name, value in standing.__dict__.items() if name != "countersigned"}
    return {**named, "state": standing.state.value, **flags}
