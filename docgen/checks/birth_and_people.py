"""The date of birth and the weight within reason, and ids that name somebody."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from docgen.answer import Answer
from docgen.case import field_specs
from docgen.checks.look import Check, Finding, Look
from docgen.checks.teeth import not_applicable
from docgen.clinical.age import completed_years
from docgen.clinical.anesthetic import weight_is_unusual
from docgen.problem import Severity, say

LATER_MOMENTS = ("operation.", "follow_up.", "reply.")
"""Beginnings of paths only the documents of that moment look at."""

OF_ONE_DOCUMENT = ("query", "addendum")
"""Groups that only the document signed in them looks at."""


def _birth_date(look: Look) -> Iterator[Finding]:
    born, issued = look.case.fields.patient.birth_date, look.request.issued_on
    if born is None:
        return
    oldest = look.tables.table("clinical-cut").row("oldest_patient").whole("value")
    if born > issued:
        what = say("patient.birth_date lies after the day of issue")
    elif completed_years(born, issued) > oldest:
        what = say("patient.birth_date lies more than %(years)s years before the day of issue", years=oldest)
    else:
        return
    yield Finding("patient.birth_date", what, say("look at the patient's papers and correct the date of birth"))


def _weight(look: Look) -> Iterator[Finding]:
    weight = look.case.fields.patient.weight_kg
    if weight is not None and not isinstance(weight, Answer) and weight_is_unusual(Fraction(weight), look.tables):
        yield Finding(
            "patient.weight_kg",
            say("patient.weight_kg is unusual: every dose limit hangs on it"),
            say("weigh again; the weight is in kilograms"),
        )


def _ids(look: Look) -> Iterator[Finding]:
    people = {item.id for _, item in look.items("practitioners")}
    files = {item.id for _, item in look.items("files")}
    if not people or None in people:
        return
    for pattern, spec in field_specs().items():
        if spec.type != "id" or not _is_looked_at(pattern, look):
            continue
        known = files if pattern == "imaging[].file" else people
        for path in look.case.expand(pattern):
            value = look.case.value(path)
            if isinstance(value, str) and value not in known and value not in spec.codes:
                yield _nobody(path, is_file=known is files)


def _is_looked_at(pattern: str, look: Look) -> bool:
    group = pattern.partition(".")[0]
    if group in OF_ONE_DOCUMENT:
        return look.is_signed_in(group)
    return look.operation_is_over if pattern.startswith(LATER_MOMENTS) else True


def _nobody(path: str, *, is_file: bool) -> Finding:
    if is_file:
        return Finding(
            path, say("%(path)s names no entry of files", path=path), say("give the id of an entry of files, or none")
        )
    return Finding(
        path,
        say("%(path)s names none of the practitioners", path=path),
        say("give the id of one of the practitioners, or add the person to clinic.yaml"),
    )


def _own_supervisor(look: Look) -> Iterator[Finding]:
    for path, person in look.items("practitioners"):
        if person.trainee is True and person.supervisor is not None and person.supervisor == person.id:
            yield Finding(
                f"{path}.supervisor",
                say("%(path)s is the trainee's own id", path=f"{path}.supervisor"),
                say("give the id of the person who supervises"),
            )


def _no_supervisor(look: Look) -> Iterator[Finding]:
    for path, person in look.items("practitioners"):
        if person.trainee is True and person.supervisor is Answer.NOT_APPLICABLE:
            yield not_applicable(f"{path}.supervisor")


def _supervisor_missing(look: Look) -> Iterator[Finding]:
    for path, person in look.items("practitioners"):
        if person.trainee is True and person.supervisor is None:
            yield Finding(
                f"{path}.supervisor",
                say("%(path)s is missing: a trainee has a supervisor", path=f"{path}.supervisor"),
                say("give the id of the person who supervises"),
            )


BIRTH_AND_PEOPLE = (
    Check("out-of-range", _birth_date),
    Check("out-of-range", _weight, Severity.NOTE),
    Check("bad-value", _ids),
    Check("bad-value", _own_supervisor),
    Check("na-contradicted", _no_supervisor),
    Check("missing-field", _supervisor_missing),
)
