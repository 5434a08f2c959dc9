"""
A register in use > a whole copy of one moment of it, and what that copy names; apart because a restore asks the same.

SQLite is copied by its own backup interface, PostgreSQL exported in one REPEATABLE READ transaction.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, create_engine, func, make_url, select
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import NullPool

from docgen.issue.export import export_lines, schema_of
from docgen.issue.failures import unavailable
from docgen.issue.tables import entries, files
from docgen.issue.unavailable import Unavailable
from docgen.problem import say

COPY, EXPORT = "register.sqlite", "register.jsonl"
"""Names of a register in a backup: SQLite's own file, or our export."""
_WAIT_S = 10.0


@dataclass(frozen=True)
class Named:
    """A file that a number names, and the key that opens it."""

    number: int
    name: str
    digest: str
    wrapped: bytes | None


@dataclass(frozen=True)
class Seen:
    """What a register says of itself at one moment."""

    schema: str
    entries: int
    head: str
    """Digest of the last entry; "" if there is none."""
    named: tuple[Named, ...]


def take(address: str, folder: Path) -> tuple[Path, Seen]:
    """
    Write a register as it is now into a folder, while others write; give the file and what it names.

    Errors: Unavailable; OSError.
    """
    url = make_url(address)
    if url.get_backend_name() == "sqlite":
        path = folder / COPY
        _copy(Path(url.database or ""), path)
        with connected(f"sqlite:///{path}") as connection:
            return path, look(connection)
    path = folder / EXPORT
    with connected(address) as connection:
        with path.open("xb") as out:
            path.chmod(0o600)
            out.writelines(export_lines(connection))
        return path, look(connection)


@contextlib.contextmanager
def connected(address: str, *, writing: bool = False) -> Iterator[Connection]:
    """
    Lend one transaction: on PostgreSQL it sees one state from its first question to its last.

    Errors: Unavailable.
    """
    engine = create_engine(address, poolclass=NullPool, hide_parameters=True)
    if engine.name == "postgresql":
        engine = engine.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=not writing)
    try:
        with engine.connect() as connection, connection.begin():
            yield connection
    except DBAPIError as error:
        raise unavailable(error.orig or error) from error
    finally:
        engine.dispose()


def look(connection: Connection) -> Seen:
    """Read how far a register has come, and what it names."""
    count = connection.execute(select(func.count()).select_from(entries)).scalar_one()
    last = connection.execute(select(entries.c.digest).order_by(entries.c.seq.desc()).limit(1)).scalar()
    order = (files.c.number, files.c.name, files.c.digest)
    rows = connection.execute(select(*order, files.c.wrapped).order_by(*order))
    return Seen(schema_of(connection), count, last or "", tuple(Named(*row) for row in rows))


def prove(copy: Path) -> None:
    """
    Check that a copy of SQLite's file is sound; an export is proved by its last line.

    Errors: Unavailable with register-damaged.
    """
    if copy.name != COPY:
        return
    try:
        with contextlib.closing(sqlite3.connect(copy)) as raw:
            (sound,) = raw.execute("PRAGMA integrity_check").fetchone()
    except sqlite3.Error as error:
        raise unavailable(error) from error
    if sound != "ok":
        raise Unavailable(
            "register-damaged",
            say("the file of the register is damaged"),
            say("take the register from an earlier backup: docgen restore"),
        )


def _copy(source: Path, target: Path) -> None:
    """Copy SQLite's file in one step: writers go on, and the copy is of the moment it began."""
    if not source.is_file():
        raise FileNotFoundError(2, os.strerror(2))
    try:
        with (
            contextlib.closing(sqlite3.connect(source, timeout=_WAIT_S)) as old,
            contextlib.closing(sqlite3.connect(target)) as new,
        ):
            old.backup(new)
            new.execute("PRAGMA journal_mode=DELETE")  # one file, whatever the original keeps beside it
    except sqlite3.Error as error:
        raise unavailable(error) from error
    target.chmod(0o600)
