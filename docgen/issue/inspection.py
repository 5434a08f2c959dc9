"""
A register > all that is wrong with it: schema, triggers, chain, and the tables that are derived from the chain.

Apart because it believes nothing that the other modules rely on.
"""

from __future__ import annotations

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
from docgen.issue.statements import ALL_DOCUMENTS, ALL_FILES
from docgen.issue.walk import AT_MOST, BEFORE_ALL, head_faults, schema_faults
from docgen.issue.writing import standing_of
from docgen.problem import say

Kept = dict[int, set[tuple[str, str]]]
"""Number > names and digests of its files."""


@dataclass
class Replay:
    """What the chain says the other tables should hold."""

    begin: str
    found: list[Fault] = field(default_factory=list)
    standing: dict[int, Standing] = field(default_factory=dict)
    kept: Kept = field(default_factory=dict)
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
            self.kept.pop(entry.number, None)
        if entry.files:
            self.kept.setdefault(entry.number, set()).update((file.name, file.digest) for file in entry.files)


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
        found = [*_damage(complaints), *schema_faults(reading, lost)]
        found += chain.faults(replay.entries(reading), identity.begin)
        found += replay.found
        digest = replay.digest or identity.begin
        found += head_faults(reading, identity, replay.seq, digest, len(replay.standing))
        found += _derived(reading, replay)
    return tuple(islice({(one.code, one.seq, one.what): one for one in found}.values(), AT_MOST))


def _damage(complaints: int) -> Iterator[Fault]:
    if complaints:
        what = say("the file of the register is damaged: the database has %(count)d complaints", count=complaints)
        yield Fault("register-damaged", what)


def _derived(reading: Reading, replay: Replay) -> Iterator[Fault]:
    stands = {row[0]: standing_of(row) for row in reading.rows(ALL_DOCUMENTS)}
    for number in sorted(stands.keys() | replay.standing.keys()):
        if stands.get(number) != replay.standing.get(number):
            what = say("the state of number %(number)s is not what its entries say", number=printed_number(number))
            yield Fault("state-differs", what)
    kept = set(reading.rows(ALL_FILES))
    wanted = {(number, *file) for number, files in replay.kept.items() for file in files}
    for number, name, _ in sorted(wanted - kept):
        words = {"name": name, "number": printed_number(number)}
        yield Fault("file-unlisted", say("the key of the file %(name)s of number %(number)s is gone", **words))
    for number, name, _ in sorted(kept - wanted):
        words = {"name": name, "number": printed_number(number)}
        what = say("the register keeps a key of the file %(name)s of number %(number)s, which it should not", **words)
        yield Fault("file-unexpected", what)
