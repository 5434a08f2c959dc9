"""
An address > transactions of the register on SQLite or PostgreSQL: asked in one trip, told in another.

SQLAlchemy holds the pool, the dialects and the statements. Each statement is compiled once and run at the driver's own
connection: a transaction of the register takes less time than the disk needs to sync it, and Core's own road would not.
"""

from __future__ import annotations

import contextlib
import os
from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from importlib import import_module
from pathlib import Path
from typing import Any

from sqlalchemy import create_engine, event
from sqlalchemy.engine import URL, Connection, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError
from sqlalchemy.exc import TimeoutError as NoneFree
from sqlalchemy.pool import PoolProxiedConnection
from sqlalchemy.sql import ClauseElement

from docgen.issue.failures import BUSY, unavailable
from docgen.issue.sqlite import SqliteTrips
from docgen.issue.trips import Rows, Text, Trips
from docgen.issue.unavailable import Unavailable
from docgen.problem import say

Told = tuple[ClauseElement, Mapping[str, Any]]
"""A statement and its values."""
_POOL: Mapping[str, Any] = {"pool_size": 4, "max_overflow": 32, "pool_timeout": 10.0, "pool_reset_on_return": None}
"""Connections are lent for one transaction, and come back with none open."""


class Writing:
    """One transaction: what was asked when it began, and what it will have told when it ends."""

    def __init__(self, answers: Sequence[Rows]) -> None:
        self.answers = answers
        self.told: list[Told] = []

    def tell(self, statement: ClauseElement, values: Mapping[str, Any]) -> None:
        """Add a statement; all are run together, with the commit, when the transaction ends well."""
        self.told.append((statement, values))


class Database:
    """Where the register lies."""

    def __init__(self, address: str) -> None:
        """
        Take an address; nothing is opened yet.

        Errors: Unavailable with register-address, if it is none of a database docgen knows.
        """
        url = _url(address)
        self.name = url.get_backend_name()
        """ "sqlite" or "postgresql"."""
        self._file = Path(url.database or "") if self.name == "sqlite" else None
        self.trips: Trips = SqliteTrips() if self._file else _postgres()
        settings = {**_POOL, **self.trips.settings}
        # Transactions begin and end where the trips say so, not where the driver would begin or end one.
        self.engine = create_engine(url, hide_parameters=True, isolation_level="AUTOCOMMIT", **settings)
        event.listen(self.engine, "connect", lambda raw, _record: self.trips.set_up(raw))
        self._idle: deque[PoolProxiedConnection] = deque()  # giving one back to the pool each time takes longer
        self._texts: dict[ClauseElement, tuple[str, Mapping[str, Any], Sequence[str]]] = {}

    def make_file(self) -> None:
        """Make SQLite's file, for its owner only, with its folder; PostgreSQL needs none."""
        if self._file is None:
            return
        try:
            self._file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            os.close(os.open(self._file, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600))
        except OSError as error:
            raise Unavailable(
                "register-unwritable",
                say("the register cannot be written: %(why)s", why=error.strerror or "the disk refused"),
                say("mend the rights of its folder, or choose another: $DOCGEN_REGISTER"),
            ) from error

    @contextlib.contextmanager
    def writing(self, asked: Iterable[Told], *, synced: bool) -> Iterator[Writing]:
        """
        Run a transaction: ask, leave the body to decide and tell, and commit; nothing is written if the body raises.

        The first question has to lock. `synced`: when this ends, the disk has it.
        Errors: Unavailable. If it comes from the commit itself the outcome is open; whoever repeats with the same key
        is told what stands.
        """
        with self.connected() as raw:
            try:
                writing = Writing(self.trips.begin(raw, self._compiled(asked), synced=synced))
                yield writing
                self.trips.end(raw, self._compiled(writing.told))
            except BaseException:
                self.trips.give_up(raw)
                raise

    @contextlib.contextmanager
    def reading(self) -> Iterator[Reading]:
        """Read from one state of the register, whatever others write meanwhile. Errors: Unavailable."""
        with self.connected() as raw:
            try:
                self.trips.begin_reading(raw)
                yield Reading(self, raw)
            finally:
                self.trips.give_up(raw)

    @contextlib.contextmanager
    def making(self) -> Iterator[Connection]:
        """Run a transaction that makes what all others need; only one process at a time. Errors: Unavailable."""
        with self._plain_errors(), self.engine.connect() as connection, connection.begin():
            raw = connection.connection.driver_connection
            try:
                self.trips.make_schema(raw)
                yield connection
                self.trips.end(raw, ())
            finally:
                self.trips.give_up(raw)

    @contextlib.contextmanager
    def connected(self) -> Iterator[Any]:
        """Lend a connection of the driver. Errors: Unavailable, whatever the driver says."""
        lent = self._lend()
        raw = lent.driver_connection
        try:
            yield raw
        except self.trips.error as error:
            raise unavailable(error) from None  # the driver's own words may hold values
        finally:
            if self.trips.is_lost(raw):
                lent.invalidate()
                self.close()  # a server that was restarted has lost the others too
            else:
                self._idle.append(lent)

    def _lend(self) -> PoolProxiedConnection:
        try:
            return self._idle.pop()
        except IndexError:
            with self._plain_errors():
                return self.engine.raw_connection()

    @contextlib.contextmanager
    def _plain_errors(self) -> Iterator[None]:
        """Turn what driver and pool say into plain words, and leave out theirs."""
        try:
            yield
        except DBAPIError as error:
            raise unavailable(error.orig or error) from None
        except NoneFree:
            raise Unavailable(*BUSY) from None
        except self.trips.error as error:
            raise unavailable(error) from None

    def run(self, raw: Any, statement: ClauseElement, values: Mapping[str, Any] | None = None) -> Rows:
        """Run one statement on a lent connection, and give the rows it answers with."""
        return self.trips.run(raw, self._compiled([(statement, values or {})])[0])

    def close(self) -> None:
        """Close every connection that is not in use."""
        with contextlib.suppress(IndexError):
            while True:
                self._idle.pop().close()
        self.engine.dispose()

    def _compiled(self, told: Iterable[Told]) -> list[Text]:
        texts: list[Text] = []
        for statement, values in told:
            text, fixed, names = self._texts.get(statement) or self._compile(statement)
            texts.append((text, [values[name] if name in values else fixed[name] for name in names]))
        return texts

    def _compile(self, statement: ClauseElement) -> tuple[str, Mapping[str, Any], Sequence[str]]:
        compiled: Any = statement.compile(dialect=self.trips.dialect)
        known = self._texts[statement] = (str(compiled), compiled.params, tuple(compiled.positiontup))
        return known


class Reading:
    """Questions to one state of the register."""

    def __init__(self, database: Database, raw: Any) -> None:
        self._database = database
        self._raw = raw

    def rows(self, statement: ClauseElement, **values: Any) -> Rows:
        """Ask one question."""
        return self._database.run(self._raw, statement, values)


def _url(address: str) -> URL:
    try:
        url = make_url(address)
        if url.drivername in ("sqlite", "sqlite+pysqlite") and url.database:
            return url
        if url.drivername == "postgresql+psycopg":
            return url
    except (ArgumentError, NoSuchModuleError, ValueError):
        pass
    raise Unavailable(
        "register-address",
        say("the address of the register is none docgen can use"),
        say("write sqlite:////folder/register.sqlite or postgresql+psycopg://user@host/database in $DOCGEN_REGISTER"),
    )


def _postgres() -> Trips:
    """Load PostgreSQL's driver only where it is used: it is an extra."""
    try:
        trips: Trips = import_module("docgen.issue.postgres").PostgresTrips()
    except ImportError as error:
        raise Unavailable(
            "register-driver",
            say("the register lies in PostgreSQL, whose driver is not installed"),
            say("install it: pip install 'docgen[postgres]'"),
        ) from error
    return trips
