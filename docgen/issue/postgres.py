"""
What a transaction of the register is on PostgreSQL.

In: texts and values; out: rows. Apart from SQLite because locking and durability have other words there, and because
its driver is an extra. A trip is a pipeline of statements the server has prepared, at the level of libpq: a cursor a
statement would take longer than the sync.
"""

from __future__ import annotations

import contextlib
import itertools
import select
from collections.abc import Callable, Mapping, Sequence
from typing import Any
from weakref import WeakKeyDictionary

import psycopg
from psycopg import pq
from psycopg.errors import error_from_result
from sqlalchemy.engine import URL, Dialect

from docgen.issue.trips import Rows, Text

_CORE: Any = URL.create("postgresql+psycopg").get_dialect()
_SESSION = """SELECT set_config('synchronous_commit', CASE WHEN s = 'off' THEN 'on' ELSE s END, false),
set_config('default_transaction_isolation', 'read committed', false), set_config('lock_timeout', '10s', false),
set_config('plan_cache_mode', 'force_generic_plan', false)
FROM current_setting('synchronous_commit') AS s"""
_TRIGGERS = """SELECT tgname, CASE WHEN tgenabled IN ('O', 'A')
THEN pg_get_triggerdef(t.oid) || ' ' || prosrc ELSE '' END
FROM pg_trigger t JOIN pg_proc p ON p.oid = tgfoid
WHERE tgrelid IN (to_regclass('entries'), to_regclass('accesses')) AND NOT tgisinternal"""
_MAKING = 0x646F6367656E  # "docgen": the number of the lock under which a schema is made
_BEGIN: Text = ("BEGIN", ())
_UNSYNCED: Text = ("SET LOCAL synchronous_commit TO off", ())
_COMMIT: Text = ("COMMIT", ())
_READ: Mapping[int, Callable[[bytes], Any]] = {
    16: lambda value: value == b"t",
    17: lambda value: bytes.fromhex(value[2:].decode()),
    20: int,
    21: int,
    23: int,
}
"""Number of a PostgreSQL type (bool, bytea, three lengths of whole numbers) > how its text is read; others are text."""


class PostgresTrips:
    """What is asked is sent at once, and what is told with its commit at once: the server is waited for twice."""

    error: type[Exception] = psycopg.Error
    dialect: Dialect = _CORE(paramstyle="numeric_dollar")
    # The driver prepares nothing itself: where it does, it forgets all that is prepared with each ROLLBACK.
    settings: Mapping[str, Any] = {
        "connect_args": {"autocommit": True, "prepare_threshold": None},
        "use_native_hstore": False,
    }

    def __init__(self) -> None:
        self._prepared: WeakKeyDictionary[psycopg.Connection, dict[str, bytes]] = WeakKeyDictionary()
        self._count = itertools.count()

    def set_up(self, raw: psycopg.Connection) -> None:
        """Set a new connection up: what a server was told for speed does not hold for the register."""
        raw.execute(_SESSION)

    def begin(self, raw: psycopg.Connection, asked: Sequence[Text], *, synced: bool) -> list[Rows]:
        """Lock, and ask. Each question sees what was committed when it is asked, so after the lock is had."""
        opening = [_BEGIN] if synced else [_BEGIN, _UNSYNCED]
        return self._trip(raw, [*opening, *asked])[len(opening) :]

    def end(self, raw: psycopg.Connection, told: Sequence[Text]) -> None:
        """Tell, and commit."""
        self._trip(raw, [*told, _COMMIT])

    def begin_reading(self, raw: psycopg.Connection) -> None:
        """Begin to read one state."""
        raw.execute("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY")

    def run(self, raw: psycopg.Connection, text: Text) -> Rows:
        """Ask one question, or make one change in the transaction that is open."""
        return self._trip(raw, [text])[0]

    def give_up(self, raw: psycopg.Connection) -> None:
        """Undo what was not committed."""
        with contextlib.suppress(psycopg.Error):
            if raw.info.transaction_status is not pq.TransactionStatus.IDLE:
                raw.execute("ROLLBACK")

    def is_lost(self, raw: psycopg.Connection) -> bool:
        """Say whether the connection is of no more use."""
        return raw.closed or raw.info.transaction_status is not pq.TransactionStatus.IDLE

    def has_table(self, raw: psycopg.Connection, name: str) -> bool:
        """Say whether there is a table where this user's tables are looked for."""
        return self.run(raw, ("SELECT to_regclass($1) IS NOT NULL", [name])) == [(True,)]

    def triggers(self, raw: psycopg.Connection) -> Mapping[str, str]:
        """Give name > definition of each trigger, and what its function does."""
        return dict(self.run(raw, (_TRIGGERS, [])))

    def complaints(self, raw: psycopg.Connection) -> int:
        """The server checks its own pages."""
        return 0

    def make_schema(self, raw: psycopg.Connection) -> None:
        """Lock; the lock goes with the transaction."""
        self._trip(raw, [_BEGIN, ("SELECT pg_advisory_xact_lock($1)", [_MAKING])])

    def scrub(self, raw: psycopg.Connection) -> None:
        """Empty the places of deleted rows; the server's own log of changes is beyond this program's reach."""
        raw.execute("VACUUM files")

    def _trip(self, raw: psycopg.Connection, texts: Sequence[Text]) -> list[Rows]:
        """Send statements in one pipeline; the first that fails is raised, and those behind it are not run."""
        prepared = self._prepared.setdefault(raw, {})
        new: dict[str, bytes] = {}
        is_answer = []
        try:
            raw.pgconn.enter_pipeline_mode()
            for text, values in texts:
                name = prepared.get(text) or new.get(text)
                if name is None:
                    name = new[text] = f"docgen_{next(self._count)}".encode()
                    raw.pgconn.send_prepare(name, text.encode())
                    is_answer.append(False)
                raw.pgconn.send_query_prepared(name, [_written(value) for value in values])
                is_answer.append(True)
            raw.pgconn.pipeline_sync()
            results = _results(raw.pgconn)
            raw.pgconn.exit_pipeline_mode()
        except BaseException:
            raw.close()  # half a trip is no state to go on from
            raise
        for result in results:
            if result.status == pq.ExecStatus.FATAL_ERROR:
                prepared.clear()
                raise error_from_result(result)
        prepared |= new
        return [_rows(result) for result, answers in zip(results, is_answer, strict=True) if answers]


def _results(line: pq.abc.PGconn) -> list[pq.abc.PGresult]:
    """
    Wait for the results of a pipeline.

    Waits at the socket, not in libpq: another thread may hold the lock that the server is waiting for.
    """
    waiting = select.poll()
    results: list[pq.abc.PGresult] = []
    while True:
        waiting.register(line.socket, select.POLLIN | (select.POLLOUT if line.flush() else 0))
        waiting.poll()
        line.consume_input()
        while not line.is_busy():
            result = line.get_result()
            if result is not None and result.status == pq.ExecStatus.PIPELINE_SYNC:
                return results
            if result is not None:
                results.append(result)


def _written(value: Any) -> bytes | None:
    if isinstance(value, bytes):
        return b"\\x" + value.hex().encode()
    if value is None:
        return None
    text = str(value).encode()
    if b"\0" in text:
        raise psycopg.DataError("a text with NUL, behind which libpq would cut it")
    return text


def _rows(result: pq.abc.PGresult) -> Rows:
    columns = [(place, _READ.get(result.ftype(place), bytes.decode)) for place in range(result.nfields)]
    return [
        tuple(None if (value := result.get_value(row, place)) is None else read(value) for place, read in columns)
        for row in range(result.ntuples)
    ]
