"""
An exact fraction > the number that may be printed, rounded to the side that can't do harm.

Doses round down, risks and fractions of a limit round up; nothing rounds to the nearest but an angle.
"""

from __future__ import annotations

from fractions import Fraction

_ONE_PERCENT = Fraction(1, 100)


def round_down(value: Fraction, places: int) -> Fraction:
    """Cut a value to so many decimal places, towards minus infinity."""
    scale = 10**places
    return Fraction((value * scale).__floor__(), scale)


def round_up(value: Fraction, places: int) -> Fraction:
    """Raise a value to so many decimal places, towards plus infinity."""
    scale = 10**places
    return Fraction((value * scale).__ceil__(), scale)


def significant_up(value: Fraction, figures: int) -> Fraction:
    """
    Raise a positive value to so many significant figures.

    Errors: ValueError for zero and below, which have no first figure.
    """
    if value <= 0:
        raise ValueError("only a value above 0 has significant figures")
    step = Fraction(1, 10 ** (figures - 1))
    while value >= step * 10**figures:
        step *= 10
    while value < step * 10 ** (figures - 1):
        step /= 10
    return (value / step).__ceil__() * step


def probability_outward(probability: Fraction) -> Fraction:
    """
    Round a probability outward: two significant figures from 1 % on, one below.

    Whole percents would print 1.2 % as 20 of 1,000, two thirds too much.
    """
    return significant_up(probability, 2 if probability >= _ONE_PERCENT else 1)


def half_away_from_zero(value: Fraction) -> int:
    """Round to the nearest whole number; a half goes away from zero."""
    whole = (abs(value) + Fraction(1, 2)).__floor__()
    return whole if value >= 0 else -whole
