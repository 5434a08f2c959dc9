"""
Injections, limits and the clinic's way of adding drugs > how much of each limit is used, and which one is nearest.

Different local anesthetics add up (PFIZER). A drug without a limit leaves the sum unknown, never partial.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Literal

from docgen.clinical.anesthetic.dose import Injection, drug_dose_mg, drugs_of, epinephrine_dose_ug
from docgen.clinical.anesthetic.limit import DoseLimit, EpinephrineLimit, dose_limit
from docgen.clinical.rounding import round_up
from docgen.clinical.table import Tables
from docgen.values import dataclass

Combine = Literal["sum_of_fractions", "lower_of_two"]


@dataclass(frozen=True)
class DrugTotal:
    """One drug against its limit."""

    inn: str
    dose_mg: Fraction | None
    limit: DoseLimit | None
    """None without a weight, or without a row in the regime."""

    @property
    def fraction(self) -> Fraction | None:
        """Dose over limit, exact."""
        return None if self.dose_mg is None or self.limit is None else self.dose_mg / self.limit.mg


@dataclass(frozen=True)
class LimitingTerm:
    """The limit that is used up most."""

    kind: Literal["drug", "combined", "epinephrine"]
    inn: str | None
    """Of kind drug."""
    limited_by: Literal["weight", "cap"] | None
    """Which term set that limit; None for the sum of several drugs."""
    fraction: Fraction


@dataclass(frozen=True)
class DrugSums:
    """The local anesthetics of one list of injections against their limits."""

    drugs: tuple[DrugTotal, ...]
    """In the order of the first injection of each."""
    combine: Combine

    @property
    def total_mg(self) -> Fraction | None:
        """All drugs together; None if one is not known."""
        return _added(drug.dose_mg for drug in self.drugs)

    @property
    def lower_limit_mg(self) -> Fraction | None:
        """The lowest limit of the drugs used; None if one is not known."""
        limits = [drug.limit.mg for drug in self.drugs if drug.limit]
        return min(limits) if limits and len(limits) == len(self.drugs) else None

    @property
    def sum_of_fractions(self) -> Fraction | None:
        """Dose over limit, added over the drugs; the limit is 1."""
        return _added(drug.fraction for drug in self.drugs)

    @property
    def lower_of_two(self) -> Fraction | None:
        """All milligrams over the lowest of the limits; never less than the sum of fractions."""
        total, lower = self.total_mg, self.lower_limit_mg
        if not self.drugs:
            return Fraction(0)
        return None if total is None or lower is None else total / lower

    @property
    def combined(self) -> Fraction | None:
        """The clinic's choice of the two ways of adding."""
        return self.sum_of_fractions if self.combine == "sum_of_fractions" else self.lower_of_two


@dataclass(frozen=True)
class Totals(DrugSums):
    """All limits of one list of injections, epinephrine too."""

    epinephrine_ug: Fraction | None
    epinephrine_limit: EpinephrineLimit
    without_row: tuple[str, ...]
    """Drugs the regime has no row for."""

    @property
    def epinephrine_fraction(self) -> Fraction | None:
        """Epinephrine over its limit, exact."""
        return None if self.epinephrine_ug is None else self.epinephrine_ug / self.epinephrine_limit.ug

    @property
    def limiting(self) -> LimitingTerm | None:
        """
        Name the limit used most; a drug stands before the sum, and the sum before epinephrine, if equal.

        None if a part is not known: the largest of what is left would mislead.
        """
        terms = [
            None
            if drug.fraction is None or drug.limit is None
            else LimitingTerm("drug", drug.inn, drug.limit.limited_by, drug.fraction)
            for drug in self.drugs
        ]
        combined, epinephrine = self.combined, self.epinephrine_fraction
        terms.append(None if combined is None else LimitingTerm("combined", None, None, combined))
        by = self.epinephrine_limit.limited_by
        terms.append(None if epinephrine is None else LimitingTerm("epinephrine", None, by, epinephrine))
        known = [term for term in terms if term is not None]
        return max(known, key=lambda term: term.fraction) if len(known) == len(terms) else None

    @property
    def over_limit(self) -> bool | None:
        """Tell whether any limit is passed; a passed one counts even if another is not known."""
        fractions = [*(drug.fraction for drug in self.drugs), self.combined, self.epinephrine_fraction]
        if any(fraction is not None and fraction > 1 for fraction in fractions):
            return True
        return None if None in fractions else False


def drug_sums(
    injections: Sequence[Injection],
    weight_kg: Fraction | None,
    regime: str,
    tables: Tables,
    combine: Combine = "sum_of_fractions",
    memory_rows_approved: bool = False,
) -> DrugSums:
    """
    Set each drug against its limit.

    Units: kg, mg. Without a weight no limit is computed, never a default.
    Source: table anesthetic-limit; adding fractions is memory, additivity PFIZER.
    """
    limits = {
        inn: None if weight_kg is None else dose_limit(inn, weight_kg, regime, tables, memory_rows_approved)
        for inn in drugs_of(injections)
    }
    drugs = (DrugTotal(inn, drug_dose_mg(injections, inn), limit) for inn, limit in limits.items())
    return DrugSums(tuple(drugs), combine)


def add_up(
    injections: Sequence[Injection],
    weight_kg: Fraction | None,
    regime: str,
    epinephrine: EpinephrineLimit,
    tables: Tables,
    combine: Combine = "sum_of_fractions",
    memory_rows_approved: bool = False,
) -> Totals:
    """
    Add up injections and set them against the limits, epinephrine too.

    Units: kg, mg, microgram. Without a weight no limit is computed, never a default.
    Source: tables anesthetic-limit and epinephrine-limit.
    """
    sums = drug_sums(injections, weight_kg, regime, tables, combine, memory_rows_approved)
    return Totals(
        drugs=sums.drugs,
        combine=combine,
        epinephrine_ug=epinephrine_dose_ug(injections),
        epinephrine_limit=epinephrine,
        without_row=tuple(d.inn for d in sums.drugs if d.limit is None) if weight_kg is not None else (),
    )


def percent_up(fraction: Fraction) -> Fraction:
    """Give a fraction of a limit in percent, rounded up to 0.1."""
    return round_up(fraction * 100, 1)


def _added(parts: Iterable[Fraction | None]) -> Fraction | None:
    known = tuple(parts)
    return None if None in known else sum((part for part in known if part is not None), Fraction(0))
