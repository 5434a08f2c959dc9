"""Many writers at once: none is refused, and the chain holds each acknowledged document once."""

from __future__ import annotations

import base64
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from docgen.issue.entry import Action
from docgen.issue.keys import MasterKey
from docgen.issue.refusals import AlreadyIssued
from docgen.issue.register import open_register
from issue.registers import PAPER, WHO, Clock, Desk, kept

WRITERS = 8
EACH = 6


def at_once(work: Callable[[int], None], count: int = WRITERS) -> list[BaseException]:
    """Run the same work in several threads that begin together; give what failed."""
    together = threading.Barrier(count)
    failed: list[BaseException] = []

    def one(place: int) -> None:
        together.wait()
        try:
            work(place)
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=one, args=(place,)) for place in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return failed


def test_eight_threads_write_into_one_register(desk: Desk) -> None:
    """Every acknowledgement is an entry; numbers have no gap; nothing is written twice."""
    acknowledged: list[int] = []

    def write(place: int) -> None:
        for turn in range(EACH):
            acknowledged.append(desk.issued(f"key {place} {turn}"))

    failed = at_once(write)
    issued = [entry.number for entry in desk.register.entries() if entry.action is Action.ISSUED]

    assert failed == []
    assert sorted(acknowledged) == sorted(issued) == list(range(1, WRITERS * EACH + 1))
    assert desk.codes == []


def test_eight_threads_with_one_key_issue_one_document(desk: Desk) -> None:
    """All but one are told which number stands; their own numbers are voided."""
    issued: list[int] = []
    told: list[int] = []

    def write(place: int) -> None:
        number = desk.register.prepare(PAPERS[place], "one key", WHO)
        try:
            desk.register.issue(number, [kept("pdf", str(place))], "ABCD2345", WHO)
            issued.append(number)
        except AlreadyIssued as already:
            told.append(already.life.number)

    failed = at_once(write)
    states = [life.state for life in desk.register.lives()]

    assert failed == []
    assert len(issued) == 1
    assert told == issued * (WRITERS - 1)
    assert states.count(Action.VOIDED) == WRITERS - 1
    assert desk.codes == []


PAPERS = [PAPER] * WRITERS

SCRIPT = """
import base64, sys
sys.path[:0] = sys.argv[1].split(":")
from issue.registers import Desk
from docgen.issue.keys import MasterKey
with Desk(sys.argv[2], MasterKey(base64.b64decode(sys.argv[3]))) as desk:
    print("ready", flush=True)
    sys.stdin.readline()
    for turn in range(int(sys.argv[4])):
        print(desk.issued(f"{sys.argv[5]} {turn}"), flush=True)
"""


@pytest.fixture
def key() -> bytes:
    """Give the bytes of a master key: other processes need them."""
    return bytes(range(32))


def test_processes_write_into_one_register(empty_address: str, key: bytes) -> None:
    """Each process acknowledges numbers of its own, and all are in the chain."""
    root = Path(__file__).resolve().parents[2]
    open_register(empty_address, MasterKey(key), Clock()).close()
    call = [sys.executable, "-c", SCRIPT, f"{root}:{root / 'tests'}", empty_address, base64.b64encode(key).decode()]
    running = [
        subprocess.Popen([*call, str(EACH), f"p{n}"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        for n in range(3)
    ]
    for one in running:
        assert one.stdout is not None
        assert one.stdout.readline() == "ready\n"
    told = [one.communicate("\n", timeout=60)[0].split() for one in running]
    with Desk(empty_address, MasterKey(key)) as desk:
        assert [0, 0, 0] == [one.returncode for one in running]
        assert sorted(int(number) for numbers in told for number in numbers) == list(range(1, 3 * EACH + 1))
        assert [life.state for life in desk.register.lives()] == [Action.ISSUED] * (3 * EACH)
        assert desk.codes == []
