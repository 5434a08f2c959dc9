"""
Runs whole commands in fresh processes and prints a Markdown table: time, processor time, and the budget beside them.

    python tests/bench/commands.py [--runs 9] [--example fenwright] [--root DIR]

Bytecode is compiled first, and the cache of fonts, templates and tables is warm: each command runs once before it is
measured. On a busy machine read the processor time, least of all runs; the budgets are seconds of a quiet one.
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
DAY = ("--on", "2026-03-24")

LIBRARIES = "import yaml, babel, jinja2, markdown_it, uharfbuzz"
"""What a document stands on, as the measure of a machine: no command can be sooner than these are imported."""


def commands(example: str, out: str) -> dict[str, tuple[float | None, list[str]]]:
    """Give each command with its budget in seconds (ecosystem.md, section 1); a PDF of ours is always a tagged one."""
    case = str(ROOT / "examples" / example / "case.yaml")
    make = ["-m", "docgen", "make", case, *DAY, "--replace", "--out", out]
    return {
        "python, nothing": (None, ["-c", "pass"]),
        "the libraries alone": (None, ["-c", LIBRARIES]),
        "--help": (0.05, ["-m", "docgen", "--help"]),
        "check, all kinds": (0.20, ["-m", "docgen", "check", case, *DAY]),
        "make PDF, consent": (0.35, [*make, "--format", "pdf", "--kind", "consent", "--copy", "patient"]),
        "make PDF, operative note": (0.35, [*make, "--format", "pdf", "--kind", "operative-note"]),
        "make PDF, aftercare": (0.35, [*make, "--format", "pdf", "--kind", "aftercare", "--copy", "patient"]),
        "make DOCX, consent": (0.25, [*make, "--format", "docx", "--kind", "consent", "--copy", "patient"]),
        "make DOCX, operative note": (0.25, [*make, "--format", "docx", "--kind", "operative-note"]),
    }


def run(words: list[str], root: Path = ROOT, **more: str) -> tuple[float, float]:
    """Run one process; give its seconds from start to end, and its seconds on the processor."""
    environment = {**os.environ, "PYTHONPATH": str(root), **more}
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


def rows(example: str, runs: int, root: Path) -> Iterator[str]:
    """Measure every command."""
    yield "| command | median ms | least ms | processor ms, least | budget ms |\n|---|---|---|---|---|"
    with tempfile.TemporaryDirectory() as out:
        for name, (budget, words) in commands(example, out).items():
            run(words, root)
            seconds, processor = zip(*(run(words, root) for _ in range(runs)), strict=True)
            told = (statistics.median(seconds), min(seconds), min(processor))
            figures = " | ".join(f"{figure * 1000:.0f}" for figure in told)
            yield f"| {name} | {figures} | {f'{budget * 1000:.0f}' if budget else ''} |"


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
