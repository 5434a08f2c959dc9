"""
What a transaction of the register is on SQLite.

In: texts and values; out: rows. Apart from PostgreSQL because locking and durability have other words there.
"""

from __future__ import annotations

import contextlib
import sqlite3
import time
from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy.dialects.sqlite import pysqlite
from sqlalchemy.engine import Dialect

from docgen.issue.trips import Rows, Text

WAIT_S = 10.0
"""How long a writer waits for others, in seconds."""
_SCRUB_WAIT_MS = 100
_TRIES = 200
_PAUSE_S = 0.05


class SqliteTrips:
    """BEGIN IMMEDIATE takes the only lock there is; it waits as long as the connection's busy timeout says."""

    error: type[Exception] = sqlite3.Error
    dialect: Dialect = pysqlite.dialect(paramstyle="qmark")
    settings: Mapping[str, Any] = {"connect_args": {"timeout": WAIT_S, "check_same_thread": False}}

    def set_up(self, raw: sqlite3.Connection) -> None:
        """
        Set a new connection up.

        secure_delete: a destroyed key leaves no trace in a free page. wal_autocheckpoint: pages that are written again
        and again are brought into the file once in 16 MB, not once in 4. WAL: readers and a writer do not wait for each
        other; the file keeps the mode, so mostly nothing is changed here, and where it is, others may be at it too.
        """
        raw.isolation_level = None
        raw.execute("PRAGMA foreign_keys=ON")
        raw.execute("PRAGMA secure_delete=ON")
        raw.execute("PRAGMA wal_autocheckpoint=4000")
        for _ in range(_TRIES):
            try:
                if raw.execute("PRAGMA journal_mode=WAL").fetchone()[0] == "wal":
                    return
            except sqlite3.OperationalError as error:
                if error.sqlite_errorcode & 0xFF not in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
                    raise
            time.sleep(_PAUSE_S)

    def begin(self, raw: sqlite3.Connection, asked: Sequence[Text], *, synced: bool) -> list[Rows]:
        """Lock, and ask. The level of syncing may only change between transactions."""
        raw.execute("PRAGMA synchronous=FULL" if synced else "PRAGMA synchronous=NORMAL")
        raw.execute("BEGIN IMMEDIATE")
        return [raw.execute(text, values).fetchall() for text, values in asked]

    def end(self, raw: sqlite3.Connection, told: Sequence[Text]) -> None:
        """Tell, and commit."""
        for text, values in told:
            raw.execute(text, values)
        raw.execute("COMMIT")

    def begin_reading(self, raw: sqlite3.Connection) -> None:
        """Begin with the first question; from then on one state is seen."""
        raw.execute("BEGIN")

    def run(self, raw: sqlite3.Connection, text: Text) -> Rows:
        """Ask one question, or make one change in the transaction that is open."""
        return raw.execute(*text).fetchall()

    def give_up(self, raw: sqlite3.Connection) -> None:
        """Undo what was not committed."""
        with contextlib.suppress(sqlite3.Error):
            if raw.in_transaction:
                raw.execute("ROLLBACK")

    def is_lost(self, raw: sqlite3.Connection) -> bool:
        """Say whether the connection is of no more use: if not even undoing went well."""
        return raw.in_transaction

    def has_table(self, raw: sqlite3.Connection, name: str) -> bool:
        """Say whether there is a table."""
        return bool(self.run(raw, ("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = ?", [name])))

    def triggers(self, raw: sqlite3.Connection) -> Mapping[str, str]:
        """Give name > definition of each trigger."""
        return dict(self.run(raw, ("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'", [])))

    def complaints(self, raw: sqlite3.Connection) -> int:
        """Look for broken pages, indexes and references."""
        pages = raw.execute("PRAGMA integrity_check(100)").fetchall()
        return (0 if pages == [("ok",)] else len(pages)) + len(raw.execute("PRAGMA foreign_key_check").fetchall())

    def make_schema(self, raw: sqlite3.Connection) -> None:
        """Lock. A schema is synced: what is issued later stands on it."""
        self.begin(raw, (), synced=True)

    def scrub(self, raw: sqlite3.Connection) -> None:
        """
        Bring the log of changes into the file and empty it, for it holds the old pages too.

        It waits for readers with the lock of a writer in its hand: only a moment, or one who reads the whole chain
        (doctor, backup) would stop everybody for as long as a writer waits. Then a later checkpoint empties the log.
        """
        raw.execute(f"PRAGMA busy_timeout={_SCRUB_WAIT_MS}")
        try:
            raw.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
        finally:
            raw.execute(f"PRAGMA busy_timeout={round(WAIT_S * 1000)}")
