"""The conversation: time to think, a no that is heard, and an interpreter where one is needed."""

from __future__ import annotations

from collections.abc import Iterator

from docgen.answer import Answer
from docgen.checks.look import Check, Finding, Lift, Look
from docgen.clinical.age import completed_years
from docgen.problem import Severity, say


def _same_day(look: Look) -> Iterator[Finding]:
    talked = look.day("consent.first_talk_on")
    operated = look.day("operation.started_at" if look.operation_is_over else "plan.operation_at")
    if talked and talked == operated:
        yield Finding(
            "consent.first_talk_on",
            say("consent.first_talk_on is the day of the operation: there was no time to think"),
            say("say why in consent.capacity_note or an addendum"),
        )


def _withdrawn(look: Look) -> Iterator[Finding]:
    withdrawn, started = look.moment("consent.withdrawn_at"), look.moment("operation.started_at")
    if withdrawn and started and started > withdrawn:
        yield Finding(
            "consent.withdrawn_at",
            say("consent.withdrawn_at lies before operation.started_at: consent was withdrawn, then operated"),
            say("stop and ask the surgeon"),
        )


def _withdrawn_before(look: Look) -> Iterator[Finding]:
    withdrawn, planned = look.moment("consent.withdrawn_at"), look.moment("plan.operation_at")
    if withdrawn and planned and planned > withdrawn:
        yield Finding(
            "consent.withdrawn_at",
            say("consent.withdrawn_at lies before plan.operation_at: consent was withdrawn"),
            say("stop and ask the surgeon"),
        )


def _objects_before(look: Look) -> Iterator[Finding]:
    if look.case.fields.consent.assent == "objects":
        yield Finding(
            "consent.assent",
            say("consent.assent is an objection, and nothing says that this is an emergency"),
            say("a no is heard first: ask the surgeon"),
        )


def _objects(look: Look) -> Iterator[Finding]:
    if look.case.fields.consent.assent == "objects" and look.case.fields.operation.urgency == "elective":
        yield Finding(
            "consent.assent",
            say("consent.assent is an objection, and the operation was no emergency"),
            say("a no is heard first: ask the surgeon"),
        )


def _must_print(look: Look) -> Iterator[Finding]:
    is_named = all(step.procedure for _, step in look.items("plan.procedures"))  # else that is what is missing
    if is_named and look.known("risk_must_print") is False:
        yield Finding(
            "teeth",
            say("a risk that every such consent prints cannot be computed for a tooth of the plan"),
            say("answer the unknown finding of that tooth; docgen facts names it under risk_trace"),
        )


def _majority_between(look: Look) -> Iterator[Finding]:
    born, talked = look.case.fields.patient.birth_date, look.day("consent.first_talk_on")
    operated = look.day("operation.started_at" if look.operation_is_over else "plan.operation_at")
    majority = look.case.setting("jurisdiction.age_of_majority")
    if born is None or talked is None or operated is None or majority is None or not born <= talked <= operated:
        return
    leap = look.case.setting("jurisdiction.leap_birthday")
    ages = [completed_years(born, day, "28_february" if leap == "28_february" else "1_march")
            for day in (talked, operated)]  # fmt: skip
    if ages[0] < int(majority) <= ages[1]:
        yield Finding(
            "consent.first_talk_on",
            say("the patient comes of age between consent.first_talk_on and the operation"),
            say("the patient confirms the consent in person on the day"),
        )


def _interpreter_missing(look: Look) -> Iterator[Finding]:
    needed = look.case.fields.patient.interpreter_needed is True
    if needed and look.case.fields.consent.interpreter is Answer.NOT_APPLICABLE:
        yield Finding(
            "consent.interpreter",
            say("patient.interpreter_needed is yes, but consent.interpreter is not_applicable"),
            say("name a qualified interpreter under consent.interpreter"),
        )


def _interpreter_relative(look: Look) -> Iterator[Finding]:
    interpreter = look.case.fields.consent.interpreter
    if isinstance(interpreter, Answer):
        return
    if interpreter.relative is True and not isinstance(interpreter.reason, str):
        yield Finding(
            "consent.interpreter.reason",
            say("a relative interpreted, and consent.interpreter.reason does not say why"),
            say("say why no qualified interpreter could be had"),
        )
    if interpreter.adult is False:
        yield Finding(
            "consent.interpreter.adult",
            say("consent.interpreter.adult is no: a child does not interpret a consent"),
            say("repeat the talk with a qualified interpreter"),
        )


def _interpreter_declined(look: Look) -> Iterator[Finding]:
    if look.known("bilingual_wanted") is True and look.case.fields.patient.interpreter_needed is False:
        yield Finding(
            "patient.interpreter_needed",
            say("patient.interpreter_needed is no, but reader and clinic have different languages"),
            say("say in consent.understanding_words how it was understood"),
        )


TALK = ("consent", "operative-note")

CONSENT = (
    Check("consent-same-day", _same_day, Severity.NOTE, TALK),
    Check("consent-withdrawn", _withdrawn_before, kinds=("safety-sheet",)),
    Check("consent-withdrawn", _withdrawn, kinds=("operative-note",), of_operation=True, departure=Lift.NOTE),
    Check("assent-objects", _objects_before, kinds=("safety-sheet",), departure=Lift.NAMED),
    Check("assent-objects", _objects, kinds=("operative-note",), of_operation=True, departure=Lift.NAMED),
    Check("must-print-missing", _must_print, kinds=("consent",)),
    Check("majority-between", _majority_between, Severity.NOTE, TALK),
    Check("interpreter-missing", _interpreter_missing, kinds=TALK),
    Check("interpreter-relative", _interpreter_relative, kinds=TALK),
    Check("interpreter-declined", _interpreter_declined, Severity.NOTE, TALK),
)
