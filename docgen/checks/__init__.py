"""
Gate 3: a case and the documents asked for > a problem wherever they contradict each other (section 6).

A check with a missing input stays silent: what is missing is gate 2's to say. No value is ever changed to pass.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from docgen.case import Case
from docgen.checks.asking import ASKING
from docgen.checks.birth_and_people import BIRTH_AND_PEOPLE
from docgen.checks.conflicts import CONFLICT_DEPARTURES, CONFLICTS
from docgen.checks.consent import CONSENT
from docgen.checks.dates import DATES
from docgen.checks.departures import departure_checks
from docgen.checks.doses import DOSES
from docgen.checks.drugs import DRUGS
from docgen.checks.given import GIVEN
from docgen.checks.heart import HEART
from docgen.checks.history import HISTORY
from docgen.checks.images import IMAGES
from docgen.checks.letters import LETTERS
from docgen.checks.look import Check, Finding, Lift, Look
from docgen.checks.operation import OPERATION
from docgen.checks.signatures import SIGNATURES
from docgen.checks.teeth import TEETH
from docgen.checks.thinners import THINNERS
from docgen.clinical.table import Tables
from docgen.clinical.table_file import read_tables
from docgen.facts import Request, Result
from docgen.problem import Problem, Problems, Severity, say

_ROWS: tuple[Check, ...] = (
    *TEETH, *DATES, *BIRTH_AND_PEOPLE, *CONSENT, *SIGNATURES, *HISTORY, *DRUGS, *CONFLICTS, *HEART, *THINNERS, *DOSES,
    *GIVEN, *OPERATION, *IMAGES, *LETTERS, *ASKING,
)  # fmt: skip
DEPARTURE_CODES: frozenset[str] = CONFLICT_DEPARTURES | {
    check.code for check in _ROWS if check.departure is not Lift.NOTHING
}
"""Codes a departure may name."""

CHECKS: tuple[Check, ...] = (*_ROWS, *departure_checks(DEPARTURE_CODES))
"""The ordered list; a code may have several rows."""


def check_case(
    case: Case,
    by_request: Sequence[tuple[Request, str, Mapping[str, Result]]],
    problems: Problems,
    tables: Tables | None = None,
) -> None:
    """
    Report each contradiction, with the documents it concerns; silent about what an earlier gate has reported.

    `by_request` gives each document with its label ("consent (en)") and facts; `tables` are those shipped, if left out.
    What refuses one document and is only a note for another names the refused ones.
    """
    silent, found = problems.paths, []
    for request, label, stated in by_request:
        look = Look(case, request, stated, tables or read_tables())
        for check in CHECKS:
            if not check.concerns(look):
                continue
            for finding in check.find(look):
                if finding.path not in silent and not case.is_faulty(finding.path):
                    found.append(_problem(check, finding, look, label))
    refused = {(one.code, one.path) for one in found if one.severity is Severity.REFUSE}
    problems.extend(one for one in found if one.severity is Severity.REFUSE or (one.code, one.path) not in refused)


def _problem(check: Check, finding: Finding, look: Look, label: str) -> Problem:
    severity = finding.severity or check.severity
    fix = finding.fix
    if severity is Severity.REFUSE and finding.can_be_departed_from and check.may_be_lifted(look):
        if look.has_departure(check.code):
            severity = Severity.NOTE
        else:
            fix = say(
                "%(fix)s; if it happened so, or is so on purpose, add an item %(code)s with the reason to departures",
                fix=fix,
                code=check.code,
            )
    return Problem(
        check.code, finding.path, finding.what, fix, look.case.place(finding.path), (label,), severity=severity
    )


__all__ = ["CHECKS", "DEPARTURE_CODES", "Check", "check_case"]
