"""A weight and a named regime > the most of a local anesthetic, and of epinephrine, with the term that limits."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Final, Literal

from docgen.clinical.medicine import drug_classes, plain_inn
from docgen.clinical.rounding import round_down
from docgen.clinical.table import Row, Tables
from docgen.values import dataclass

REGIMES: Final = ("us_label", "conservative", "canada", "australia_older", "uk_label", "uk_taught")
"""Named sets of limits; they differ up to 2.2 times, so the clinic always chooses."""

LimitedBy = Literal["weight", "cap"]


@dataclass(frozen=True)
class DoseLimit:
    """The most of one drug at one appointment."""

    inn: str
    regime: str
    mg: Fraction
    """Exact."""
    mg_per_kg: Fraction | None
    cap_mg: Fraction | None
    limited_by: LimitedBy
    note_above_mg: Fraction | None
    """A lower cap printed elsewhere: above it the staff page says so."""
    row: str
    source: tuple[str, ...]
    tag: str

    @property
    def printed_mg(self) -> Fraction:
        """Rounded down to 0.1 mg."""
        return round_down(self.mg, 1)


@dataclass(frozen=True)
class LowReasons:
    """What brings the lower epinephrine limit."""

    reasons: tuple[str, ...]
    """Conditions and drug classes, in the order of the table."""
    other_beta_blockers: tuple[str, ...]
    """Drugs in -olol of no non-selective list: a note, no limit."""
    source: tuple[str, ...]


@dataclass(frozen=True)
class EpinephrineLimit:
    """The most epinephrine at one appointment."""

    ug: Fraction
    limited_by: LimitedBy
    reasons: tuple[str, ...]
    """Why the lower cap counts; empty for a healthy adult."""
    assumed: bool
    """Weight or conditions are not known: the lower cap is assumed."""
    source: tuple[str, ...]
    tag: str


def dose_limit(
    inn: str, weight_kg: Fraction, regime: str, tables: Tables, memory_rows_approved: bool = False
) -> DoseLimit | None:
    """
    Find the lower of mg/kg x weight and the cap.

    Units: kg, mg. None if the regime has no row for the drug, or only a remembered one nobody approved.
    Errors: ValueError for a regime there is not.
    Source: table anesthetic-limit.
    """
    if regime not in REGIMES:
        raise ValueError(f"no regime {regime}")
    for row in tables.table("anesthetic-limit"):
        if row.text("regime") == regime and row.text("inn") == inn:
            return _limit(row, weight_kg) if row.tag != "memory" or memory_rows_approved else None
    return None


def low_epinephrine_reasons(conditions: Iterable[str], drug_names: Iterable[str], tables: Tables) -> LowReasons:
    """
    Find what in a history brings the lower epinephrine limit.

    Source: tables epinephrine-low-reason and drug-class.
    """
    names = tuple(drug_names)
    present = {*conditions, *(group for name in names for group in drug_classes(name, tables))}
    found = [row for row in tables.table("epinephrine-low-reason") if row.id in present]
    others = [
        inn
        for name in names
        for inn in plain_inn(name, tables)
        if inn.endswith("olol") and {"antihypertensive"} == drug_classes(inn, tables)
    ]
    source = tuple(dict.fromkeys(key for row in found for key in row.source))
    return LowReasons(tuple(row.id for row in found), tuple(dict.fromkeys(others)), source)


def epinephrine_limit(weight_kg: Fraction | None, low_reasons: LowReasons | None, tables: Tables) -> EpinephrineLimit:
    """
    Find the lower of the cap and 3 microgram/kg; the lower cap with a reason for it, or if anything is not known.

    Units: kg, microgram.
    Source: table epinephrine-limit (MEDILIB, EXAM).
    """
    table = tables.table("epinephrine-limit")
    assumed = weight_kg is None or low_reasons is None
    reasons = low_reasons.reasons if low_reasons else ()
    cap = table.row("low_cap" if assumed or reasons else "healthy_cap")
    by_weight = table.row("by_weight")
    weighed = None if weight_kg is None else by_weight.number("ug_per_kg") * weight_kg
    if weighed is not None and weighed < cap.number("ug"):
        return EpinephrineLimit(weighed, "weight", reasons, assumed, by_weight.source, by_weight.tag)
    source = (*cap.source, *(low_reasons.source if low_reasons else ()))
    return EpinephrineLimit(cap.number("ug"), "cap", reasons, assumed, tuple(dict.fromkeys(source)), cap.tag)


def _limit(row: Row, weight_kg: Fraction) -> DoseLimit:
    per_kg = row.number("mg_per_kg") if "mg_per_kg" in row else None
    cap = row.number("cap_mg") if "cap_mg" in row else None
    by_weight = None if per_kg is None else per_kg * weight_kg
    if by_weight is not None and (cap is None or by_weight < cap):
        mg, limited_by = by_weight, "weight"
    elif cap is not None:
        mg, limited_by = cap, "cap"
    else:
        raise row.fault("needs mg_per_kg or cap_mg")
    return DoseLimit(
        inn=row.text("inn"),
        regime=row.text("regime"),
        mg=mg,
        mg_per_kg=per_kg,
        cap_mg=cap,
        limited_by="weight" if limited_by == "weight" else "cap",
        note_above_mg=row.number("note_above_mg") if "note_above_mg" in row else None,
        row=row.id,
        source=row.source,
        tag=row.tag,
    )
