"""Anesthetic arithmetic where something is missing, over or at the edge, and the properties of the two sums."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Final

import pytest
from clinical_patients import TABLES
from hypothesis import given
from hypothesis import strategies as st

from docgen.clinical.anesthetic import (
    REGIMES,
    Injection,
    LowReasons,
    Remaining,
    Room,
    add_up,
    dose_limit,
    drug_dose_mg,
    epinephrine_dose_ug,
    epinephrine_limit,
    percent_up,
    remaining,
    weight_for_dosing_kg,
    weight_is_unusual,
)
from docgen.clinical.anesthetic.totals import Combine

HEALTHY: Final = LowReasons((), (), ())


def _solution(inn: str, percent: str, dilution: int | None, cartridge_ml: str, volume_ml: str = "0") -> Injection:
    return Injection(
        inn=inn,
        percent=Fraction(percent),
        volume_ml=Fraction(volume_ml),
        vasoconstrictor="epinephrine" if dilution else None,
        dilution=dilution,
        cartridge_ml=Fraction(cartridge_ml),
    )


def test_a_missing_part_leaves_the_sum_unknown_and_never_partial() -> None:
    """One injection without a volume, one drug without a row: no dose, no sum, no remaining volume."""
    known = _solution("lidocaine", "2", 80_000, "2.2", "2.2")
    blank = Injection(
        inn="lidocaine", percent=Fraction(2), volume_ml=None, vasoconstrictor="epinephrine", dilution=80_000
    )
    limit = epinephrine_limit(Fraction(70), HEALTHY, TABLES)
    assert drug_dose_mg([known, blank], "lidocaine") is None
    assert epinephrine_dose_ug([known, blank]) is None
    totals = add_up([known, blank], Fraction(70), "uk_taught", limit, TABLES)
    assert (None, None, None) == (totals.combined, totals.limiting, totals.over_limit)
    assert remaining(known, totals) is None
    unlisted = add_up(
        [known, _solution("ropivacaine", "0.5", None, "2", "2")], Fraction(70), "uk_taught", limit, TABLES
    )
    assert (("ropivacaine",), None, None) == (unlisted.without_row, unlisted.combined, unlisted.lower_of_two)


def test_no_room_is_named_for_a_solution_whose_strength_or_limit_is_not_known() -> None:
    """The drug has a limit and something was used of it, but nobody knows how much a milliliter of this one holds."""
    known = _solution("lidocaine", "2", 80_000, "2.2", "2.2")
    limit = epinephrine_limit(Fraction(70), HEALTHY, TABLES)
    totals = add_up([known], Fraction(70), "uk_taught", limit, TABLES)
    cartridge = Fraction("2.2")
    assert Remaining(Room(Fraction("12.8"), "drug", cartridge), Room(Fraction(15), "drug", cartridge)) == remaining(
        known, totals
    )
    strengthless = replace(known, percent=None)
    undiluted = replace(known, dilution=None)
    unused = _solution("articaine", "4", None, "1.7")
    assert [None, None, None] == [remaining(one, totals) for one in (strengthless, undiluted, unused)]


@pytest.mark.parametrize("combine", ["sum_of_fractions", "lower_of_two"])
def test_a_drug_without_a_limit_leaves_no_room_beside_one_that_has_it(combine: Combine) -> None:
    """Ropivacaine has no row: neither it nor the lidocaine beside it has a volume left."""
    listed, unlisted = _solution("lidocaine", "2", None, "2", "2"), _solution("ropivacaine", "0.5", None, "2", "2")
    limit = epinephrine_limit(Fraction(70), HEALTHY, TABLES)
    totals = add_up([listed, unlisted], Fraction(70), "uk_taught", limit, TABLES, combine)
    assert [None, None] == [remaining(one, totals) for one in (listed, unlisted)]


def test_without_a_weight_no_limit_is_computed() -> None:
    """Absence of a weight is no default weight (extra edge test of section 9); the dose is still added up."""
    injection = _solution("lidocaine", "2", 80_000, "2.2", "4.4")
    totals = add_up([injection], None, "uk_taught", epinephrine_limit(None, HEALTHY, TABLES), TABLES)
    assert (Fraction(88), None) == (totals.drugs[0].dose_mg, totals.drugs[0].limit)
    assert totals.combined is None
    assert remaining(injection, totals) is None
    assert totals.over_limit is True  # 55 microgram pass the assumed 40, whatever the weight


def test_a_passed_limit_counts_even_if_another_is_unknown() -> None:
    """What is known to be too much is not excused by what is not known."""
    much = _solution("lidocaine", "2", None, "2.2", "30")
    blank = Injection(inn="articaine", percent=Fraction(4), volume_ml=None)
    totals = add_up(
        [much, blank], Fraction(50), "conservative", epinephrine_limit(Fraction(50), HEALTHY, TABLES), TABLES
    )
    assert totals.over_limit is True


def test_what_is_used_up_leaves_nothing_and_never_a_negative_volume() -> None:
    """The room left ends at 0."""
    much = _solution("lidocaine", "2", 80_000, "2.2", "22")
    totals = add_up([much], Fraction(70), "uk_taught", epinephrine_limit(Fraction(70), HEALTHY, TABLES), TABLES)
    found = remaining(much, totals)
    assert found is not None
    assert (Fraction(0), 0) == (found.left.ml, found.left.whole_cartridges)


def test_remembered_rows_wait_for_approval() -> None:
    """UK rows other than lidocaine are memory: no limit until the clinic approves them (la.memory_rows)."""
    assert dose_limit("articaine", Fraction(60), "uk_taught", TABLES) is None
    approved = dose_limit("articaine", Fraction(60), "uk_taught", TABLES, memory_rows_approved=True)
    assert approved is not None
    assert (Fraction(420), "memory") == (approved.mg, approved.tag)


def test_an_unknown_regime_is_refused() -> None:
    """The regime is always chosen by name."""
    with pytest.raises(ValueError, match="no regime"):
        dose_limit("lidocaine", Fraction(60), "french", TABLES)


def test_the_lower_weight_counts_and_an_impossible_one_is_refused() -> None:
    """Lean weight in obesity; 3 to 300 kg; a note outside 10 to 200 kg (reference 3.5)."""
    assert Fraction(80) == weight_for_dosing_kg(Fraction(140), Fraction(80), TABLES)
    assert Fraction(70) == weight_for_dosing_kg(Fraction(70), None, TABLES)
    assert weight_for_dosing_kg(None, None, TABLES) is None
    for weight in ("2.9", "300.1"):
        with pytest.raises(ValueError, match="outside 3 to 300"):
            weight_for_dosing_kg(Fraction(weight), None, TABLES)
    assert [True, False, False, True] == [weight_is_unusual(Fraction(kg), TABLES) for kg in ("9.9", "10", "200", "201")]


@given(
    volumes=st.lists(st.fractions(min_value=0, max_value=20, max_denominator=10), min_size=2, max_size=2),
    weight=st.integers(min_value=3, max_value=300),
    regime=st.sampled_from(REGIMES[:4]),
)
def test_the_lower_of_two_limits_is_never_the_milder_rule(volumes: list[Fraction], weight: int, regime: str) -> None:
    """Specification 1.3: total mg over the lower limit is never less than the sum of fractions."""
    injections = [
        _solution("lidocaine", "2", 100_000, "1.8", str(volumes[0])),
        _solution("articaine", "4", 200_000, "1.7", str(volumes[1])),
    ]
    limit = epinephrine_limit(Fraction(weight), HEALTHY, TABLES)
    totals = add_up(injections, Fraction(weight), regime, limit, TABLES)
    assert totals.sum_of_fractions is not None
    assert totals.lower_of_two is not None
    assert totals.sum_of_fractions <= totals.lower_of_two


@given(weight=st.integers(min_value=3, max_value=300), used=st.fractions(min_value=0, max_value=10, max_denominator=10))
def test_injecting_all_that_is_left_reaches_a_limit_and_passes_none(weight: int, used: Fraction) -> None:
    """The remaining volume is exact: with it added, the fullest limit stands at 1, unless it was passed before."""
    limit = epinephrine_limit(Fraction(weight), HEALTHY, TABLES)
    given_now = [_solution("lidocaine", "2", 80_000, "2.2", str(used))]
    before = add_up(given_now, Fraction(weight), "uk_taught", limit, TABLES)
    found = remaining(given_now[0], before)
    assert found is not None
    rest = _solution("lidocaine", "2", 80_000, "2.2", str(found.left.ml))
    after = add_up([*given_now, rest], Fraction(weight), "uk_taught", limit, TABLES)
    assert after.limiting is not None
    assert after.limiting.fraction == 1 or before.over_limit


def test_a_used_share_is_printed_rounded_up() -> None:
    """Case 1 of the specification: 57.5 of 186 microgram is 30.914 %, printed 31.0."""
    assert Fraction(31) == percent_up(Fraction("57.5") / 186)
