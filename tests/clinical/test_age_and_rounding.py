"""Completed years, and rounding to the side that can't do harm."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from docgen.clinical.age import LeapBirthday, completed_years
from docgen.clinical.rounding import half_away_from_zero, probability_outward, round_down, round_up, significant_up


@pytest.mark.parametrize(
    ("born_on", "on", "expected"),
    [
        (date(2001, 11, 19), date(2026, 3, 17), 24),  # cases 1 to 7 of the specification, section 7
        (date(1991, 6, 2), date(2026, 4, 14), 34),
        (date(1967, 9, 30), date(2026, 2, 26), 58),
        (date(2009, 8, 21), date(2026, 5, 12), 16),
        (date(1952, 7, 8), date(2026, 1, 20), 73),
        (date(1956, 12, 5), date(2026, 6, 9), 69),
        (date(1980, 10, 11), date(2026, 9, 22), 45),
        (date(2008, 3, 17), date(2026, 3, 16), 17),
        (date(2008, 3, 17), date(2026, 3, 17), 18),
        (date(2026, 3, 17), date(2026, 3, 17), 0),
    ],
)
def test_a_year_counts_when_it_is_completed(born_on: date, on: date, expected: int) -> None:
    """The birthday itself completes the year."""
    assert expected == completed_years(born_on, on)


@pytest.mark.parametrize(
    ("rule", "on", "expected"),
    [
        ("28_february", date(2026, 2, 27), 17),
        ("28_february", date(2026, 2, 28), 18),
        ("1_march", date(2026, 2, 28), 17),
        ("1_march", date(2026, 3, 1), 18),
        ("28_february", date(2028, 2, 28), 19),
        ("28_february", date(2028, 2, 29), 20),
    ],
)
def test_a_leap_day_birthday_follows_the_clinics_rule(rule: LeapBirthday, on: date, expected: int) -> None:
    """In a common year the rule decides; in a leap year the day itself does."""
    assert expected == completed_years(date(2008, 2, 29), on, rule)


def test_years_do_not_run_backwards() -> None:
    """A day before the birth is a fault of the record, not an age."""
    with pytest.raises(ValueError, match="before the first"):
        completed_years(date(2026, 3, 17), date(2026, 3, 16))


@pytest.mark.parametrize(
    ("percent", "expected"),
    [
        ("1.2", "1.2"),  # the values printed in 4.7, first column of examples 1 to 3, 17 and 24
        ("4.3674", "4.4"),
        ("22.968", "23"),
        ("33.3611", "34"),
        ("0.28", "0.3"),
        ("0.49", "0.5"),
        ("0.99", "1"),
        ("1", "1"),
        ("1.01", "1.1"),
        ("100", "100"),
        ("0.00493", "0.005"),
    ],
)
def test_a_probability_is_rounded_outward(percent: str, expected: str) -> None:
    """Up to two significant figures from 1 % on, up to one below."""
    assert Fraction(expected) / 100 == probability_outward(Fraction(percent) / 100)


@given(st.fractions(min_value=Fraction(1, 10**7), max_value=1))
def test_outward_rounding_never_falls_and_stays_near(probability: Fraction) -> None:
    """Two figures overstate by at most a tenth, one figure by less than the value itself; twice changes nothing."""
    rounded = probability_outward(probability)
    assert probability <= rounded
    assert rounded <= probability * (Fraction(11, 10) if probability >= Fraction(1, 100) else 2)
    assert rounded == probability_outward(rounded)


@given(st.fractions(min_value=0, max_value=1000), st.integers(min_value=0, max_value=3))
def test_down_and_up_enclose_the_value_within_one_step(value: Fraction, places: int) -> None:
    """A dose is never rounded up, a risk or a used share never down."""
    step = Fraction(1, 10**places)
    assert value - step < round_down(value, places) <= value <= round_up(value, places) < value + step


def test_zero_has_no_significant_figure() -> None:
    """Nothing that is listed has a probability of 0."""
    with pytest.raises(ValueError, match="above 0"):
        significant_up(Fraction(0), 1)


@pytest.mark.parametrize(("value", "expected"), [("10.5", 11), ("-10.5", -11), ("10.49", 10), ("-0.4", 0), ("0.5", 1)])
def test_a_half_degree_goes_away_from_zero(value: str, expected: int) -> None:
    """Both directions are treated alike."""
    assert expected == half_away_from_zero(Fraction(value))
