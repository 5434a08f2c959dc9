"""
Over every example and every kind it makes: a required field that is gone refuses each kind that needs it, by name.

Which fields are asked is worked out here anew from kind.yaml and the facts, as a second reading of the rules that
docgen.kinds.complete follows. test_required_fields holds case 1 to exactly one problem for each field; here a deletion
may bring others with it.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from itertools import islice
from typing import Any

import pytest
from conftest import ISSUED_ON, LANGUAGES, drop, example_tree, shipped_world, tree_files

from docgen.answer import Answer
from docgen.examine import Asked, Examined, Wish, examine
from docgen.facts import Known
from docgen.kinds.complete import CODES_OF_ABSENCE
from docgen.kinds.kind import Condition, Requirement
from docgen.problem import Severity

WORLD = shipped_world()
OF_CLASS = {
    "lower_third_planned": {"lower_third"},
    "third_molar_planned": {"lower_third", "upper_third"},
    "upper_posterior_planned": {"upper_third", "upper_posterior"},
    "upper_posterior_operated": {"upper_third", "upper_posterior"},
}
NOT_DONE_ASKS = {"tooth", "side", "jaw", "performed", "difference"}
ELSEWHERE = re.compile(r"(teeth|plan\.procedures|operation\.procedures)\[\d+\]\.tooth$")
"""A tooth item without its number is no item of that tooth: the tooth itself is missed, and the document refused."""


def _examined(name: str, tree: dict[str, Any], *kinds: str) -> Examined:
    wish = Wish(kinds, copies=("patient",), on=ISSUED_ON[name], language=LANGUAGES.get(name, ""))
    return examine(tree_files(tree), wish, WORLD, lambda _zone: ISSUED_ON[name])


def _holds(condition: Condition | None, one: Asked, seen: Examined) -> bool:
    if condition is None:
        return True
    result: Any = None
    if condition.is_field:
        value = seen.case.value(condition.name)
    else:
        result = one.stated.results[condition.name]
        value = result.value if isinstance(result, Known) else result.assumed
    said = {True: "yes", False: "no", Answer.NOT_APPLICABLE: "no"}
    word = said.get(value) if isinstance(value, bool | Answer) else str(value)
    return word == condition.value


def _is_asked(path: str, requirement: Requirement, one: Asked, seen: Examined) -> bool:
    """Tell whether the item a path lies in is asked this question."""
    item, _, leaf = path.rpartition("].")
    facts = {name: result.value for name, result in one.stated.results.items() if isinstance(result, Known)}
    if path.startswith("practitioners[") and leaf == "supervisor":
        return seen.case.value(f"{item}].trainee") is True
    found = re.match(r"(teeth|plan\.procedures|operation\.procedures)\[\d+\]", path)
    if not found:
        return True
    tooth = facts["tooth_fdi"][seen.case.value(f"{found[0]}.tooth")]
    if found[1] == "operation.procedures":
        below = path.removeprefix(f"{found[0]}.")
        if seen.case.value(f"{found[0]}.performed") == "not_done":
            return below in NOT_DONE_ASKS
        if below == "difference":
            return bool(facts["performed_differences"].get(tooth, "same") != "same")
    classes = OF_CLASS.get(requirement.when.name) if requirement.when else None
    return tooth in facts["teeth_in_question"] and (not classes or facts["tooth_class"][tooth] in classes)


def _asked_paths(one: Asked, seen: Examined, tree: dict[str, Any]) -> Iterator[str]:
    for requirement in one.kind.requires:
        if requirement.any_of or not _holds(requirement.when, one, seen):
            continue
        for pattern in requirement.fields:
            paths = seen.case.expand(pattern) if "[]" in pattern else (pattern,)
            asked = (p for p in paths if _is_written(tree, p) and _is_asked(p, requirement, one, seen))
            yield from islice(asked, 1)  # the first item that is asked stands for those behind it


def _is_written(tree: dict[str, Any], path: str) -> bool:
    try:
        drop(copy.deepcopy(tree), path)
    except (KeyError, TypeError, IndexError, ValueError):
        return False
    return True


@pytest.mark.parametrize("name", sorted(ISSUED_ON))
def test_each_kind_that_needs_a_field_is_refused_without_it(name: str) -> None:
    """Every required field of every kind of this example is missed by each document that needs it."""
    tree = example_tree(name)
    seen = _examined(name, tree)
    wanted: dict[str, dict[str, str]] = {}
    for one in seen.asked:
        for path in _asked_paths(one, seen, tree):
            wanted.setdefault(path, {})[one.label] = one.kind.name
    unnoticed: dict[str, list[str]] = {}
    for path, labels in wanted.items():
        without = copy.deepcopy(tree)
        drop(without, path)
        refusing = [p for p in _examined(name, without, *labels.values()).problems if p.severity is Severity.REFUSE]
        code = CODES_OF_ABSENCE.get(re.sub(r"\[\d+\]", "[]", path), "missing-field")
        named = {
            label for p in refusing if ELSEWHERE.match(path) or (p.path == path and p.code == code)
            for label in p.needed_by
        }  # fmt: skip
        if set(labels) - named:
            unnoticed[path] = sorted(set(labels) - named)

    assert wanted
    assert unnoticed == {}
