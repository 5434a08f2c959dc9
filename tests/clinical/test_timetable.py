"""The aftercare timetable (specification 3.8): hours are elapsed, days are calendar days of the clinic."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from fractions import Fraction
from typing import Final
from zoneinfo import ZoneInfo

import pytest
from clinical_patients import TABLES
from hypothesis import given
from hypothesis import strategies as st

from docgen.clinical import timetable
from docgen.clinical.next_dose import next_dose
from docgen.clinical.timetable import day_after, elapsed_after

BERLIN: Final = ZoneInfo("Europe/Berlin")
ENDED: Final = datetime(2026, 3, 17, 10, 40, tzinfo=BERLIN)


@pytest.mark.parametrize(
    ("start", "expected"),
    [
        (datetime(2026, 3, 28, 14, 0, tzinfo=BERLIN), datetime(2026, 3, 29, 15, 0, tzinfo=BERLIN)),  # clocks go forward
        (datetime(2026, 10, 24, 14, 0, tzinfo=BERLIN), datetime(2026, 10, 25, 13, 0, tzinfo=BERLIN)),  # clocks go back
        (datetime(2026, 3, 17, 10, 40, tzinfo=BERLIN), datetime(2026, 3, 18, 10, 40, tzinfo=BERLIN)),
    ],
)
def test_24_hours_are_elapsed_hours_across_a_clock_change(start: datetime, expected: datetime) -> None:
    """The clot has had 24 hours, whatever the clocks did."""
    assert expected == elapsed_after(start, Fraction(24))
    assert (expected.hour, BERLIN) == (
        elapsed_after(start, Fraction(24)).hour,
        elapsed_after(start, Fraction(24)).tzinfo,
    )


@given(st.datetimes(datetime(2020, 1, 1), datetime(2030, 1, 1)), st.integers(min_value=0, max_value=100))
def test_elapsed_hours_are_exact_in_utc(wall: datetime, hours: int) -> None:
    """The difference in UTC is the hours asked for, also when the wall clock shows another."""
    start = wall.replace(tzinfo=BERLIN)
    later = elapsed_after(start, Fraction(hours))
    assert hours * 3600 == (later.astimezone(UTC) - start.astimezone(UTC)).total_seconds()


def test_days_are_calendar_days_of_the_clinic_and_not_of_utc() -> None:
    """Half past midnight in Berlin is day 0 there, though still the day before in UTC."""
    assert date(2026, 3, 18) == day_after(datetime(2026, 3, 17, 0, 30, tzinfo=BERLIN), 1)


def test_a_moment_without_a_time_zone_is_refused() -> None:
    """A clock time means nothing without its place."""
    naive = datetime(2026, 3, 17, 10, 40)  # the missing zone is the point
    with pytest.raises(ValueError, match="time zone"):
        elapsed_after(naive, Fraction(1))
    with pytest.raises(ValueError, match="time zone"):
        day_after(naive, 1)


@pytest.mark.parametrize(
    ("inns", "hours"),
    [
        (["lidocaine"], (3, 5)),  # DENTCARE, MALAMED
        (["articaine"], (3, 5)),
        (["bupivacaine"], (4, 12)),
        (["lidocaine", "bupivacaine"], (4, 12)),
        (["mepivacaine", "lidocaine"], (3, 5)),
        (["mepivacaine"], None),
        (["prilocaine", "mepivacaine"], None),
        ([], None),
    ],
)
def test_the_longest_lasting_drug_keeps_the_lip_numb(inns: list[str], hours: tuple[int, int] | None) -> None:
    """A drug without a figure never shortens the window, and alone has no clock time."""
    found = timetable.numb_window(inns, None, None, TABLES)
    assert hours == (None if found is None else (int(found.from_hours), int(found.to_hours)))


def test_the_lip_is_numb_from_the_last_injection_or_else_from_the_end() -> None:
    """Case 1: injected 10:12, numb until 13:12 to 15:12."""
    injected = datetime(2026, 3, 17, 10, 12, tzinfo=BERLIN)
    found = timetable.numb_window(["lidocaine"], injected, ENDED, TABLES)
    assert found is not None
    assert ("last_injection", time(13, 12), time(15, 12)) == (found.since, *_clock(found))
    found = timetable.numb_window(["lidocaine"], None, ENDED, TABLES)
    assert found is not None
    assert ("operation_end", time(13, 40), time(15, 40)) == (found.since, *_clock(found))


@pytest.mark.parametrize(
    ("material", "size", "resorbable", "expected"),
    [
        ("plain_gut", "3-0", True, (5, 7)),
        ("plain_gut", "4-0", True, (7, 21)),
        ("polyglactin", "3-0", True, (7, 21)),
        ("silk", "3-0", False, "at_review"),
    ],
)
def test_stitches_dissolve_by_material_or_are_taken_out(
    material: str, size: str, resorbable: bool, expected: tuple[int, int] | str
) -> None:
    """3-0 plain gut day 5 to 7, other resorbable ones day 7 to 21 (common practice)."""
    found = timetable.suture_window(material, size, resorbable, ENDED, TABLES)
    assert expected == (found if isinstance(found, str) else (found.from_day, found.to_day))


def test_an_undated_leaflet_gets_days_and_hours_without_a_date() -> None:
    """Everything is given as "day n" and "n hours after" where no operation has ended."""
    hours = [timetable.rinse_from(None, TABLES), *timetable.gauze_times(None, TABLES)]
    assert [Fraction(24), Fraction(3, 4), Fraction(3, 2), Fraction(9, 4)] == [h.from_hours for h in hours]
    days = [
        timetable.syringe_from(None, TABLES),
        timetable.syringe_until(None, TABLES),
        timetable.dry_socket_window(None, TABLES),
        timetable.dry_socket_last_day(None, TABLES),
        timetable.review_on(None, None, TABLES),
        timetable.sinus_until(None, TABLES),
        timetable.soft_diet_until(None, TABLES),
        timetable.worse_after(None, TABLES),
        timetable.nerve_call(None, TABLES),
    ]
    expected = [(7, 7), (14, 21), (1, 5), (7, 7), (7, 7), (14, 14), (28, 28), (3, 3), (1, 1)]
    assert expected == [(d.from_day, d.to_day) for d in days]
    assert [None] * (len(hours) * 2) == [at for h in hours for at in (h.from_at, h.to_at)]
    assert [None] * (len(days) * 2) == [on for d in days for on in (d.from_on, d.to_on)]


def test_every_time_carries_a_source_or_says_that_it_has_none() -> None:
    """Keys of the specification, section 3.8; the rest is tagged."""
    assert ("found", ("HSE-WT", "NHS-LIKE")) == (
        timetable.rinse_from(ENDED, TABLES).tag,
        timetable.rinse_from(ENDED, TABLES).source,
    )
    assert ("STAFNE",) == timetable.soft_diet_until(ENDED, TABLES).source
    assert ("KUS22", "COCHAO22") == timetable.dry_socket_window(ENDED, TABLES).source
    assert "common practice" == timetable.syringe_from(ENDED, TABLES).tag
    assert (3, 4, ("LOESCH03",)) == (
        timetable.nerve_review(TABLES).from_months,
        timetable.nerve_review(TABLES).to_months,
        timetable.nerve_review(TABLES).source,
    )


def test_the_clinic_may_watch_for_a_dry_socket_for_5_days() -> None:
    """5 days [KUS22] or the first seven (common practice), which is the safer default."""
    assert date(2026, 3, 22) == timetable.dry_socket_last_day(ENDED, TABLES, 5).to_on
    assert date(2026, 3, 24) == timetable.dry_socket_last_day(ENDED, TABLES).to_on


def test_the_review_is_the_day_agreed_and_else_day_7() -> None:
    """A date, not "in a week"."""
    agreed = timetable.review_on(datetime(2026, 3, 26, 16, 0, tzinfo=BERLIN), ENDED, TABLES)
    assert (9, date(2026, 3, 26)) == (agreed.from_day, agreed.from_on)
    assert date(2026, 3, 24) == timetable.review_on(None, ENDED, TABLES).from_on


def test_an_agreed_review_needs_no_source_and_the_usual_one_keeps_its_own() -> None:
    """What two people agreed is found in the record and in no study."""
    agreed = timetable.review_on(datetime(2026, 3, 26, 16, 0, tzinfo=BERLIN), ENDED, TABLES)
    assert timetable.Days(9, 9, date(2026, 3, 26), date(2026, 3, 26), (), "found") == agreed
    row = TABLES.table("timetable").row("review")
    usual = timetable.Days(7, 7, date(2026, 3, 24), date(2026, 3, 24), row.source, row.tag)
    assert usual == timetable.review_on(None, ENDED, TABLES)
    assert timetable.Days(7, 7, None, None, row.source, row.tag) == timetable.review_on(ENDED, None, TABLES)


def test_driving_and_escort_follow_the_anesthesia() -> None:
    """Local: when fit; sedation: 24 hours; general: 48 (HSE-WT, NHS-LIKE)."""
    assert timetable.drive_from("local", ENDED, TABLES) is None
    sedated = timetable.drive_from("local_with_sedation", ENDED, TABLES)
    asleep = timetable.drive_from("general_elsewhere", ENDED, TABLES)
    assert sedated is not None
    assert asleep is not None
    assert (Fraction(24), Fraction(48)) == (sedated.to_hours, asleep.to_hours)
    assert sedated == timetable.escort_until("local_with_sedation", ENDED, TABLES)


def test_the_healing_check_is_silent_until_its_figure_is_approved() -> None:
    """Day 56 is memory."""
    assert timetable.mronj_check(ENDED, TABLES) is None
    approved = timetable.mronj_check(ENDED, TABLES, memory_approved=True)
    assert approved is not None
    assert (56, date(2026, 5, 12)) == (approved.from_day, approved.from_on)


def test_stiffness_and_bruising_settle_by_day_10_and_14() -> None:
    """HSE-WT, NHS-LIKE."""
    found = timetable.settling(ENDED, TABLES)
    assert (7, 10, 14) == (found.stiff_jaw.from_day, found.stiff_jaw.to_day, found.bruising.to_day)


@pytest.mark.parametrize(
    ("decision", "times", "hemostasis", "expected"),
    [
        ("continue", [time(8), time(20)], (17, 10, 42), (17, 20, 0)),
        ("continue", [time(8), time(20)], (17, 20, 0), (18, 8, 0)),
        ("no_change", [time(18)], (17, 19, 0), (18, 18, 0)),
        ("delay_dose", [time(8)], (17, 10, 42), (17, 14, 42)),  # SDCEP-DOAC: from 4 h after bleeding stops
        ("miss_dose", [time(8), time(20)], (17, 10, 10), (17, 20, 0)),  # the usual evening dose
        ("miss_dose", [time(20), time(8)], (17, 17, 30), (17, 21, 30)),  # not sooner than 4 h after
        ("ask_physician", [time(8)], (17, 10, 42), None),
        ("miss_dose", [time(8)], (17, 10, 42), None),
        ("delay_dose", [time(8), time(20)], (17, 10, 42), None),
        ("continue", [], (17, 10, 42), None),
    ],
)
def test_the_next_dose_follows_the_clinicians_decision(
    decision: str, times: list[time], hemostasis: tuple[int, int, int], expected: tuple[int, int, int] | None
) -> None:
    """Without a decision that fits the pattern of doses there is no time (specification 3.4)."""
    day, hour, minute = hemostasis
    found = next_dose(decision, times, datetime(2026, 3, day, hour, minute, tzinfo=BERLIN), TABLES)
    assert expected == (None if found is None else (found.at.day, found.at.hour, found.at.minute))


@pytest.mark.parametrize(
    ("decision", "times", "expected"),
    [
        ("delay_dose", [time(8)], ((14, 42), (14, 42), ("SDCEP-DOAC",), "found")),
        ("miss_dose", [time(8), time(20)], ((20, 0), (14, 42), ("SDCEP-DOAC",), "found")),
    ],
)
def test_a_delayed_or_missed_dose_has_its_earliest_moment_and_its_source(
    decision: str, times: list[time], expected: object
) -> None:
    """Four hours after bleeding stops (SDCEP-DOAC)."""
    found = next_dose(decision, times, datetime(2026, 3, 17, 10, 42, tzinfo=BERLIN), TABLES)
    assert found is not None
    clocks = ((at.hour, at.minute) for at in (found.at, found.not_before))
    assert expected == (*clocks, found.source, found.tag)


def test_four_hours_after_bleeding_are_elapsed_in_the_night_the_clocks_change() -> None:
    """Bleeding stops at 23:30; the clocks go forward at 2: four hours later it is 4:30, not 3:30."""
    stopped = datetime(2026, 3, 28, 23, 30, tzinfo=BERLIN)
    found = next_dose("delay_dose", [time(8)], stopped, TABLES)
    assert found is not None
    assert (4, 30) == (found.at.hour, found.at.minute)


def _clock(window: timetable.Hours) -> tuple[time, time]:
    assert window.from_at is not None
    assert window.to_at is not None
    return window.from_at.time(), window.to_at.time()
