"""An unrounded probability > N out of 1,000 (or 100,000) in both frames, and the word of its frequency band."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from docgen.clinical.likelihood.outcome import Frame, Printed
from docgen.clinical.rounding import probability_outward
from docgen.clinical.table import Tables

_ONE_IN_1000: Final = Fraction(1, 1000)
_ONE_IN_100_000: Final = Fraction(1, 100_000)


def print_probability(probability: Fraction, frame: Frame = "about") -> Printed:
    """
    Round a probability outward and give both frames over one denominator.

    Below 1 in 1,000 the denominator is 100,000; below 1 in 100,000 the figure is "fewer than 1".
    Errors: ValueError outside 0 to 1, 0 excluded: no event that is listed never happens.
    """
    if not 0 < probability <= 1:
        raise ValueError("a printed probability lies over 0 and up to 1")
    rounded = probability_outward(probability)
    if rounded < _ONE_IN_100_000:
        return Printed(1, 99_999, 100_000, "fewer than")
    if rounded < _ONE_IN_1000:
        affected = int(rounded * 100_000)
        return Printed(affected, 100_000 - affected, 100_000, frame)
    affected = int(rounded * 1000)
    return Printed(affected, 1000 - affected, 1000, frame)


def frequency_word(probability: Fraction, tables: Tables) -> str:
    """
    Name the band of an unrounded probability, very_common to very_rare; lower bounds are inclusive.

    Source: table frequency-words (EC-FREQ).
    """
    bands = sorted(tables.table("frequency-words"), key=lambda row: row.number("from"), reverse=True)
    return next(row.id for row in bands if probability >= row.number("from"))
