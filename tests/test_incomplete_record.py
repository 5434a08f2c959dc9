"""Demonstration case 8 is deliberately incomplete: all that is wrong is said at once, each with its line."""

from __future__ import annotations

from datetime import date
from typing import Final

import pytest
from conftest import example_files
from example_facts import seen

from docgen.case import Source
from docgen.examine import CaseFiles, Examined
from docgen.problem import Problem, Severity

DAY: Final = date(2026, 7, 7)
PACK: Final = ("referral", "consent", "aftercare")
"""Referral and consent pack; before the operation the leaflet has no dates."""
FILES: Final = example_files("velesov")


def _declared() -> CaseFiles:
    """Give the case with its notation declared, in the line of the record so that no other line moves."""
    text = FILES.case.text.replace(b"{id: WM-2026-0019,", b"{id: WM-2026-0019, tooth_notation: fdi,")
    return CaseFiles(Source("case.yaml", text), FILES.clinic, None)


def _examined(files: CaseFiles) -> Examined:
    return seen(files, DAY, language="")


FIRST: Final[tuple[tuple[str, str, str], ...]] = (
    ("notation-missing", "record.tooth_notation", "record: {"),
    ("empty-field", "medical.allergies", "  allergies:"),
    ("missing-field", "medical.smoking.status", "medical:"),
    ("missing-field", "teeth[0].angle_degrees", "  - tooth: 18"),
    ("drug-in-words", "medical.conditions[0].words", "    - {code: other, words: takes"),
    ("teeth-agreed-differ", "consent.teeth", "  teeth: [48]"),
    ("language-missing", "patient.preferred_language", "  preferred_language:"),
)
"""Code, path, and the beginning of the line it is found in."""
AFTER: Final[tuple[tuple[str, str, str], ...]] = (
    ("tooth-side-mismatch", "teeth[0].tooth", "  - tooth: 18"),
    ("tooth-side-mismatch", "plan.procedures[0].tooth", "    - tooth: 18"),
    ("pederson-upper", "teeth[0].ramus", "    ramus: II"),
    ("tooth-unknown", "consent.teeth[0]", "  teeth: [48]"),
)
"""What can be said once the number is known to be meant in FDI."""


@pytest.mark.parametrize(("code", "path", "line"), FIRST)
def test_each_fault_is_refused_with_its_line(code: str, path: str, line: str) -> None:
    """Without the notation nothing is made, and what does not hang on it is said all the same."""
    found = {(p.code, p.path): p for p in _examined(FILES).problems.refusing}

    assert (code, path) in found
    assert _line(FILES, found[code, path]).startswith(line)


@pytest.mark.parametrize(("code", "path", "line"), AFTER)
def test_the_notation_brings_out_what_the_number_contradicts(code: str, path: str, line: str) -> None:
    """18 is a right tooth and has no ramus."""
    files = _declared()
    found = {(p.code, p.path): p for p in _examined(files).problems.refusing}

    assert (code, path) in found
    assert (code, path) not in {(p.code, p.path) for p in _examined(FILES).problems}
    assert _line(files, found[code, path]).startswith(line)


def _line(files: CaseFiles, problem: Problem) -> str:
    assert problem.place is not None
    return files.case.text.decode().splitlines()[problem.place.line - 1]


def test_all_is_said_at_once_and_nothing_else_refuses() -> None:
    """The first look says these faults, no more; the second the same without the notation, and the further ones."""
    first = {(p.code, p.path) for p in _examined(FILES).problems.refusing}
    second = {(p.code, p.path) for p in _examined(_declared()).problems.refusing}
    expected = {(code, path) for code, path, _ in FIRST}

    assert expected == first
    assert expected - {FIRST[0][:2]} | {(code, path) for code, path, _ in AFTER} == second


def test_no_image_and_no_weight_are_notes() -> None:
    """A surgical tooth without an image, and a plan without a limit, travel as notes."""
    notes = {(p.code, p.path) for p in _examined(_declared()).problems if p.severity is Severity.NOTE}

    assert {("image-missing", "imaging"), ("dose-no-weight", "patient.weight_kg")} == notes


def test_no_message_says_a_value_of_the_patient() -> None:
    """Neither name nor drug nor agreed tooth nor birth date stands in a message: it names paths."""
    said = " ".join(f"{p.what.in_words()} {p.fix.in_words()}" for p in _examined(FILES).problems)

    for value in ("Timur", "Velesov", "warfarin", "48", "1994-02-28"):
        assert value not in said
