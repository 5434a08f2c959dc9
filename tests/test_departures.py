"""A departure lifts only what a check allows, and only a surgeon or operator writes one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from docgen.generate import Examined

GOOD = {"code": "batch-expired", "reason": "No other cartridge was left.", "by": "mh", "on": "2026-03-17"}


@pytest.mark.parametrize(
    ("changed", "path"),
    [({"code": "batch-expird"}, "departures[0].code"), ({"code": "dates-order"}, "departures[0].code")],
)
def test_a_code_that_may_not_be_departed_from_is_refused(
    looked: Callable[..., Examined], fenwright: dict[str, Any], changed: dict[str, str], path: str
) -> None:
    """A misspelled code, and one of a check that nobody may depart from, are named with their place."""
    fenwright["departures"] = [{**GOOD, **changed}]
    found = [(p.code, p.path) for p in looked(fenwright, "operative-note").problems.refusing]

    assert found == [("bad-value", path)]


def test_only_a_surgeon_or_operator_decides(looked: Callable[..., Examined], fenwright: dict[str, Any]) -> None:
    """An assistant's departure is refused."""
    assistant = next(p["id"] for p in fenwright["practitioners"] if p["roles"] == ["assistant"])
    fenwright["departures"] = [{**GOOD, "by": assistant}]
    found = [(p.code, p.path) for p in looked(fenwright, "operative-note").problems.refusing]

    assert found == [("bad-value", "departures[0].by")]


def test_a_good_departure_is_no_problem(looked: Callable[..., Examined], fenwright: dict[str, Any]) -> None:
    """A real code with reason and surgeon stands."""
    fenwright["departures"] = [GOOD]

    assert looked(fenwright, "operative-note").problems.refusing == ()
