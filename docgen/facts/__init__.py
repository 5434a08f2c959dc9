"""A case and a request > every fact, in order: Known with its sources, or Unknown with what it needs."""

from __future__ import annotations

from dataclasses import dataclass

from docgen.case import Case
from docgen.clinical.table import Tables
from docgen.facts.aftercare import AFTERCARE
from docgen.facts.anesthetic import ANESTHETIC
from docgen.facts.canal import CANALS
from docgen.facts.choices import CHOICES
from docgen.facts.conflicts import CONFLICTS
from docgen.facts.difficulty import DIFFICULTY
from docgen.facts.fact import Fact, Known, Reading, Request, Result, Unknown, state
from docgen.facts.hearts import HEARTS
from docgen.facts.legal import LEGAL
from docgen.facts.letters import LETTERS
from docgen.facts.medical import BONES, MEDICAL
from docgen.facts.open_points import OPEN_POINTS
from docgen.facts.operation import OPERATION
from docgen.facts.person import PERSON
from docgen.facts.procedure import PROCEDURE
from docgen.facts.query import QUERY
from docgen.facts.reply import REPLY
from docgen.facts.risk import RISK
from docgen.facts.risk_trace import RISK_TRACE
from docgen.facts.sheet import SHEET
from docgen.facts.teeth import NUMBERS, TEETH
from docgen.facts.thinners import THINNERS
from docgen.facts.told import TOLD
from docgen.facts.variants import VARIANTS

FACTS: tuple[Fact, ...] = (
    *PERSON,
    *LETTERS,
    *NUMBERS,
    *TEETH,
    *CANALS,
    *DIFFICULTY,
    *PROCEDURE,
    *THINNERS,
    *BONES,
    *HEARTS,
    *MEDICAL,
    *CONFLICTS,
    *QUERY,
    *ANESTHETIC,
    *RISK,
    *RISK_TRACE,
    *OPERATION,
    *AFTERCARE,
    *LEGAL,
    *REPLY,
    *SHEET,
    *CHOICES,
    *VARIANTS,
    *TOLD,
    *OPEN_POINTS,
)
"""In the order of the specification, our own beside them: a fact sees fields, settings and the facts above it."""


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
