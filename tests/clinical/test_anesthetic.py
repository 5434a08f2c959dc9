"""Anesthetic arithmetic against published worked examples (reference 3.4) and check values (section 9)."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

import pytest
from clinical_patients import TABLES

from docgen.clinical.anesthetic import (
    EpinephrineLimit,
    Injection,
    LowReasons,
    Room,
    add_up,
    dose_limit,
    drug_dose_mg,
    epinephrine_dose_ug,
    epinephrine_limit,
    low_epinephrine_reasons,
    remaining,
)

KG_PER_LB: Final = Fraction("0.45359237")
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


def _in_all(solution: Injection, weight_kg: Fraction, regime: str) -> Room:
    epinephrine = epinephrine_limit(weight_kg, HEALTHY, TABLES)
    found = remaining(solution, add_up([solution], weight_kg, regime, epinephrine, TABLES))
    assert found is not None
    return found.in_all


@pytest.mark.parametrize(
    ("weight_kg", "solution", "regime", "cartridges", "published", "limited_by"),
    [
        # CAN22 (check 21): 20 kg, 3.9 printed, 3.888 exact; the table states no vasoconstrictor
        (Fraction(20), _solution("lidocaine", "2", None, "1.8"), "canada", "3.888", "3.9", "drug"),
        # DDH (check 22): 150 lb, the drug allows 13, epinephrine limits to 11
        (150 * KG_PER_LB, _solution("lidocaine", "2", 100_000, "1.8"), "us_label", "11.111", "11", "epinephrine"),
        # DDH (check 23): 150 lb with 4.4 mg/kg, 8 cartridges; 3.2 to 2 mg/lb on the page
        (150 * KG_PER_LB, _solution("lidocaine", "2", None, "1.8"), "conservative", "8.315", "8", "drug"),
        # ARTI (check 24): 150 lb, articaine 1:200,000 in 1.7 mL, 7.004
        (150 * KG_PER_LB, _solution("articaine", "4", 200_000, "1.7"), "us_label", "7.004", "7", "drug"),
        # BDJ06 (check 26): 70 kg, "just over 11" of 2.2 mL by the drug alone
        (Fraction(70), _solution("lidocaine", "2", None, "2.2"), "uk_label", "11.136", "11", "drug"),
        # BDJ06, derived (check 26): 1:80,000 brings it to 7.27
        (Fraction(70), _solution("lidocaine", "2", 80_000, "2.2"), "uk_label", "7.272", "7", "epinephrine"),
        # BDJ06: the same under the 300 mg cap, 6.8
        (Fraction(70), _solution("lidocaine", "2", 80_000, "2.2"), "uk_taught", "6.818", "6", "drug"),
        # derived in reference 3.4: 50 kg 9.72; mepivacaine 7.41; prilocaine 7.78
        (Fraction(50), _solution("lidocaine", "2", None, "1.8"), "canada", "9.722", "9", "drug"),
        (Fraction(70), _solution("mepivacaine", "3", None, "1.8"), "us_label", "7.407", "7", "drug"),
        (Fraction(70), _solution("prilocaine", "4", None, "1.8"), "us_label", "7.777", "7", "drug"),
        # AUS08: 70 kg, 2.2 mL: prilocaine 4 % 4.5, articaine 5.5 (its 308 mg of lidocaine pass its own cap: 6 here)
        (Fraction(70), _solution("prilocaine", "4", None, "2.2"), "australia_older", "4.545", "4", "drug"),
        (Fraction(70), _solution("articaine", "4", None, "2.2"), "australia_older", "5.568", "5", "drug"),
        (Fraction(70), _solution("mepivacaine", "3", None, "2.2"), "australia_older", "4.545", "4", "drug"),
        (Fraction(70), _solution("bupivacaine", "0.5", None, "2.2"), "australia_older", "8.181", "8", "drug"),
        (Fraction(70), _solution("lidocaine", "2", None, "2.2"), "australia_older", "6.818", "6", "drug"),
    ],
)
def test_a_published_example_gives_the_same_cartridges_rounded_down(
    weight_kg: Fraction, solution: Injection, regime: str, cartridges: str, published: str, limited_by: str
) -> None:
    """The exact number within 0.001, then down to 0.1 and to whole; published tables round to the nearest."""
    room = _in_all(solution, weight_kg, regime)
    assert room.cartridges is not None
    assert room.cartridges_tenths is not None
    assert abs(room.cartridges - Fraction(cartridges)) <= Fraction("0.001")
    assert int(Fraction(cartridges)) == room.whole_cartridges
    assert int(room.cartridges * 10) == room.cartridges_tenths * 10
    assert limited_by == room.limited_by
    within = Fraction("0.1") if "." in published else 1
    assert abs(room.cartridges_tenths - Fraction(published)) <= within


@pytest.mark.parametrize(
    ("weight", "regime", "inn", "mg", "limited_by"),
    [
        ("20", "canada", "lidocaine", "140", "weight"),  # CAN22, check 21
        ("70", "us_label", "lidocaine", "490", "weight"),  # ETG3, check 25
        ("90", "us_label", "lidocaine", "500", "cap"),  # BRAIN, check 29: capped from 630
        ("70", "us_label", "mepivacaine", "400", "cap"),  # reference 3.4
        ("70", "us_label", "prilocaine", "560", "weight"),
        ("70", "us_label", "bupivacaine", "90", "cap"),  # no mg/kg in this regime
        ("100", "us_label", "articaine", "700", "weight"),  # no cap since about 2013
        ("70", "canada", "bupivacaine", "140", "weight"),
        ("70", "australia_older", "lidocaine", "300", "cap"),
        ("62", "uk_taught", "lidocaine", "272.8", "weight"),
    ],
)
def test_the_limit_is_the_lower_of_weight_and_cap(weight: str, regime: str, inn: str, mg: str, limited_by: str) -> None:
    """The limiting term is named, with the sources of its row."""
    limit = dose_limit(inn, Fraction(weight), regime, TABLES)
    assert limit is not None
    assert (Fraction(mg), limited_by) == (limit.mg, limit.limited_by)
    assert limit.source


def test_a_child_of_20_lb_gets_mepivacaine_by_the_label_formula_of_mg_per_lb() -> None:
    """MEPI, check 28: 3 mg/lb is 6.6 mg/kg (6.614): 59.9 of the published 60 mg; 1.17 and 1.76 cartridges of 1.7 mL."""
    weight_kg = 20 * KG_PER_LB
    limit = dose_limit("mepivacaine", weight_kg, "us_label", TABLES)
    assert limit is not None
    assert Fraction("59.8") == limit.printed_mg
    for percent, published in (("3", "1.2"), ("2", "1.8")):
        room = _in_all(_solution("mepivacaine", percent, None, "1.7"), weight_kg, "us_label")
        assert room.cartridges_tenths is not None
        assert abs(room.cartridges_tenths - Fraction(published)) <= Fraction("0.1")


def test_epinephrine_alone_would_allow_an_unsafe_dose_of_articaine() -> None:
    """DDH: 22 cartridges of 1:200,000 keep to 0.2 mg of epinephrine and hold 1,584 mg; the drug limit stands before."""
    many = _solution("articaine", "4", 200_000, "1.8", volume_ml=str(22 * Fraction("1.8")))
    totals = add_up([many], Fraction(70), "us_label", epinephrine_limit(Fraction(70), HEALTHY, TABLES), TABLES)
    assert Fraction(1584) == totals.drugs[0].dose_mg
    assert totals.epinephrine_fraction is not None
    assert totals.epinephrine_fraction < 1
    assert totals.over_limit is True


@pytest.mark.parametrize(
    ("percent", "dilution", "volume_ml", "mg", "ug"),
    [
        ("2", 80_000, "2.2", "44", "27.5"),  # UKSPC, check 30
        ("2", 80_000, "1.7", "34", "21.25"),  # UKSPC2
        ("2", 100_000, "1.8", "36", "18"),  # MALAMED, EPICALC, check 31
        ("4", 200_000, "1.7", "68", "8.5"),
        ("2", 50_000, "1.8", "36", "36"),
        ("3", None, "1.8", "54", "0"),  # MALAMED
        ("0.5", 200_000, "1.8", "9", "9"),  # MALAMED
    ],
)
def test_a_cartridge_holds_what_its_label_says(
    percent: str, dilution: int | None, volume_ml: str, mg: str, ug: str
) -> None:
    """Reference 3.2 and 3.3: mg = mL x 10 x percent; microgram = mL x 1,000,000 / dilution."""
    injection = _solution("lidocaine", percent, dilution, "2", volume_ml)
    assert (Fraction(mg), Fraction(ug)) == (drug_dose_mg([injection], "lidocaine"), epinephrine_dose_ug([injection]))


@pytest.mark.parametrize(
    ("dilution", "cartridge_ml", "limit_ug", "published"),
    [
        (100_000, "1.8", 200, "11.11"),
        (100_000, "1.8", 40, "2.22"),
        (80_000, "2.2", 200, "7.27"),
        (50_000, "1.7", 40, "1.18"),
    ],
)
def test_cartridges_at_the_epinephrine_limit_are_those_of_the_published_table(
    dilution: int, cartridge_ml: str, limit_ug: int, published: str
) -> None:
    """EPICALC, EXAM (check 31) and reference 3.3, within the rounding of two places."""
    solution = _solution("lidocaine", "2", dilution, cartridge_ml)
    limit = EpinephrineLimit(Fraction(limit_ug), "cap", (), False, (), "found")
    found = remaining(solution, add_up([solution], Fraction(80), "us_label", limit, TABLES))
    assert found is not None
    assert found.in_all.cartridges is not None
    assert abs(found.in_all.cartridges - Fraction(published)) <= Fraction("0.005")


@pytest.mark.parametrize(
    ("weight", "reasons", "ug", "limited_by", "assumed"),
    [
        ("62", HEALTHY, "186", "weight", False),
        ("70", HEALTHY, "200", "cap", False),
        ("92", LowReasons(("beta_blocker_non_selective",), (), ("PFIZER",)), "40", "cap", False),
        ("10", LowReasons(("tca",), (), ("PFIZER",)), "30", "weight", False),
        (None, HEALTHY, "40", "cap", True),
        ("70", None, "40", "cap", True),
    ],
)
def test_the_epinephrine_limit_falls_with_weight_reasons_and_ignorance(
    weight: str | None, reasons: LowReasons | None, ug: str, limited_by: str, assumed: bool
) -> None:
    """MEDILIB and EXAM: min(200, 3/kg), min(40, 3/kg) with a reason; 40 is assumed if anything is unknown."""
    found = epinephrine_limit(None if weight is None else Fraction(weight), reasons, TABLES)
    assert (Fraction(ug), limited_by, assumed) == (found.ug, found.limited_by, found.assumed)


def test_conditions_and_drugs_bring_the_lower_limit() -> None:
    """The list of the specification, section 3.6; another name in -olol is a note and no limit."""
    found = low_epinephrine_reasons(
        ["hypertension", "angina_unstable"], ["Propranolol", "metoprolol", "amitriptyline"], TABLES
    )
    assert ("angina_unstable", "beta_blocker_non_selective", "tca") == found.reasons
    assert ("metoprolol",) == found.other_beta_blockers
    assert () == low_epinephrine_reasons(["hypertension", "diabetes"], ["bisoprolol"], TABLES).reasons
