"""
Makes N documents of the bench in a folder, in one process, and prints the milliseconds of each as a JSON list.

    python tests/bench/make.py 100 out [--language ar] [--format docx] [--forms print] [--columns two]
    python tests/bench/make.py 100 out --pack EXAMPLE | --one EXAMPLE  [--format docx]

A contestant of a comparison of document makers, which wants exactly this: a command with a number and a folder.
What others set on two pages is set on two pages: in one column, a setting of the style; `--columns two` has the
headings beside the text, as our own documents have them, and three pages. Cases are drawn before the clock runs.
`--pack` makes all files of an example, composed once, `--one` its pack as one file; N times.
"""

from __future__ import annotations

import gc
import json
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path[:1] = [str(ROOT), str(ROOT / "tests")]  # not this folder: another harness has a module `cases` too

GARBAGE_AFTER = 200_000
"""New objects before circles are looked for, as in every command of docgen (`docgen.cli`, slow to import)."""

Make = Callable[[int], Callable[[], list[bytes]]]
"""Gives what makes the files of the n-th document: what they say is drawn before the clock runs."""


def house_style() -> Any:
    """Read the shipped style; what the folders above hold is imported only now."""
    shipped = import_module("docgen.shipped").shipped_folder("templates")
    return import_module("docgen.render.style").read_style(shipped / "_house")


def forms(renderer: ModuleType, wishes: dict[str, str]) -> Make:
    """Make the form, with fields or, as every other contestant, for the pen only."""
    form, cases = import_module("tests.bench.form").form, import_module("tests.bench.cases")
    language = wishes.get("--language", "en")
    style = replace(house_style(), forms=wishes.get("--forms", "fill"))
    if wishes.get("--columns") != "two":
        style = in_one_column(style)

    def make(place: int) -> Callable[[], list[bytes]]:
        case = cases.form_case(place, language)
        return lambda: [renderer.render(form(case), style)]

    return make


def in_one_column(style: Any) -> Any:
    """Give a style without a column for headings beside the text."""
    lengths = style.lengths | {"side": 0.0, "side_rule": 0.0, "text": style.lengths["content"]}
    return replace(style, lengths=lengths)


def packs(renderer: ModuleType, example: str, as_one: bool) -> Make:
    """Make all documents of an example: a file each, or one file."""
    conftest, composed = import_module("conftest"), import_module("render.composed")
    style = house_style()
    documents = list(composed.documents(example).values())
    assert example in conftest.ISSUED_ON

    def make(_: int) -> Callable[[], list[bytes]]:
        if as_one:
            return lambda: [renderer.render_pack(documents, style, example, documents[0].language)]
        return lambda: [renderer.render(document, style) for document in documents]

    return make


def main() -> None:
    """Make what the command line wishes; without argparse, whose import is a tenth of a cold start."""
    count, out, wishes = int(sys.argv[1]), Path(sys.argv[2]), dict(zip(sys.argv[3::2], sys.argv[4::2], strict=True))
    if wishes.keys() - {"--language", "--format", "--pack", "--one", "--forms", "--columns"}:
        sys.exit(__doc__)
    ending = wishes.get("--format", "pdf")
    renderer = import_module(f"docgen.render.{ending}")
    example = wishes.get("--pack") or wishes.get("--one")
    make = packs(renderer, example, "--one" in wishes) if example else forms(renderer, wishes)
    times = []
    gc.set_threshold(GARBAGE_AFTER)
    for place in range(count):
        made = make(place)
        start = time.perf_counter()
        files = made()
        times.append(round((time.perf_counter() - start) * 1000, 3))
        for number, content in enumerate(files):
            (out / f"{place:05d}-{number}.{ending}").write_bytes(content)
    print(json.dumps(times))


if __name__ == "__main__":
    main()
