"""
A register > all that is wrong with it: schema, triggers, chain, and the tables that are derived from the chain.

Apart because it believes nothing that the other modules rely on.
"""

from __future__ import annotations

import hmac
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice

from docgen.blocks import printed_number
from docgen.issue import chain, triggers
from docgen.issue.chain import Fault, digest_of_text, entry_of
from docgen.issue.database import Database, Reading
from docgen.issue.entry import Action, Entry
from docgen.issue.identity import RegisterIdentity
from docgen.issue.life import Standing, after, is_allowed, taken_by
from docgen.issue.reading import AT_ONCE, rows
from docgen.issue.schema import REVISIONS
from docgen.issue.statements import ALL_DOCUMENTS, ALL_FILES, HEAD, SCHEMA_VERSION
from docgen.issue.writing import standing_of
from docgen.problem import say

BEFORE_ALL = -(2**63)
"""A place before any the database can hold: an entry that was put before the first is read too."""
AT_MOST = 100
"""Faults that are told; a chain that is broken at one place is often broken at all that follow."""
Kept = set[tuple[int, str, str]]
"""Number, name and digest of a file."""


@dataclass
class Replay:
    """What the chain says the other tables should hold."""

    begin: str
    found: list[Fault] = field(default_factory=list)
    standing: dict[int, Standing] = field(default_factory=dict)
    kept: Kept = field(default_factory=set)
    seq: int = 0
    digest: str = ""

    def entries(self, reading: Reading) -> Iterator[Entry]:
        """Read the chain and follow the life of each number in it."""
        place = BEFORE_ALL
        while page := rows(reading, place):
            for seq, number, body, digest in page:
                place = seq
                try:
                    entry = entry_of(body, digest)
                    as_written = digest_of_text(body) == digest
                except (ValueError, AttributeError):
                    entry, as_written = None, False
                if entry is None or not as_written or (entry.seq, entry.number) != (seq, number):
                    what = say("entry %(seq)d of the register is not as it was written", seq=seq)
                    self.found.append(Fault("entry-changed", what, seq))
                if entry is not None:
                    self.follow(entry)
                    yield entry
            if len(page) < AT_ONCE:
                return

    def follow(self, entry: Entry) -> None:
        """Take one more entry into account."""
        self.seq, self.digest = entry.seq, entry.digest
        standing = self.standing.get(entry.number)
        if entry.action is Action.PREPARED and entry.paper and standing is None:
            self.standing[entry.number] = taken_by(entry)
            fits = entry.number == len(self.standing)
        elif standing is not None and entry.action is not Action.PREPARED:
            fits = is_allowed(entry.action, standing)
            self.standing[entry.number] = after(standing, entry.action)
        else:
            fits = False
        if not fits:
            words = {"seq": entry.seq, "number": printed_number(entry.number)}
            what = say("entry %(seq)d of the register does not fit the life of number %(number)s", **words)
            self.found.append(Fault("life-broken", what, entry.seq))
        if entry.action is Action.ERASED:
            self.kept = {place for place in self.kept if place[0] != entry.number}
        self.kept |= {(entry.number, file.name, file.digest) for file in entry.files}


def faults(database: Database, identity: RegisterIdentity) -> tuple[Fault, ...]:
    """
    Say all that is wrong with a register, at most a hundred things; nothing, if all is well.

    Errors: Unavailable.
    """
    replay = Replay(identity.begin)
    with database.connected() as raw:
        complaints = database.trips.complaints(raw)
        lost = triggers.missing(database.name, database.trips.triggers(raw))
    with database.reading() as reading:
        found = [*_schema(reading, complaints, lost)]
        found += chain.faults(replay.entries(reading), identity.begin)
        found += replay.found
        found += _head(reading, replay, identity)
        found += _derived(reading, replay)
    return tuple(islice({(one.code, one.seq, one.what): one for one in found}.values(), AT_MOST))


def _schema(reading: Reading, complaints: int, lost: tuple[str, ...]) -> Iterator[Fault]:
    if complaints:
        what = say("the file of the register is damaged: the database has %(count)d complaints", count=complaints)
        yield Fault("register-damaged", what)
    if reading.rows(SCHEMA_VERSION) != [(REVISIONS[-1],)]:
        yield Fault("schema-changed", say("the tables of the register are not those of this program"))
    for name in lost:
        yield Fault("trigger-missing", say("the guard %(name)s of the register is missing or changed", name=name))


def _head(reading: Reading, replay: Replay, identity: RegisterIdentity) -> Iterator[Fault]:
    heads = reading.rows(HEAD)
    if len(heads) != 1:
        yield Fault("head-differs", say("the register has lost its head"))
        return
    seq, digest, number, seal = heads[0]
    if not hmac.compare_digest(str(seal), identity.seal(seq, digest, number)):
        yield Fault("head-forged", say("the head of the register was not set by docgen"))
    if (seq, digest, number) != (replay.seq, replay.digest or identity.begin, len(replay.standing)):
        words = {"seq": seq, "last": replay.seq}
        what = say("the register says it has %(seq)d entries, and its chain ends with entry %(last)d", **words)
        yield Fault("head-differs", what, replay.seq)


def _derived(reading: Reading, replay: Replay) -> Iterator[Fault]:
    stands = {row[0]: standing_of(row) for row in reading.rows(ALL_DOCUMENTS)}
    for number in sorted(stands.keys() | replay.standing.keys()):
        if stands.get(number) != replay.standing.get(number):
            what = say("the state of number %(number)s is not what its entries say", number=printed_number(number))
            yield Fault("state-differs", what)
    kept = set(reading.rows(ALL_FILES))
    for number, name, _ in sorted(replay.kept - kept):
        words = {"name": name, "number": printed_number(number)}
        yield Fault("file-unlisted", say("the key of the file %(name)s of number %(number)s is gone", **words))
    for number, name, _ in sorted(kept - replay.kept):
        words = {"name": name, "number": printed_number(number)}
        what = say("the register keeps a key of the file %(name)s of number %(number)s, which it should not", **words)
        yield Fault("file-unexpected", what)
