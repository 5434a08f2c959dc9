"""
The rows of the chain > where they are not the ones docgen wrote, without reading what they say.

Apart from the whole inspection because whoever checks one page should not wait for years of a busy clinic to be read.
What is left out here, the lives and tables that follow from the entries, follows from them: a head that docgen sealed
and rows that lead up to it are entries that docgen wrote.
"""

from __future__ import annotations

import hmac
import re
from collections.abc import Iterator

from docgen.issue import triggers
from docgen.issue.chain import Fault, digest_of_text
from docgen.issue.database import Database, Reading
from docgen.issue.identity import RegisterIdentity
from docgen.issue.schema import REVISIONS
from docgen.issue.statements import HEAD, PAGE, SCHEMA_VERSION
from docgen.problem import say

BEFORE_ALL = -(2**63)
"""A place before any the database can hold: an entry that was put before the first is read too."""
AT_MOST = 100
"""Faults that are told; a chain that is broken at one place is often broken at all that follow."""
AT_ONCE = 5_000
"""Rows read in one question."""

# Keys stand in order, and a quote inside a text is escaped: neither pattern can be met anywhere else in an entry.
_NUMBER = re.compile(r',"number":([0-9]+),"paper":')
_END = re.compile(r',"previous":"([0-9a-f]{64})","reason":"[a-z_]*","seq":(-?[0-9]+),"successor":(?:null|[0-9]+)\}\Z')


def chain_faults(database: Database, identity: RegisterIdentity) -> tuple[Fault, ...]:
    """
    Say where the chain, its head, the guards or the schema are not as docgen wrote them; nothing, if all is well.

    Errors: Unavailable.
    """
    with database.connected() as raw:
        lost = triggers.missing(database.name, database.trips.triggers(raw))
    with database.reading() as reading:
        found = [*schema_faults(reading, lost), *_walk(reading, identity)]
    return tuple(found[:AT_MOST])


def schema_faults(reading: Reading, lost: tuple[str, ...]) -> Iterator[Fault]:
    """Say whether the tables are those of this program, and which of its guards are `lost`."""
    if reading.rows(SCHEMA_VERSION) != [(REVISIONS[-1],)]:
        yield Fault("schema-changed", say("the tables of the register are not those of this program"))
    for name in lost:
        yield Fault("trigger-missing", say("the guard %(name)s of the register is missing or changed", name=name))


def _walk(reading: Reading, identity: RegisterIdentity) -> Iterator[Fault]:
    place, last, before = BEFORE_ALL, 0, identity.begin
    while page := reading.rows(PAGE, after=place, limit=AT_ONCE):
        for seq, number, body, digest in page:
            place = seq
            named, end = _NUMBER.search(body), _END.search(body)
            told = (named and named[1], end and end[2])
            if digest_of_text(body) != digest or told != (str(number), str(seq)):
                what = say("entry %(seq)d of the register is not as it was written", seq=seq)
                yield Fault("entry-changed", what, seq)
            elif seq != last + 1:
                what = say(
                    "entry %(seq)d of the register stands where entry %(place)d belongs", seq=seq, place=last + 1
                )
                yield Fault("chain-order", what, seq)
            elif end is None or end[1] != before:
                what = say("entry %(seq)d of the register does not follow the entry before it", seq=seq)
                yield Fault("chain-broken", what, seq)
            last, before = seq, digest
        if len(page) < AT_ONCE:
            break
    yield from head_faults(reading, identity, last, before)


def head_faults(
    reading: Reading, identity: RegisterIdentity, last: int, digest: str, numbers: int | None = None
) -> Iterator[Fault]:
    """Compare the head with the last entry, its digest and, if they were counted, the numbers given out."""
    heads = reading.rows(HEAD)
    if len(heads) != 1:
        yield Fault("head-differs", say("the register has lost its head"))
        return
    seq, named, number, seal = heads[0]
    if not hmac.compare_digest(str(seal), identity.seal(seq, named, number)):
        yield Fault("head-forged", say("the head of the register was not set by docgen"))
    if (seq, named, number) != (last, digest, number if numbers is None else numbers):
        words = {"seq": seq, "last": last}
        what = say("the register says it has %(seq)d entries, and its chain ends with entry %(last)d", **words)
        yield Fault("head-differs", what, last)
