"""The base rows > those whose figure falls while an ordered input gets harder: a fault of the table."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import permutations
from typing import Final

from docgen.clinical.likelihood.rows import BaseRow, Condition, risk_rows
from docgen.clinical.table import Tables
from docgen.clinical.table_file import parse_number

ORDERED: Final[Mapping[str, tuple[str, ...]]] = {
    "eruption": ("erupted", "partly_impacted", "fully_impacted"),
    "bleeding_patient_class": ("none", "antiplatelet", "vka", "doac", "other"),
    "surgical": ("no", "yes"),
    "depth": ("A", "B", "C"),
    "ramus": ("I", "II", "III"),
    "mronj_group": ("none", "low", "higher"),
}
"""Ordered inputs, easy to hard; ages are numbers and order themselves."""


def ordering_faults(tables: Tables) -> tuple[str, ...]:
    """Name every pair of rows of one event that differ in one ordered input only and fall while it gets harder."""
    bases = risk_rows(tables).bases
    return tuple(
        f"{easier.id} is higher than {harder.id}"
        for easier, harder in permutations(bases, 2)
        if _same_but_one(easier, harder) and easier.value > harder.value
    )


def _same_but_one(easier: BaseRow, harder: BaseRow) -> bool:
    """Tell whether the rows belong together and the second is the harder one."""
    if easier.row.text("event") != harder.row.text("event") or easier.under != harder.under:
        return False
    first, second = ({c.input: c for c in row.when} for row in (easier, harder))
    differing = [name for name in first.keys() | second.keys() if first.get(name) != second.get(name)]
    if len(differing) != 1 or not (differing[0] in first and differing[0] in second):
        return False
    low, high = _hardness(first[differing[0]]), _hardness(second[differing[0]])
    return low is not None and high is not None and low < high


def _hardness(condition: Condition) -> Fraction | None:
    if condition.operator in ("over", "at_least"):
        return parse_number(condition.values[0])
    steps = ORDERED.get(condition.input, ())
    places = [steps.index(value) for value in condition.values if value in steps]
    return Fraction(max(places)) if places else None
