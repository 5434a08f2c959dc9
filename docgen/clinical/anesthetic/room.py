"""
What was used and one solution > how many mL of it the limits still leave, and allow in all.

Published tables round to the nearest; here every printed number is rounded down, with the exact one beside it.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from docgen.clinical.anesthetic.dose import Injection
from docgen.clinical.anesthetic.limit import DoseLimit
from docgen.clinical.anesthetic.totals import Totals
from docgen.clinical.rounding import round_down
from docgen.values import dataclass

RoomLimit = Literal["drug", "combined", "epinephrine"]


@dataclass(frozen=True)
class Room:
    """A volume the limits allow."""

    ml: Fraction
    """Exact, never below 0."""
    limited_by: RoomLimit
    cartridge_ml: Fraction | None

    @property
    def printed_ml(self) -> Fraction:
        """Rounded down to 0.1 mL."""
        return round_down(self.ml, 1)

    @property
    def cartridges(self) -> Fraction | None:
        """Exact; None if the cartridge's size is not known."""
        return None if not self.cartridge_ml else self.ml / self.cartridge_ml

    @property
    def cartridges_tenths(self) -> Fraction | None:
        """Rounded down to 0.1 cartridge."""
        return None if self.cartridges is None else round_down(self.cartridges, 1)

    @property
    def whole_cartridges(self) -> int | None:
        """Rounded down to whole cartridges."""
        return None if self.cartridges is None else int(self.cartridges)


@dataclass(frozen=True)
class Remaining:
    """One solution after what was used, and as if it were the only one."""

    left: Room
    in_all: Room


def remaining(solution: Injection, totals: Totals) -> Remaining | None:
    """
    Find the mL of a solution that are left, and that are allowed in all (nothing used, this solution alone).

    None if its limit, its strength or what was used is not known.
    Source: DDH: the least of the drug's, the sum's and the epinephrine limit.
    """
    drug = next((drug for drug in totals.drugs if drug.inn == solution.inn), None)
    mg_per_ml, ug_per_ml = solution.mg_per_ml, solution.epinephrine_ug_per_ml
    if drug is None or drug.limit is None or not mg_per_ml or ug_per_ml is None:
        return None
    left_mg = _left_mg(totals, drug.limit)
    if left_mg is None or drug.dose_mg is None or totals.epinephrine_ug is None:
        return None
    epinephrine = totals.epinephrine_limit.ug
    left: list[tuple[Fraction, RoomLimit]] = [
        ((drug.limit.mg - drug.dose_mg) / mg_per_ml, "drug"),
        (left_mg / mg_per_ml, "combined"),
    ]
    in_all: list[tuple[Fraction, RoomLimit]] = [(drug.limit.mg / mg_per_ml, "drug")]
    if ug_per_ml:
        left.append(((epinephrine - totals.epinephrine_ug) / ug_per_ml, "epinephrine"))
        in_all.append((epinephrine / ug_per_ml, "epinephrine"))
    return Remaining(_room(left, solution), _room(in_all, solution))


def _left_mg(totals: Totals, limit: DoseLimit) -> Fraction | None:
    """Give the mg of this drug that the rule for several drugs still leaves."""
    if totals.combine == "lower_of_two":
        lower, total = totals.lower_limit_mg, totals.total_mg
        return None if lower is None or total is None else lower - total
    combined = totals.combined
    return None if combined is None else (1 - combined) * limit.mg


def _room(terms: list[tuple[Fraction, RoomLimit]], solution: Injection) -> Room:
    ml, limited_by = min(terms, key=lambda term: term[0])
    return Room(max(Fraction(0), ml), limited_by, solution.cartridge_ml)
