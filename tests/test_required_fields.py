"""
Deleting each required field in turn yields exactly one problem, on that path.

Generated from the kinds, so that it serves every kind there will be.
"""

from __future__ import annotations

import copy
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from conftest import ISSUED_ON, drop, example_files, example_tree, shipped_world, tree_files

from docgen.case import field_specs
from docgen.generate import Examined, Wish, examine
from docgen.kinds.complete import CODES_OF_ABSENCE
from docgen.problem import Severity

KINDS = ("referral", "consent", "safety-sheet", "operative-note", "aftercare", "reply")

HOLDS_FOR_CASE_ONE = (
    "lower_third_planned", "third_molar_planned", "leaflet_is_dated", "operation_entered", "operation_recorded",
    "referrer.kind",
)  # fmt: skip
"""Conditions that hold for case 1; what other conditions ask is not asked of it."""

ELSEWHERE = {
    "teeth[].tooth": "without its number the item is no tooth of the plan, so the tooth itself is missing",
    "plan.procedures[].tooth": "an entry without number proposes no tooth",
    "operation.procedures[].tooth": "a row without number treats no tooth",
    "practitioners[].name": "every practitioner is asked, not only the first",
}
"""Fields whose absence shows elsewhere as well, and why."""


def _cases() -> list[Any]:
    world = shipped_world()
    found = []
    for kind in KINDS:
        seen = examine(
            example_files("fenwright"), Wish((kind,), on=ISSUED_ON["fenwright"]), world, lambda _z: date.today()
        )
        one = seen.asked[0]
        asked = [r for r in one.kind.requires if r.when is None or r.when.name in HOLDS_FOR_CASE_ONE]
        patterns = {p for r in asked for p in r.fields if "*" not in p}
        for pattern in sorted(patterns):
            paths = seen.case.expand(pattern) if "[]" in pattern else (pattern,)
            for path in paths:
                if _is_written(path):
                    found.append(pytest.param(kind, pattern, path, id=f"{kind}:{path}"))
    return found


def _is_written(path: str) -> bool:
    """Tell whether the example writes the path as a key of its own."""
    try:
        drop(copy.deepcopy(example_tree("fenwright")), path)
    except (KeyError, TypeError, IndexError, ValueError):
        return False
    return True


@pytest.mark.parametrize(("kind", "pattern", "path"), _cases())
def test_a_missing_field_is_one_problem(looked: Callable[..., Examined], kind: str, pattern: str, path: str) -> None:
    """A field that is gone is named once, with who needs it and why, and nothing else is said."""
    tree = copy.deepcopy(example_tree("fenwright"))
    drop(tree, path)

    found = [
        p for p in looked(tree_files(tree), kind, on=ISSUED_ON["fenwright"]).problems if p.severity is Severity.REFUSE
    ]
    if pattern in ELSEWHERE:
        assert found
        return
    assert [(p.code, p.path) for p in found] == [(CODES_OF_ABSENCE.get(pattern, "missing-field"), path)]
    assert found[0].because
    assert found[0].fix.in_words()


def test_every_pattern_exists() -> None:
    """The exceptions name fields that exist."""
    assert set(ELSEWHERE) <= set(field_specs())
