"""Migrations: a register of every earlier schema opens, holds what it held, and agrees with the tables of today."""

from __future__ import annotations

import ast
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from docgen.issue.chain import canonical, digest_of
from docgen.issue.database import Database
from docgen.issue.entry import Action, Entry, Life
from docgen.issue.identity import RegisterIdentity, open_identity
from docgen.issue.keys import MasterKey
from docgen.issue.life import Standing, after, taken_by
from docgen.issue.register import open_register
from docgen.issue.schema import REVISIONS, upgrade, version_of
from docgen.issue.statements import ADD_DOCUMENT, ADD_ENTRY, SET_HEAD, add_files
from docgen.issue.tables import metadata
from docgen.issue.unavailable import Unavailable
from docgen.issue.upgrading import STEPS, settings
from issue.registers import BEGUN, PAPER, WHO, Clock, Desk, kept

STORY: list[tuple[Action, int, dict[str, Any]]] = [
    (Action.PREPARED, 1, {"paper": PAPER, "key": "a"}),
    (Action.ISSUED, 1, {"files": (kept("pdf", "1"), kept("docx", "1d")), "code": "ABCD2345"}),
    (Action.PREPARED, 2, {"paper": PAPER, "key": "a"}),
    (Action.SUPERSEDED, 1, {"successor": 2, "reason": "corrected", "files": (kept("pdf", "1"),)}),
    (Action.SIGNED, 2, {"files": (kept("pdf", "2"),), "code": "ABCD2346", "note": (("level", "B-B"),)}),
    (Action.PREPARED, 3, {"paper": replace(PAPER, kind="referral"), "key": "b"}),
    (Action.VOIDED, 3, {"reason": "not_completed"}),
    (Action.HELD, 2, {}),
    (Action.RELEASED, 2, {}),
    (Action.PREPARED, 4, {"paper": PAPER, "key": "c"}),
    (Action.ISSUED, 4, {"files": (kept("pdf", "4"),), "code": "ABCD2347"}),
    (Action.WITHDRAWN, 4, {"reason": "consent_withdrawn"}),
    (Action.ERASED, 4, {"reason": "other"}),
    (Action.HELD, 2, {}),
    (Action.PREPARED, 5, {"paper": PAPER, "key": "d"}),
]
"""What happened in a register of old."""
PLAIN: dict[str, Any] = {"paper": None, "key": "", "files": (), "successor": None, "reason": "", "note": (), "code": ""}


def entries_of(identity: RegisterIdentity) -> list[Entry]:
    """Write the story down as a chain."""
    entries: list[Entry] = []
    for seq, (action, number, further) in enumerate(STORY, 1):
        previous = entries[-1].digest if entries else identity.begin
        at = BEGUN + timedelta(minutes=seq)
        named = {**PLAIN, **further}
        entry = Entry(seq=seq, at=at, action=action, number=number, by=WHO, previous=previous, digest="", **named)
        entries.append(replace(entry, digest=digest_of(entry)))
    return entries


def fill(database: Database, identity: RegisterIdentity, revision: str) -> list[Entry]:
    """Put the story into a register of an earlier schema."""
    entries, standing = entries_of(identity), dict[int, Standing]()
    erased = {entry.number for entry in entries if entry.action is Action.ERASED}
    with database.connected() as raw:
        for entry in entries:
            row = {"seq": entry.seq, "number": entry.number, "body": canonical(entry), "digest": entry.digest}
            database.run(raw, ADD_ENTRY, row)
            before = standing.get(entry.number)
            standing[entry.number] = after(before, entry.action) if before else taken_by(entry)
        last, number = entries[-1], len(standing)
        seal = identity.seal(last.seq, last.digest, number)
        database.run(raw, SET_HEAD, {"seq": last.seq, "digest": last.digest, "number": number, "seal": seal})
        if revision == "0001":
            return entries
        for one in standing.values():
            flags = {"state": one.state.value, "on_hold": int(one.on_hold), "erased": int(one.erased)}
            database.run(raw, ADD_DOCUMENT, {**one.__dict__, **flags})
        for entry in entries:
            for file in entry.files if entry.number not in erased else ():
                row = {"number": entry.number, "digest": file.digest, "name": file.name, "wrapped": file.wrapped_key}
                database.run(raw, add_files(1), {f"{name}_0": value for name, value in row.items()})
    return entries


@pytest.mark.parametrize("revision", REVISIONS)
def test_a_register_of_every_schema_is_brought_up(empty_address: str, master: MasterKey, revision: str) -> None:
    """Its chain is untouched, its states are those of the chain, and it goes on."""
    database = Database(empty_address)
    database.make_file()
    upgrade(database, revision)
    identity = open_identity(database, master, Clock())
    entries = fill(database, identity, revision)
    built = version_of(database)
    database.close()
    with Desk(empty_address, master) as desk:
        lives: list[Life] = [*desk.register.lives()]
        kept_there = {file.digest for life in lives if not life.erased for file in life.files}

        assert built == revision
        assert desk.codes == []
        assert entries == [*desk.register.entries()]
        assert [one.state.value for one in lives] == ["superseded", "signed", "voided", "withdrawn", "prepared"]
        assert [(one.on_hold, one.erased) for one in lives if one.number in (2, 4)] == [(True, False), (False, True)]
        assert kept_there == set(desk.register.digests())
        assert desk.issued("e") == 6
        desk.register.saw(6, WHO, "show")
        assert desk.codes == []


def test_the_tables_are_what_the_migrations_make(desk: Desk) -> None:
    """Names, types and references agree with what the statements are made of; indexes stand in the steps alone."""
    with desk.register.database.engine.connect() as connection:
        options = {"compare_type": True, "include_object": lambda _object, _name, kind, *_: kind != "index"}
        context = MigrationContext.configure(connection, opts=options)
        differences = compare_metadata(context, metadata)

    assert differences == []


def test_the_steps_are_one_line_without_a_fork() -> None:
    """Each follows the one before; the last is what the program writes."""
    steps = ScriptDirectory.from_config(settings())
    found = [step.revision for step in steps.walk_revisions()]

    assert tuple(reversed(found)) == REVISIONS
    assert [REVISIONS[-1]] == steps.get_heads()


def test_a_step_imports_nothing_that_may_change() -> None:
    """What a step did years ago it must do today; of ours it may use the triggers, which never change."""
    ours = {
        node.module
        for path in (STEPS / "versions").glob("r*.py")
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("docgen")
    }

    assert ours == {"docgen.issue.triggers"}


def test_an_upgrade_that_fails_changes_nothing(empty_address: str, master: MasterKey) -> None:
    """A chain that cannot be read is left as it is, at the schema it had."""
    database = Database(empty_address)
    database.make_file()
    upgrade(database, "0001")
    identity = open_identity(database, master, Clock())
    fill(database, identity, "0001")
    with database.connected() as raw:
        database.run(raw, ADD_ENTRY, {"seq": 99, "number": 9, "body": "{", "digest": ""})
    with pytest.raises(Unavailable) as refused:
        open_register(empty_address, master, Clock())

    assert refused.value.problem.code == "register-damaged"
    assert version_of(database) == "0001"
    with database.connected() as raw:
        assert not database.trips.has_table(raw, "documents")
    database.close()


def test_a_folder_with_a_sign_of_its_own_is_no_hindrance(tmp_path: Path, master: MasterKey) -> None:
    """Percent signs and spaces in a path mean nothing to the settings of Alembic or the address."""
    path = tmp_path / "100%s of it" / "register.sqlite"
    with Desk(f"sqlite:///{path}", master) as desk:
        desk.issued()

    assert path.is_file()
