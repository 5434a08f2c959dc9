"""A fact looks at nothing but what it declares, so that lint, messages and a reader can rely on the list."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime
from typing import Any

import pytest
from conftest import EXAMPLES, ISSUED_ON, example_files, shipped_world

from docgen.case import Case
from docgen.examine import Wish, examine
from docgen.facts import FACTS, Request
from docgen.facts.fact import Reading, Result, state
from docgen.kinds import kind_names

FOLDERS = sorted(folder.parent.name for folder in EXAMPLES.glob("*/case.yaml"))


def _requests(name: str) -> Iterator[tuple[Case, Request]]:
    """Give every kind, dated and undated, of an example, on its day of issue, or on the planned day."""
    world = shipped_world()
    for undated in (False, True):
        wish = Wish(kind_names(world.templates), ("clinic",), on=ISSUED_ON.get(name), undated=undated)
        seen = examine(example_files(name), wish, world, lambda _zone: date(2026, 1, 1))
        planned = seen.case.value("plan.operation_at")
        day = ISSUED_ON.get(name) or (planned.date() if isinstance(planned, datetime) else date(2026, 1, 1))
        yield from ((seen.case, replace(one.request, issued_on=day)) for one in seen.asked)


def _is_declared(looked: str, needs: tuple[str, ...], request: Request) -> bool:
    """Tell whether a look is covered: the path, a part of it, or what the kind names for teeth, day and signing."""
    pattern = re.sub(r"\[[0-9]+\]", "[]", looked)
    if pattern in (*request.teeth_lists, *request.reference_paths, *request.signed_at):
        return True
    return any(pattern == need or _holds(need, pattern) or _holds(pattern, need) for need in needs)


def _holds(group: str, path: str) -> bool:
    return path.startswith((f"{group}.", f"{group}[]"))


@pytest.mark.parametrize("name", FOLDERS)
def test_a_fact_looks_at_nothing_it_does_not_declare(name: str) -> None:
    """Every path, setting and fact a function asks for stands among its needs."""
    undeclared: dict[str, set[str]] = {}
    tables = shipped_world().tables
    for case, request in _requests(name):
        results: dict[str, Result] = {}
        for fact in FACTS:
            reading: Any = Reading(case, request, tables, results)
            results[fact.name] = state(fact, reading)
            extra = {look for look in reading.looked_at if not _is_declared(look, fact.needs, request)}
            if extra:
                undeclared.setdefault(fact.name, set()).update(re.sub(r"\[[0-9]+\]", "[]", one) for one in extra)

    assert undeclared == {}
