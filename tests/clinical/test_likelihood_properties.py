"""The properties P1 to P7 of the specification, section 4.2, and P3 to P7 under every setting of the clinic."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import permutations, product
from typing import Any, Final

import pytest
from clinical_patients import (
    PATIENT_VALUES,
    POSITIONS,
    TABLES,
    any_patient,
    at,
    printed,
    settings_of_a_clinic,
)
from hypothesis import given
from hypothesis import settings as effort

from docgen.clinical.likelihood import UNKNOWN, Inputs, RiskSettings, estimates_of_tooth, risk_table
from docgen.clinical.likelihood.rows import RiskRows, risk_rows
from docgen.clinical.table import Table, Tables

LOWER_EVENTS: Final = ("ian_temporary", "ian_permanent", "ln_temporary", "ln_permanent", "dry_socket", "jaw_fracture")
EVENTS: Final = tuple(risk_rows(TABLES).events)
CANALS: Final = ("clear", "touching", "overlapping")
AGES: Final = (22, 28, 34, 45)
DEPTHS: Final = ("A", "B", "C")
RAMI: Final = ("I", "II", "III")
ANGULATIONS_BY_POINTS: Final = ("mesioangular", "horizontal", "vertical", "distoangular")

# of each input, the values that are never less harmful than the one before
HARDER: Final[dict[str, tuple[Any, ...]]] = {
    "smoking_status": ("never", "current"),
    "hormonal_contraception": ("none", "combined"),
    "lingual_flap": (False, True),
    "age_years": (16, 25, 26, 30, 31, 32, 33, 70),
    "eruption": ("erupted", "partly_impacted", "fully_impacted"),
    "depth": ("A", "B", "C"),
    "canal_relation": ("clear", "touching", "overlapping"),
    "surgical": (False, True),
    "film_sign_strong": (False, True),
    "ct_position": ("buccal", "lingual"),
    "sinus_relation": ("clear", "tips_on_floor", "all_roots_overlap"),
    "incision": (False, True),
    "bleeding_patient_class": ("none", "antiplatelet", "vka", "doac"),
    "antiresorptive_indication": ("osteoporosis", "cancer"),
    "pederson_total": (3, 5, 6, 10),
    "root_shapes": (("straight",), ("divergent",)),
    "winter_class": ("vertical", "mesioangular"),
}


@cache
def _figures(
    position: tuple[str, str, str], envelope: bool, canal: str = "clear", age: int = 22
) -> dict[str, Fraction]:
    tooth = at(*position, canal_relation=canal, age_years=age)
    return {event: printed(event, tooth, RiskSettings(score_envelope=envelope)) for event in LOWER_EVENTS}


def _total(position: tuple[str, str, str]) -> int:
    total = at(*position).pederson_total
    assert isinstance(total, int)
    return total


@pytest.mark.parametrize(("canal", "age"), list(product(CANALS, AGES)))
def test_p1_a_higher_total_never_prints_a_smaller_number(canal: str, age: int) -> None:
    """P1: over all ordered pairs of the 36 positions, a higher total prints no smaller figure for any event."""
    figures = {position: _figures(position, True, canal, age) for position in POSITIONS}
    broken = [
        (lower, higher, event)
        for lower, higher in permutations(POSITIONS, 2)
        if _total(lower) < _total(higher)
        for event in LOWER_EVENTS
        if figures[lower][event] > figures[higher][event]
    ]
    assert [] == broken


def test_without_the_envelope_48_pairs_of_positions_break_p1() -> None:
    """P1 can fail: the specification counts 48 pairs, each a depth-C tooth against a higher total of depth A or B."""
    figures = {position: _figures(position, False) for position in POSITIONS}
    broken = [
        (lower, higher)
        for lower, higher in permutations(POSITIONS, 2)
        if _total(lower) < _total(higher)
        and any(figures[lower][event] > figures[higher][event] for event in LOWER_EVENTS)
    ]
    assert 48 == len(broken)
    assert {("C", False)} == {(lower[1], higher[1] == "C") for lower, higher in broken}


@pytest.mark.parametrize(("canal", "age"), list(product(CANALS, AGES)))
def test_p2_a_worse_component_never_prints_a_smaller_number(canal: str, age: int) -> None:
    """P2: one step worse in angulation, depth, ramus or canal, all else equal, prints no smaller figure."""
    for winter, depth, ramus in POSITIONS:
        here = _figures((winter, depth, ramus), True, canal, age)
        worse = [
            *((w, depth, ramus, canal) for w in _after(winter, ANGULATIONS_BY_POINTS)),
            *((winter, d, ramus, canal) for d in _after(depth, DEPTHS)),
            *((winter, depth, r, canal) for r in _after(ramus, RAMI)),
            *((winter, depth, ramus, c) for c in _after(canal, CANALS)),
        ]
        for w, d, r, c in worse:
            there = _figures((w, d, r), True, c, age)
            assert [] == [event for event in LOWER_EVENTS if there[event] < here[event]]


@pytest.mark.parametrize("name", list(HARDER))
@effort(max_examples=25, deadline=None)
@given(patient=any_patient, chosen=settings_of_a_clinic)
def test_p3_the_most_harmful_answer_to_an_unknown_lowers_no_number(
    name: str, patient: Inputs, chosen: RiskSettings
) -> None:
    """P3: whatever the settings, answering one input with its most harmful value prints no less than leaving it."""
    blank: dict[str, Any] = {name: UNKNOWN}
    unknown = replace(patient, **blank)
    worst = replace(patient, **{name: HARDER[name][-1]})
    for event in EVENTS:
        assert printed(event, unknown, chosen) <= printed(event, worst, chosen), event


@effort(max_examples=120, deadline=None)
@given(patient=any_patient, chosen=settings_of_a_clinic)
def test_p4_a_permanent_injury_is_never_more_likely_than_a_temporary_one(patient: Inputs, chosen: RiskSettings) -> None:
    """P4: whatever the settings, permanent <= temporary for either nerve, seen or not, and after coronectomy."""
    pairs = (
        ("ian_permanent", "ian_temporary"),
        ("ln_permanent", "ln_temporary"),
        ("ian_seen_permanent", "ian_seen_temporary"),
        ("cor_ian_permanent_root_stays", "cor_ian_root_stays"),
        ("cor_ian_permanent_root_out", "cor_ian_root_out"),
    )
    for permanent, temporary in pairs:
        assert printed(permanent, patient, chosen) <= printed(temporary, patient, chosen)


@effort(max_examples=120, deadline=None)
@given(patient=any_patient, chosen=settings_of_a_clinic)
def test_p5_a_printed_figure_lies_between_the_raw_one_and_the_cap(patient: Inputs, chosen: RiskSettings) -> None:
    """P5: whatever the settings, nothing is rounded inward and nothing passes the highest published figure."""
    for found in estimates_of_tooth(patient, chosen, TABLES, nerve_review=True):
        if found.printed is None or found.probability is None:
            continue
        assert found.probability <= found.printed.probability
        if found.trace.cap is not None:
            assert found.printed.probability <= found.trace.cap.value
        assert found.printed.denominator == found.printed.affected + found.printed.not_affected


@effort(max_examples=60, deadline=None)
@given(first=any_patient, second=any_patient, chosen=settings_of_a_clinic)
def test_p6_the_order_of_rows_and_teeth_changes_nothing(first: Inputs, second: Inputs, chosen: RiskSettings) -> None:
    """P6: tables read backwards and teeth given backwards make the same estimates and the same table of risks."""
    if first.fdi == second.fdi:
        second = replace(second, fdi="48" if first.fdi == "38" else "38")
    forward = [e for t in (first, second) for e in estimates_of_tooth(t, chosen, TABLES)]
    backward = [e for t in (second, first) for e in estimates_of_tooth(t, chosen, BACKWARDS)]
    assert risk_table(forward) == risk_table(reversed(backward))
    assert risk_table(forward) == risk_table(reversed(forward))


@pytest.mark.parametrize("name", ["smoking_status", "hormonal_contraception", "lingual_flap", "age_years"])
@effort(max_examples=40, deadline=None)
@given(patient=any_patient, chosen=settings_of_a_clinic)
def test_p7_a_harm_added_to_a_patient_prints_no_less(name: str, patient: Inputs, chosen: RiskSettings) -> None:
    """P7: whatever the settings, smoking, the pill, a raised lingual flap and each year of age print no less."""
    steps = [replace(patient, **{name: value}) for value in HARDER[name]]
    for event in EVENTS:
        figures = [printed(event, step, chosen) for step in steps]
        assert sorted(figures) == figures, event


def test_the_sampled_patients_cover_every_input_of_a_figure() -> None:
    """No condition of a base, ratio or floor row stands on an input the properties never vary."""
    rows: RiskRows = risk_rows(TABLES)
    used = {c.input for row in (*rows.bases, *rows.ratios) for c in row.when}
    assert set() == used - PATIENT_VALUES.keys() - {"tooth_class"}


def _after(value: str, steps: tuple[str, ...]) -> tuple[str, ...]:
    return steps[steps.index(value) + 1 :]


def _backwards(tables: Tables) -> Tables:
    def turned(table: Table) -> Table:
        keeps_order = table.name == "likelihood-event"  # its order is the order of the estimates
        return table if keeps_order else replace(table, rows=tuple(reversed(table.rows)))

    return Tables({name: turned(table) for name, table in tables.by_name.items()}, tables.sources)


BACKWARDS: Final = _backwards(TABLES)
