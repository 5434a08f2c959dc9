"""Demonstration case 1, edited field by field and put through gate 3."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import IO, Any

import yaml
from yaml.cyaml import CEmitter
from yaml.representer import Representer
from yaml.resolver import BaseResolver

from docgen.case import Case, Source, read_case
from docgen.checks import check_case
from docgen.clinical.table_file import read_tables
from docgen.facts import Request, facts_of
from docgen.kinds.read import TemplateFolders, read_kind
from docgen.kinds.texts import read_texts
from docgen.problem import Problems
from docgen.shipped import shipped_folder

FENWRIGHT = Path(__file__).parents[2] / "examples" / "fenwright"
PACK = ("consent", "operative-note", "aftercare")
OPERATION_DAY = date(2026, 3, 17)
Edits = Mapping[str, str | None]
"""Concrete path > what is to stand there, as YAML text; None takes it out. One index past the end adds an item."""

_STEP = re.compile(r"\[(\d+)\]|([^.\[\]]+)")


class _PlainDumper(CEmitter, Representer, BaseResolver):
    """Writes every leaf as plain text, as an author would."""

    def __init__(self, stream: IO[bytes] | IO[str], **_: object) -> None:
        CEmitter.__init__(self, stream, width=1000, allow_unicode=True)
        Representer.__init__(self, sort_keys=False)
        BaseResolver.__init__(self)


def edited(edits: Edits, clinic_edits: Edits | None = None) -> tuple[Case, Problems]:
    """Read case 1 after changing some of its fields."""
    sources = []
    for name, changes in (("case.yaml", edits), ("clinic.yaml", clinic_edits or {})):
        tree: Any = read_texts((FENWRIGHT / name).read_bytes())
        for path, value in changes.items():
            _set(tree, path, value)
        sources.append(Source(name, yaml.dump(tree, Dumper=_PlainDumper).encode()))
    problems = Problems()
    return read_case(sources[0], sources[1], None, problems), problems


def _set(tree: Any, path: str, value: str | None) -> None:
    steps = [int(number) if number else name for number, name in _STEP.findall(path)]
    if path.startswith("settings."):
        steps = ["settings", path.removeprefix("settings.")]
    for step in steps[:-1]:
        if isinstance(tree, dict) and not isinstance(tree.get(step), dict | list):
            tree[step] = {}
        tree = tree[step]
    last = steps[-1]
    if value is None:
        del tree[last]
    elif isinstance(tree, list) and last == len(tree):
        tree.append(read_texts(value))
    else:
        tree[last] = read_texts(value)


def request(kind: str, *, issued_on: date = OPERATION_DAY) -> Request:
    """Ask for a document; "aftercare-undated" is the leaflet without clock times."""
    name, undated = kind.removesuffix("-undated"), kind.endswith("-undated")
    copy = "patient" if name in ("consent", "aftercare") else "clinic"
    described = read_kind(name, TemplateFolders((shipped_folder("templates"),)), Problems())
    if described is None:  # a kind of a later issue: the checks know its name already
        return Request(name, copy, "en", issued_on, not undated)
    return described.request(copy, "en", issued_on, dated=not undated)


def checked(
    edits: Edits,
    kinds: Sequence[str] = PACK,
    *,
    clinic_edits: Edits | None = None,
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
    facts = facts_of(case, read_tables())
    check_case(case, [(one, one.kind, facts.state(one).results) for one in requests], problems)


def found(problems: Problems) -> set[tuple[str, str, str]]:
    """Give code, path and severity of each problem."""
    return {(problem.code, problem.path, problem.severity.value) for problem in problems}
