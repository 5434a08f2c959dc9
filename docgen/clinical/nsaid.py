"""A history > whether ibuprofen and its like may be given, and why not (table nsaid-rule)."""

from __future__ import annotations

from typing import Final

from docgen.clinical.history import Allergy, History, allergy_groups
from docgen.clinical.table import Row, Tables
from docgen.values import dataclass

VERDICTS: Final = ("stop", "avoid", "caution", "ok")
"""Strictest first."""
NOT_ALL_ANSWERED: Final = "not_all_answered"


@dataclass(frozen=True)
class NsaidVerdict:
    """Whether ibuprofen and its like may be given, and for which reasons."""

    verdict: str
    """stop, avoid, caution or ok."""
    reasons: tuple[str, ...]
    """Codes of conditions, classes and findings that lead to this verdict."""
    unanswered: tuple[str, ...] = ()
    """Paths nobody answered; with them the verdict is caution at least."""
    reason_paths: tuple[str, ...] = ()
    """Where each reason stands, in the order of the reasons."""
    source: tuple[str, ...] = ()


def judge_nsaid(history: History, tables: Tables) -> NsaidVerdict:
    """
    Give the first verdict that applies, with all reasons for it.

    A stop or avoid that is proved stays, whatever is unanswered; else it is caution at least.
    Source: tables nsaid-rule and clinical-cut.
    """
    found = [(row, path) for row in tables.table("nsaid-rule") if (path := _path(row, history, tables))]
    verdict = min((row.text("verdict") for row, _ in found), key=VERDICTS.index, default="ok")
    mine = [(row.id, path) for row, path in found if row.text("verdict") == verdict]
    if verdict in ("caution", "ok") and history.unanswered:
        verdict = "caution"
        mine.append((NOT_ALL_ANSWERED, history.unanswered[0]))
    sources = (key for row, _ in found if row.text("verdict") == verdict for key in row.source)
    return NsaidVerdict(
        verdict,
        tuple(code for code, _ in mine),
        history.unanswered,
        tuple(path for _, path in mine),
        tuple(dict.fromkeys(sources)),
    )


def _path(row: Row, history: History, tables: Tables) -> str | None:
    """Find where the history holds what a row looks for."""
    if "allergy" in row:
        return next((a.path for a in history.allergies if _is_nsaid_allergy(a, row, tables)), None)
    if "conditions" in row:
        condition = history.condition(row.texts("conditions"))
        return condition.path if condition else None
    if "any_antithrombotic" in row:
        return next((drug.path for drug in history.taken if drug.is_antithrombotic), None)
    if "pregnancy" in row:
        return "medical.pregnancy.state" if _pregnancy(history, tables) == row.text("pregnancy") else None
    if "breast_feeding" in row:
        return "medical.breast_feeding" if history.is_breast_feeding else None
    if "cut" in row:
        cut = tables.table("clinical-cut").row(row.text("cut")).number("value")
        return "patient.birth_date" if history.age_years is not None and history.age_years >= cut else None
    drug = history.takes(row.texts("classes"), row.texts("inns"), tables)
    return drug[1] if drug else None


def _is_nsaid_allergy(allergy: Allergy, row: Row, tables: Tables) -> bool:
    mild = allergy.severity == "intolerance"
    return "nsaid" in allergy_groups(allergy, tables) and mild == (row.text("allergy") == "intolerance")


def _pregnancy(history: History, tables: Tables) -> str:
    """Tell early from late; a week nobody recorded is late."""
    if history.pregnancy != "yes":
        return "none"
    late_from = tables.table("clinical-cut").row(tables.table("nsaid-rule").row("late_pregnancy").text("cut"))
    weeks = history.pregnancy_weeks
    return "late" if weeks is None or weeks >= late_from.number("value") else "early"
