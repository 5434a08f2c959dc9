"""
Runs whole commands in fresh processes and prints a Markdown table: time, processor time, and the budgets beside them.

    python tests/bench/commands.py [--runs 9] [--example fenwright] [--root DIR]

Bytecode is compiled first, and the cache of fonts, templates and tables is warm: each command runs once before it is
measured. On a busy machine read the processor time, least of all runs; the budgets are seconds of a quiet one.
They were set (ecosystem.md, section 1) on a machine that imports four libraries in the times of `THERE`. The last
column scales them by the time of the same imports here, in the same run: processor time, least of fresh processes, less
that of a bare one; where nothing else runs this is the median time, as it was taken there.
`--root` measures another checkout, for a table of before and after.
"""

from __future__ import annotations

import argparse
import compileall
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
DAY, PDF = ("--on", "2026-03-24"), ("--format", "pdf")

THERE = {"yaml": 0.013, "jinja2": 0.034, "babel.dates, babel.numbers": 0.015, "uharfbuzz": 0.021}
"""Seconds of each import on the machine of the budgets (ecosystem.md, section 1, rows 2, 3, 21 and 5)."""

TURN = "{turn}"
"""Stands in a command for something new each time: the same order twice is the same document."""

LIBRARIES = "import yaml, babel, jinja2, markdown_it, uharfbuzz"
"""What documents stand on, as the measure of a machine; a command leaves out what its documents do not need."""


def commands(example: str, out: str) -> dict[str, tuple[float | None, list[str]]]:
    """Give each command with its budget in seconds (ecosystem.md, section 1); a PDF of ours is always a tagged one."""
    case = str(ROOT / "examples" / example / "case.yaml")
    words = [case, *DAY, "--replace", "--out", out]
    make = ["-m", "docgen", "make", *words]
    order = ["--by", "bench", "--beside", "--key", TURN, "--data", f"{out}/data"]
    return {
        "python, nothing": (None, ["-c", "pass"]),
        "the libraries alone": (None, ["-c", LIBRARIES]),
        "--help": (0.05, ["-m", "docgen", "--help"]),
        "check, all kinds": (0.20, ["-m", "docgen", "check", case, *DAY]),
        "make PDF, consent": (0.35, [*make, *PDF, "--kind", "consent", "--copy", "patient"]),
        "make PDF, operative note": (0.35, [*make, *PDF, "--kind", "operative-note"]),
        "make PDF, aftercare": (0.35, [*make, *PDF, "--kind", "aftercare", "--copy", "patient"]),
        "make DOCX, consent": (0.25, [*make, "--format", "docx", "--kind", "consent", "--copy", "patient"]),
        "make DOCX, operative note": (0.25, [*make, "--format", "docx", "--kind", "operative-note"]),
        "issue PDF, consent": (
            0.45,
            ["-m", "docgen", "issue", *words, *PDF, "--kind", "consent", "--copy", "patient", *order],
        ),
    }


def run(words: list[str], root: Path = ROOT, **more: str) -> tuple[float, float]:
    """Run one process; give its seconds from start to end, and its seconds on the processor."""
    environment = {**os.environ, "PYTHONPATH": str(root), "PYTHONDONTWRITEBYTECODE": "", **more}
    start = time.perf_counter()
    process = subprocess.Popen(
        [sys.executable, *words], cwd=root, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    seconds = time.perf_counter() - start
    if process.returncode:
        sys.exit(f"failed: {' '.join(words)}")
    return seconds, used.ru_utime + used.ru_stime


def slower(runs: int) -> float:
    """Tell how many times as long this machine imports what that of the budgets did."""
    words = {name: ["-c", f"import {name}"] for name in THERE} | {"": ["-c", "pass"]}
    for told in words.values():
        run(told)
    taken = [{name: run(told)[1] for name, told in words.items()} for _ in range(runs)]
    here = {name: min(one[name] for one in taken) for name in words}
    return sum(here[name] - here[""] for name in THERE) / sum(THERE.values())


def rows(example: str, runs: int, root: Path) -> Iterator[str]:
    """Measure every command."""
    factor = slower(runs)
    heads = ["median ms", "least ms", "processor ms, least", "budget ms"]
    heads.append(f"budget on this machine ms, {factor:.2f} times")
    yield f"| command | {' | '.join(heads)} |\n|{'---|' * (1 + len(heads))}"
    with tempfile.TemporaryDirectory() as out:
        for name, (budget, words) in commands(example, out).items():
            turns = ([word.replace(TURN, str(turn)) for word in words] for turn in range(runs + 1))
            run(next(turns), root)
            seconds, processor = zip(*(run(turn, root) for turn in turns), strict=True)
            told = (statistics.median(seconds), min(seconds), min(processor))
            budgets = (budget, budget * factor) if budget else (None, None)
            figures = " | ".join("" if figure is None else f"{figure * 1000:.0f}" for figure in (*told, *budgets))
            yield f"| {name} | {figures} |"


def main() -> None:
    """Print the table."""
    wish = argparse.ArgumentParser()
    wish.add_argument("--runs", type=int, default=9)
    wish.add_argument("--example", default="fenwright")
    wish.add_argument("--root", type=Path, default=ROOT)
    told = wish.parse_args()
    compileall.compile_dir(told.root / "docgen", quiet=1)
    for line in rows(told.example, told.runs, told.root):
        print(line, flush=True)


if __name__ == "__main__":
    main()
