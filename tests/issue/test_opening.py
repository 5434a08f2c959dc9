"""Opening a register: made once, found again, and refused in plain words where it cannot be used."""

from __future__ import annotations

import sqlite3
import stat
import threading
import time
import traceback
from pathlib import Path
from typing import Any

import psycopg
import pytest
from sqlalchemy.engine import make_url

from docgen.issue.keys import MasterKey
from docgen.issue.register import Register, open_register
from docgen.issue.schema import REVISIONS
from docgen.issue.unavailable import Unavailable
from docgen.problem import OutputError
from issue.registers import PAPER, WHO, Clock, Desk, a_master_key, kept

CANARY = "Zzyzx Canary"


def refusal(address: str, master: MasterKey) -> str:
    """Give the code with which a register is refused."""
    with pytest.raises(Unavailable) as refused:
        open_register(address, master, Clock())
    problem = refused.value.problem

    assert problem.what.in_words() == str(refused.value)
    assert problem.fix.in_words()
    return problem.code


def test_a_register_is_made_on_first_use_and_found_again(empty_address: str, master: MasterKey) -> None:
    """The second process finds the identity and the entries of the first."""
    with Desk(empty_address, master) as first:
        first.issued("key")
        with first.again() as second:
            assert first.register.identity == second.identity
            assert first.register.head() == second.head()
            assert second.faults() == ()


def test_many_may_come_first(empty_address: str, master: MasterKey) -> None:
    """Several processes open a register that is not there yet: one makes it, all have it."""
    opened: list[Register] = []
    failed: list[BaseException] = []

    def come() -> None:
        try:
            opened.append(open_register(empty_address, master, Clock()))
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=come) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for register in opened:
        register.close()

    assert failed == []
    assert len({register.identity.register for register in opened}) == 1


def test_two_registers_have_nothing_in_common(tmp_path: Path, master: MasterKey) -> None:
    """Keyed digests of one say nothing about the other, nor do their beginnings agree."""
    opened = [open_register(f"sqlite:///{tmp_path / name}", master, Clock()) for name in ("a.sqlite", "b.sqlite")]
    for register in opened:
        register.close()
    first, second = opened

    assert first.keyed("record") != second.keyed("record")
    assert first.identity.begin != second.identity.begin


def test_another_master_key_is_refused(address: str) -> None:
    """A register opens with the key it was made with, and says so."""
    assert refusal(address, a_master_key()) == "master-key-wrong"


def test_a_newer_schema_is_refused(desk: Desk) -> None:
    """What a newer docgen wrote is left alone."""
    desk.run("UPDATE alembic_version SET version_num = '0999'")

    assert refusal(desk.address, desk.master) == "register-newer"
    assert [("0999",)] == desk.rows("alembic_version")


@pytest.mark.parametrize(
    "statements",
    [
        ["UPDATE alembic_version SET version_num = 'ae1027a6acf'"],
        ["INSERT INTO alembic_version VALUES ('0001')"],
        ["DROP TABLE alembic_version"],
    ],
)
def test_the_tables_of_another_program_are_refused(desk: Desk, statements: list[str]) -> None:
    """A database with another history is none of ours."""
    for statement in statements:
        desk.run(statement)

    assert refusal(desk.address, desk.master) == "register-foreign"


def test_a_register_without_its_identity_is_refused(desk: Desk) -> None:
    """Where entries are and their keys are gone, no new keys are made."""
    desk.issued()
    desk.run("DELETE FROM identity")
    desk.run("DELETE FROM head")

    assert refusal(desk.address, desk.master) == "register-damaged"


def test_a_swapped_key_is_refused(desk: Desk) -> None:
    """The public key is bound to the wrapped one: nobody can put his own in its place."""
    desk.run("UPDATE identity SET public_key = ?", "0" * 64)

    assert refusal(desk.address, desk.master) == "key-damaged"


@pytest.mark.parametrize(
    "address", ["", "register.sqlite", "sqlite://", "mysql://host/x", "postgresql://host/x", "x:y"]
)
def test_an_address_of_nothing_we_know_is_refused(address: str, master: MasterKey) -> None:
    """SQLite files and PostgreSQL by psycopg, and nothing else; memory is no place for a register."""
    assert refusal(address, master) == "register-address"


def test_a_file_that_is_no_database_is_refused(tmp_path: Path, master: MasterKey) -> None:
    """It is left as it is."""
    path = tmp_path / "register.sqlite"
    path.write_bytes(b"not a database, but long enough to be looked at" * 100)

    assert refusal(f"sqlite:///{path}", master) == "register-foreign"
    assert path.read_bytes().startswith(b"not a database")


def test_a_place_that_cannot_be_written_is_refused(tmp_path: Path, master: MasterKey) -> None:
    """A folder in the place of the file, a file in the place of the folder."""
    (tmp_path / "file").write_text("x")
    (tmp_path / "folder").mkdir()

    assert refusal(f"sqlite:///{tmp_path / 'folder'}", master) == "register-unwritable"
    assert refusal(f"sqlite:///{tmp_path / 'file' / 'register.sqlite'}", master) == "register-unwritable"


def test_a_server_that_does_not_answer_is_refused(tmp_path: Path, master: MasterKey) -> None:
    """The sentence tells nothing of the address, which may hold a password."""
    address = f"postgresql+psycopg://somebody:secret-word@/x?host={tmp_path}"
    with pytest.raises(OutputError) as refused:
        open_register(address, master, Clock())

    assert "secret-word" not in "".join(traceback.format_exception(refused.value))
    assert refusal(address, master) == "register-unavailable"


def test_a_database_that_is_not_there_is_refused(postgres: Any, master: MasterKey) -> None:
    """The server is there, the database is not."""
    assert refusal(postgres.of("nowhere"), master) == "register-unavailable"


def test_the_file_is_for_its_owner_only(tmp_path: Path, master: MasterKey) -> None:
    """File and folder are shut to others, and so is what SQLite lays beside it."""
    path = tmp_path / "data" / "register.sqlite"
    with Desk(f"sqlite:///{path}", master) as desk:
        desk.issued()
        modes = {one.name: stat.S_IMODE(one.stat().st_mode) for one in path.parent.iterdir()}

    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert modes == dict.fromkeys(("register.sqlite", "register.sqlite-wal", "register.sqlite-shm"), 0o600)


def test_the_embedded_register_syncs_and_keeps_its_rules(tmp_path: Path, master: MasterKey) -> None:
    """WAL, foreign keys, and nothing left of what is deleted; issuing is synced in full, taking a number is not."""
    with Desk(f"sqlite:///{tmp_path / 'register.sqlite'}", master) as desk:
        desk.prepared()
        taken = desk.run("PRAGMA synchronous")
        desk.issued()
        names = ("journal_mode", "foreign_keys", "secure_delete", "synchronous", "busy_timeout")
        found = [desk.run(f"PRAGMA {name}")[0][0] for name in names]
        strict = dict(desk.run("SELECT name, strict FROM pragma_table_list WHERE type = 'table' AND schema = 'main'"))

    assert taken == [(1,)]
    assert found == ["wal", 1, 1, 2, 10_000]
    assert {name for name, is_strict in strict.items() if not is_strict} == {"alembic_version", "sqlite_schema"}


def test_a_server_that_was_told_not_to_sync_is_told_to(postgres: Any, master: MasterKey) -> None:
    """A default of the database that makes commits unsafe does not hold for the register."""
    address = postgres.new(postgres.made)
    name = make_url(address).database
    postgres.run(f"ALTER DATABASE {name} SET synchronous_commit = off")
    with Desk(address, master) as desk:
        found = desk.run("SHOW synchronous_commit")
        desk.prepared()
        still = desk.run("SHOW synchronous_commit")

    assert [found, still] == [[("on",)], [("on",)]]


def hold(desk: Desk) -> Any:
    """Keep the register busy, as another program would, and let our own patience be short."""
    if desk.register.database.name == "sqlite":
        desk.run("PRAGMA busy_timeout = 50")
        raw: Any = sqlite3.connect(desk.address.removeprefix("sqlite:///"), isolation_level=None)
        raw.execute("BEGIN IMMEDIATE")
    else:
        desk.run("SET lock_timeout = '50ms'")
        raw = psycopg.connect(desk.address.replace("+psycopg", ""))
        raw.execute("SELECT * FROM head FOR UPDATE")
    return raw


def test_a_busy_register_says_so(desk: Desk) -> None:
    """A writer that waited in vain writes nothing, and may repeat."""
    raw = hold(desk)
    with pytest.raises(Unavailable) as refused:
        desk.prepared()
    raw.rollback()
    raw.close()

    assert refused.value.problem.code == "register-busy"
    assert desk.prepared() == 1


def test_readers_do_not_wait_for_a_writer(desk: Desk) -> None:
    """What is there is read while somebody writes."""
    number = desk.issued()
    raw = hold(desk)
    begun = time.monotonic()
    life = desk.register.life(number)
    waited = time.monotonic() - begun
    raw.rollback()
    raw.close()

    assert life is not None
    assert waited < 5


def test_a_lost_connection_is_replaced(postgres: Any, master: MasterKey) -> None:
    """After a restart of the server the first call fails in plain words, and the next one works."""
    with Desk(postgres.new(postgres.made), master) as desk:
        (pid,) = desk.run("SELECT pg_backend_pid()")[0]
        postgres.run("SELECT pg_terminate_backend(%s)", pid)
        with pytest.raises(Unavailable) as refused:
            desk.prepared()

        assert refused.value.problem.code == "register-unavailable"
        assert desk.prepared() == 1
        assert desk.codes == []


def test_no_value_comes_out_with_an_error(desk: Desk) -> None:
    """The server's own words name the row that failed; ours do not, nor does the traceback."""
    if desk.register.database.name == "sqlite":
        desk.run("CREATE TRIGGER x BEFORE INSERT ON entries BEGIN SELECT RAISE(ABORT, 'Zzyzx Canary'); END")
    else:
        desk.run("ALTER TABLE entries ADD CHECK (body = '')")
    with pytest.raises(Unavailable) as refused:
        desk.register.prepare(PAPER, CANARY, CANARY)

    assert refused.value.problem.code == "register-damaged"
    assert CANARY not in "".join(traceback.format_exception(refused.value))


def test_a_failure_leaves_the_register_usable(desk: Desk) -> None:
    """What fails in the middle is undone whole, and the connection goes on."""
    number = desk.prepared("key")
    desk.run("ALTER TABLE files RENAME TO gone")
    with pytest.raises(Unavailable):
        desk.register.issue(number, [kept("pdf")], "ABCD2345", WHO)
    desk.run("ALTER TABLE gone RENAME TO files")
    desk.register.issue(number, [kept("pdf")], "ABCD2345", WHO)

    assert desk.codes == []


def test_a_closed_register_gives_its_connections_back(postgres: Any, master: MasterKey) -> None:
    """Nothing stays open at the server."""
    address = postgres.new(postgres.made)
    Desk(address, master).register.close()
    name = make_url(address).database
    postgres.run(f"DROP DATABASE {name}")


def test_revisions_are_numbers_in_order() -> None:
    """A newer one is known by its number."""
    assert tuple(f"{place:04d}" for place in range(1, len(REVISIONS) + 1)) == REVISIONS
