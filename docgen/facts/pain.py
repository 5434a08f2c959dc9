"""The history and the prescriptions > whether an NSAID may be given, and what pain killers add up to in a day."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

from docgen.answer import Answer
from docgen.clinical.analgesic import Asked, Prescribed, Total, analgesic_totals
from docgen.clinical.nsaid import NOT_ALL_ANSWERED, NsaidVerdict, judge_nsaid
from docgen.facts.fact import Fact, Known, Reading, Unknown
from docgen.facts.history import read_history
from docgen.values import dataclass

NSAID_ASKS = ("conditions", "medications", "antithrombotics", "allergies", "pregnancy", "breast_feeding", "age")
TOTALS_ASK = ("conditions", "alcohol", "weight", "minor")
NSAID_SOURCES = ("ELMS", "MOSTOFI", "NAT-NSAID", "SDCEP-PAIN")


def _nsaid_verdict(reading: Reading) -> Known | Unknown:
    answers = read_history(reading, NSAID_ASKS)
    verdict = judge_nsaid(answers.history, reading.tables)
    if verdict.unanswered and verdict.verdict not in ("stop", "avoid"):
        return Unknown(verdict.unanswered, answers.asked, verdict)
    return Known(verdict, verdict.source)


@dataclass(frozen=True)
class AnalgesicTotal:
    """What one pain killer adds up to in a day, against the limits of an adult, ready to print."""

    inn: str
    mg_per_day: int | Decimal | None
    """None if a dose or the times are not recorded."""
    ceiling_mg: int | Decimal | None
    """None if no ceiling is held for the drug."""
    hours_apart: int | Decimal | None
    verdict: str
    """ok, caution or stop."""
    reasons: tuple[str, ...]
    stops: tuple[str, ...]
    """Those of the reasons that stop it."""
    too_soon: tuple[str, ...]
    """Paths of the prescriptions whose gap between two doses is too short."""
    unanswered: tuple[str, ...]
    over: bool
    """True if a sum passes the ceiling."""
    source: tuple[str, ...]


def _analgesic_totals(reading: Reading) -> tuple[AnalgesicTotal, ...]:
    rows = reading.need("prescriptions")
    prescribed = tuple(
        _prescribed(row, f"prescriptions[{index}]") for index, row in enumerate(rows if isinstance(rows, tuple) else ())
    )
    answers = read_history(reading, TOTALS_ASK if prescribed else ())
    asked = Asked(answers.history, tuple(answers.open_questions.items()))
    return tuple(_printed(total) for total in analgesic_totals(prescribed, asked, reading.tables))


def _prescribed(row: Any, path: str) -> Prescribed:
    return Prescribed(
        name=row.inn or "",
        path=path,
        dose_mg=_fraction(row.dose_mg),
        times_per_day=row.times_per_day if isinstance(row.times_per_day, int) else None,
        hours_apart=_fraction(row.hours_apart),
        days=row.days if isinstance(row.days, int) else None,
        max_mg_per_day=_fraction(row.max_mg_per_day),
        supply=row.supply if isinstance(row.supply, str) else None,
    )


def _printed(total: Total) -> AnalgesicTotal:
    return AnalgesicTotal(
        inn=total.inn,
        mg_per_day=_plain(total.mg_per_day),
        ceiling_mg=_plain(total.ceiling_mg),
        hours_apart=_plain(total.hours_apart),
        verdict=total.verdict,
        reasons=total.reasons,
        stops=total.stops,
        too_soon=total.too_soon,
        unanswered=total.unanswered,
        over=not {"over_ceiling", "maximum_over_ceiling"}.isdisjoint(total.reasons),
        source=total.source,
    )


def _fraction(value: Any) -> Fraction | None:
    return None if value is None or isinstance(value, Answer) else Fraction(value)


def _plain(value: Fraction | None) -> int | Decimal | None:
    """Give the decimal that was written: sums and products of decimals end."""
    if value is None or value.denominator == 1:
        return None if value is None else value.numerator
    return Decimal(value.numerator) / Decimal(value.denominator)


PAIN = (
    Fact(
        "nsaid_verdict",
        (
            "medical.conditions",
            "medical.medications",
            "medical.antithrombotics",
            "medical.allergies",
            "medical.pregnancy",
            "medical.breast_feeding",
            "patient_age_years",
        ),
        _nsaid_verdict,
        NSAID_SOURCES,
        NsaidVerdict("caution", (NOT_ALL_ANSWERED,)),
    ),
    Fact("nsaid_is_ok", ("nsaid_verdict",), lambda r: r.fact("nsaid_verdict").verdict == "ok", NSAID_SOURCES),
    Fact(
        "analgesic_totals",
        ("prescriptions", "medical.conditions", "medical.alcohol", "patient.weight_kg", "patient_is_minor"),
        _analgesic_totals,
        ("ETG-AN", "ELMS", "DAN-AU", "SDCEP-PAIN", "ADA24"),
    ),
)
