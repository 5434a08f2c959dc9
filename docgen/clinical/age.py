"""Two dates > completed years and months; the leap day is the one birthday that needs a rule."""

from __future__ import annotations

from datetime import date
from typing import Literal

LeapBirthday = Literal["28_february", "1_march"]


def completed_years(since: date, on: date, leap_birthday: LeapBirthday = "1_march") -> int:
    """
    Count the completed years from one day to another.

    Units: whole years, down. In a common year, 29 February comes round on the day `leap_birthday` names;
    the later day is the default, because it keeps a minor a minor one day longer.
    Errors: ValueError if the later day comes first.
    """
    if on < since:
        raise ValueError("the second date lies before the first")
    years = on.year - since.year
    return years if on >= _day_in(since, on.year, leap_birthday) else years - 1


def completed_months(since: date, on: date) -> int:
    """
    Count the completed months from one day to another.

    Units: whole months, down; a month that begins on the 31st ends on the first day after a shorter one.
    """
    return (on.year - since.year) * 12 + on.month - since.month - (1 if on.day < since.day else 0)


def years_later(day: date, years: int, leap_birthday: LeapBirthday = "1_march") -> date:
    """
    Give the day some whole years later; 29 February becomes the day `leap_birthday` names in a common year.

    The later day is the default, because it keeps a record one day longer.
    """
    return _day_in(day, day.year + years, leap_birthday)


def _day_in(day: date, year: int, leap_birthday: LeapBirthday) -> date:
    try:
        return day.replace(year=year)
    except ValueError:  # 29 February in a common year
        return date(year, 2, 28) if leap_birthday == "28_february" else date(year, 3, 1)
