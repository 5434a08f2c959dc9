"""A command takes little more than what it stands on: measured on the processor, in one run, as a ratio."""

from __future__ import annotations

from pathlib import Path

from tests.bench.commands import commands, run

LEAST_OF = 3
AT_MOST = {"check, all kinds": 2.5, "make PDF, operative note": 4.5, "make DOCX, operative note": 4.0}
"""Times the processor time of the libraries alone; 1.4, 2.6 and 2.2 when this was written, 4.3, 6.3 and 5.6 before."""


def test_a_command_takes_little_more_than_the_libraries_it_stands_on(tmp_path: Path) -> None:
    """The least of three processes each, bytecode compiled and caches warm, over that of importing the libraries."""
    compiled = {"PYTHONPYCACHEPREFIX": str(tmp_path / "compiled"), "PYTHONDONTWRITEBYTECODE": ""}
    words = {name: told for name, (_, told) in commands("fenwright", str(tmp_path / "out")).items()}
    measured = {name: words[name] for name in ("the libraries alone", *AT_MOST)}
    for told in measured.values():
        run(told, **compiled)
    times = [{name: run(told, **compiled)[1] for name, told in measured.items()} for _ in range(LEAST_OF)]
    least = {name: min(one[name] for one in times) for name in measured}

    ratios = {name: least[name] / least["the libraries alone"] for name in AT_MOST}
    assert {} == {name: ratio for name, ratio in ratios.items() if ratio > AT_MOST[name]}
