"""Facts stated for several documents of one case are those stated for each of them alone."""

from __future__ import annotations

from dataclasses import replace

import pytest
from conftest import ISSUED_ON, example_files, shipped_world

from docgen.examine import Wish, examine
from docgen.facts import Request, Stated, facts_of, state_facts
from docgen.facts.case_facts import CaseFacts


def _told(stated: Stated) -> tuple[str, ...]:
    """Give every fact as it prints, which tells apart what only compares equal."""
    return tuple(f"{name} {result!r}" for name, result in stated.results.items())


@pytest.mark.parametrize("name", ISSUED_ON)
def test_each_request_gets_its_own_facts(name: str) -> None:
    """In any order of the requests, dated or not, for either copy; with the settings each one used."""
    on = ISSUED_ON[name]
    seen = examine(example_files(name), Wish(on=on, language="en"), shipped_world(), lambda _zone: on)
    requests = [one.request for one in seen.asked]
    requests += [replace(one, dated=False, copy="clinic") for one in requests[:2]]
    tables = shipped_world().tables
    shared = facts_of(seen.case, tables)
    for request in reversed(requests):
        alone, together = state_facts(seen.case, request, tables), shared.state(request)
        assert _told(alone) == _told(together)
        assert alone.used_settings == together.used_settings


def test_a_fact_is_computed_once_where_nothing_it_looks_at_differs(monkeypatch: pytest.MonkeyPatch) -> None:
    """For the same request, and for one that differs in a part no fact looks at, nothing is computed again."""
    on = ISSUED_ON["fenwright"]
    seen = examine(example_files("fenwright"), Wish(on=on), shipped_world(), lambda _zone: on)
    request: Request = seen.asked[0].request
    facts = facts_of(seen.case, shipped_world().tables)
    facts.state(request)
    monkeypatch.setattr(CaseFacts, "_compute", None)
    assert facts.state(request).results == facts.state(replace(request, kind="another")).results
