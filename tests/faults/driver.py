"""
A folder, a database and a plan > one line of JSON: what was promised, what was found, and every promise that broke.

Runs under the shim in a process of its own. Each attempt is a child that issues packs of two documents, or countersigns
one, while the shim makes one call fail or kills it; the parent takes down what the child acknowledged, repeats the
order, and looks at everything.
"""

from __future__ import annotations

import ctypes
import hashlib
import json
import os
import signal
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from docgen.issue.entry import Action, Life, Paper
from docgen.issue.giving import Made
from docgen.issue.keys import read_master_key
from docgen.issue.life import STANDING
from docgen.issue.register import Register, open_register
from docgen.issue.store import Store
from docgen.problem import OutputError, Refused
from tests.seeded import seeded

KILL_BEFORE, KILL_AFTER, TORN, FULL, NO_SYNC = 1, 2, 3, 4, 5
FAULTS = {"kill-before": KILL_BEFORE, "kill-after": KILL_AFTER, "torn": TORN, "full": FULL, "no-sync": NO_SYNC}
FILES = ("pdf", "document.json")
SECOND = "+"
"""Ends the key of a pack's second document."""
AGAIN = "!"
"""Ends the key of an order that signs a document and countersigns it; its files differ at each step."""


RECORD = hashlib.sha256(b"record").hexdigest()
PAPER = Paper("reply", "1", "en", "", RECORD, RECORD, RECORD, ("t 1",), "2026-11-27", "docgen test")


def now() -> datetime:
    """Give this moment."""
    return datetime.now(UTC)


def content(key: str, name: str) -> bytes:
    """Make the file of a key: a client that repeats its order sends the same."""
    return hashlib.sha256(f"{key} {name}".encode()).digest() * 40


@dataclass
class Place:
    """One installation under test."""

    folder: Path
    url: str

    @contextmanager
    def opened(self) -> Iterator[tuple[Register, Store]]:
        """Open register and store."""
        master = read_master_key(self.folder, os.environ)
        with open_register(self.url, master, now) as register:
            yield register, Store(self.folder / "store", master)

    def issue(self, key: str, register: Register, store: Store) -> int:
        """Issue a pack of two documents as the flow does; gives the first one's number when it is acknowledged."""
        if key.endswith(AGAIN):
            return self.countersign(key, register, store)
        if life := register.standing(key):
            return life.number
        keys = (key, key + SECOND)
        numbers = register.prepare_pack([(PAPER, one) for one in keys], "harness")
        try:
            kept = [[store.put(content(one, name), name) for name in FILES] for one in keys]
            made = [Made(number, files, "ABCDEFGH") for number, files in zip(numbers, kept, strict=True)]
            came = register.issue_pack(made, "harness")
        except (OutputError, Refused):
            for number in numbers:
                with suppress(OutputError, Refused):
                    register.void(number, "not_completed", "harness")
            raise
        return came[0].number

    def countersign(self, key: str, register: Register, store: Store) -> int:
        """Sign a document, unless it is, and countersign it as the flow does; gives its number."""
        life = register.standing(key)
        if life is None:
            number = register.prepare(PAPER, key, "harness")
            kept = [store.put(content(key, name), name) for name in FILES]
            register.issue(number, kept, "ABCDEFGH", "harness", action=Action.SIGNED)
        else:
            number = life.number
        if life is None or Action.COUNTERSIGNED not in {entry.action for entry in life.entries}:
            register.countersign(number, [store.put(content(key, AGAIN), FILES[0])], "harness", ())
        return number


@dataclass
class Ledger:
    """What was promised, and what broke."""

    acknowledged: dict[str, int] = field(default_factory=dict)
    refused: int = 0
    killed: int = 0
    broken: list[str] = field(default_factory=list)


def child(place: Place, keys: Iterable[str], arm: Callable[[], None], pipe: int) -> None:
    """Issue some packs and tell each acknowledgement; a refusal is told too, anything else is a broken promise."""
    try:
        arm()
        with place.opened() as (register, store):
            for key in keys:
                number = place.issue(key, register, store)
                os.write(pipe, f"ack {key} {number}\n".encode())
    except (OutputError, Refused):
        os.write(pipe, b"refused\n")
    except BaseException as error:
        os.write(pipe, f"broke {type(error).__name__}\n".encode())


def attempt(place: Place, keys: list[str], arm: Callable[[], None], ledger: Ledger, kill_after: float = 0) -> None:
    """Run one child and take down what it said before it ended; `kill_after` seconds from its first word it dies."""
    reading, writing = os.pipe()
    pid = os.fork()
    if pid == 0:
        os.close(reading)
        child(place, keys, arm, writing)
        os._exit(0)
    os.close(writing)
    said = b""
    while part := os.read(reading, 65536):
        said += part
        if kill_after:
            time.sleep(kill_after)
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
    os.close(reading)
    _, status = os.waitpid(pid, 0)
    ledger.killed += os.WIFSIGNALED(status)
    take_down(said.decode(), ledger)


def take_down(said: str, ledger: Ledger) -> None:
    """Enter what a child told."""
    for line in said.splitlines():
        word, *rest = line.split()
        if word == "ack":
            known = ledger.acknowledged.setdefault(rest[0], int(rest[1]))
            if known != int(rest[1]):
                ledger.broken.append(f"{rest[0]} was acknowledged twice, as {known} and {rest[1]}")
        elif word == "refused":
            ledger.refused += 1
        else:
            ledger.broken.append(line)


def look(place: Place, ledger: Ledger) -> None:
    """Hold everything against what was promised."""
    with place.opened() as (register, store):
        ledger.broken += [f"{fault.code} at {fault.seq}" for fault in register.faults()]
        standing: dict[str, list[int]] = {}
        for life in register.lives():
            if life.state in STANDING:
                standing.setdefault(life.key, []).append(life.number)
                ledger.broken += [f"{name} of {life.number} is not what was put" for name in _other_files(life, store)]
                twice = [entry for entry in life.entries if entry.action is Action.COUNTERSIGNED]
                if life.state is Action.SIGNED and life.key in ledger.acknowledged and len(twice) != 1:
                    ledger.broken.append(f"{life.number} was countersigned {len(twice)} times")
        packs = {key.removesuffix(SECOND) for key in standing if not key.endswith(AGAIN)}
        half = [one for one in packs if not {one, one + SECOND} <= standing.keys()]
        ledger.broken += [f"half a pack stands: {one}" for one in half]
        ledger.broken += [f"{key} stands {len(found)} times" for key, found in standing.items() if len(found) > 1]
        lost = [key for key, number in ledger.acknowledged.items() if number not in standing.get(key, [])]
        ledger.broken += [f"{key} was acknowledged and is lost" for key in lost]
        whole = set(register.digests())
        torn = [one for one in store.digests() if one not in whole and not _is_whole(store.folder, one)]
        ledger.broken += [f"half a file is visible: {one}" for one in torn]


def _other_files(life: Life, store: Store) -> Iterator[str]:
    """Name the files of a document that are not what was put; the second of a role is that of its second signature."""
    seen: set[str] = set()
    for file in life.files:
        with suppress(KeyError):
            if store.get(file, file.wrapped_key) != content(life.key, AGAIN if file.name in seen else file.name):
                yield file.name
        seen.add(file.name)


def _is_whole(folder: Path, digest: str) -> bool:
    """Tell whether a file nobody names, left by a kill before its entry, is at least complete: it has its seal."""
    sizes = {len(b"DOCGENF\x01") + 12 + 16 + len(content("k", name)) for name in FILES}
    return all(path.stat().st_size in sizes for path in (folder / digest[:2]).glob(f"{digest}*"))


def enumerated(place: Place, shim: ctypes.CDLL, fault: int, step: int, ledger: Ledger, ends: str = "") -> int:
    """
    Fail or kill at each `step`-th counted call of one order; then repeat the order without a fault.

    `ends` its key: AGAIN for one that is countersigned.
    """
    watched = str(place.folder).encode()
    points = _points(place, shim, fault, ledger, ends)
    for point in range(1, points + 1, step):
        key = f"{fault}-{point}{ends}"
        attempt(place, [key], lambda at=point: shim.fault_arm(watched, fault, at), ledger)
        attempt(place, [key], lambda: None, ledger)
        if key not in ledger.acknowledged:
            ledger.broken.append(f"{key} could not be issued when the fault was over")
    look(place, ledger)
    return points


def _points(place: Place, shim: ctypes.CDLL, fault: int, ledger: Ledger, ends: str) -> int:
    """Count the calls of one order."""
    reading, writing = os.pipe()
    if os.fork() == 0:
        with place.opened() as (register, store):  # an order before, so that the register is there
            place.issue(f"warm-{fault}", register, store)
        shim.fault_arm(str(place.folder).encode(), 0, 0)
        with place.opened() as (register, store):
            place.issue(f"count-{fault}{ends}", register, store)
        number = shim.fault_syncs() if fault == NO_SYNC else shim.fault_count()
        os.write(writing, str(number).encode())
        os._exit(0)
    os.close(writing)
    number = int(os.read(reading, 64) or b"0")
    os.close(reading)
    os.wait()
    if not number:
        ledger.broken.append("no call was counted: the shim is not loaded")
    return number


def at_random(place: Place, kills: int, seed: int, ledger: Ledger) -> None:
    """Kill a child that issues one document after another at a moment nobody chose."""
    chance = seeded(seed)
    for number in range(kills):
        keys = [f"r{seed}-{number}-{one}" for one in range(400)]
        attempt(place, keys, lambda: None, ledger, kill_after=chance.uniform(0.0005, 0.03))
    look(place, ledger)


def together(place: Place, writers: int, seconds: float, ledger: Ledger) -> None:
    """Let processes issue at once for some time."""
    with place.opened():
        pass  # the register is made before the race for it, which has a test of its own
    until = time.monotonic() + seconds
    pipes = []
    for writer in range(writers):
        reading, writing = os.pipe()
        if os.fork() == 0:
            os.close(reading)
            keys = _until(until, f"w{writer}")
            child(place, keys, lambda: None, writing)
            os._exit(0)
        os.close(writing)
        pipes.append(reading)
    for reading in pipes:
        with os.fdopen(reading) as told:
            take_down(told.read(), ledger)
        os.wait()
    look(place, ledger)
    with place.opened() as (register, _):
        standing = sum(life.state is Action.ISSUED for life in register.lives())
    if standing != 2 * len(ledger.acknowledged):
        ledger.broken.append(f"{standing} stand, {len(ledger.acknowledged)} packs of two were acknowledged")


def _until(moment: float, name: str) -> Iterator[str]:
    number = 0
    while time.monotonic() < moment:
        number += 1
        yield f"{name}-{number}"


def main() -> None:
    """Read the plan and print what came of it."""
    plan = json.loads(sys.argv[1])
    place, ledger = Place(Path(plan["folder"]), plan["url"]), Ledger()
    shim = ctypes.CDLL(plan["shim"])
    points = 0
    if fault := plan.get("fault"):
        points = enumerated(place, shim, FAULTS[fault], plan["step"], ledger, plan.get("ends", ""))
    elif writers := plan.get("writers"):
        together(place, writers, plan["seconds"], ledger)
    else:
        at_random(place, plan["kills"], plan["seed"], ledger)
    print(json.dumps({**vars(ledger), "acknowledged": len(ledger.acknowledged), "points": points}))


if __name__ == "__main__":
    main()
