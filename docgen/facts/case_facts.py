"""
The facts of one case for several requests > each computed once for all the requests it is the same for.

A fact's function is pure: what it gives hangs on the case, the tables, the facts above it, and the parts of the request
it looked at. Where all those are the same, a fact computed for another document is taken as it stands.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any, cast

from docgen.case import Case
from docgen.clinical.table import Tables
from docgen.facts.fact import Fact, Known, Reading, Request, Result, state
from docgen.values import dataclass


@dataclass(frozen=True)
class Stated:
    """All facts of one case for one request."""

    results: dict[str, Result]
    used_settings: tuple[tuple[str, str], ...]
    """Settings of the clinic that a fact looked at, with the value it saw."""


class _Watched:
    """A request that keeps which of its parts a fact looks at."""

    def __init__(self, request: Request) -> None:
        self._request, self.looked_at = request, set[str]()

    def __getattr__(self, part: str) -> Any:
        self.looked_at.add(part)
        return getattr(self._request, part)


class _Stating:
    """One fact as it was computed, with all it hung on beside the case and the tables."""

    __slots__ = ("facts", "parts", "result", "used")

    def __init__(self, result: Result, parts: dict[str, Any], facts: dict[str, Result], used: set[str]) -> None:
        self.result, self.parts, self.facts, self.used = result, parts, facts, used

    def holds_for(self, request: Request, stated: Mapping[str, Result]) -> bool:
        """Tell whether it would look at the same again: at parts of a request, and at the facts above it."""
        return all(getattr(request, part) == value for part, value in self.parts.items()) and all(
            _is_same(stated[name], result) for name, result in self.facts.items()
        )


class CaseFacts:
    """The facts of one case."""

    def __init__(self, case: Case, tables: Tables, facts: Sequence[Fact]) -> None:
        self.case, self.tables, self._facts = case, tables, facts
        self._statings: dict[str, list[_Stating]] = {fact.name: [] for fact in facts}

    def state(self, request: Request) -> Stated:
        """State every fact for one request, top to bottom."""
        results: dict[str, Result] = {}
        used: set[str] = set()
        for fact in self._facts:
            known = self._statings[fact.name]
            one = next((one for one in known if one.holds_for(request, results)), None)
            if one is None:
                one = self._compute(fact, request, results)
                known.append(one)
            results[fact.name] = one.result
            used |= one.used
        return Stated(results, tuple(sorted((name, str(self.case.setting(name))) for name in used)))

    def _compute(self, fact: Fact, request: Request, results: dict[str, Result]) -> _Stating:
        watched = _Watched(request)
        reading = Reading(self.case, cast(Request, watched), self.tables, results)
        result = state(fact, reading)
        parts = {part: getattr(request, part) for part in watched.looked_at}
        facts = {name: results[name] for name in reading.looked_at if name in results}
        return _Stating(result, parts, facts, reading.used_settings)


def _is_same(one: Result, other: Result) -> bool:
    """Tell whether two results are one, or say the same plain thing; what only compares equal may print otherwise."""
    if one is other:
        return True
    if isinstance(one, Known) and isinstance(other, Known):
        return _is_plain(one.value) and type(one.value) is type(other.value) and one == other
    return False


def _is_plain(value: Any) -> bool:
    return type(value) in (bool, str, int, date) or (type(value) is tuple and all(type(part) is str for part in value))
