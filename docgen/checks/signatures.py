"""Who signed the consent, whether it was for that person to sign, and whether in time."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from docgen.answer import Answer
from docgen.checks.look import Check, Finding, Lift, Look
from docgen.checks.teeth import not_applicable
from docgen.clinical.age import completed_years
from docgen.clinical.medicine import drug_classes
from docgen.problem import Severity, say

SIGNERS = ("patient", "guardian", "decision_maker")


def _after_start(look: Look) -> Iterator[Finding]:
    begun = _begun(look)
    if begun is None:
        return
    for path in (*(f"consent.signed_at.{who}" for who in SIGNERS), "consent.confirmed_at"):
        moment = look.moment(path)
        if moment and moment > begun[0]:
            yield Finding(
                path,
                say("%(path)s lies after %(begun)s", path=path, begun=begun[1]),
                say("enter when the paper was signed; no date is moved, an addendum explains"),
            )


def _begun(look: Look) -> tuple[date, str] | None:
    """Give the first injection, sedation or cut, and its path."""
    paths = ["operation.started_at", *look.case.expand("operation.injections[].at")]
    paths += [f"{path}.at" for path, drug in look.items("operation.drugs_given")
              if drug.inn and "sedative" in drug_classes(drug.inn, look.tables)]  # fmt: skip
    moments = [(moment, path) for path in paths if (moment := look.moment(path))]
    return min(moments) if moments else None


def _unsigned(look: Look) -> Iterator[Finding]:
    signer = {"no": "patient", "guardian": "guardian", "decision_maker": "decision_maker"}.get(
        str(look.known("someone_else_signs"))
    )
    signed = [who for who in SIGNERS if look.moment(f"consent.signed_at.{who}")]
    if signer and not signed and look.moment("operation.started_at"):
        path = f"consent.signed_at.{signer}"
        yield Finding(
            path,
            say("%(path)s is not recorded, but the operation is", path=path),
            say("enter when the paper was signed"),
        )


def _wrong(look: Look) -> Iterator[Finding]:
    for who in SIGNERS:
        path = f"consent.signed_at.{who}"
        day = look.day(path)
        right = _signer_on(look, day) if day else None
        if right and right != who:
            yield Finding(
                path,
                say("%(path)s is recorded, but on that day it was for another person to sign", path=path),
                say("the right person signs (%(right)s)", right=f"consent.signed_at.{right}"),
            )


def _signer_on(look: Look, day: date) -> str | None:
    """Say who had to sign on a day; None if age, law or capacity are not recorded."""
    born, capacity = look.case.fields.patient.birth_date, look.case.fields.consent.capacity
    majority = look.case.setting("jurisdiction.age_of_majority")
    own = look.case.setting("jurisdiction.age_of_own_consent")
    if born is None or capacity is None or majority is None or own is None or day < born:
        return None
    leap = look.case.setting("jurisdiction.leap_birthday")
    age = completed_years(born, day, "28_february" if leap == "28_february" else "1_march")
    lacks_capacity = capacity == "assessed_lacks"
    if age < int(majority) and (lacks_capacity or own == "none" or age < int(own)):
        return "guardian"
    return "decision_maker" if lacks_capacity else "patient"


def _nobody_named(look: Look) -> Iterator[Finding]:
    signer = look.known("someone_else_signs")
    if signer in ("guardian", "decision_maker") and look.case.value(signer) is Answer.NOT_APPLICABLE:
        yield not_applicable(signer)


SIGNATURES = (
    Check("consent-after-start", _after_start, kinds=("operative-note",), of_operation=True, departure=Lift.NOTE),
    Check("consent-unsigned", _unsigned, Severity.NOTE, of_operation=True),
    Check("signer-wrong", _wrong, kinds=("consent", "operative-note"), departure=Lift.NOTE),
    Check("na-contradicted", _nobody_named),
)
