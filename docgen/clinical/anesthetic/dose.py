"""Injections > milligrams of each drug and micrograms of epinephrine, exactly; unknown if one volume is missing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from docgen.clinical.table import Tables
from docgen.values import dataclass


@dataclass(frozen=True, kw_only=True)
class Injection:
    """One injection, planned or given."""

    inn: str
    """Plain INN, in lower case."""
    percent: Fraction | None
    """Strength; 2 % = 20 mg/mL."""
    volume_ml: Fraction | None
    vasoconstrictor: str | None = None
    """epinephrine, levonordefrin, felypressin; None for a plain solution."""
    dilution: int | None = None
    """80000 means 1:80,000."""
    cartridge_ml: Fraction | None = None

    @property
    def mg_per_ml(self) -> Fraction | None:
        """Strength in mg/mL: ten times the percentage (EPICALC)."""
        return None if self.percent is None else self.percent * 10

    @property
    def epinephrine_ug_per_ml(self) -> Fraction | None:
        """Epinephrine in microgram/mL: 1,000,000 over the dilution (EPICALC); 0 without epinephrine."""
        if self.vasoconstrictor != "epinephrine":
            return Fraction(0)
        return None if not self.dilution else Fraction(1_000_000, self.dilution)


def weight_for_dosing_kg(
    weight_kg: Fraction | None, lean_weight_kg: Fraction | None, tables: Tables
) -> Fraction | None:
    """
    Take the lower of the weight and the surgeon's dosing weight; None without any, never a default.

    Errors: ValueError for a weight outside the range of table usual-practice (3 to 300 kg).
    """
    allowed = tables.table("usual-practice").row("weight_refused_outside")
    weights = [weight for weight in (weight_kg, lean_weight_kg) if weight is not None]
    for weight in weights:
        if not allowed.number("low") <= weight <= allowed.number("high"):
            raise ValueError("no dose is computed for a weight outside 3 to 300 kg")
    if weight_kg is None:
        return None  # a dosing weight corrects a weight, it does not replace the scales
    return min(weights)


def weight_is_unusual(weight_kg: Fraction, tables: Tables) -> bool:
    """Tell whether a weight deserves a second look (outside 10 to 200 kg)."""
    usual = tables.table("usual-practice").row("weight_noted_outside")
    return not usual.number("low") <= weight_kg <= usual.number("high")


def drugs_of(injections: Iterable[Injection]) -> tuple[str, ...]:
    """Name the drugs injected, in the order of their first injection."""
    return tuple(dict.fromkeys(injection.inn for injection in injections))


def drug_dose_mg(injections: Sequence[Injection], inn: str) -> Fraction | None:
    """
    Add up one drug: volume x percent x 10.

    Units: mg, exact. None if one of its injections lacks volume or strength: a partial sum is no dose.
    """
    return _sum(
        None if i.volume_ml is None or i.mg_per_ml is None else i.volume_ml * i.mg_per_ml
        for i in injections
        if i.inn == inn
    )


def epinephrine_dose_ug(injections: Sequence[Injection]) -> Fraction | None:
    """
    Add up the epinephrine of all injections.

    Units: microgram, exact. None if an injection with epinephrine lacks volume or dilution.
    """
    return _sum(
        None if i.volume_ml is None or i.epinephrine_ug_per_ml is None else i.volume_ml * i.epinephrine_ug_per_ml
        for i in injections
        if i.vasoconstrictor == "epinephrine"
    )


def _sum(parts: Iterable[Fraction | None]) -> Fraction | None:
    total = Fraction(0)
    for part in parts:
        if part is None:
            return None
        total += part
    return total
