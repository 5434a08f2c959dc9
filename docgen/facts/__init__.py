"""A case and a request > every fact, in order: Known with its sources, or Unknown with what it needs."""

from __future__ import annotations

from docgen.case import Case
from docgen.clinical.table import Tables
from docgen.facts.aftercare import AFTERCARE
from docgen.facts.anesthetic import ANESTHETIC
from docgen.facts.canal import CANALS
from docgen.facts.case_facts import CaseFacts, Stated
from docgen.facts.choices import CHOICES
from docgen.facts.conflicts import CONFLICTS
from docgen.facts.difficulty import DIFFICULTY
from docgen.facts.fact import Fact, Known, Request, Result, Unknown
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


def facts_of(case: Case, tables: Tables) -> CaseFacts:
    """Open the facts of a case: pure, over sourced tables."""
    return CaseFacts(case, tables, FACTS)


def state_facts(case: Case, request: Request, tables: Tables) -> Stated:
    """State every fact for one request, top to bottom."""
    return facts_of(case, tables).state(request)


__all__ = ["FACTS", "CaseFacts", "Fact", "Known", "Request", "Result", "Stated", "Unknown", "facts_of", "state_facts"]
