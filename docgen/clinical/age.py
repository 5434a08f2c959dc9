"""Two dates > completed years; the leap day is the one birthday that needs a rule."""

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


def _day_in(day: date, year: int, leap_birthday: LeapBirthday) -> date:
    try:
        return day.replace(year=year)
    except ValueError:  # 29 February in a common year
        return date(year, 2, 28) if leap_birthday == "28_february" else date(year, 3, 1)
