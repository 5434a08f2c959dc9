"""The first demonstration case gives the values that the specification computed for it (section 7, row 1)."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from fractions import Fraction
from typing import Any

import pytest
from conftest import example_files

from docgen.facts import Known
from docgen.generate import Examined


@pytest.fixture(scope="module")
def facts(looked: Callable[..., Examined]) -> Callable[[str, str], Any]:
    """Give a function that gives the value of a fact for a kind."""
    seen = looked(example_files("fenwright"), "consent", "operative-note", "aftercare")

    def fact(kind: str, name: str) -> Any:
        one = next(a for a in seen.asked if a.kind.name == kind)
        result = one.stated.results[name]
        assert isinstance(result, Known), result
        return result.value

    return fact


def test_nothing_is_missing(looked: Callable[..., Examined]) -> None:
    """Case 1 is complete for its three documents, with no note."""
    seen = looked(example_files("fenwright"), "consent", "operative-note", "aftercare")

    assert list(seen.problems) == []


def test_age_and_difficulty(facts: Callable[[str, str], Any]) -> None:
    """24 years; 1 + 2 + 2 = 5, moderate in both band sets; Yuasa no; roots complete."""
    band = facts("consent", "pederson_band")["38"]

    assert facts("consent", "patient_age_years") == 24
    assert facts("consent", "pederson_total") == {"38": 5}
    assert (band.p8, band.p7) == ("moderate", "moderate")
    assert facts("consent", "yuasa_flag") == {"38": False}
    assert facts("consent", "root_timing")["38"].stage == "complete"
    assert facts("consent", "canal_at_risk") == {"38": False}


def test_printed_risks(facts: Callable[[str, str], Any]) -> None:
    """Lip 12 and 3, tongue 20 and 5, dry socket 230, infection 56 of 1,000; jaw 5 of 100,000."""
    table = facts("consent", "risk_table")
    thousand = {row.event: row.affected for row in table.of_thousand}

    assert {
        e: thousand[e]
        for e in ("ian_temporary", "ian_permanent", "ln_temporary", "ln_permanent", "dry_socket", "infection")
    } == {
        "ian_temporary": 12,
        "ian_permanent": 3,
        "ln_temporary": 20,
        "ln_permanent": 5,
        "dry_socket": 230,
        "infection": 56,
    }
    assert {r.event: r.affected for r in table.of_hundred_thousand}["jaw_fracture"] == 5
    assert {r.event for r in table.of_thousand if r.touches_life} == {
        "ian_temporary",
        "ian_permanent",
        "ln_temporary",
        "ln_permanent",
    }


def test_anesthetic(facts: Callable[[str, str], Any]) -> None:
    """Lidocaine 92 of 272.8 mg by weight, 33.8 %; epinephrine 57.5 of 186 micrograms, 31.0 %; 13.6 mL in all."""
    sheet = facts("operative-note", "dose_sheet_given")
    room = facts("operative-note", "la_remaining_ml_given")[0]

    assert facts("operative-note", "la_dose_mg_given") == {"lidocaine": Fraction(92)}
    assert facts("operative-note", "la_limit_mg_given") == {"lidocaine": Fraction("272.8")}
    assert (str(sheet.drugs[0].percent), sheet.drugs[0].limited_by) == ("33.8", "weight")
    assert (str(sheet.epinephrine_ug), str(sheet.epinephrine_limit_ug), str(sheet.epinephrine_percent)) == (
        "57.5",
        "186.0",
        "31.0",
    )
    assert (sheet.limiting, sheet.limiting_inn) == ("drug", "lidocaine")
    assert (str(room.in_all_ml), str(room.in_all_unrounded_ml)) == ("13.6", "13.64")
    assert (str(room.cartridges), room.whole_cartridges) == ("6.2", 6)


def test_dates_and_times_at_home(facts: Callable[[str, str], Any]) -> None:
    """Numb until 13:12 to 15:12, gauze 11:25, 12:10, 12:55, rinse on the 18th at 10:40, and the days of the rest."""
    numb, rinse = facts("aftercare", "after_numb_window"), facts("aftercare", "after_rinse_from")
    stitches, until = facts("aftercare", "after_suture_window").days, facts("aftercare", "after_syringe_until")
    window = facts("aftercare", "after_dry_socket_window")

    def clock(moment: datetime) -> str:
        return f"{moment:%H:%M}"

    assert (clock(numb.from_at), clock(numb.to_at)) == ("13:12", "15:12")
    assert [clock(one.from_at) for one in facts("aftercare", "after_gauze_times")] == ["11:25", "12:10", "12:55"]
    assert f"{rinse.from_at:%Y-%m-%d %H:%M}" == "2026-03-18 10:40"
    assert (window.from_on, window.to_on) == (date(2026, 3, 18), date(2026, 3, 22))
    assert facts("aftercare", "after_dry_socket_last_day").to_on == date(2026, 3, 24)
    assert (stitches.from_on, stitches.to_on) == (date(2026, 3, 22), date(2026, 3, 24))
    assert facts("aftercare", "after_syringe_from").from_on == date(2026, 3, 24)
    assert (until.from_on, until.to_on) == (date(2026, 3, 31), date(2026, 4, 7))
    assert facts("aftercare", "after_review_on").to_on == date(2026, 3, 24)
    assert facts("aftercare", "nsaid_verdict").verdict == "ok"
