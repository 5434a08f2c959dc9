"""What the tests of issuing share: an office in a folder of its own, a clock that stands, and cases to issue."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from conftest import ISSUED_ON, example_files

from docgen.case import Source
from docgen.examine import CaseFiles, Wish, World
from docgen.issue.keys import read_master_key
from docgen.issue.register import open_register
from docgen.issue.store import Store
from docgen.issuing import IssuedPack, Office, Order, issue

NOW = datetime(2026, 11, 27, 9, 30, tzinfo=UTC)
FENWRIGHT_ON = ISSUED_ON["fenwright"]


@dataclass
class Clock:
    """A clock that stands until a test sets it."""

    at: datetime = NOW

    def __call__(self) -> datetime:
        """Give the moment."""
        return self.at


@pytest.fixture
def clock() -> Clock:
    """Give the clock of register and office."""
    return Clock()


@pytest.fixture
def office(tmp_path: Path, clock: Clock) -> Iterator[Office]:
    """Open a fresh register with its store, on SQLite."""
    data = tmp_path / "data"
    master = read_master_key(data, {})
    with open_register(f"sqlite:///{data / 'register.sqlite'}", master, clock) as register:
        yield Office(register, Store(data / "store", master), clock)


def edited(files: CaseFiles, old: str, new: str, *, clinic: bool = False) -> CaseFiles:
    """Change a text of a case, or of its clinic's file."""
    source = files.clinic if clinic else files.case
    assert source is not None
    assert old in source.text.decode()
    changed = Source(source.name, source.text.decode().replace(old, new).encode())
    return replace(files, clinic=changed) if clinic else replace(files, case=changed)


def with_settings(files: CaseFiles, *lines: str) -> CaseFiles:
    """Add settings to the clinic's file, each "name: value"."""
    added = "".join(
        f"  {name}: {{value: {value}, by: Maren Holt, on: 2026-01-05}}\n"
        for name, _, value in (line.partition(": ") for line in lines)
    )
    return edited(files, "settings:\n", f"settings:\n{added}", clinic=True)


def unsigned(name: str = "holloway") -> CaseFiles:
    """Take the signature out of an example's note; its clinic allows texts nobody approved."""
    files = with_settings(example_files(name), "issue.unapproved: allow_marked")
    text = re.sub(r"(?m)^  signed_(by|at): .*\n(?=(?:  signed_at.*\n)?  supervisor)", "", files.case.text.decode())
    return replace(files, case=Source(files.case.name, text.encode()))


@pytest.fixture
def issued(office: Office, world: World) -> Callable[..., IssuedPack]:
    """Give a function that issues documents of a case."""

    def make(
        files: CaseFiles | None = None, *kinds: str, on: date = FENWRIGHT_ON, wish: Any = None, **order: Any
    ) -> IssuedPack:
        asked = Wish(kinds or ("reply",), on=on, **(wish or {}))
        given = files or example_files("fenwright")
        return issue(given, asked, world, lambda _zone: on, office, Order(**{"by": "R. Desk", **order}))

    return make
