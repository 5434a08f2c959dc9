"""The examples examined: what the tests of the demonstration cases share."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from functools import cache
from typing import Any

from conftest import ISSUED_ON, example_files, example_tree, put, shipped_world, tree_files

from docgen.examine import CaseFiles, Examined, Wish, examine
from docgen.facts import Known, Result


def seen(files: CaseFiles, day: date, *kinds: str, language: str = "en") -> Examined:
    """Examine files on a day, in English unless said otherwise; no kinds: those whose moment has come."""
    return examine(files, Wish(kinds=kinds, on=day, language=language), shipped_world(), lambda _zone: day)


@cache
def example(name: str) -> Examined:
    """Examine an example on its day of issue, once."""
    return seen(example_files(name), ISSUED_ON[name])


def facts_of(looked: Examined, kind: str) -> Mapping[str, Result]:
    """Give the facts stated for a kind of document."""
    return next(one.stated.results for one in looked.asked if one.kind.name == kind)


def known(looked: Examined, kind: str, fact_name: str) -> Any:
    """Give the value of a fact that is known."""
    result = facts_of(looked, kind)[fact_name]
    assert isinstance(result, Known), (fact_name, result)
    return result.value


def fact(name: str, kind: str, fact_name: str) -> Any:
    """Give the value of a fact that is known for a kind of document of an example."""
    return known(example(name), kind, fact_name)


def changed(name: str, values: Mapping[str, Any], day: date | None = None) -> Examined:
    """Examine an example with some fields changed, on its day of issue or another."""
    tree = example_tree(name)
    for path, value in values.items():
        put(tree, path, value)
    return seen(tree_files(tree), day or ISSUED_ON[name])


def with_setting(name: str, setting: str, value: str) -> Examined:
    """Examine an example whose clinic chose otherwise."""
    tree = example_tree(name)
    tree["settings"][setting] = {"value": value, "by": "a test", "on": "2026-01-01"}
    return seen(tree_files(tree), ISSUED_ON[name])
