"""Each cut of the risk engine on both sides, and its tables against the specification, as written in 4.4 and 4.5."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from clinical_patients import TABLES, A, asked, at, upper

from docgen.clinical.likelihood import Inputs
from docgen.clinical.table_file import parse_number

DEEP = at("mesioangular", "C", "I")


@pytest.mark.parametrize(
    ("event", "below", "above", "printed"),
    [
        # over 25 [CHUANG07]: OR 1.5; over 32 [JAPAN20] adds nothing beside it
        ("ian_temporary", replace(A, age_years=25), replace(A, age_years=26), (12, 18)),
        ("ian_temporary", replace(A, age_years=32), replace(A, age_years=33), (18, 18)),
        # SHMULY22: 12.1 % at 30 or less, 25.0 % above
        ("tuberosity", upper(age_years=30), upper(age_years=31), (130, 250)),
        # score envelope (design): from a total of 6
        ("ian_temporary", at("mesioangular", "B", "II"), at("mesioangular", "B", "III"), (12, 44)),
        ("ian_permanent", at("horizontal", "A", "II"), at("horizontal", "A", "III"), (3, 11)),
    ],
)
def test_a_cut_of_the_risk_engine_acts_from_its_own_value_on(
    event: str, below: Inputs, above: Inputs, printed: tuple[int, int]
) -> None:
    """The last value without and the first value with the ratio or stratum."""
    found = [asked(event, inputs).printed for inputs in (below, above)]
    assert printed == tuple(shown.affected for shown in found if shown)


@pytest.mark.parametrize(("age", "rows"), [(32, {"depth_c", "age_over_25"}), (33, {"depth_c", "age_over_25"})])
def test_two_studies_at_most_act_together(age: int, rows: set[str]) -> None:
    """At 33 the ratio of JAPAN20 (1.43) holds as well, and the larger one of the axis age stays (reference 2.8)."""
    assert rows == {row.row for row in asked("ian_temporary", replace(DEEP, age_years=age)).trace.applied}


def test_age_over_32_acts_alone_where_only_its_study_may() -> None:
    """With a lingual canal [WANG22] and a deep tooth, JAPAN20 is the second study and brings its own age [4.7, 8]."""
    lingual = replace(DEEP, ct_position="lingual")
    by_age = {
        age: {row.row for row in asked("ian_permanent", replace(lingual, age_years=age)).trace.applied}
        for age in (32, 33)
    }
    assert {32: {"ct_lingual", "depth_c"}, 33: {"ct_lingual", "depth_c", "age_over_32"}} == by_age


@pytest.mark.parametrize(("age", "words"), [(40, ("deep_jaw",)), (41, ("deep_jaw", "over_40_jaw"))])
def test_over_40_is_said_of_the_jaw_from_41(age: int, words: tuple[str, ...]) -> None:
    """STAFNE, LIBERSA02: words only."""
    assert set(words) == set(asked("jaw_fracture", replace(DEEP, age_years=age)).words)


def test_lower_teeth_before_the_wisdom_teeth_have_words_for_the_lip_and_no_number() -> None:
    """Specification 4.5: a numb lip is possible, no figure is held; lasting numbness must print all the same."""
    found = [asked(event, replace(A, fdi="46")) for event in ("ian_temporary", "ian_permanent")]
    assert [("words", False, None), ("words", True, None)] == [(e.state, e.must_print, e.printed) for e in found]


CAPS = {  # specification 4.4, last column
    "any_complication": "19 %", "ian_temporary": "20 %", "ian_permanent": "4 %", "ian_seen_temporary": "21 %",
    "ian_seen_permanent": "6 %", "ln_temporary": "23 %", "ln_permanent": "1.0 %", "dry_socket": "37 %",
    "infection": "6 %", "bleeding": "9 %", "sinus_opening": "24 %", "tuberosity": "31 %", "adjacent_damage": "0.4 %",
    "jaw_fracture": "0.008 %", "retained_root": "2 %", "emphysema": "0.02 %", "mronj": "3 %", "orn": "22 %",
    "cor_ian_root_stays": "10 %", "cor_ian_root_out": "10 %", "cor_dry_socket": "12 %", "cor_infection": "10 %",
}  # fmt: skip
RATIOS = {  # specification 4.5: measure, value, interval
    "depth_c": ("OR", "3.76", ("2.08", "6.31")), "score_envelope": ("OR", "3.76", ("2.08", "6.31")),
    "depth_c_vs_b": ("OR", "2.57", ("1.57", "4.21")), "score_envelope_vs_b": ("OR", "2.57", ("1.57", "4.21")),
    "canal_overlap": ("OR", "2.08", ("1.33", "3.24")), "ct_lingual": ("OR", "4.96", ("2.11", "11.62")),
    "age_over_25": ("OR", "1.5", ()), "age_over_32": ("OR", "1.43", ("1.04", "1.96")),
    "lingual_flap": ("RR", "4.80", ("3.28", "7.02")), "smoker": ("OR", "3.85", ()),
    "combined_pill": ("RR", "1.98", ("1.42", "2.76")), "upper_incision": ("OR", "5.16", ()),
    "upper_mesial": ("OR", "6.05", ()), "upper_all_roots": ("OR", "10.18", ()),
    "orn_surgical": ("OR", "6.5", ("1.4", "30.9")), "chlorhexidine_gel": ("RR", "0.47", ("0.34", "0.64")),
    "chlorhexidine_rinse": ("RR", "0.54", ("0.41", "0.72")), "antibiotic": ("RR", "0.43", ("0.33", "0.56")),
    "film_sign": (None, "7.5 %", ()), "film_sign_high": (None, "20 %", ()), "flap": (None, "2.98 %", ()),
}  # fmt: skip


def test_every_cap_is_the_one_of_the_specification() -> None:
    """Section 4.4, column Cap; coronectomy pulpitis, failure and lasting numbness have none."""
    assert {event: parse_number(cap) for event, cap in CAPS.items()} == {
        row.id: row.number("value") for row in TABLES.table("likelihood-cap")
    }


def test_every_ratio_is_the_one_of_the_specification() -> None:
    """Section 4.5, with reference 2.2 to 2.5 for the intervals; the roots of upper teeth are worked out from odds."""
    found: dict[str, Any] = {
        row.id: (row.text("measure", "") or None, row.number("value"), row.numbers("ci"))
        for row in TABLES.table("likelihood-ratio")
    }
    roots = found.pop("root_form_upper")
    wanted = {
        name: (measure, parse_number(value), tuple(map(Fraction, ci))) for name, (measure, value, ci) in RATIOS.items()
    }
    assert wanted == found
    odds = Fraction("0.307") / Fraction("0.693") / (Fraction("0.131") / Fraction("0.869"))  # SHMULY22
    assert ("OR", odds, ()) == roots
