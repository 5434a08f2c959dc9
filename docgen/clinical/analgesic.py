"""Prescriptions and a history > what each pain killer adds up to in a day, and what speaks against it."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from docgen.clinical.history import History
from docgen.clinical.medicine import Ceiling, analgesic_ceiling, drug_classes, plain_inn
from docgen.clinical.table import Row, Tables
from docgen.values import dataclass

VERDICTS: Final = ("stop", "caution", "ok")
"""Strictest first."""


@dataclass(frozen=True)
class Prescribed:
    """One drug to take at home; None where nobody recorded a value."""

    name: str
    path: str
    """Its row: prescriptions[0]."""
    dose_mg: Fraction | None
    times_per_day: int | None
    hours_apart: Fraction | None
    days: int | None
    max_mg_per_day: Fraction | None
    supply: str | None


@dataclass(frozen=True)
class Total:
    """What one pain killer adds up to, over all its rows."""

    inn: str
    mg_per_day: Fraction | None
    """Dose x times; None if a part is not recorded."""
    ceiling_mg: Fraction | None
    """The strictest by how it was supplied; None if no figure is held."""
    hours_apart: Fraction | None
    """The shortest gap recorded."""
    verdict: str
    """stop, caution or ok."""
    reasons: tuple[str, ...]
    stops: tuple[str, ...]
    """Those of the reasons that stop it."""
    too_soon: tuple[str, ...]
    """Rows whose gap between two doses is too short."""
    unanswered: tuple[str, ...]
    source: tuple[str, ...]


@dataclass(frozen=True)
class Asked:
    """The history as the rules see it, with the paths nobody answered, by the question."""

    history: History
    open_questions: tuple[tuple[str, tuple[str, ...]], ...] = ()
    """conditions, alcohol, weight, minor > paths."""


def analgesic_totals(rows: tuple[Prescribed, ...], asked: Asked, tables: Tables) -> tuple[Total, ...]:
    """
    Add up each pain killer, synonyms joined and combinations split, and judge it by the limits of an adult.

    A stop that is proved stays, whatever is unanswered; with something unanswered it is caution at least.
    Units: mg in 24 hours, hours.
    Source: tables analgesic-ceiling and analgesic-rule.
    """
    by_inn: dict[str, list[Prescribed]] = {}
    for row in rows:
        for inn in plain_inn(row.name, tables):
            if _concerns(tables.table("analgesic-rule").row("no_ceiling"), inn, tables):
                by_inn.setdefault(inn, []).append(row)
    return tuple(_total(inn, tuple(mine), asked, tables) for inn, mine in by_inn.items())


def _total(inn: str, rows: tuple[Prescribed, ...], asked: Asked, tables: Tables) -> Total:
    ceilings = [found for row in rows if row.supply and (found := analgesic_ceiling(inn, row.supply, tables))]
    strictest = min(ceilings, key=lambda one: one.mg_per_day, default=None)
    reasons, source = _over(rows, strictest), strictest.source if strictest else ()
    for rule in tables.table("analgesic-rule"):
        if _concerns(rule, inn, tables) and _applies(rule, rows, asked.history, has_ceiling=strictest is not None):
            reasons.append((rule.id, rule.text("verdict")))
            source += rule.source
    unanswered = _unanswered(inn, rows, asked, tables)
    if unanswered:
        reasons.append(("not_all_answered", "caution"))
    return Total(
        inn,
        _daily(rows) if all(_dose(row) is not None for row in rows) else None,
        strictest.mg_per_day if strictest else None,
        min((row.hours_apart for row in rows if row.hours_apart is not None), default=None),
        min((verdict for _, verdict in reasons), key=VERDICTS.index, default="ok"),
        tuple(code for code, _ in reasons),
        tuple(code for code, verdict in reasons if verdict == "stop"),
        _too_soon(rows, strictest),
        unanswered,
        tuple(dict.fromkeys(source)) or ("field",),
    )


def _over(rows: tuple[Prescribed, ...], ceiling: Ceiling | None) -> list[tuple[str, str]]:
    """Hold what is recorded against the ceiling; a part that is missing can only add to it."""
    if ceiling is None:
        return []
    most = sum((row.max_mg_per_day for row in rows if row.max_mg_per_day is not None), Fraction(0))
    found = {
        "over_ceiling": _daily(rows) > ceiling.mg_per_day,
        "maximum_over_ceiling": most > ceiling.mg_per_day,
        "gap_too_short": bool(_too_soon(rows, ceiling)),
    }
    return [(code, "stop") for code, is_so in found.items() if is_so]


def _too_soon(rows: tuple[Prescribed, ...], ceiling: Ceiling | None) -> tuple[str, ...]:
    if ceiling is None:
        return ()
    return tuple(row.path for row in rows if row.hours_apart is not None and row.hours_apart < ceiling.hours_apart)


def _dose(row: Prescribed) -> Fraction | None:
    return None if row.dose_mg is None or row.times_per_day is None else row.dose_mg * row.times_per_day


def _daily(rows: tuple[Prescribed, ...]) -> Fraction:
    return sum((dose for row in rows if (dose := _dose(row)) is not None), Fraction(0))


def _concerns(rule: Row, inn: str, tables: Tables) -> bool:
    return inn in rule.texts("inns") or not drug_classes(inn, tables).isdisjoint(rule.texts("classes"))


def _applies(rule: Row, rows: tuple[Prescribed, ...], history: History, *, has_ceiling: bool) -> bool:
    if "weight_kg_under" in rule:
        return history.weight_kg is not None and history.weight_kg < rule.number("weight_kg_under")
    if "conditions" in rule:
        return history.condition(rule.texts("conditions")) is not None
    if "alcohol" in rule:
        return history.alcohol == rule.text("alcohol")
    if "days_over" in rule:
        return any(row.days is not None and row.days > rule.number("days_over") for row in rows)
    if "minor" in rule:
        return history.patient_is_minor is True
    if "without_ceiling" in rule:
        return not has_ceiling and all(row.supply for row in rows)
    return True


def _unanswered(inn: str, rows: tuple[Prescribed, ...], asked: Asked, tables: Tables) -> tuple[str, ...]:
    """Name what the rules for this drug look at and nobody answered."""
    rules = [rule for rule in tables.table("analgesic-rule") if _concerns(rule, inn, tables)]
    looked_at = {
        "conditions": any("conditions" in rule for rule in rules),
        "alcohol": any("alcohol" in rule for rule in rules),
        "weight": any("weight_kg_under" in rule for rule in rules),
        "minor": any("minor" in rule for rule in rules),
    }
    wanted = ["dose_mg", "times_per_day", "hours_apart", "max_mg_per_day", "supply"]
    wanted += ["days"] if any("days_over" in rule for rule in rules) else []
    missing = [f"{row.path}.{field}" for row in rows for field in wanted if getattr(row, field) is None]
    questions = [path for question, paths in asked.open_questions if looked_at[question] for path in paths]
    return tuple(dict.fromkeys([*missing, *questions]))
