"""
A clinician's decision on a blood thinner and the end of the bleeding > when the next dose is due.

It only counts out a decision that was made; without one there is no time, and the patient asks before leaving.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, time, timedelta

from docgen.clinical.table import Tables
from docgen.clinical.timetable import elapsed_after
from docgen.values import dataclass

_DAYS_AHEAD = 2  # a daily clock time comes round within a day; a second one covers a skipped hour


@dataclass(frozen=True)
class NextDose:
    """The next dose of one drug."""

    at: datetime
    """Clock time and date, in clinic time."""
    not_before: datetime
    """The earliest moment the decision allows."""
    source: tuple[str, ...]
    tag: str


def next_dose(decision: str, dose_times: Sequence[time], hemostasis_at: datetime, tables: Tables) -> NextDose | None:
    """
    Find the next dose after bleeding has stopped.

    continue and no_change: the next usual clock time. delay_dose, once a day: 4 elapsed hours later. miss_dose,
    twice a day: the later of the evening time and 4 elapsed hours. None for any other decision or pattern.
    Errors: ValueError for a moment without time zone.
    Source: table timetable, row antithrombotic_delay (SDCEP-DOAC).
    """
    row = tables.table("timetable").row("antithrombotic_delay")
    not_before = elapsed_after(hemostasis_at, row.number("from"))
    if decision in ("continue", "no_change") and dose_times:
        return NextDose(_next_clock_time(dose_times, hemostasis_at), hemostasis_at, row.source, row.tag)
    if decision == "delay_dose" and len(dose_times) == 1:
        return NextDose(not_before, not_before, row.source, row.tag)
    if decision == "miss_dose" and len(dose_times) == 2:
        evening = _at(hemostasis_at, 0, max(dose_times))
        # within one zone Python compares wall clocks, so the comparison is made in UTC
        later = max(evening, not_before, key=lambda moment: moment.astimezone(UTC))
        return NextDose(later, not_before, row.source, row.tag)
    return None


def _next_clock_time(dose_times: Sequence[time], after: datetime) -> datetime:
    coming = (_at(after, days, clock) for days in range(_DAYS_AHEAD + 1) for clock in dose_times)
    later = (moment for moment in coming if moment.astimezone(UTC) > after.astimezone(UTC))
    return min(later, key=lambda moment: moment.astimezone(UTC))


def _at(day_of: datetime, days: int, clock: time) -> datetime:
    """Give a clock time on a later day; one that the change to summer time skips comes out an hour later."""
    wall = datetime.combine(day_of.date() + timedelta(days=days), clock, tzinfo=day_of.tzinfo)
    return wall.astimezone(UTC).astimezone(day_of.tzinfo)
