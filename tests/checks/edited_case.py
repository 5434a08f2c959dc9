"""Demonstration case 1, edited line by line and put through gate 3."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from docgen.case import Case, Source, read_case
from docgen.checks import check_case
from docgen.clinical.table_file import read_tables
from docgen.facts import Request, state_facts
from docgen.kinds.read import TemplateFolders, read_kind
from docgen.problem import Problems
from docgen.shipped import shipped_folder

FENWRIGHT = Path(__file__).parents[2] / "examples" / "fenwright"
PACK = ("consent", "operative-note", "aftercare")
OPERATION_DAY = date(2026, 3, 17)
Edit = tuple[str, str]


def edited(edits: Sequence[Edit], clinic_edits: Sequence[Edit] = ()) -> tuple[Case, Problems]:
    """Read case 1 after replacing texts, each of which has to stand there once."""
    sources = []
    for name, changes in (("case.yaml", edits), ("clinic.yaml", clinic_edits)):
        text = (FENWRIGHT / name).read_text(encoding="utf-8")
        for old, new in changes:
            assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}"
            text = text.replace(old, new)
        sources.append(Source(name, text.encode()))
    problems = Problems()
    return read_case(sources[0], sources[1], None, problems), problems


def request(kind: str, *, issued_on: date = OPERATION_DAY) -> Request:
    """Ask for a document; "aftercare-undated" is the leaflet without clock times."""
    name, undated = kind.removesuffix("-undated"), kind.endswith("-undated")
    copy = "patient" if name in ("consent", "aftercare") else "clinic"
    described = read_kind(name, TemplateFolders((shipped_folder("templates"),)), Problems())
    if described is None:  # a kind of a later issue: the checks know its name already
        return Request(name, copy, "en", issued_on, not undated)
    return described.request(copy, "en", issued_on, dated=not undated)


def checked(
    edits: Sequence[Edit],
    kinds: Sequence[str] = PACK,
    *,
    clinic_edits: Sequence[Edit] = (),
    issued_on: date = OPERATION_DAY,
) -> Problems:
    """Put the edited case through gate 3 alone; gate 1 must have nothing to say."""
    case, problems = edited(edits, clinic_edits)
    assert [problem.code for problem in problems] == []
    check_pack(case, kinds, problems, issued_on=issued_on)
    return problems


def check_pack(case: Case, kinds: Sequence[str], problems: Problems, *, issued_on: date = OPERATION_DAY) -> None:
    """Run gate 3 for one document of each kind."""
    requests = [request(kind, issued_on=issued_on) for kind in kinds]
    tables = read_tables()
    check_case(case, [(one, one.kind, state_facts(case, one, tables).results) for one in requests], problems)


def found(problems: Problems) -> set[tuple[str, str, str]]:
    """Give code, path and severity of each problem."""
    return {(problem.code, problem.path, problem.severity.value) for problem in problems}
