"""A hand that has the whole database and not the master key: whatever it does to the register is found."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import psycopg
import pytest

from docgen.issue.chain import canonical, digest_of, entry_of
from docgen.issue.entry import Action, Entry
from docgen.issue.unavailable import Unavailable
from issue.registers import PAPER, WHO, Desk, kept


@pytest.fixture
def filled(desk: Desk) -> Desk:
    """Give a register with some life in it: nine entries, four numbers."""
    first, second = desk.issued("a"), desk.issued("b")
    desk.register.supersede(first, second, "corrected", WHO, [kept("reason.txt")])
    desk.register.withdraw(desk.issued("c"), "consent_withdrawn", WHO)
    desk.prepared("d")
    desk.register.saw(second, WHO, "show")
    return desk


def disarm(desk: Desk) -> None:
    """Take the guards away, as an owner of the database can."""
    for table, names in (("entries", ("new_only", "no_update", "no_delete")), ("accesses", ("no_delete",))):
        for name in names:
            if desk.register.database.name == "sqlite":
                desk.run(f"DROP TRIGGER {table}_{name}")
        if desk.register.database.name == "postgresql":
            desk.run(f"ALTER TABLE {table} DISABLE TRIGGER {table}_append_only")


def rearm(desk: Desk, guards: list[str]) -> None:
    """Put the guards back, so that only what was done is left to be found."""
    if desk.register.database.name == "sqlite":
        for guard in guards:
            desk.run(guard)
    else:
        for table in ("entries", "accesses"):
            desk.run(f"ALTER TABLE {table} ENABLE TRIGGER {table}_append_only")


def guards_of(desk: Desk) -> list[str]:
    """Remember the guards that `disarm` takes away."""
    if desk.register.database.name == "postgresql":
        return []
    dropped = ("entries_new_only", "entries_no_update", "entries_no_delete", "accesses_no_delete")
    found = dict(desk.run("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"))
    return [found[name] for name in dropped]


def put(desk: Desk, entry: Entry) -> None:
    """Write an entry over the one at its place."""
    desk.run("UPDATE entries SET body = ?, digest = ? WHERE seq = ?", canonical(entry), entry.digest, entry.seq)


def entries_of(desk: Desk) -> list[Entry]:
    """Read the whole chain."""
    return [entry_of(body, digest) for body, digest in desk.run("SELECT body, digest FROM entries ORDER BY seq")]


def change_words(desk: Desk) -> None:
    """Put another name into an entry."""
    put(desk, replace(entries_of(desk)[1], by="somebody else"))


def change_and_digest(desk: Desk) -> None:
    """Put another name into an entry, with a digest that fits."""
    changed = replace(entries_of(desk)[1], by="somebody else")
    put(desk, replace(changed, digest=digest_of(changed)))


def rewrite_all(desk: Desk) -> None:
    """Write the whole chain anew from a changed entry on, and set the head to its end: a whole chain again."""
    entries = entries_of(desk)
    previous = entries[0].digest
    for entry in entries[1:]:
        anew = replace(entry, by="somebody else", previous=previous)
        anew = replace(anew, digest=digest_of(anew))
        put(desk, anew)
        previous = anew.digest
    desk.run("UPDATE head SET digest = ?", previous)
    taken = {entry.number: entry.digest for entry in entries_of(desk) if entry.paper}
    for number, digest in taken.items():
        desk.run("UPDATE documents SET taken = ? WHERE number = ?", digest, number)


def reformat(desk: Desk) -> None:
    """Write an entry with spaces: it reads the same, and is not what was written."""
    body = desk.run("SELECT body FROM entries WHERE seq = 2")[0][0]
    desk.run("UPDATE entries SET body = ? WHERE seq = 2", json.dumps(json.loads(body)))


def cut_tail(desk: Desk) -> None:
    """Take the last entry away."""
    desk.run("DELETE FROM entries WHERE seq = (SELECT max(seq) FROM entries)")


def cut_tail_and_head(desk: Desk) -> None:
    """Take the last entry and its number away, and set the head to the one before."""
    desk.run("DELETE FROM documents WHERE state = 'prepared'")
    cut_tail(desk)
    last = entries_of(desk)[-1]
    desk.run("UPDATE head SET seq = ?, digest = ?, number = number - 1", last.seq, last.digest)


def put_before(desk: Desk) -> None:
    """Put an entry before the first, where no place should be."""
    first = entries_of(desk)[0]
    fake = replace(first, seq=-1)
    fake = replace(fake, digest=digest_of(fake))
    desk.run("INSERT INTO entries VALUES (?, ?, ?, ?)", -1, 1, canonical(fake), fake.digest)


def put_behind(desk: Desk) -> None:
    """Add an entry that fits, as anybody may who can write; only the head does not know of it."""
    last = entries_of(desk)[-1]
    fake = replace(last, seq=last.seq + 1, action=Action.VOIDED, paper=None, key="", previous=last.digest)
    fake = replace(fake, digest=digest_of(fake))
    desk.run("INSERT INTO entries VALUES (?, ?, ?, ?)", fake.seq, fake.number, canonical(fake), fake.digest)


def cut_middle(desk: Desk) -> None:
    """Take an entry out."""
    desk.run("DELETE FROM entries WHERE seq = 3")


def swap(desk: Desk) -> None:
    """Let two entries change places."""
    desk.run("UPDATE entries SET seq = 99 WHERE seq = 2")
    desk.run("UPDATE entries SET seq = 2 WHERE seq = 3")
    desk.run("UPDATE entries SET seq = 3 WHERE seq = 99")


def spoil(desk: Desk) -> None:
    """Leave something that is no entry."""
    desk.run("UPDATE entries SET body = 'x' WHERE seq = 4")


def sql(statement: str) -> Callable[[Desk], None]:
    """Make an attack of one statement."""

    def attack(desk: Desk) -> None:
        desk.run(statement)

    return attack


ATTACKS: list[tuple[str, Callable[[Desk], None], set[str]]] = [
    ("changed", change_words, {"entry-changed"}),
    ("changed with digest", change_and_digest, {"chain-broken"}),
    ("rewritten", rewrite_all, {"head-forged"}),
    ("reformatted", reformat, {"entry-changed"}),
    ("tail cut", cut_tail, {"head-differs", "state-differs"}),
    ("tail and head cut", cut_tail_and_head, {"head-forged"}),
    ("put before", put_before, {"chain-order", "chain-broken", "life-broken", "state-differs"}),
    ("put behind", put_behind, {"head-differs", "state-differs"}),
    ("middle cut", cut_middle, {"chain-broken", "chain-order", "life-broken", "state-differs", "head-differs"}),
    ("swapped", swap, {"chain-broken", "entry-changed", "chain-order", "life-broken"}),
    ("spoiled", spoil, {"entry-changed", "chain-order", "chain-broken", "state-differs", "file-unexpected"}),
    ("number changed", sql("UPDATE entries SET number = 9 WHERE seq = 2"), {"entry-changed"}),
    ("digest changed", sql("UPDATE entries SET digest = '0' WHERE seq = 2"), {"entry-changed", "chain-broken"}),
    ("state changed", sql("UPDATE documents SET state = 'issued' WHERE number = 3"), {"state-differs"}),
    ("hold lifted", sql("UPDATE documents SET on_hold = 1 WHERE number = 2"), {"state-differs"}),
    ("document gone", sql("DELETE FROM documents WHERE number = 4"), {"state-differs"}),
    ("keys gone", sql("DELETE FROM files WHERE number = 2"), {"file-unlisted"}),
    ("key kept", sql("INSERT INTO files (number, digest, name) VALUES (4, 'd', 'pdf')"), {"file-unexpected"}),
    ("head back", sql("UPDATE head SET number = 1"), {"head-forged", "head-differs"}),
    ("head gone", sql("DELETE FROM head"), {"head-differs"}),
    ("version", sql("UPDATE alembic_version SET version_num = '0002'"), {"schema-changed"}),
]


@pytest.mark.parametrize(("attack", "wanted"), [(a, w) for _, a, w in ATTACKS], ids=[name for name, _, _ in ATTACKS])
def test_every_edit_is_found(filled: Desk, attack: Callable[[Desk], None], wanted: set[str]) -> None:
    """Chain, head and derived tables hold each other; what was not touched is not blamed."""
    guards = guards_of(filled)
    disarm(filled)
    attack(filled)
    rearm(filled, guards)
    found = set(filled.codes)
    walked = {fault.code for fault in filled.register.chain_faults()}

    assert found
    assert found <= wanted
    assert "trigger-missing" not in found
    assert walked <= found | wanted
    assert bool(walked) == bool(wanted - DERIVED)


SET_BODY, SET_DIGEST = "UPDATE entries SET body = ? WHERE seq = ?", "UPDATE entries SET digest = ? WHERE seq = ?"


def test_no_letter_of_an_entry_is_changed_unseen_by_whoever_checks_a_page(filled: Desk) -> None:
    """Every 7th letter of each text and digest, and the numbers beside them, each by itself."""
    guards = guards_of(filled)
    disarm(filled)
    unseen = []
    for seq, number, body, digest in filled.rows("entries"):
        for name, change, text in (("body", SET_BODY, body), ("digest", SET_DIGEST, digest)):
            for place in range(seq % 7, len(text), 7):
                changed = text[:place] + ("0" if text[place] != "0" else "1") + text[place + 1 :]
                filled.run(change, changed, seq)
                if not any(fault.seq == seq for fault in filled.register.chain_faults()):
                    unseen.append((seq, name, place))
            filled.run(change, text, seq)
        filled.run("UPDATE entries SET number = 77 WHERE seq = ?", seq)
        unseen += [] if filled.register.chain_faults() else [(seq, "number", 0)]
        filled.run("UPDATE entries SET number = ? WHERE seq = ?", number, seq)
    rearm(filled, guards)

    assert [] == unseen
    assert () == filled.register.chain_faults()


DERIVED = {"state-differs", "file-unlisted", "file-unexpected"}
"""What is wrong with tables that follow from the chain: it says what they should hold."""


def append(desk: Desk, **changes: Any) -> None:
    """Write one more entry as a faulty program with the right keys would: chain and head fit, the sense does not."""
    last = entries_of(desk)[-1]
    plain = {"paper": None, "key": "", "files": (), "successor": None, "reason": "", "note": (), "code": ""}
    entry = replace(last, seq=last.seq + 1, previous=last.digest, **{**plain, **changes})
    entry = replace(entry, digest=digest_of(entry))
    desk.run("INSERT INTO entries VALUES (?, ?, ?, ?)", entry.seq, entry.number, canonical(entry), entry.digest)
    numbers = len({one.number for one in entries_of(desk)})
    seal = desk.register.identity.seal(entry.seq, entry.digest, numbers)
    desk.run("UPDATE head SET seq = ?, digest = ?, number = ?, seal = ?", entry.seq, entry.digest, numbers, seal)


@pytest.mark.parametrize(
    "changes",
    [
        {"action": Action.PREPARED, "number": 9, "paper": PAPER},
        {"action": Action.PREPARED, "number": 4, "paper": PAPER},
        {"action": Action.PREPARED, "number": 5},
        {"action": Action.ISSUED, "number": 5},
        {"action": Action.SIGNED, "number": 3},
        {"action": Action.RELEASED, "number": 2},
    ],
    ids=["gap", "twice", "without paper", "unknown", "after withdrawal", "no hold"],
)
def test_a_life_that_may_not_be_is_found(filled: Desk, changes: dict[str, Any]) -> None:
    """The rules are asked again of what is written."""
    append(filled, **changes)

    assert "life-broken" in filled.codes
    assert set(filled.codes) <= {"life-broken", "state-differs", "head-differs"}


def test_missing_guards_are_found(filled: Desk) -> None:
    """Guards that were taken away or switched off are named."""
    disarm(filled)

    assert filled.codes == ["trigger-missing"]
    assert {"trigger-missing"} == {fault.code for fault in filled.register.chain_faults()}


def test_a_guard_that_does_nothing_is_found(filled: Desk) -> None:
    """A guard of the same name with another body is none."""
    if filled.register.database.name == "sqlite":
        filled.run("DROP TRIGGER entries_no_delete")
        filled.run("CREATE TRIGGER entries_no_delete BEFORE DELETE ON entries BEGIN SELECT 1; END")
    else:
        filled.run(
            "CREATE OR REPLACE FUNCTION docgen_append_only() RETURNS trigger LANGUAGE plpgsql AS "
            "$$BEGIN RETURN NULL; END$$"
        )

    assert filled.codes == ["trigger-missing"]


REFUSED = {
    "sqlite": [
        "UPDATE entries SET number = 1",
        "DELETE FROM entries WHERE seq = 3",
        "INSERT OR REPLACE INTO entries SELECT seq, number, 'x', digest FROM entries WHERE seq = 1",
        "UPDATE accesses SET who = 'x'",
        "DELETE FROM accesses",
        "INSERT OR REPLACE INTO accesses SELECT id, at, number, 'x', what FROM accesses",
    ],
    "postgresql": [
        "UPDATE entries SET number = 1",
        "DELETE FROM entries WHERE seq = 3",
        "TRUNCATE entries",
        "INSERT INTO entries TABLE entries ON CONFLICT (seq) DO UPDATE SET body = 'x'",
        "UPDATE accesses SET who = 'x'",
        "DELETE FROM accesses",
        "TRUNCATE accesses",
    ],
}


def test_the_database_itself_refuses_to_change_what_is_written(filled: Desk) -> None:
    """Neither an update nor a deletion gets through, nor an insert that would replace a row."""
    before = filled.rows("entries"), filled.rows("accesses")
    for statement in REFUSED[filled.register.database.name]:
        with pytest.raises((sqlite3.Error, psycopg.Error), match="this table is append-only"):
            filled.run(statement)

    assert before == (filled.rows("entries"), filled.rows("accesses"))
    assert filled.codes == []


def test_nothing_is_written_behind_a_forged_head(filled: Desk) -> None:
    """A writer that sees a head which docgen did not set refuses to go on from it."""
    filled.run("UPDATE head SET number = 7")
    with pytest.raises(Unavailable) as refused:
        filled.prepared("e")

    assert refused.value.problem.code == "register-damaged"
    assert filled.run("SELECT count(*) FROM entries") == [(9,)]


def test_a_whole_register_has_no_fault(filled: Desk) -> None:
    """Neither in this process nor for one that opens it anew."""
    with filled.again() as again:
        assert again.faults() == ()
    assert filled.codes == []
