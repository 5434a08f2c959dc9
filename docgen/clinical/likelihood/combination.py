"""
A base figure and its candidate ratios > the highest figure that at most so many studies support.

One ratio for each axis, however many studies name it: depth C and "deep" are one thing.
Source: rules 1 and 2 of section 2.8 of the clinical reference; step 4 of section 4.2 of the specification.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import combinations
from math import prod

from docgen.clinical.likelihood.rows import RatioRow
from docgen.values import dataclass


@dataclass(frozen=True)
class Combination:
    """The ratios that act together, and what they make of the base."""

    ratios: tuple[RatioRow, ...]
    """Odds ratios first, by row id."""
    odds_ratio_product: Fraction
    relative_risk_product: Fraction
    probability: Fraction


def apply_odds_ratio(probability: Fraction, ratio: Fraction) -> Fraction:
    """Multiply the odds of a probability; certainty stays certain."""
    if probability == 1:
        return probability
    odds = probability / (1 - probability) * ratio
    return odds / (1 + odds)


def apply_relative_risk(probability: Fraction, ratio: Fraction) -> Fraction:
    """Multiply a probability, at most to 1."""
    return min(Fraction(1), probability * ratio)


def combine(base: Fraction, candidates: Iterable[RatioRow], max_studies: int) -> Combination:
    """Take the set of at most `max_studies` studies with the highest result, never below the base."""
    rows = tuple(candidates)
    studies = sorted({row.study for row in rows})
    best = _of_studies(base, rows, ())
    for count in range(1, max_studies + 1):
        for chosen in combinations(studies, count):
            found = _of_studies(base, rows, chosen)
            if found.probability > best.probability:
                best = found
    return best


def largest_per_axis(rows: Iterable[RatioRow]) -> tuple[RatioRow, ...]:
    """Keep the largest ratio of each axis; of equal ones, a row that is not the score envelope."""
    kept: dict[str, RatioRow] = {}
    for row in sorted(rows, key=lambda r: (-r.value, r.by_envelope, r.id)):
        kept.setdefault(row.axis, row)
    return tuple(sorted(kept.values(), key=lambda r: (r.measure, r.id)))


def _of_studies(base: Fraction, rows: Sequence[RatioRow], studies: Sequence[str]) -> Combination:
    kept = largest_per_axis(row for row in rows if row.study in studies)
    odds = prod((row.value for row in kept if row.measure == "OR"), start=Fraction(1))
    risk = prod((row.value for row in kept if row.measure == "RR"), start=Fraction(1))
    return Combination(kept, odds, risk, apply_relative_risk(apply_odds_ratio(base, odds), risk))
