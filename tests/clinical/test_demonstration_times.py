"""The computed times of the demonstration cases 1 to 7 (specification, section 7, column Dates and times)."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Final
from zoneinfo import ZoneInfo

import pytest
from clinical_patients import TABLES

from docgen.clinical import timetable
from docgen.clinical.next_dose import next_dose

ROME: Final = ZoneInfo("Europe/Rome")


@pytest.mark.parametrize(
    ("case", "inns", "injected", "ended", "numb", "gauze"),
    [
        (1, ["lidocaine"], (3, 17, 10, 12), (3, 17, 10, 40), ("13:12", "15:12"), ["11:25", "12:10", "12:55"]),
        (2, ["articaine", "lidocaine"], (4, 14, 11, 20), (4, 14, 12, 5), ("14:20", "16:20"), []),
        (3, ["articaine"], (2, 26, 9, 34), (2, 26, 10, 5), ("12:34", "14:34"), ["10:50", "11:35", "12:20"]),
        (4, ["lidocaine"], (5, 12, 14, 8), (5, 12, 15, 10), ("17:08", "19:08"), []),
        (5, ["lidocaine"], (1, 20, 9, 6), (1, 20, 9, 25), ("12:06", "14:06"), []),
        (6, ["lidocaine"], (6, 9, 10, 1), (6, 9, 10, 30), ("13:01", "15:01"), []),
        (7, ["mepivacaine", "bupivacaine"], (9, 22, 9, 15), (9, 22, 10, 25), ("13:15", "21:15"),
         ["11:10", "11:55", "12:40"]),
    ],
)  # fmt: skip
def test_a_case_has_its_hours(
    case: int,
    inns: list[str],
    injected: tuple[int, ...],
    ended: tuple[int, ...],
    numb: tuple[str, str],
    gauze: list[str],
) -> None:
    """Section 7, column Dates and times: numb window and gauze (cases that print it)."""
    month, day, hour, minute = injected
    at_end = datetime(2026, ended[0], ended[1], ended[2], ended[3], tzinfo=ROME)
    window = timetable.numb_window(inns, datetime(2026, month, day, hour, minute, tzinfo=ROME), at_end, TABLES)
    assert window is not None
    assert window.from_at is not None
    assert window.to_at is not None
    assert numb == (f"{window.from_at:%H:%M}", f"{window.to_at:%H:%M}"), case
    changes = [f"{change.from_at:%H:%M}" for change in timetable.gauze_times(at_end, TABLES) if change.from_at]
    assert gauze in ([], changes)


def test_case_1_has_its_days() -> None:
    """Section 7: rinse 18 March 10:40; dry socket 18 to 22, watch to 24; stitches 22-24; syringe 24, 31 to 7 April."""
    ended = datetime(2026, 3, 17, 10, 40, tzinfo=ROME)
    assert datetime(2026, 3, 18, 10, 40, tzinfo=ROME) == timetable.rinse_from(ended, TABLES).from_at
    assert (date(2026, 3, 18), date(2026, 3, 22)) == _dates(timetable.dry_socket_window(ended, TABLES))
    assert (date(2026, 3, 24), date(2026, 3, 24)) == _dates(timetable.dry_socket_last_day(ended, TABLES))
    stitches = timetable.suture_window("plain_gut", "3-0", True, ended, TABLES)
    assert isinstance(stitches, timetable.Days)
    assert (date(2026, 3, 22), date(2026, 3, 24)) == _dates(stitches)
    assert (date(2026, 3, 24), date(2026, 3, 24)) == _dates(timetable.syringe_from(ended, TABLES))
    assert (date(2026, 3, 31), date(2026, 4, 7)) == _dates(timetable.syringe_until(ended, TABLES))
    assert (date(2026, 3, 24), date(2026, 3, 24)) == _dates(timetable.review_on(None, ended, TABLES))


def test_the_other_cases_have_their_days() -> None:
    """Section 7: nose 12 March (3); escort 13 May 15:10 (4); check 4 August (6); soft food 20 October (7)."""
    third = datetime(2026, 2, 26, 10, 5, tzinfo=ROME)
    assert date(2026, 3, 12) == timetable.sinus_until(third, TABLES).to_on
    fourth = timetable.escort_until("local_with_sedation", datetime(2026, 5, 12, 15, 10, tzinfo=ROME), TABLES)
    assert fourth is not None
    assert datetime(2026, 5, 13, 15, 10, tzinfo=ROME) == fourth.to_at
    sixth = timetable.mronj_check(datetime(2026, 6, 9, 10, 30, tzinfo=ROME), TABLES, memory_approved=True)
    assert sixth is not None
    assert date(2026, 8, 4) == sixth.to_on
    seventh = datetime(2026, 9, 22, 10, 25, tzinfo=ROME)
    assert date(2026, 10, 20) == timetable.soft_diet_until(seventh, TABLES).to_on


def test_cases_3_and_5_have_their_next_blood_thinner() -> None:
    """Section 7: apixaban 20:00, not before 14:10 (3); warfarin 18:00 the same day (5)."""
    apixaban = next_dose("miss_dose", [time(8), time(20)], datetime(2026, 2, 26, 10, 10, tzinfo=ROME), TABLES)
    assert apixaban is not None
    assert datetime(2026, 2, 26, 20, 0, tzinfo=ROME) == apixaban.at
    assert datetime(2026, 2, 26, 14, 10, tzinfo=ROME) == apixaban.not_before
    warfarin = next_dose("continue", [time(18)], datetime(2026, 1, 20, 9, 30, tzinfo=ROME), TABLES)
    assert warfarin is not None
    assert datetime(2026, 1, 20, 18, 0, tzinfo=ROME) == warfarin.at


def _dates(days: timetable.Days) -> tuple[date | None, date | None]:
    return days.from_on, days.to_on
