"""What came first: pairs of days and moments, and nothing done after the issue."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from itertools import product

from docgen.checks.look import Check, Finding, Look, day_of
from docgen.problem import Severity, say

BEFORE_PAIRS = (
    ("referral.on", "plan.made_on"),
    ("plan.made_on", "consent.confirmed_at"),
    ("consent.first_talk_on", "consent.confirmed_at"),
)
OPERATION_PAIRS = (
    ("operation.started_at", "operation.hemostasis_at"),
    ("operation.ended_at", "operation.discharged_at"),
    ("operation.hemostasis_at", "operation.discharged_at"),
)
ADDED_PAIRS = (
    ("operation.signed_at", "operation.addenda[].at"),
    ("operation.addenda[].at", "addendum.on"),
    ("operation.addenda[].at", "addendum.signed_at"),
    ("addendum.on", "addendum.signed_at"),
)
"""What is added comes after the signature, and is signed once it is all written."""
STRICT_PAIRS = (("operation.started_at", "operation.ended_at"), ("operation.injections[].at", "operation.ended_at"))
"""Pairs whose members are never the same moment. That consent comes before the start is `consent-after-start`, which
may be explained; here it would stop the note for good."""

DONE = (
    "patient.weight_on", "medical.checked_on", "medical.conditions[].since", "medical.medications[].last_taken_at",
    "medical.antithrombotics[].last_dose_at", "medical.inr.taken_at", "medical.antiresorptives[].started_on",
    "medical.antiresorptives[].last_dose_on", "medical.jaw_radiotherapy.finished_on", "imaging[].taken_on",
    "imaging[].viewed_on", "referral.on", "files[].on",
)  # fmt: skip
PLANNED_AND_AGREED = (
    "plan.made_on", "plan.antithrombotic_decisions[].on", "decision_maker.document_seen_on", "consent.first_talk_on",
    "consent.information_given[].given_on", "consent.signed_at.patient", "consent.signed_at.guardian",
    "consent.signed_at.decision_maker", "consent.signed_at.clinician", "consent.signed_at.interpreter",
    "consent.signed_at.witness", "consent.confirmed_at", "consent.withdrawn_at", "departures[].on",
)  # fmt: skip
OPERATED = (
    "operation.started_at", "operation.ended_at", "operation.checklist.sign_in_at", "operation.checklist.time_out_at",
    "operation.checklist.sign_out_at", "operation.injections[].at", "operation.hemostasis_at",
    "operation.antibiotic.at", "operation.drugs_given[].at", "operation.discharged_at", "operation.signed_at",
    "operation.supervisor_signed_at", "operation.addenda[].at",
)  # fmt: skip
REPLIED = ("reply.on", "reply.signed_at", "follow_up.visits[].on", "follow_up.results[].on")
OF_ONE_DOCUMENT = {"query": ("query.on", "query.signed_at"), "addendum": ("addendum.on", "addendum.signed_at")}
"""What only the document signed in a group looks at."""


def _pairs_before(look: Look) -> Iterator[Finding]:
    for earlier, later in BEFORE_PAIRS:
        first, second = look.case.value(earlier), look.case.value(later)
        if _is_after(first, second):
            yield _pair(earlier, later, later)


def _pairs_of_operation(look: Look) -> Iterator[Finding]:
    for earlier, later in OPERATION_PAIRS:
        if _is_after(look.case.value(earlier), look.case.value(later)):
            yield _pair(earlier, later, later)
    for pattern, later in STRICT_PAIRS:
        for earlier in look.case.expand(pattern):
            first, second = look.case.value(earlier), look.case.value(later)
            if (first == second and first is not None) or _is_after(first, second):
                yield _pair(earlier, later, earlier if "[" in earlier else later)


def _pair_of_reply(look: Look) -> Iterator[Finding]:
    ended, replied = look.day("operation.ended_at"), look.day("reply.on")
    if ended and replied and ended > replied:
        yield _pair("operation.ended_at", "reply.on", "reply.on")


def _pairs_of_addendum(look: Look) -> Iterator[Finding]:
    for first, second in ADDED_PAIRS:
        for earlier, later in product(look.case.expand(first), look.case.expand(second)):
            if _is_after(look.case.value(earlier), look.case.value(later)):
                yield _pair(earlier, later, earlier if "[" in earlier else later)


def _done_after_issue(look: Look) -> Iterator[Finding]:
    patterns: tuple[str, ...] = DONE
    if look.kind != "referral":
        patterns += PLANNED_AND_AGREED
    if look.operation_is_over:
        patterns += OPERATED
    patterns += REPLIED if look.kind == "reply" else ()
    patterns += tuple(one for group, own in OF_ONE_DOCUMENT.items() if look.is_signed_in(group) for one in own)
    for pattern in patterns:
        for path in look.case.expand(pattern):
            day = look.day(path)
            if day and day > look.request.issued_on:
                yield Finding(
                    path,
                    say("%(path)s is stated as done, but lies after the day of issue", path=path),
                    say("correct the date, or give the right day of issue (--on)"),
                )


def _note_late(look: Look) -> Iterator[Finding]:
    signed, discharged = look.moment("operation.signed_at"), look.moment("operation.discharged_at")
    if signed and discharged and signed > discharged:
        yield Finding(
            "operation.signed_at",
            say("operation.signed_at lies after operation.discharged_at: the note was signed after the patient left"),
            say("state why in an addendum"),
        )


def _is_after(first: object, second: object) -> bool:
    """Compare two moments to the minute, and by day if one of them has no time."""
    if isinstance(first, datetime) and isinstance(second, datetime):
        return first > second
    one, other = day_of(first), day_of(second)
    return isinstance(one, date) and isinstance(other, date) and one > other


def _pair(earlier: str, later: str, path: str) -> Finding:
    return Finding(
        path,
        say("%(earlier)s has to lie before %(later)s, but does not", earlier=earlier, later=later),
        say("find out which of the two is wrong and correct it"),
    )


DATES = (
    Check("dates-order", _pairs_before),
    Check("dates-order", _pairs_of_operation, of_operation=True),
    Check("dates-order", _pair_of_reply, kinds=("reply",)),
    Check("dates-order", _pairs_of_addendum, signed_in="addendum"),
    Check("dates-order", _done_after_issue),
    Check("note-late", _note_late, Severity.NOTE, ("operative-note", "reply"), of_operation=True),
)
