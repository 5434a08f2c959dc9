"""
What a transaction of the register is on PostgreSQL.

In: texts and values; out: rows. Apart from SQLite because locking and durability have other words there, and because
its driver is an extra.
"""

from __future__ import annotations

import contextlib
from collections.abc import Mapping, Sequence
from typing import Any

import psycopg

from docgen.issue.trips import Rows, Text

_SESSION = """SELECT set_config('synchronous_commit', CASE WHEN s = 'off' THEN 'on' ELSE s END, false),
set_config('default_transaction_isolation', 'read committed', false), set_config('lock_timeout', '10s', false)
FROM current_setting('synchronous_commit') AS s"""
_TRIGGERS = """SELECT tgname, CASE WHEN tgenabled IN ('O', 'A')
THEN pg_get_triggerdef(t.oid) || ' ' || prosrc ELSE '' END
FROM pg_trigger t JOIN pg_proc p ON p.oid = tgfoid
WHERE tgrelid IN (to_regclass('entries'), to_regclass('accesses')) AND NOT tgisinternal"""
_MAKING = 0x646F6367656E  # "docgen": the number of the lock under which a schema is made


class PostgresTrips:
    """Several statements go in one message: values are put in by the driver's own quoting (ClientCursor)."""

    error: type[Exception] = psycopg.Error
    paramstyle = "pyformat"
    settings: Mapping[str, Any] = {"connect_args": {"autocommit": True}, "use_native_hstore": False}

    def set_up(self, raw: psycopg.Connection) -> None:
        """Set a new connection up: what a server was told for speed does not hold for the register."""
        raw.execute(_SESSION)

    def begin(self, raw: psycopg.Connection, asked: Sequence[Text], *, synced: bool) -> list[Rows]:
        """Lock, and ask. Each question sees what was committed when it is asked, so after the lock is had."""
        cursor = psycopg.ClientCursor(raw)
        opening = ["BEGIN"] if synced else ["BEGIN", "SET LOCAL synchronous_commit TO off"]
        cursor.execute("; ".join([*opening, *(cursor.mogrify(text, values) for text, values in asked)]).encode())
        for _ in opening:
            cursor.nextset()
        answers = []
        for _ in asked:
            answers.append(cursor.fetchall())
            cursor.nextset()
        return answers

    def end(self, raw: psycopg.Connection, told: Sequence[Text]) -> None:
        """Tell, and commit."""
        cursor = psycopg.ClientCursor(raw)
        cursor.execute("; ".join([*(cursor.mogrify(text, values) for text, values in told), "COMMIT"]).encode())

    def begin_reading(self, raw: psycopg.Connection) -> None:
        """Begin to read one state."""
        raw.execute("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY")

    def ask(self, raw: psycopg.Connection, text: str, values: Mapping[str, Any]) -> Rows:
        """Ask one question."""
        return psycopg.ClientCursor(raw).execute(text.encode(), values).fetchall()

    def change(self, raw: psycopg.Connection, text: str, values: Mapping[str, Any]) -> None:
        """Make one change, in the transaction that is open."""
        psycopg.ClientCursor(raw).execute(text.encode(), values)

    def give_up(self, raw: psycopg.Connection) -> None:
        """Undo what was not committed."""
        with contextlib.suppress(psycopg.Error):
            if raw.info.transaction_status is not psycopg.pq.TransactionStatus.IDLE:
                raw.execute("ROLLBACK")

    def is_lost(self, raw: psycopg.Connection) -> bool:
        """Say whether the connection is of no more use."""
        return raw.closed or raw.info.transaction_status is not psycopg.pq.TransactionStatus.IDLE

    def has_table(self, raw: psycopg.Connection, name: str) -> bool:
        """Say whether there is a table where this user's tables are looked for."""
        return self.ask(raw, "SELECT to_regclass(%(name)s) IS NOT NULL", {"name": name}) == [(True,)]

    def triggers(self, raw: psycopg.Connection) -> Mapping[str, str]:
        """Give name > definition of each trigger, and what its function does."""
        return dict(self.ask(raw, _TRIGGERS, {}))

    def complaints(self, raw: psycopg.Connection) -> int:
        """The server checks its own pages."""
        return 0

    def make_schema(self, raw: psycopg.Connection) -> None:
        """Lock; the lock goes with the transaction."""
        raw.execute("BEGIN")
        raw.execute("SELECT pg_advisory_xact_lock(%s)", (_MAKING,))

    def scrub(self, raw: psycopg.Connection) -> None:
        """Empty the places of deleted rows; the server's own log of changes is beyond this program's reach."""
        raw.execute("VACUUM files")
