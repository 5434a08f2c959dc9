"""The totals of a list of injections > the doses, limits and room as they print (specification 3.6)."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any

from docgen.clinical.anesthetic import DrugTotal, EpinephrineLimit, Injection, Totals, remaining
from docgen.clinical.rounding import round_down, round_up
from docgen.facts.fact import Reading
from docgen.values import dataclass


def decimal_down(value: Fraction | None, places: int = 1) -> Decimal | None:
    """Print a limit or remainder: rounded down."""
    return None if value is None else _decimal(round_down(value, places), places)


def decimal_up(value: Fraction | None, places: int = 1) -> Decimal | None:
    """Print a dose or share: rounded up."""
    return None if value is None else _decimal(round_up(value, places), places)


def _decimal(value: Any, places: int) -> Decimal:
    exact = Fraction(value)
    return (Decimal(exact.numerator) / Decimal(exact.denominator)).quantize(Decimal(1).scaleb(-places))


def _as_written(value: Fraction | None) -> Decimal:
    """Give a strength with one decimal, or more where it has more: 0.25 % is not 0.2 %."""
    exact = Fraction(value or 0)
    whole = Decimal(exact.numerator) / Decimal(exact.denominator)
    return whole if (exact * 10).denominator != 1 else whole.quantize(Decimal("0.1"))


def percent_up(value: Fraction | None) -> Decimal | None:
    """Print a share of a limit in percent, 0.1 up."""
    return decimal_up(value * 100) if value is not None else None


@dataclass(frozen=True)
class DoseLine:
    """One drug of a list against its limit, ready to print."""

    inn: str
    dose_mg: Decimal | None
    limit_mg: Decimal | None
    percent: Decimal | None
    limited_by: str
    """weight, cap, or no_limit."""
    passes_note_mg: Decimal | None
    """A lower cap printed elsewhere that the dose passes; None if it passes none."""


@dataclass(frozen=True)
class DoseSheet:
    """A list of injections against its limits, ready to print."""

    drugs: tuple[DoseLine, ...]
    several_drugs: bool
    combined_percent: Decimal | None
    lower_of_two_percent: Decimal | None
    has_epinephrine: bool
    epinephrine_ug: Decimal | None
    epinephrine_limit_ug: Decimal | None
    epinephrine_limit_assumed: bool
    """True if history is lacking that the limit rests on, and the lower cap stands in."""
    epinephrine_percent: Decimal | None
    limiting: str
    """drug, combined or epinephrine."""
    limiting_inn: str
    over_limit: bool
    over_lower_limit: bool
    """True if all milligrams together pass the lowest of the limits: the stricter way to add drugs."""
    regime: str
    weight_kg: Decimal


def _passed_note(drug: DrugTotal) -> Decimal | None:
    note = drug.limit.note_above_mg if drug.limit else None
    return decimal_down(note) if note is not None and drug.dose_mg is not None and drug.dose_mg > note else None


def dose_sheet(name: str) -> Callable[[Reading], DoseSheet]:
    """Make the fact that lays totals out for print: doses and shares up, limits down."""

    def stated(reading: Reading) -> DoseSheet:
        totals: Totals = reading.fact(name)
        limit: EpinephrineLimit = reading.fact("epinephrine_limit_ug")
        term = totals.limiting
        lines = tuple(
            DoseLine(
                d.inn,
                decimal_up(d.dose_mg),
                decimal_down(d.limit.mg) if d.limit else None,
                percent_up(d.fraction),
                d.limit.limited_by if d.limit else "no_limit",
                _passed_note(d),
            )
            for d in totals.drugs
        )
        return DoseSheet(
            drugs=lines,
            several_drugs=len(lines) > 1,
            combined_percent=percent_up(totals.sum_of_fractions),
            lower_of_two_percent=percent_up(totals.lower_of_two),
            has_epinephrine=bool(totals.epinephrine_ug),
            epinephrine_ug=decimal_up(totals.epinephrine_ug),
            epinephrine_limit_ug=decimal_down(limit.ug),
            epinephrine_limit_assumed=limit.assumed,
            epinephrine_percent=percent_up(totals.epinephrine_fraction),
            limiting=term.kind if term else "no_limit",
            limiting_inn=(term.inn or "") if term else "",
            over_limit=totals.over_limit is True,
            over_lower_limit=(totals.lower_of_two or 0) > 1,
            regime=reading.setting("la.regime"),
            weight_kg=decimal_down(reading.fact("la_weight_kg")) or Decimal(0),
        )

    return stated


@dataclass(frozen=True)
class Room:
    """How much of one solution could still be given, and how much in all if nothing else were."""

    inn: str
    percent: Decimal
    left_ml: Decimal
    in_all_ml: Decimal
    in_all_unrounded_ml: Decimal
    cartridges: Decimal | None
    whole_cartridges: int | None
    limited_by: str


def room_left(rows: Callable[[Reading], tuple[Injection, ...]], name: str) -> Callable[[Reading], tuple[Room, ...]]:
    """Make the fact of the room each solution leaves: down to 0.1 mL, never below 0."""

    def stated(reading: Reading) -> tuple[Room, ...]:
        totals = reading.fact(name)
        found: list[Room] = []
        solutions = {(r.inn, r.percent, r.dilution, r.cartridge_ml): r for r in rows(reading)}
        for solution in solutions.values():
            room = remaining(solution, totals)
            if room is not None:
                found.append(
                    Room(
                        solution.inn,
                        _as_written(solution.percent),
                        _decimal(room.left.printed_ml, 1),
                        _decimal(room.in_all.printed_ml, 1),
                        _decimal(round_down(room.in_all.ml, 2), 2),
                        None if room.in_all.cartridges_tenths is None else _decimal(room.in_all.cartridges_tenths, 1),
                        room.in_all.whole_cartridges,
                        room.in_all.limited_by,
                    )
                )
        return tuple(found)

    return stated
