"""
Runs the bench and prints a Markdown table: time warm and cold, peak memory, size; of the form and of a whole pack.

    python tests/bench/table.py [--count 100] [--example fenwright]

Each row is a process of its own. Cold: start to end of a process that makes one, the least of five.
Warm: the median after the first ten of a process. Memory: the peak resident set of the process.
"""

from __future__ import annotations

import argparse
import io
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from pypdf import PdfReader

BENCH = Path(__file__).resolve().parent
ROOT = BENCH.parents[1]
COLD_RUNS, WARM_AFTER = 5, 10

HEAD = ("what", "files", "pages", "warm ms", "first ms", "cold ms", "peak MB", "KB")


@dataclass(frozen=True)
class Run:
    """One process: seconds, milliseconds of each document, peak memory in MB, and what it made."""

    seconds: float
    times: list[float]
    peak: float
    files: list[bytes]


def run(words: list[str], count: int, keep: bool = True) -> Run:
    """Run the maker; every run has a new folder."""
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, str(BENCH / "make.py"), str(count), folder, *words]
        start = time.perf_counter()
        process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        assert process.stdout is not None
        said = process.stdout.read()
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        seconds = time.perf_counter() - start
        if process.returncode:
            sys.exit(f"failed: {' '.join(command)}")
        files = [path.read_bytes() for path in sorted(Path(folder).iterdir())] if keep else []
    per_mb = 1e6 if sys.platform == "darwin" else 1e3
    return Run(seconds, json.loads(said.splitlines()[-1]), used.ru_maxrss / per_mb, files)


def row(what: str, words: list[str], count: int) -> str:
    """Measure one row."""
    run(words, 1)  # compiles modules, cuts fonts
    cold = min(run(words, 1).seconds for _ in range(COLD_RUNS))
    warm = run(words, count)
    files = len(warm.files) // count
    first = warm.files[:files]
    pages = sum(len(PdfReader(io.BytesIO(content)).pages) for content in first) if first[0][:4] == b"%PDF" else "-"
    size = sum(map(len, warm.files)) / count / 1000
    median = statistics.median(warm.times[min(WARM_AFTER, count // 2) :])
    told = (what, files, pages, f"{median:.1f}", f"{warm.times[0]:.0f}", f"{cold * 1000:.0f}")
    return f"| {' | '.join(map(str, told))} | {warm.peak:.0f} | {size:.0f} |"


def both(count: int) -> str:
    """Compare two processes at once with one: documents a second."""
    one = run([], count, keep=False).seconds
    with tempfile.TemporaryDirectory() as first, tempfile.TemporaryDirectory() as second:
        start = time.perf_counter()
        command = [sys.executable, str(BENCH / "make.py"), str(count)]
        running = [subprocess.Popen([*command, out], stdout=subprocess.DEVNULL) for out in (first, second)]
        for process in running:
            process.wait()
        two = time.perf_counter() - start
    return (
        f"Two processes: {2 * count / two:.0f} forms a second, one: {count / one:.0f}; "
        f"{2 * one / two:.2f} times as many, start included."
    )


def rows(example: str, count: int) -> Iterator[str]:
    """Measure everything, row by row."""
    few = max(count // 5, 4)
    yield f"| {' | '.join(HEAD)} |\n|{'---|' * len(HEAD)}"
    yield row("form, PDF", [], count)
    yield row("form in Arabic, PDF", ["--language", "ar"], count)
    yield row("form, DOCX", ["--format", "docx"], count)
    yield row(f"pack of {example}, PDF", ["--pack", example], few)
    yield row(f"pack of {example} as one PDF", ["--one", example], few)
    yield row(f"pack of {example}, DOCX", ["--pack", example, "--format", "docx"], few)
    yield ""
    peaks = [f"{run([], number, keep=False).peak:.0f} MB after {number}" for number in (count, 10 * count)]
    yield f"Memory of one process making forms: {', '.join(peaks)}."
    yield both(count)


def main() -> None:
    """Print the table."""
    wish = argparse.ArgumentParser()
    wish.add_argument("--count", type=int, default=100)
    wish.add_argument("--example", default="fenwright")
    told = wish.parse_args()
    for line in rows(told.example, told.count):
        print(line, flush=True)


if __name__ == "__main__":
    main()
