"""Case 1 with some fields changed > its facts, as a kind of document would ask for them."""

from __future__ import annotations

import copy
import json
from dataclasses import replace
from datetime import date
from typing import Any

from conftest import drop, example_tree, put, shipped_world, tree_files

from docgen.case import read_case
from docgen.facts import Known, Request, Result, Unknown, state_facts
from docgen.problem import Problems

DAY = date(2026, 3, 17)
CONSENT = Request("consent", "clinic", "en", DAY)
REFERRAL = Request("referral", "", "en", DAY, True, ("referral.teeth", "plan.procedures"), ("referral.on",))
LEAFLET = Request(
    "aftercare", "clinic", "en", DAY, True, ("operation.procedures", "plan.procedures"), ("operation.started_at",)
)
UNDATED = replace(LEAFLET, dated=False, teeth_lists=("plan.procedures",), reference_paths=("plan.operation_at",))
"""Requests as the shipped kinds make them."""

Edits = dict[str, Any]
"""Path > new value; None takes the field out; a path under settings. names a setting; a list item may be appended."""


def facts_of(edits: Edits, request: Request = LEAFLET) -> dict[str, Result]:
    """State the facts of case 1 after some changes."""
    tree = copy.deepcopy(example_tree("fenwright"))
    for path, value in edits.items():
        if path.startswith("settings."):
            tree["settings"][path.removeprefix("settings.")] = {"value": value, "by": "mh", "on": "2026-01-05"}
        elif value is None:
            drop(tree, path)
        else:
            put(tree, path, json.loads(json.dumps(value)))  # shared parts would be written as YAML anchors
    problems = Problems()
    case = read_case(tree_files(tree).case, None, None, problems)
    assert [] == [(problem.code, problem.path) for problem in problems]
    return state_facts(case, request, shipped_world().tables).results


def value_of(name: str, edits: Edits, request: Request = LEAFLET) -> Any:
    """Give the value of a fact that can be computed."""
    result = facts_of(edits, request)[name]
    assert isinstance(result, Known), result
    return result.value


def unknown(name: str, edits: Edits, request: Request = LEAFLET) -> Unknown:
    """Give a fact that cannot be computed."""
    result = facts_of(edits, request)[name]
    assert isinstance(result, Unknown), result
    return result
