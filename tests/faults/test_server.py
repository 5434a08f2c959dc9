"""A PostgreSQL server whose own disk is full or does not sync: the client is refused, and nothing is lost."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import psycopg
import pytest

from docgen.problem import OutputError

from .conftest import Server
from .driver import Ledger, Place, look

PATIENCE = 60.0
"""Seconds a server may take to come back."""


@contextmanager
def failing(server: Server, word: str) -> Iterator[None]:
    """Let the server's disk fail for a while, and wait until the server is back."""
    server.fail(word)
    try:
        yield
    finally:
        server.fail("")
        until = time.monotonic() + PATIENCE
        while time.monotonic() < until:
            try:
                with psycopg.connect(server.address, connect_timeout=5) as raw:
                    raw.execute("SELECT 1")
                break
            except psycopg.OperationalError:
                time.sleep(0.2)


def issue_many(place: Place, ledger: Ledger) -> None:
    """Issue until the disk's fault shows."""
    with place.opened() as (register, store):
        for number in range(200):
            ledger.acknowledged[f"during-{number}"] = place.issue(f"during-{number}", register, store)


@pytest.mark.parametrize("word", ["full", "nosync"])
def test_a_servers_own_disk_may_fail(
    server: Server, fresh_postgres: Callable[[], str], tmp_path: Path, word: str
) -> None:
    """What was acknowledged before stands, what met the fault is refused, and goes through when it is repeated."""
    place, ledger = Place(tmp_path, fresh_postgres()), Ledger()
    with place.opened() as (register, store):
        ledger.acknowledged["before"] = place.issue("before", register, store)
    with failing(server, word), pytest.raises(OutputError):
        issue_many(place, ledger)
    with place.opened() as (register, store):
        for key in ("before", "after", *(f"during-{number}" for number in range(3))):
            ledger.acknowledged.setdefault(key, place.issue(key, register, store))
    look(place, ledger)

    assert [] == ledger.broken
