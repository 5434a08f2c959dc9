"""A case and a request > every fact, in order: Known with its sources, or Unknown with what it needs."""

from __future__ import annotations

from dataclasses import dataclass

from docgen.case import Case
from docgen.clinical.table import Tables
from docgen.facts.aftercare import AFTERCARE
from docgen.facts.anesthetic import ANESTHETIC
from docgen.facts.canal import CANALS
from docgen.facts.difficulty import DIFFICULTY
from docgen.facts.fact import Fact, Known, Reading, Request, Result, Unknown, state
from docgen.facts.medical import MEDICAL
from docgen.facts.person import PERSON
from docgen.facts.procedure import OPERATION, PROCEDURE
from docgen.facts.risk import RISK
from docgen.facts.risk_trace import RISK_TRACE
from docgen.facts.teeth import NUMBERS, TEETH

FACTS: tuple[Fact, ...] = (
    *NUMBERS,
    *PERSON,
    *TEETH,
    *CANALS,
    *PROCEDURE,
    *DIFFICULTY,
    *MEDICAL,
    *ANESTHETIC,
    *RISK,
    *RISK_TRACE,
    *OPERATION,
    *AFTERCARE,
)
"""The ordered list: a fact sees fields, settings and the facts above it."""


@dataclass(frozen=True)
class Stated:
    """All facts of one case for one request."""

    results: dict[str, Result]
    used_settings: tuple[tuple[str, str], ...]
    """Settings of the clinic that a fact looked at, with the value it saw."""


def state_facts(case: Case, request: Request, tables: Tables) -> Stated:
    """State every fact, top to bottom; pure, over sourced tables."""
    results: dict[str, Result] = {}
    used: set[str] = set()
    for fact in FACTS:
        reading = Reading(case, request, tables, results, used)
        results[fact.name] = state(fact, reading)
    return Stated(results, tuple(sorted((name, str(case.setting(name))) for name in used)))


__all__ = ["FACTS", "Fact", "Known", "Request", "Result", "Stated", "Unknown", "state_facts"]
