"""Demonstration cases 1 to 7, from their records: what section 7 of the specification computed comes out as facts."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

import pytest
from example_facts import changed, example, fact, facts_of, known, with_setting

from docgen.answer import Answer
from docgen.facts import Known, Result
from docgen.facts.risk import RiskTable

CASES: Final = ("fenwright", "solana", "rotacker", "brzezna", "holloway", "pinhal", "malvasio")
QUERY: Final = ("holloway", "pinhal", "malvasio")
"""The cases that ask a physician."""


@pytest.mark.parametrize("name", CASES)
def test_a_case_is_complete_for_every_kind_it_allows(name: str) -> None:
    """Nothing refuses; all seven kinds are asked for, the query only where a physician is asked."""
    looked = example(name)
    kinds = {"referral", "safety-sheet", "consent", "operative-note", "aftercare", "reply"}

    assert [p.code for p in looked.problems.refusing] == []
    assert kinds | ({"physician-query"} if name in QUERY else set()) == {one.kind.name for one in looked.asked}


@pytest.mark.parametrize(
    ("name", "age", "totals", "rank", "hardest", "yuasa"),
    [
        ("fenwright", 24, {"38": 5}, 2, "38", {"38": False}),
        ("solana", 34, {"48": 7}, 2, "48", {"48": True}),
        ("rotacker", 58, {}, 2, "28", {}),
        ("brzezna", 16, {"38": 4, "48": 7}, 2, "48", {"38": False, "48": False}),
        ("holloway", 73, {}, 1, "46", {}),
        ("pinhal", 69, {}, 2, "46", {}),
        ("malvasio", 45, {"48": 10}, 4, "48", {"48": True}),
    ],
)
def test_age_and_difficulty(
    name: str, age: int, totals: dict[str, int], rank: int, hardest: str, yuasa: dict[str, bool]
) -> None:
    """Section 7, column Difficulty: age, Pederson totals, rank of the hardest tooth, Yuasa flag."""
    case = fact(name, "consent", "difficulty_case")
    pederson, flags = (facts_of(example(name), "consent")[n] for n in ("pederson_total", "yuasa_flag"))

    assert age == fact(name, "consent", "patient_age_years")
    assert totals == _of_lower_thirds(pederson)
    assert (rank, hardest) == (case.difficulty.rank, case.tooth)
    assert yuasa == _of_lower_thirds(flags)


def _of_lower_thirds(result: Result) -> dict[str, Any]:
    """Give the scored teeth; every other tooth is not applicable."""
    assert isinstance(result, Known)
    values = {} if result.value is Answer.NOT_APPLICABLE else result.value
    return {tooth: value for tooth, value in values.items() if value is not Answer.NOT_APPLICABLE}


@pytest.mark.parametrize(
    ("name", "tooth", "bands", "patient_grade"),
    [
        ("fenwright", "38", ("moderate", "moderate"), "moderate"),
        ("solana", "48", ("moderate", "very"), "very"),
        ("brzezna", "38", ("slight", "slight"), "slight"),
        ("brzezna", "48", ("moderate", "very"), "very"),
        ("malvasio", "48", ("very", "very"), "extreme"),
    ],
)
def test_bands(name: str, tooth: str, bands: tuple[str, str], patient_grade: str) -> None:
    """Both band sets; where they differ the patient hears the harder one."""
    band = fact(name, "consent", "pederson_band")[tooth]
    graded = fact(name, "consent", "difficulty_tooth")[tooth]

    assert bands == (band.p8, band.p7)
    assert patient_grade == graded.patient_grade


def test_kim_and_roots() -> None:
    """Case 7: 4 + 4 + 3 = 11, extreme; case 2: not recorded; case 4: roots half formed, called favorable."""
    timing = fact("brzezna", "consent", "root_timing")

    assert fact("malvasio", "consent", "kim_total") == {"48": 11}
    assert fact("malvasio", "consent", "kim_band") == {"48": "extreme"}
    assert not isinstance(facts_of(example("solana"), "consent")["kim_total"], Known)
    assert {tooth: (t.stage, t.favorable) for tooth, t in timing.items()} == {
        "38": ("forming", True),
        "48": ("forming", True),
    }


MOST: Final = "as many as"
RISKS: Final[tuple[tuple[str, str, dict[str, tuple[Any, ...]]], ...]] = (
    ("fenwright", "38", {
        "ian_temporary": (12,), "ian_permanent": (3,), "ln_temporary": (20,), "ln_permanent": (5,),
        "dry_socket": (230,), "infection": (56,), "jaw_fracture": (5, 100_000),
    }),
    ("solana", "48", {
        "ian_temporary": (200, 1000, MOST), "ian_permanent": (40, 1000, MOST), "ln_temporary": (29,),
        "ln_permanent": (8,), "dry_socket": (170,), "cor_ian_root_stays": (5,), "cor_ian_root_out": (26,),
        "cor_ian_permanent_root_stays": (50, 100_000), "cor_ian_permanent_root_out": (13,), "cor_failed": (73,),
    }),
    ("rotacker", "28", {
        "sinus_opening": (240, 1000, MOST), "tuberosity": (250,), "dry_socket": (4,), "bleeding": (87,),
        "infection": (56,),
    }),
    ("brzezna", "48", {
        "ian_temporary": (44,), "ian_permanent": (11,), "ln_temporary": (20,), "ln_permanent": (5,),
        "dry_socket": (120,),
    }),
    ("brzezna", "38", {
        "ian_temporary": (12,), "ian_permanent": (3,), "ln_temporary": (20,), "ln_permanent": (5,),
        "dry_socket": (120,),
    }),
    ("holloway", "46", {"bleeding": (39,), "dry_socket": (38,), "infection": (20,), "retained_root": (11,)}),
    ("pinhal", "46", {"mronj": (2,), "dry_socket": (38,), "infection": (56,), "bleeding": (7,)}),
    ("malvasio", "48", {
        "ian_temporary": (65,), "ian_permanent": (16,), "ln_temporary": (140,), "ln_permanent": (8,),
        "dry_socket": (120,), "jaw_fracture": (5, 100_000), "emphysema": (20, 100_000),
    }),
)  # fmt: skip


@pytest.mark.parametrize(("name", "tooth", "expected"), RISKS)
def test_printed_risks(name: str, tooth: str, expected: dict[str, tuple[Any, ...]]) -> None:
    """Section 7, column Key printed risks, per tooth."""
    estimates = fact(name, "consent", "risk_estimates")
    printed = {e.event: e.printed for e in estimates if e.fdi == tooth and e.printed is not None}

    for event, figure in expected.items():
        full = (*figure, 1000, "about") if len(figure) == 1 else (*figure, "about")[:3]
        shown = printed[event]
        assert full == (shown.affected, shown.denominator, shown.frame), event


def test_the_table_marks_what_touches_life() -> None:
    """Case 2: both columns; case 4: the hardest tooth is named; case 7: words beside the jaw."""
    both = fact("solana", "consent", "risk_table")
    highest = {row.event: row.teeth for row in fact("brzezna", "consent", "risk_table").of_thousand}
    words = {e.event: e.words for e in fact("malvasio", "consent", "risk_estimates")}

    assert both.coronectomy != ()
    assert "ian_permanent" in {row.event for row in both.of_thousand}
    assert {"ln_temporary", "ln_permanent"} <= {row.event for row in both.of_thousand if row.touches_life}
    assert highest["ian_permanent"] == ("48",)
    assert {"deep_jaw", "over_40_jaw"} <= set(words["jaw_fracture"])
    assert words["emphysema"] == ("air_driven",)


def _or_more(table: RiskTable) -> dict[str, bool]:
    lines = (*table.of_thousand, *table.of_hundred_thousand, *table.coronectomy)
    return {line.event: line.or_more for line in lines}


@pytest.mark.parametrize("name", CASES)
def test_or_more_stands_only_at_the_figure_it_is_for(name: str) -> None:
    """Case 6, bone drugs for six years: 2 of 1,000 or more; every other figure of every case is as it stands."""
    said = _or_more(fact(name, "consent", "risk_table"))

    assert {event: (name, event) == ("pinhal", "mronj") for event in said} == said


@pytest.mark.parametrize(
    ("started_on", "steroid", "or_more"),
    [
        ("2020-04-20", "yes", True),
        ("2020-04-20", "no", True),  # six years
        ("2023-04-20", "yes", True),
        ("2023-04-20", "no", False),
    ],
)
def test_a_patient_of_the_low_group_has_no_or_more(started_on: str, steroid: str, or_more: bool) -> None:
    """Case 6 with fewer years on the bone drug and without a steroid: the printed figure is the whole."""
    edits = {"medical.antiresorptives[0].started_on": started_on, "medical.steroid_or_immunosuppressant": steroid}
    said = _or_more(known(changed("pinhal", edits), "consent", "risk_table"))

    assert {event: or_more and event == "mronj" for event in said} == said
    assert "mronj" in said


@dataclass(frozen=True)
class Dose:
    """The row of column LA."""

    drugs: dict[str, tuple[str, str, str]]
    """INN > mg, limit, and its limiting term."""
    combined: str
    epinephrine: tuple[str, str, str]
    """Micrograms, limit, percent."""
    limiting: tuple[str, str]


DOSES: Final[dict[str, Dose]] = {
    "fenwright": Dose({"lidocaine": ("92", "272.8", "weight")}, "33.8", ("57.5", "186", "31"), ("drug", "lidocaine")),
    "solana": Dose(
        {"articaine": ("216", "500", "cap"), "lidocaine": ("36", "300", "cap")}, "55.2", ("72", "200", "36"),
        ("combined", ""),
    ),
    "rotacker": Dose({"articaine": ("272", "500", "cap")}, "54.4", ("34", "40", "85"), ("epinephrine", "")),
    "brzezna": Dose({"lidocaine": ("144", "360.5", "weight")}, "40", ("72", "154.5", "46.7"), ("epinephrine", "")),
    "holloway": Dose({"lidocaine": ("72", "406", "weight")}, "17.8", ("36", "174", "20.7"), ("epinephrine", "")),
    "pinhal": Dose({"lidocaine": ("72", "290.4", "weight")}, "24.8", ("36", "198", "18.2"), ("drug", "lidocaine")),
    "malvasio": Dose(
        {"mepivacaine": ("216", "400", "cap"), "bupivacaine": ("9", "90", "cap")}, "64", ("9", "40", "22.5"),
        ("combined", ""),
    ),
}  # fmt: skip


@pytest.mark.parametrize(("name", "dose"), DOSES.items())
@pytest.mark.parametrize("given", [True, False])
def test_anesthetic(name: str, dose: Dose, given: bool) -> None:
    """Section 7, column LA, of the injections given; the plan gives the same but in case 1 (one injection more)."""
    if name == "fenwright" and not given:
        assert fact(name, "consent", "la_dose_mg_planned") == {"lidocaine": Fraction(88)}
        return
    sheet = fact(name, "operative-note", "dose_sheet_given" if given else "dose_sheet_planned")
    drugs = {d.inn: (Fraction(d.dose_mg), Fraction(d.limit_mg), d.limited_by) for d in sheet.drugs}
    epinephrine = (sheet.epinephrine_ug, sheet.epinephrine_limit_ug, sheet.epinephrine_percent)

    assert {n: (Fraction(mg), Fraction(limit), term) for n, (mg, limit, term) in dose.drugs.items()} == drugs
    assert Fraction(dose.combined) == Fraction(sheet.combined_percent)
    assert tuple(Fraction(number) for number in dose.epinephrine) == tuple(Fraction(number) for number in epinephrine)
    assert dose.limiting == (sheet.limiting, sheet.limiting_inn)


@pytest.mark.parametrize(("name", "percent", "over"), [("solana", "84", False), ("malvasio", "250", True)])
def test_combined_by_the_lower_of_two(name: str, percent: str, over: bool) -> None:
    """Section 7: 84.0 % in case 2; 250.0 % in case 7, where the stricter rule refuses the plan."""
    seen = with_setting(name, "la.combine", "lower_of_two")
    combined = facts_of(seen, "operative-note")["la_combined_given"]

    assert isinstance(combined, Known)
    assert Fraction(percent) == combined.value * 100
    assert over is ("dose-over-limit" in {p.code for p in seen.problems.refusing})
    assert str(fact(name, "operative-note", "dose_sheet_given").lower_of_two_percent) == f"{percent}.0"


@pytest.mark.parametrize(
    ("name", "in_all", "cartridges", "whole", "left"),
    [("rotacker", "8.0", "4.7", 4, "1.2"), ("brzezna", "15.4", "8.5", 8, None)],
)
def test_room_for_more(name: str, in_all: str, cartridges: str, whole: int, left: str | None) -> None:
    """Case 3: 1.2 mL left, 8.0 mL in all, 4 whole cartridges; case 4: 8.5 cartridges in all."""
    room = fact(name, "operative-note", "la_remaining_ml_given")[0]

    assert (in_all, cartridges, whole) == (str(room.in_all_ml), str(room.cartridges), room.whole_cartridges)
    assert left in (None, str(room.left_ml))
