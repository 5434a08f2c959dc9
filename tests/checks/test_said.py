"""Gate 3 in full: each provoked problem with its words, its fix and the documents it concerns."""

from __future__ import annotations

from pathlib import Path

import pytest
from edited_case import checked
from provocation import Provocation
from provoke_near import PASSING, REPEATED
from test_codes import PROVOCATIONS

from docgen.problem import Problems

ALL = {**PROVOCATIONS, **REPEATED}


def _read(text: str) -> dict[str, list[str]]:
    """Give the lines below each heading "# name"."""
    return {head: body.splitlines() for head, _, body in (part.partition("\n") for part in text.split("# ")[1:])}


SAID = _read((Path(__file__).parent / "said.txt").read_text("utf-8"))
"""Name of a provocation > what it leads to, three lines a problem: whom it concerns, what is wrong, the fix."""


def _said(problems: Problems) -> list[str]:
    lines = []
    for p in sorted(problems, key=lambda p: (p.code, p.path, p.severity.value, p.what.in_words())):
        lines += [f"{p.severity.value} {p.code} ({p.path}) {', '.join(p.needed_by)}", p.what.in_words(),
                  p.fix.in_words()]  # fmt: skip
    return lines


def _provoked(case: Provocation) -> Problems:
    return checked(case.edits, case.kinds, clinic_edits=case.clinic_edits)


def test_every_provocation_has_its_words() -> None:
    """No heading is without its edits, and no edits without their heading."""
    assert set(SAID) == set(ALL)


@pytest.mark.parametrize("name", sorted(ALL))
def test_a_problem_is_said_in_these_words(name: str) -> None:
    """Path, what is wrong, the fix, the severity and the documents named are those written down in said.txt."""
    assert SAID[name] == _said(_provoked(ALL[name]))


@pytest.mark.parametrize("name", sorted(PASSING))
def test_what_lies_just_within_passes(name: str) -> None:
    """The other side of each condition is silent."""
    assert [] == _said(_provoked(PASSING[name]))
