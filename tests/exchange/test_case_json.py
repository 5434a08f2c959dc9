"""case.json: only what a kind may carry, read back as a case, and none of what the page would not say."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from typing import Any

import pytest
from bundles import Told, all_told, one
from conftest import ISSUED_ON, example_tree, put, shipped_world, tree_files
from hypothesis import given
from hypothesis import strategies as st

from docgen.case import Case, Source, field_specs, read_case
from docgen.case.gate import pattern_of
from docgen.examine import Wish, examine
from docgen.exchange import Scope, case_json, scope_of
from docgen.exchange.carried import NAMED_BY
from docgen.exchange.case_file import CaseMark, canonical, case_mark, read_mark
from docgen.problem import Problems


def _leaves(tree: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """Give every value of case.json with its pattern."""
    if isinstance(tree, dict):
        for name, value in tree.items():
            yield from _leaves(value, f"{path}.{name}" if path else name)
    elif isinstance(tree, list):
        for value in tree:
            yield from _leaves(value, f"{path}[]")
    else:
        yield path, tree


def _allowed(told: Told) -> set[str]:
    """Name all that a kind lists, what lies above it, and what an item is found by."""
    kind = told.kind
    listed = {*kind.optional, *(p for r in kind.requires for p in r.fields), kind.moment}
    above = {pattern[:place] for pattern in listed for place, sign in enumerate(pattern) if sign in ".["}
    return listed | above | {f"{pattern}[]" for pattern in listed} | {f"{a}[].{b}" for a, b in NAMED_BY.items()}


@pytest.mark.parametrize("example", ISSUED_ON)
def test_case_json_holds_the_fields_of_its_kind_and_reads_back(example: str) -> None:
    """No field that kind.yaml does not list, and no setting; docgen reads it without a problem."""
    for told in all_told(example):
        tree = json.loads(told.case_json())
        held = told.held()

        assert set() == {path for path, _ in _leaves(tree)} - _allowed(told)
        assert {} == dict(held.settings)
        assert told.case_json() == case_json(held, scope_of(told.kind, held, told.stated))


def test_case_json_is_canonical() -> None:
    """Keys in order, no space, texts alone, and not in the order of the record."""
    content = one("fenwright", "referral").case_json()

    assert content == canonical(json.loads(content))
    assert b'{"clinic":{"address":["12 Quay Row","Harrowmere"],"name":' == content[:57]
    assert {str} == {type(value) for _, value in _leaves(json.loads(content))}


def _examined(tree: dict[str, Any], kind: str, example: str) -> tuple[Case, Any, Any]:
    on = ISSUED_ON[example]
    seen = examine(tree_files(tree), Wish(kinds=(kind,), on=on), shipped_world(), lambda _zone: on)
    return seen.case, seen.asked[0].kind, seen.asked[0].stated.results


def _json(tree: dict[str, Any], kind: str, example: str = "fenwright") -> dict[str, Any]:
    case, asked, stated = _examined(tree, kind, example)
    found: dict[str, Any] = json.loads(case_json(case, scope_of(asked, case, stated)))
    return found


def test_another_tooth_stays_at_home(fenwright: dict[str, Any]) -> None:
    """Findings on a tooth that the letter is not about are not in it."""
    other = {**copy.deepcopy(fenwright["teeth"][0]), "tooth": "28", "jaw": "upper"}
    fenwright["teeth"].append(other)

    assert ["38"] == [item["tooth"] for item in _json(fenwright, "referral")["teeth"]]


def test_what_came_after_the_letter_stays_at_home(fenwright: dict[str, Any]) -> None:
    """An image, a history and an INR of later days are not in a letter that was written before."""
    late = {**copy.deepcopy(fenwright["imaging"][0]), "id": "im2", "taken_on": "2026-02-21"}
    fenwright["imaging"].append(late)
    put(fenwright, "medical.inr", {"value": "2.8", "taken_at": "2026-02-21T08:00", "stable": "yes"})
    tree = _json(fenwright, "referral")

    assert ["2026-02-20"] == [image["taken_on"] for image in tree["imaging"]]
    assert set() == {"inr", "checked_on", "checked_by", "asa_class"} & set(tree["medical"])


@pytest.mark.parametrize(("own_consent", "named"), [("none", True), ("14", False)])
def test_a_guardian_is_carried_only_where_the_letter_names_one(own_consent: str, named: bool) -> None:
    """Of a minor who decides alone no letter and no data name the guardian."""
    tree = example_tree("brzezna")
    tree["settings"]["jurisdiction.age_of_own_consent"] = {"value": own_consent, "by": "x", "on": "2026-01-01"}

    assert named is ("guardian" in _json(tree, "referral", "brzezna"))


def test_only_people_that_are_pointed_to_are_carried(fenwright: dict[str, Any]) -> None:
    """Somebody of the clinic who had no part in it is not in its data."""
    fenwright["practitioners"].append({**fenwright["practitioners"][1], "id": "zz", "name": "Nobody Here"})

    assert {"mh", "jt"} == {person["id"] for person in _json(fenwright, "operative-note")["practitioners"]}


def test_who_supervises_a_trainee_is_carried_with_the_trainee() -> None:
    """Whoever answers for somebody that is pointed to is carried; who answers for somebody that is not, is not."""
    people = [
        {"id": "tr", "name": "A", "trainee": "yes", "supervisor": "su"},
        {"id": "su", "name": "B", "supervisor": "not_applicable"},
        {"id": "zz", "name": "C", "supervisor": "yy"},
        {"id": "yy", "name": "D"},
    ]
    text = json.dumps({"practitioners": people, "operation": {"operator": "tr"}}).encode()
    case = read_case(Source("case.json", text, is_json=True), None, None, Problems())
    patterns = ("practitioners[].name", "practitioners[].supervisor", "operation.operator")

    assert ["tr", "su"] == [one["id"] for one in json.loads(case_json(case, patterns))["practitioners"]]
    assert "practitioners" not in json.loads(case_json(case, patterns[:2]))


def test_absence_keeps_its_four_spellings() -> None:
    """Not recorded is left out; none, not applicable and not known are their words."""
    text = b'{"medical":{"allergies":"not_known","conditions":"none"},"guardian":"not_applicable"}'
    case = read_case(Source("case.json", text, is_json=True), None, None, Problems())
    patterns = ("medical.allergies[].substance", "medical.conditions", "guardian.name", "medical.medications")

    assert json.loads(text) == json.loads(case_json(case, patterns))


def test_a_list_without_listed_fields_is_not_called_none() -> None:
    """A kind that may say whether there are allergies, but not which, says nothing rather than none."""
    text = b'{"medical":{"allergies":[{"substance":"latex"}]}}'
    case = read_case(Source("case.json", text, is_json=True), None, None, Problems())

    assert b"{}" == case_json(case, ("medical.allergies",))


def test_a_whole_group_can_be_listed() -> None:
    """`x.*` is everything below x, as lint has it."""
    text = b'{"referral":{"on":"2026-02-20","problem":"pain"},"reply":{"on":"2026-02-21"}}'
    case = read_case(Source("case.json", text, is_json=True), None, None, Problems())

    assert b'{"referral":{"on":"2026-02-20","problem":"pain"}}' == case_json(case, Scope(("referral.*",)))


@given(st.binary(max_size=40))
def test_a_mark_is_read_as_it_was_written(content: bytes) -> None:
    """The words of an embedded case name its kind and digest, and nothing else is such a mark."""
    mark = case_mark(content, "referral")
    found = read_mark(mark)

    assert found is not None
    assert (1, "referral", mark[-64:]) == (found.form, found.kind, found.digest)
    assert {None} == {read_mark(other) for other in (mark[:-1], f"{mark} ", mark.upper(), "")}
    assert isinstance(found, CaseMark)


def test_every_type_of_field_is_written_as_it_is_read() -> None:
    """Each field of the dictionary, filled with its example, comes back the same through case.json."""
    tree = example_tree("fenwright")
    for group in ("settings", "own"):
        tree.pop(group, None)
    problems = Problems()
    case = read_case(tree_files(tree).case, None, None, problems)
    everything = tuple(path for path in field_specs() if not path.startswith("settings"))
    again = read_case(Source("case.json", case_json(case, everything), is_json=True), None, None, problems)
    written = {pattern_of(path) for path in case.places}

    assert [] == [problem.code for problem in problems]
    assert case.fields == again.fields
    assert {"yn", "line", "text", "code", "date", "moment", "decimal", "int", "tooth", "id", "language"} <= {
        field_specs()[path].type for path in written if path in field_specs()
    }
