"""
Kills, torn writes, full disks and failed syncs at every step of an issue, on both databases (ecosystem R1, R2, R7).

Quick by default, in steps; `--long` takes every step, 1,000 kills on SQLite and 200 on PostgreSQL, and 60 s of writers.
No acknowledged document is lost, none is doubled, chain and files verify, no half file is visible, and the order that
met a fault can be repeated.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from conftest import ROOT

from .driver import AGAIN, FAULTS

Driven = Callable[..., dict[str, Any]]
DATABASES = ("sqlite", "postgresql")


@pytest.fixture
def address(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Give the address of a fresh database of the kind the test asks for."""
    if request.param == "sqlite":
        return f"sqlite:///{tmp_path / 'register.sqlite'}"
    made: str = request.getfixturevalue("fresh_postgres")()
    return made


@pytest.fixture
def driven(shim: Path, tmp_path: Path) -> Driven:
    """Give a function that runs the driver in a process of its own."""

    def run(url: str, **plan: object) -> dict[str, Any]:
        words = json.dumps({"folder": str(tmp_path), "url": url, "shim": str(shim), **plan})
        environment = {**os.environ, "LD_PRELOAD": str(shim), "PYTHONPATH": os.pathsep.join(sys.path)}
        done = subprocess.run(
            [sys.executable, str(Path(__file__).with_name("driver.py")), words],
            env=environment,
            cwd=ROOT,
            capture_output=True,
            text=True,
        )
        assert done.returncode == 0, done.stderr
        found: dict[str, Any] = json.loads(done.stdout)
        return found

    return run


@pytest.mark.parametrize("address", DATABASES, indirect=True)
@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_at_any_step_breaks_no_promise(driven: Driven, address: str, fault: str, is_long: bool) -> None:
    """At each enumerated call of an issue the process dies or the disk fails; afterwards the order goes through."""
    came = driven(address, fault=fault, step=1 if is_long else 5)

    assert [] == came["broken"]
    assert came["points"] > 5
    assert came["killed"] + came["refused"] > 0


@pytest.mark.parametrize("fault", ["kill-before", "kill-after", "full"])
@pytest.mark.parametrize("address", ["sqlite"], indirect=True)
def test_a_fault_while_countersigning_breaks_no_promise(
    driven: Driven, address: str, fault: str, is_long: bool
) -> None:
    """The second signature of a document is kept and entered, or not at all; then the order goes through, once."""
    came = driven(address, fault=fault, step=1 if is_long else 7, ends=AGAIN)

    assert [] == came["broken"]
    assert came["points"] > 5
    assert came["killed"] + came["refused"] > 0


@pytest.mark.parametrize(("address", "kills"), [("sqlite", 1000), ("postgresql", 200)], indirect=["address"])
def test_kills_at_random_lose_nothing(driven: Driven, address: str, kills: int, is_long: bool) -> None:
    """A process that issues one document after another is killed at a moment nobody chose, again and again."""
    came = driven(address, kills=kills if is_long else kills // 50, seed=20261127)

    assert [] == came["broken"]
    assert came["killed"] >= (kills if is_long else kills // 50) - 1
    assert came["acknowledged"] >= came["killed"]


@pytest.mark.parametrize("address", DATABASES, indirect=True)
def test_eight_writers_at_once_lose_nothing(driven: Driven, address: str, is_long: bool) -> None:
    """Eight processes issue for a while: no error, and as many documents stand as were acknowledged."""
    came = driven(address, writers=8, seconds=60 if is_long else 3)

    assert [] == came["broken"]
    assert came["refused"] == 0
    assert came["acknowledged"] >= 8
