"""
The end of an operation > every time and day of the aftercare, or the same in days and hours for an undated leaflet.

Moments are aware datetimes in the clinic's time zone. Hours are elapsed, so they cross a clock change unharmed;
days are calendar days, day 0 being the day the operation ends. Source: table timetable, each figure with its own.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from typing import Final, Literal

from docgen.clinical.table import Row, Tables
from docgen.values import dataclass

Anesthesia = Literal["local", "local_with_sedation", "general_elsewhere"]
Since = Literal["last_injection", "operation_end"]

_DRIVE_ROW: Final = {"local_with_sedation": "drive_after_sedation", "general_elsewhere": "drive_after_general"}


@dataclass(frozen=True)
class Hours:
    """A window in elapsed hours; one moment if both ends are equal."""

    from_hours: Fraction
    to_hours: Fraction
    since: Since
    from_at: datetime | None
    """None for an undated leaflet."""
    to_at: datetime | None
    source: tuple[str, ...]
    tag: str


@dataclass(frozen=True)
class Days:
    """A window in calendar days after the day of the operation; one day if both ends are equal."""

    from_day: int
    to_day: int
    from_on: date | None
    """None for an undated leaflet."""
    to_on: date | None
    source: tuple[str, ...]
    tag: str


@dataclass(frozen=True)
class Months:
    """A window in months, for a review nobody dates in advance."""

    from_months: int
    to_months: int
    source: tuple[str, ...]
    tag: str


@dataclass(frozen=True)
class Settling:
    """When the usual troubles have gone; swelling is worst in the first days."""

    stiff_jaw: Days
    bruising: Days
    """Bruising, and the whole recovery."""


def elapsed_after(moment: datetime, hours: Fraction) -> datetime:
    """
    Give the clock time so many elapsed hours later, whatever the clocks did in between.

    Errors: ValueError for a moment without time zone.
    """
    if moment.tzinfo is None:
        raise ValueError("a moment carries its time zone")
    seconds = hours * 3600
    later = moment.astimezone(UTC) + timedelta(microseconds=int(seconds * 1_000_000))
    return later.astimezone(moment.tzinfo)


def day_after(moment: datetime, days: int) -> date:
    """
    Give the calendar day so many days later, in the moment's own time zone.

    Errors: ValueError for a moment without time zone.
    """
    if moment.tzinfo is None:
        raise ValueError("a moment carries its time zone")
    return moment.date() + timedelta(days=days)


def numb_window(
    inns: Iterable[str], last_injection_at: datetime | None, ended_at: datetime | None, tables: Tables
) -> Hours | None:
    """
    Give the time the lip stays numb, from the last injection, else from the end of the operation.

    Of several drugs the longest-lasting counts; one without a figure never shortens the window, and alone has
    none (None: "several hours", no clock time). Source: table anesthetic-duration.
    """
    used = set(inns)
    rows = [row for row in tables.table("anesthetic-duration") if row.id in used]
    if not rows:
        return None
    longest = max(rows, key=lambda row: (row.number("to"), row.number("from")))
    if last_injection_at is None:
        return _hours(longest, ended_at)
    return _hours(longest, last_injection_at, "last_injection")


def gauze_times(ended_at: datetime | None, tables: Tables) -> tuple[Hours, ...]:
    """Give the times to change the gauze: 45, 90 and 135 minutes."""
    rows = (tables.table("timetable").row(row_id) for row_id in ("gauze_first", "gauze_second", "gauze_third"))
    return tuple(_hours(row, ended_at) for row in rows)


def rinse_from(ended_at: datetime | None, tables: Tables) -> Hours:
    """Give the moment from which rinsing is allowed."""
    return _hours(tables.table("timetable").row("rinse_from"), ended_at)


def suture_window(
    material: str, size: str, resorbable: bool, ended_at: datetime | None, tables: Tables
) -> Days | Literal["at_review"]:
    """Give the days in which stitches dissolve; those that don't are taken out at the review."""
    if not resorbable:
        return "at_review"
    row_id = "suture_plain_gut_3_0" if (material, size) == ("plain_gut", "3-0") else "suture_resorbable"
    return _days(row_id, ended_at, tables)


def syringe_from(ended_at: datetime | None, tables: Tables) -> Days:
    """Give the day, at bedtime, from which a lower socket is rinsed; never asked for an upper one."""
    return _days("syringe_from", ended_at, tables)


def syringe_until(ended_at: datetime | None, tables: Tables) -> Days:
    """Give the days in which a lower socket usually closes."""
    return _days("syringe_until", ended_at, tables)


def dry_socket_window(ended_at: datetime | None, tables: Tables) -> Days:
    """Give the days in which a dry socket begins."""
    return _days("dry_socket_window", ended_at, tables)


def dry_socket_most(ended_at: datetime | None, tables: Tables) -> Days:
    """Give the days in which most dry sockets begin."""
    return _days("dry_socket_most", ended_at, tables)


def dry_socket_last_day(ended_at: datetime | None, tables: Tables, watch_days: Literal[5, 7] = 7) -> Days:
    """Give the last day to watch for a dry socket, as the clinic has set it."""
    return _days(f"dry_socket_watch_{watch_days}", ended_at, tables)


def review_on(review_at: datetime | None, ended_at: datetime | None, tables: Tables) -> Days:
    """Give the day of the review: the one agreed, else day 7."""
    usual = _days("review", ended_at, tables)
    if review_at is None or ended_at is None:
        return usual
    if review_at.tzinfo is None:
        raise ValueError("a moment carries its time zone")
    on = review_at.date()
    day = (on - day_after(ended_at, 0)).days
    return Days(day, day, on, on, source=(), tag="found")


def worse_after(ended_at: datetime | None, tables: Tables) -> Days:
    """Give the day after which growing pain or swelling is a reason to call."""
    return _days("worse_after", ended_at, tables)


def settling(ended_at: datetime | None, tables: Tables) -> Settling:
    """Give the days by which a stiff jaw and bruising have settled."""
    return Settling(_days("stiff_jaw", ended_at, tables), _days("bruising", ended_at, tables))


def drive_from(anesthesia: Anesthesia, ended_at: datetime | None, tables: Tables) -> Hours | None:
    """Give the moment from which the patient may drive; None under local anesthesia: when fit."""
    if anesthesia == "local":
        return None
    return _hours(tables.table("timetable").row(_DRIVE_ROW[anesthesia]), ended_at)


def escort_until(anesthesia: Anesthesia, ended_at: datetime | None, tables: Tables) -> Hours | None:
    """Give the moment until which an escort stays: as long as the patient may not drive; None if none is needed."""
    return drive_from(anesthesia, ended_at, tables)


def sinus_until(ended_at: datetime | None, tables: Tables) -> Days:
    """Give the last day without nose blowing."""
    return _days("sinus_until", ended_at, tables)


def soft_diet_until(ended_at: datetime | None, tables: Tables) -> Days:
    """Give the last day of soft food for a jaw at risk."""
    return _days("soft_diet_until", ended_at, tables)


def nerve_call(ended_at: datetime | None, tables: Tables) -> Days:
    """Give the day after which lasting numbness is a reason to call."""
    return _days("nerve_call", ended_at, tables)


def nerve_review(tables: Tables) -> Months:
    """Give the months at which a tongue without recovery is seen by a specialist."""
    row = tables.table("timetable").row("nerve_review")
    return Months(row.whole("from"), row.whole("to"), row.source, row.tag)


def mronj_check(ended_at: datetime | None, tables: Tables, memory_approved: bool = False) -> Days | None:
    """Give the day of the healing check after bone drugs; None until the clinic approves the remembered figure."""
    row = tables.table("timetable").row("mronj_check")
    return None if row.tag == "memory" and not memory_approved else _days(row.id, ended_at, tables)


def _hours(row: Row, start: datetime | None, since: Since = "operation_end") -> Hours:
    unit = Fraction(1, 60) if row.text("measure", "hours") == "minutes" else Fraction(1)
    first, last = row.number("from") * unit, row.number("to") * unit
    from_at = None if start is None else elapsed_after(start, first)
    to_at = None if start is None else elapsed_after(start, last)
    return Hours(first, last, since, from_at, to_at, row.source, row.tag)


def _days(row_id: str, ended_at: datetime | None, tables: Tables) -> Days:
    row = tables.table("timetable").row(row_id)
    first, last = row.whole("from"), row.whole("to")
    from_on = None if ended_at is None else day_after(ended_at, first)
    to_on = None if ended_at is None else day_after(ended_at, last)
    return Days(first, last, from_on, to_on, row.source, row.tag)
