"""A fact looks at nothing but what it declares, so that lint, messages and a reader can rely on the list."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from typing import Any

from conftest import ISSUED_ON, example_files, shipped_world

from docgen.case import Case
from docgen.examine import Wish, examine
from docgen.facts import FACTS, Request
from docgen.facts.fact import Reading, Result, state


def _requests() -> Iterator[tuple[Case, Request]]:
    for name, day in ISSUED_ON.items():
        for undated in (False, True):
            kinds = ("consent", "aftercare", "operative-note") if name == "fenwright" else ("consent", "aftercare")
            seen = examine(
                example_files(name), Wish(kinds, on=day, undated=undated), shipped_world(), lambda _z: date.max
            )
            yield from ((seen.case, one.request) for one in seen.asked)


def _is_declared(looked: str, needs: tuple[str, ...], request: Request) -> bool:
    """Tell whether a look is covered: the path, a part of it, or what the kind itself names for teeth and day."""
    pattern = re.sub(r"\[[0-9]+\]", "[]", looked)
    if pattern in (*request.teeth_lists, *request.reference_paths):
        return True
    return any(pattern == need or _holds(need, pattern) or _holds(pattern, need) for need in needs)


def _holds(group: str, path: str) -> bool:
    return path.startswith((f"{group}.", f"{group}[]"))


def test_a_fact_looks_at_nothing_it_does_not_declare() -> None:
    """Every path, setting and fact a function asks for stands among its needs."""
    undeclared: dict[str, set[str]] = {}
    for case, request in _requests():
        results: dict[str, Result] = {}
        for fact in FACTS:
            reading: Any = Reading(case, request, shipped_world().tables, results)
            results[fact.name] = state(fact, reading)
            extra = {look for look in reading.looked_at if not _is_declared(look, fact.needs, request)}
            if extra:
                undeclared.setdefault(fact.name, set()).update(re.sub(r"\[[0-9]+\]", "[]", one) for one in extra)

    assert undeclared == {}
