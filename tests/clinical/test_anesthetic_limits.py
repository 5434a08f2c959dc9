"""
Every dose limit of specification 3.6 written out a second time, and doses held against it by arithmetic of their own.

Nothing here takes a limit from the tables: a row with a wrong figure fails.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

import pytest
from clinical_patients import TABLES
from hypothesis import given, settings
from hypothesis import strategies as st

from docgen.clinical.anesthetic import (
    REGIMES,
    Injection,
    LowReasons,
    Room,
    Totals,
    add_up,
    dose_limit,
    epinephrine_limit,
    percent_up,
    remaining,
)
from docgen.clinical.anesthetic.totals import Combine

DRUGS: Final = ("lidocaine", "articaine", "mepivacaine", "prilocaine", "bupivacaine")
LIMITS: Final = {  # specification 3.6, la_limit_mg: mg/kg and cap in mg in the order of DRUGS; - is none
    "us_label": "7/500 7/- 6.6/400 8/600 -/90",
    "conservative": "4.4/300 7/500 4.4/300 6/400 1.3/90",
    "australia_older": "4.4/300 7/500 4.4/300 6/400 1.3/90",
    "canada": "7/500 7/500 6.6/400 8/500 2/200",
    "uk_label": "7/500",
    "uk_taught": "4.4/300",
}
APPROVED: Final = "7/500 4.4/300 6/300 2/150"
"""Reference 3.1, column UK: articaine to bupivacaine, all memory; 300 is the lower end of 300-400."""
HEALTHY: Final = LowReasons((), (), ())
HEART: Final = LowReasons(("heart_disease_severe",), (), ("EXAM",))


def limit_mg(regime: str, inn: str, weight_kg: Fraction, approved: bool = False) -> Fraction | None:
    """Work a limit out from the specification's own words."""
    rows = LIMITS[regime].split() + (APPROVED.split() if approved and regime.startswith("uk") else [])
    held = dict(zip(DRUGS, rows, strict=False))
    if inn not in held:
        return None
    per_kg, cap = held[inn].split("/")
    terms = [Fraction(per_kg) * weight_kg] if per_kg != "-" else []
    return min([*terms, *([Fraction(cap)] if cap != "-" else [])])


@pytest.mark.parametrize("regime", REGIMES)
@pytest.mark.parametrize("inn", DRUGS)
@pytest.mark.parametrize("approved", [False, True])
def test_every_limit_is_the_one_of_the_specification(regime: str, inn: str, approved: bool) -> None:
    """Specification 3.6 and reference 3.1, at weights on both sides of each cap; memory rows only once approved."""
    for kg in (Fraction(3), Fraction(20), Fraction("57.5"), Fraction(70), Fraction(90), Fraction(101), Fraction(300)):
        found = dose_limit(inn, kg, regime, TABLES, approved)
        assert limit_mg(regime, inn, kg, approved) == (found.mg if found else None)
        assert found is None or found.printed_mg <= found.mg < found.printed_mg + Fraction("0.1")


SOLUTIONS: Final = (
    ("lidocaine", "2", 80_000, "2.2"),
    ("lidocaine", "2", 100_000, "1.8"),
    ("articaine", "4", 200_000, "1.7"),
    ("articaine", "4", 100_000, "1.8"),
    ("mepivacaine", "3", None, "1.8"),
    ("prilocaine", "4", None, "1.8"),
    ("bupivacaine", "0.5", 200_000, "1.8"),
)
injected = st.lists(
    st.tuples(st.sampled_from(SOLUTIONS), st.integers(min_value=1, max_value=200)), min_size=1, max_size=4
)
weights = st.integers(min_value=30, max_value=3000).map(lambda tenths: Fraction(tenths, 10))
regimes = st.sampled_from(REGIMES[:4])
rules: st.SearchStrategy[Combine] = st.sampled_from(["sum_of_fractions", "lower_of_two"])
hearts = st.sampled_from([HEALTHY, HEART])
Given = list[tuple[tuple[str, str, int | None, str], int]]


def solution(which: tuple[str, str, int | None, str], volume_ml: Fraction) -> Injection:
    """Give one injection."""
    inn, percent, dilution, cartridge = which
    return Injection(
        inn=inn,
        percent=Fraction(percent),
        volume_ml=volume_ml,
        vasoconstrictor="epinephrine" if dilution else None,
        dilution=dilution,
        cartridge_ml=Fraction(cartridge),
    )


def totals_of(rows: list[Injection], kg: Fraction, regime: str, heart: LowReasons, combine: Combine) -> Totals:
    """Set injections against their limits."""
    return add_up(rows, kg, regime, epinephrine_limit(kg, heart, TABLES), TABLES, combine)


@settings(max_examples=80)
@given(injected, weights, regimes, hearts, rules)
def test_no_dose_above_a_limit_goes_unflagged_and_none_below_is_blamed(
    rows: Given, kg: Fraction, regime: str, heart: LowReasons, combine: Combine
) -> None:
    """Each drug, the sum and epinephrine (200 or 40 microgram, 3 per kg: MEDILIB, EXAM), worked out apart."""
    mg: dict[str, Fraction] = {}
    ug = Fraction(0)
    for (inn, percent, dilution, _), tenths in rows:
        ml = Fraction(tenths, 10)
        mg[inn] = mg.get(inn, Fraction(0)) + ml * Fraction(percent) * 10
        ug += ml * 1_000_000 / dilution if dilution else 0
    limits = {inn: limit_mg(regime, inn, kg) or Fraction(0) for inn in mg}
    together = sum(mg[inn] / limits[inn] for inn in mg)
    if combine == "lower_of_two":
        together = sum(mg.values()) / min(limits.values())
    passed = (
        any(mg[inn] > limits[inn] for inn in mg) or together > 1 or ug > min(200 if heart is HEALTHY else 40, 3 * kg)
    )
    found = totals_of([solution(which, Fraction(ml, 10)) for which, ml in rows], kg, regime, heart, combine)

    assert passed is found.over_limit
    assert found.limiting is not None
    assert passed is (percent_up(found.limiting.fraction) > 100)


@settings(max_examples=80)
@given(injected, weights, regimes, hearts, rules)
def test_what_is_printed_as_left_or_as_whole_cartridges_never_passes_a_limit(
    rows: Given, kg: Fraction, regime: str, heart: LowReasons, combine: Combine
) -> None:
    """Volumes and cartridges, each rounded down as printed, added to what was given, or given alone."""
    used = [solution(which, Fraction(ml, 10)) for which, ml in rows]
    before = totals_of(used, kg, regime, heart, combine)
    for which, _ in rows:
        room = remaining(solution(which, Fraction(0)), before)
        assert room is not None
        for ml in _printed_volumes(room.left):
            after = totals_of([*used, solution(which, ml)], kg, regime, heart, combine)
            assert before.over_limit or not after.over_limit
        for ml in _printed_volumes(room.in_all):
            assert not totals_of([solution(which, ml)], kg, regime, heart, combine).over_limit


def _printed_volumes(room: Room) -> tuple[Fraction, ...]:
    assert room.cartridge_ml is not None
    assert room.cartridges_tenths is not None
    assert room.whole_cartridges is not None
    return (room.printed_ml, room.cartridges_tenths * room.cartridge_ml, room.whole_cartridges * room.cartridge_ml)


@settings(max_examples=60)
@given(injected, weights, st.integers(min_value=1, max_value=500), regimes, hearts)
def test_more_drug_uses_more_and_a_heavier_patient_is_never_held_to_less(
    rows: Given, kg: Fraction, more: int, regime: str, heart: LowReasons
) -> None:
    """Shares rise with volume and fall with weight; a heart disease never widens a limit."""
    used = [solution(which, Fraction(ml, 10)) for which, ml in rows]
    lighter = totals_of(used, kg, regime, heart, "sum_of_fractions")
    heavier = totals_of(used, kg + Fraction(more, 10), regime, heart, "sum_of_fractions")
    fuller = totals_of([*used, solution(rows[0][0], Fraction(more, 10))], kg, regime, heart, "sum_of_fractions")
    healthy = totals_of(used, kg, regime, HEALTHY, "sum_of_fractions")

    shares = [totals.limiting.fraction for totals in (heavier, lighter, fuller) if totals.limiting]
    assert len(shares) == 3
    assert sorted(shares) == shares
    assert lighter.epinephrine_limit.ug <= healthy.epinephrine_limit.ug


@given(st.fractions(min_value=0, max_value=3))
def test_a_share_is_printed_over_100_exactly_if_the_limit_is_passed(share: Fraction) -> None:
    """Rounded up to 0.1: never short of the truth, and 100 stays 100."""
    assert share * 100 <= percent_up(share) < share * 100 + Fraction("0.1")
    assert (share > 1) is (percent_up(share) > 100)
