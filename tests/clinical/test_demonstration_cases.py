"""The computed values of the demonstration cases 1 to 7 (specification, section 7): doses, risks, difficulty."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, Final

import pytest
from clinical_patients import TABLES, A, asked, at, upper

from docgen.clinical.anesthetic import (
    Injection,
    Totals,
    add_up,
    epinephrine_limit,
    low_epinephrine_reasons,
    percent_up,
    remaining,
)
from docgen.clinical.anesthetic.totals import Combine
from docgen.clinical.likelihood import Inputs
from docgen.clinical.position import pederson_bands, yuasa_flag


@dataclass(frozen=True)
class Anesthetic:
    """What one case injects into whom."""

    weight_kg: str
    regime: str
    injections: tuple[tuple[str, str, int | None, str, str], ...]
    """INN, percent, dilution, mL in all, mL of a cartridge."""
    drugs: tuple[str, ...] = ()
    conditions: tuple[str, ...] = ()

    def add_up(self, combine: Combine = "sum_of_fractions") -> Totals:
        """Set the injections against their limits."""
        weight = Fraction(self.weight_kg)
        reasons = low_epinephrine_reasons(self.conditions, self.drugs, TABLES)
        limit = epinephrine_limit(weight, reasons, TABLES)
        return add_up(self.solutions, weight, self.regime, limit, TABLES, combine)

    @property
    def solutions(self) -> list[Injection]:
        """The injections as the engine takes them."""
        return [
            Injection(
                inn=inn,
                percent=Fraction(percent),
                volume_ml=Fraction(volume),
                vasoconstrictor="epinephrine" if dilution else None,
                dilution=dilution,
                cartridge_ml=Fraction(cartridge),
            )
            for inn, percent, dilution, volume, cartridge in self.injections
        ]


CASES: Final = {
    1: Anesthetic("62", "uk_taught", (("lidocaine", "2", 80_000, "4.6", "2.2"),)),
    2: Anesthetic(
        "81", "conservative", (("articaine", "4", 100_000, "5.4", "1.8"), ("lidocaine", "2", 100_000, "1.8", "1.8"))
    ),
    3: Anesthetic("92", "canada", (("articaine", "4", 200_000, "6.8", "1.7"),), drugs=("apixaban", "propranolol")),
    4: Anesthetic("51.5", "us_label", (("lidocaine", "2", 100_000, "7.2", "1.8"),)),
    5: Anesthetic("58", "us_label", (("lidocaine", "2", 100_000, "3.6", "1.8"),), drugs=("warfarin", "simvastatin")),
    6: Anesthetic(
        "66", "conservative", (("lidocaine", "2", 100_000, "3.6", "1.8"),), drugs=("prednisolone", "sertraline")
    ),
    7: Anesthetic(
        "96",
        "us_label",
        (("mepivacaine", "3", None, "7.2", "1.8"), ("bupivacaine", "0.5", 200_000, "1.8", "1.8")),
        drugs=("amitriptyline",),
    ),
}


@pytest.mark.parametrize(
    ("case", "drugs", "combined", "epinephrine", "limiting"),
    [
        (1, [("92", "272.8", "weight")], "33.8", ("57.5", "186", "31.0"), ("drug", "lidocaine", "weight")),
        (2, [("216", "500", "cap"), ("36", "300", "cap")], "55.2", ("72", "200", "36"), ("combined", None, None)),
        (3, [("272", "500", "cap")], "54.4", ("34", "40", "85"), ("epinephrine", None, "cap")),
        (4, [("144", "360.5", "weight")], "40.0", ("72", "154.5", "46.7"), ("epinephrine", None, "weight")),
        (5, [("72", "406", "weight")], "17.8", ("36", "174", "20.7"), ("epinephrine", None, "weight")),
        (6, [("72", "290.4", "weight")], "24.8", ("36", "198", "18.2"), ("drug", "lidocaine", "weight")),
        (7, [("216", "400", "cap"), ("9", "90", "cap")], "64", ("9", "40", "22.5"), ("combined", None, None)),
    ],
)
def test_a_case_has_its_doses_limits_and_limiting_term(
    case: int,
    drugs: list[tuple[str, str, str]],
    combined: str,
    epinephrine: tuple[str, str, str],
    limiting: tuple[str, str | None, str | None],
) -> None:
    """Section 7, column LA: dose / limit and its term, combined, epinephrine / limit, and what limits."""
    totals = CASES[case].add_up()
    found = [(d.dose_mg, d.limit.mg, d.limit.limited_by) for d in totals.drugs if d.limit]
    assert [(Fraction(dose), Fraction(limit), term) for dose, limit, term in drugs] == found
    assert totals.combined is not None
    assert totals.epinephrine_fraction is not None
    assert totals.limiting is not None
    assert Fraction(combined) == percent_up(totals.combined)
    used, limit, share = (Fraction(number) for number in epinephrine)
    assert (used, limit) == (totals.epinephrine_ug, totals.epinephrine_limit.ug)
    assert share == percent_up(totals.epinephrine_fraction)
    assert limiting == (totals.limiting.kind, totals.limiting.inn, totals.limiting.limited_by)
    assert totals.over_limit is False


@pytest.mark.parametrize(("case", "percent"), [(2, "84"), (7, "250")])
def test_the_lower_of_two_limits_is_the_stricter_rule(case: int, percent: str) -> None:
    """Section 7: combined by `lower_of_two` 84.0 and 250.0 %; the second passes the limit."""
    totals = CASES[case].add_up("lower_of_two")
    assert totals.combined is not None
    assert Fraction(percent) == percent_up(totals.combined)
    assert (totals.combined > 1) is totals.over_limit


def test_the_volumes_of_cases_1_3_and_4_are_those_computed() -> None:
    """Section 7: case 1 13.64 mL, 6.2 cartridges, 6 whole; case 3 1.2 mL left, 8.0, 4.7, 4; case 4 8.5 cartridges."""
    rooms = {}
    for case in (1, 3, 4):
        found = remaining(CASES[case].solutions[0], CASES[case].add_up())
        assert found is not None
        rooms[case] = found
    first, third, fourth = (rooms[case].in_all for case in (1, 3, 4))
    assert (Fraction("13.64"), Fraction("13.6")) == (first.ml, first.printed_ml)
    assert (Fraction("6.2"), 6, "drug") == (first.cartridges_tenths, first.whole_cartridges, first.limited_by)
    assert (Fraction("1.2"), "epinephrine") == (rooms[3].left.ml, rooms[3].left.limited_by)
    assert (Fraction(8), Fraction("4.7"), 4) == (third.ml, third.cartridges_tenths, third.whole_cartridges)
    assert Fraction("8.5") == fourth.cartridges_tenths


CASE_1: Final = at(
    "mesioangular", "B", "II", canal_relation="touching", age_years=24, hormonal_contraception="combined"
)
CASE_2: Final = replace(
    at("mesioangular", "C", "III", canal_relation="overlapping", ct_position="lingual", film_sign_strong=True),
    fdi="48", procedure="coronectomy", age_years=34, smoking_status="current", coronectomy_discussed=True,
)  # fmt: skip
CASE_3: Final = upper(
    incision=True, age_years=58, eruption="fully_impacted", winter_class="mesioangular",
    sinus_relation="all_roots_overlap", bleeding_patient_class="doac",
)  # fmt: skip
CASE_4_48: Final = replace(at("vertical", "B", "II", canal_relation="touching", age_years=16), fdi="48")
CASE_4_38: Final = at("mesioangular", "B", "I", age_years=16)
CASE_5: Final = replace(A, fdi="46", surgical=False, age_years=73, bleeding_patient_class="vka")
CASE_6: Final = replace(
    A, fdi="46", procedure="root_removal", age_years=69, smoking_status="former", mronj_group="higher",
    antiresorptive_indication="osteoporosis",
)  # fmt: skip
CASE_7: Final = replace(
    at("distoangular", "C", "III", canal_relation="touching", age_years=45, lingual_flap=True),
    fdi="48",
    air_driven=True,
)

RISKS: Final[tuple[tuple[int, Inputs, dict[str, tuple[Any, ...]]], ...]] = (
    (1, CASE_1, {
        "ian_temporary": (12,), "ian_permanent": (3,), "ln_temporary": (20,), "ln_permanent": (5,),
        "dry_socket": (230,), "infection": (56,), "jaw_fracture": (5, 100_000),
    }),
    (2, CASE_2, {
        "ian_temporary": (200, 1000, "as many as"), "ian_permanent": (40, 1000, "as many as"),
        "cor_ian_root_stays": (5,), "cor_ian_root_out": (26,), "cor_ian_permanent_root_stays": (50, 100_000),
        "cor_ian_permanent_root_out": (13,), "cor_failed": (73,), "ln_temporary": (29,), "ln_permanent": (8,),
        "dry_socket": (170,),
    }),
    (3, CASE_3, {
        "sinus_opening": (240, 1000, "as many as"), "tuberosity": (250,), "dry_socket": (4,), "bleeding": (87,),
        "infection": (56,),
    }),
    (4, CASE_4_48, {"ian_temporary": (44,), "ian_permanent": (11,), "ln_temporary": (20,), "ln_permanent": (5,)}),
    (4, CASE_4_38, {"ian_temporary": (12,), "ian_permanent": (3,), "dry_socket": (120,)}),
    (5, CASE_5, {"bleeding": (39,), "dry_socket": (38,), "infection": (20,), "retained_root": (11,)}),
    (6, CASE_6, {"mronj": (2,), "dry_socket": (38,), "infection": (56,), "bleeding": (7,)}),
    (7, CASE_7, {
        "ian_temporary": (65,), "ian_permanent": (16,), "ln_temporary": (140,), "ln_permanent": (8,),
        "dry_socket": (120,), "jaw_fracture": (5, 100_000), "emphysema": (20, 100_000),
    }),
)  # fmt: skip


@pytest.mark.parametrize(("case", "inputs", "expected"), RISKS)
def test_a_case_prints_its_key_risks(case: int, inputs: Inputs, expected: dict[str, tuple[Any, ...]]) -> None:
    """Section 7, column Key printed risks."""
    for event, figure in expected.items():
        shown = asked(event, inputs).printed
        assert shown is not None, event
        affected, denominator, frame = (*figure, 1000, "about") if len(figure) == 1 else (*figure, "about")[:3]
        assert (affected, denominator, frame) == (shown.affected, shown.denominator, shown.frame), (case, event)


def test_case_2_keeps_its_floor_and_cap_in_the_trace() -> None:
    """Film signs raise the floor, the ratios pass it, the cap of 20 % holds."""
    trace = asked("ian_temporary", CASE_2).trace
    assert trace.floor is not None
    assert trace.cap is not None
    assert ("film_sign", False, True) == (trace.floor.row, trace.floor.reached, trace.cap.reached)


def test_case_6_says_or_more_and_case_7_adds_words() -> None:
    """The higher bone-drug group adds "or more"; the air-driven handpiece and the jaw's depth add words."""
    assert asked("mronj", CASE_6).or_more
    assert ("mronj_higher",) == asked("mronj", CASE_6).words
    assert ("air_driven",) == asked("emphysema", CASE_7).words
    assert ("deep_jaw", "over_40_jaw") == asked("jaw_fracture", CASE_7).words


@pytest.mark.parametrize(
    ("position", "total", "bands", "yuasa"),
    [
        (("mesioangular", "B", "II"), 5, {"p8": "moderate", "p7": "moderate"}, False),  # case 1
        (("mesioangular", "C", "III"), 7, {"p8": "moderate", "p7": "very"}, True),  # case 2
        (("mesioangular", "B", "I"), 4, {"p8": "slight", "p7": "slight"}, False),  # case 4, tooth 38
        (("vertical", "B", "II"), 7, {"p8": "moderate", "p7": "very"}, False),  # case 4, tooth 48
        (("distoangular", "C", "III"), 10, {"p8": "very", "p7": "very"}, True),  # case 7
    ],
)
def test_a_case_has_its_difficulty(
    position: tuple[str, str, str], total: int, bands: dict[str, str], yuasa: bool
) -> None:
    """Section 7, column Difficulty."""
    assert total == at(*position).pederson_total
    assert bands == pederson_bands(total, TABLES)
    assert yuasa is yuasa_flag(position[1], position[2], ["straight"])
