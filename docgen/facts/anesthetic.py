"""Injections, weight and regime > doses against limits, planned and given (specification 3.6)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from docgen.answer import Answer
from docgen.clinical.anesthetic import (
    EpinephrineLimit,
    Injection,
    Totals,
    add_up,
    epinephrine_limit,
    low_epinephrine_reasons,
    remaining,
    weight_for_dosing_kg,
)
from docgen.clinical.rounding import round_down, round_up
from docgen.facts.fact import Fact, Known, NeedMissing, Reading
from docgen.facts.medical import codes, inns


def _number(value: Any) -> Fraction | None:
    return None if value is None or isinstance(value, Answer) else Fraction(value)


def decimal_down(value: Fraction | None, places: int = 1) -> Decimal | None:
    """Print a limit or remainder: rounded down."""
    return None if value is None else _decimal(round_down(value, places), places)


def decimal_up(value: Fraction | None, places: int = 1) -> Decimal | None:
    """Print a dose or share: rounded up."""
    return None if value is None else _decimal(round_up(value, places), places)


def _decimal(value: Any, places: int) -> Decimal:
    exact = Fraction(value)
    return (Decimal(exact.numerator) / Decimal(exact.denominator)).quantize(Decimal(1).scaleb(-places))


def percent_up(value: Fraction | None) -> Decimal | None:
    """Print a share of a limit in percent, 0.1 up."""
    return decimal_up(value * 100) if value is not None else None


def _weight(reading: Reading) -> Fraction:
    dosing = reading.value("patient.dosing_weight_kg")
    weight = weight_for_dosing_kg(_number(reading.need("patient.weight_kg")), _number(dosing), reading.tables)
    if weight is None:
        raise NeedMissing(("patient.weight_kg",))
    return weight


def injections(reading: Reading, path: str) -> tuple[Injection, ...]:
    """
    Give the injections of a list for the arithmetic.

    Errors: NeedMissing, if one lacks drug, percent or volume.
    """
    rows = reading.need(path)
    found = []
    for index, row in enumerate(rows if isinstance(rows, tuple) else ()):
        inn, percent = reading.need(f"{path}[{index}].inn"), reading.need(f"{path}[{index}].percent")
        volume = reading.need(f"{path}[{index}].volume_ml")
        constrictor = None if isinstance(row.vasoconstrictor, Answer) else row.vasoconstrictor
        if constrictor == "epinephrine" and not isinstance(row.dilution, int):
            raise NeedMissing((f"{path}[{index}].dilution",))
        found.append(
            Injection(
                inn=inn,
                percent=Fraction(percent),
                volume_ml=Fraction(volume),
                vasoconstrictor=constrictor,
                dilution=row.dilution if isinstance(row.dilution, int) else None,
                cartridge_ml=_number(row.cartridge_ml),
            )
        )
    return tuple(found)


def _epinephrine_limit(reading: Reading) -> EpinephrineLimit:
    reasons = low_epinephrine_reasons(
        tuple(sorted(codes(reading))), inns(reading, "medical.medications"), reading.tables
    )
    return epinephrine_limit(reading.fact("la_weight_kg"), reasons, reading.tables)


def _totals(path: str) -> Callable[[Reading], Known]:
    def stated(reading: Reading) -> Known:
        rows = injections(reading, path)
        totals = add_up(
            rows,
            reading.fact("la_weight_kg"),
            reading.setting("la.regime"),
            reading.fact("epinephrine_limit_ug"),
            reading.tables,
            reading.setting("la.combine"),
            reading.setting("la.memory_rows") == "approved",
        )
        return Known(totals, tuple(s for d in totals.drugs if d.limit for s in d.limit.source), working(rows, totals))

    return stated


def working(rows: tuple[Injection, ...], totals: Totals) -> str:
    """Write the arithmetic of a list of injections."""
    terms = [f"{_short(r.volume_ml)} mL x {_short(r.percent)} % x 10" for r in rows]
    drugs = [f"{d.inn} {_short(d.dose_mg)} mg / {_short(d.limit.mg) if d.limit else 'no limit'}" for d in totals.drugs]
    return "; ".join([" + ".join(terms), *drugs])


def _short(value: Fraction | None) -> str:
    return "-" if value is None else f"{float(value):.4f}".rstrip("0").rstrip(".")


@dataclass(frozen=True)
class DoseLine:
    """One drug of a list against its limit, ready to print."""

    inn: str
    dose_mg: Decimal | None
    limit_mg: Decimal | None
    percent: Decimal | None
    limited_by: str
    """weight, cap, or no_limit."""


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
    epinephrine_percent: Decimal | None
    limiting: str
    """drug, combined or epinephrine."""
    limiting_inn: str
    over_limit: bool
    regime: str
    weight_kg: Decimal


def _sheet(name: str) -> Callable[[Reading], DoseSheet]:
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
            epinephrine_percent=percent_up(totals.epinephrine_fraction),
            limiting=term.kind if term else "no_limit",
            limiting_inn=(term.inn or "") if term else "",
            over_limit=totals.over_limit is True,
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


def _remaining(path: str, name: str) -> Callable[[Reading], tuple[Room, ...]]:
    def stated(reading: Reading) -> tuple[Room, ...]:
        totals = reading.fact(name)
        found: list[Room] = []
        solutions = {(r.inn, r.percent, r.dilution, r.cartridge_ml): r for r in injections(reading, path)}
        for solution in solutions.values():
            room = remaining(solution, totals)
            if room is not None:
                found.append(
                    Room(
                        solution.inn,
                        _decimal(solution.percent, 1),
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


def _part(name: str, pick: Callable[[Totals], Any]) -> Callable[[Reading], Any]:
    return lambda reading: pick(reading.fact(name))


def _planned_drugs(reading: Reading) -> tuple[str, ...]:
    """Name each planned drug once, in the order of the plan."""
    rows = reading.need("plan.injections")
    return tuple(dict.fromkeys(row.inn for row in rows if isinstance(row.inn, str))) if isinstance(rows, tuple) else ()


LISTS = {"planned": "plan.injections", "given": "operation.injections"}
WEIGHT = ("patient.weight_kg", "patient.dosing_weight_kg")
LIMITS = (
    "la_weight_kg",
    "epinephrine_limit_ug",
    "settings.la.regime",
    "settings.la.combine",
    "settings.la.memory_rows",
)


def _for_list(word: str) -> tuple[Fact, ...]:
    """Make the facts of one list of injections."""
    path, totals = LISTS[word], f"la_totals_{word}"
    parts: dict[str, Callable[[Totals], Any]] = {
        "la_dose_mg": lambda t: {d.inn: d.dose_mg for d in t.drugs},
        "la_limit_mg": lambda t: {d.inn: d.limit.mg if d.limit else None for d in t.drugs},
        "la_fraction": lambda t: {d.inn: d.fraction for d in t.drugs},
        "la_combined": lambda t: t.combined,
        "epinephrine_ug": lambda t: t.epinephrine_ug,
        "epinephrine_fraction": lambda t: t.epinephrine_fraction,
        "la_limiting_term": lambda t: t.limiting,
        "la_over_limit": lambda t: t.over_limit is True,
    }
    sources = ("EPICALC", "DDH", "PFIZER")
    return (
        Fact(totals, (path, *LIMITS), _totals(path), sources),
        *(Fact(f"{n}_{word}", (totals,), _part(totals, pick), sources) for n, pick in parts.items()),
        Fact(f"la_remaining_ml_{word}", (totals, path), _remaining(path, totals), ("DDH",)),
        Fact(f"dose_sheet_{word}", (totals, *LIMITS), _sheet(totals), sources),
    )


ANESTHETIC = (
    Fact("planned_drugs", ("plan.injections",), _planned_drugs, ("field",)),
    Fact("la_weight_kg", WEIGHT, _weight, ("cp",)),
    Fact(
        "epinephrine_limit_ug",
        ("la_weight_kg", "medical.conditions", "medical.medications"),
        _epinephrine_limit,
        ("MEDILIB", "EXAM", "PFIZER"),
    ),
    *_for_list("planned"),
    *_for_list("given"),
)
