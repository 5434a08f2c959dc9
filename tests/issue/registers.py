"""What the register's tests take up: a clock, papers, files, and a register that is ready."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from types import TracebackType
from typing import Any

from docgen.issue.entry import Action, KeptFile, Paper
from docgen.issue.keys import MasterKey, new_master_key
from docgen.issue.register import Register, open_register

BEGUN = datetime(2026, 3, 24, 9, 0, tzinfo=UTC)
PAPER = Paper(
    kind="consent",
    version="3",
    language="en",
    copy="patient",
    record_digest="1" * 64,
    case_digest="2" * 64,
    template_digest="3" * 64,
    editions=("likelihood.1", "risk.2"),
    issued_on="2026-03-24",
    program="0.1.0",
)
WHO = "Dr. Maren Holt"


def a_master_key() -> MasterKey:
    """Make a master key."""
    return new_master_key()[0]


class Clock:
    """Goes on by a second at each look."""

    def __init__(self, begun: datetime = BEGUN) -> None:
        self.moment = begun

    def __call__(self) -> datetime:
        """Look at it."""
        self.moment += timedelta(seconds=1)
        return self.moment


def kept(name: str, content: str = "") -> KeptFile:
    """Give a file as the store would, with a key that is no real one."""
    digest = hashlib.sha256((content or name).encode()).hexdigest()
    return KeptFile(name, digest, len(content or name), f"key of {digest[:8]}".encode())


class Desk:
    """A register, its clock, and the roads its tests walk often."""

    def __init__(self, address: str, master: MasterKey) -> None:
        self.address = address
        self.master = master
        self.clock = Clock()
        self.register = open_register(address, master, self.clock)

    def __enter__(self) -> Desk:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.register.close()

    def again(self) -> Register:
        """Open the same register as another process would."""
        return open_register(self.address, self.master, self.clock)

    def prepared(self, key: str = "", **changes: Any) -> int:
        """Take a number."""
        return self.register.prepare(replace(PAPER, **changes), key or f"key {self.clock()}", WHO)

    def issued(self, key: str = "", action: Action = Action.ISSUED, **changes: Any) -> int:
        """Issue a document with two files of its own."""
        number = self.prepared(key, **changes)
        files = (kept("pdf", f"pdf {number}"), kept("docx", f"docx {number}"))
        self.register.issue(number, files, "ABCD2345", WHO, action=action)
        return number

    def run(self, statement: str, *values: Any) -> list[tuple[Any, ...]]:
        """Run a statement on the database as its owner could; the driver's errors come out."""
        database = self.register.database
        lent = database._idle.pop() if database._idle else database.engine.raw_connection()
        try:
            place = "?" if database.name == "sqlite" else "%s"
            cursor = lent.driver_connection.execute(statement.replace("?", place), values)
            return [tuple(row) for row in cursor.fetchall()] if cursor.description else []
        finally:
            database._idle.append(lent)

    def rows(self, table: str) -> list[tuple[Any, ...]]:
        """Give all of a table."""
        return self.run(f"SELECT * FROM {table}")  # noqa: S608 - a name of our own

    @property
    def codes(self) -> list[str]:
        """The codes of all that is wrong with the register, each once, in order."""
        return sorted({fault.code for fault in self.register.faults()})
