"""The case and the request > facts of person, time and signatures (specification 3.1)."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from docgen.answer import Answer
from docgen.clinical.age import completed_years
from docgen.clinical.teeth import NotATooth, to_fdi
from docgen.facts.fact import Fact, Known, NeedMissing, Reading


def _copy_is_clinic(reading: Reading) -> bool:
    return reading.request.copy == "clinic"


def _large_print_wanted(reading: Reading) -> bool:
    needs = reading.need("patient.communication_needs")
    return "large_print" in needs


def _teeth_in_question(reading: Reading) -> tuple[str, ...]:
    """Give the teeth of the first list the kind names that is recorded, in FDI order."""
    for path in reading.request.teeth_lists:
        items = reading.value(path)
        if isinstance(items, tuple) and items:
            numbers = [item if isinstance(item, str) else item.tooth for item in items]
            lacking = [f"{path}[{i}].tooth" for i, number in enumerate(numbers) if number is None]
            if lacking:
                raise NeedMissing(tuple(lacking))
            return tuple(sorted(_as_fdi(reading, numbers)))
    raise NeedMissing(reading.request.teeth_lists[:1])


def _as_fdi(reading: Reading, numbers: list[Any]) -> set[str]:
    """Give the FDI numbers of the teeth; a number that is no tooth is left to gate 3."""
    notation = reading.need("record.tooth_notation")
    found = set()
    for number in numbers:
        try:
            found.add(to_fdi(str(number), notation))
        except NotATooth:
            continue
    return found


def _day(value: Any) -> date | None:
    if isinstance(value, datetime):
        return value.date()
    return value if isinstance(value, date) else None


def _reference_date(reading: Reading) -> date:
    """Give the day of the first recorded of the fields the kind names."""
    for path in reading.request.reference_paths:
        found = _day(reading.value(path))
        if found:
            return found
    raise NeedMissing(reading.request.reference_paths[-1:])


def _issued_on_operation_day(reading: Reading) -> bool:
    days = {_day(reading.value(path)) for path in ("plan.operation_at", "operation.started_at")} - {None}
    if not days:
        raise NeedMissing(("plan.operation_at",))
    return reading.request.issued_on in days


def _leaflet_is_dated(reading: Reading) -> bool:
    return reading.request.dated and reading.value("operation.ended_at") is not None


def _age_on(reading: Reading, day: date) -> Known:
    born_on = reading.need("patient.birth_date")
    if born_on > day:
        raise NeedMissing(("patient.birth_date",))
    leap = reading.setting("jurisdiction.leap_birthday")
    years = completed_years(born_on, day, leap)
    rule = f" ({leap})" if (born_on.month, born_on.day) == (2, 29) else ""
    return Known(years, working=f"{born_on} > {day}{rule}")


def _patient_age_years(reading: Reading) -> Known:
    return _age_on(reading, reading.fact("reference_date"))


def _age_at_operation(reading: Reading) -> Known:
    """Give the age of section 4: that on the planned day, so that figures stay when consent is confirmed."""
    planned = _day(reading.value("plan.operation_at"))
    return _age_on(reading, planned or reading.fact("reference_date"))


def _patient_is_minor(reading: Reading) -> bool:
    return bool(reading.fact("patient_age_years") < int(reading.setting("jurisdiction.age_of_majority")))


def _patient_lacks_capacity(reading: Reading) -> bool:
    return bool(reading.need("consent.capacity") == "assessed_lacks")


def _patient_may_consent_alone(reading: Reading) -> bool:
    """One no settles it, else one unknown leaves it open (rule 7 of 1.2)."""
    if reading.value("consent.capacity") == "assessed_lacks":
        return False
    own = reading.setting("jurisdiction.age_of_own_consent")
    if reading.fact("patient_is_minor") and (own == "none" or reading.fact("patient_age_years") < int(own)):
        return False
    reading.need("consent.capacity")
    return True


def _someone_else_signs(reading: Reading) -> str:
    if reading.fact("patient_is_minor") and not reading.fact("patient_may_consent_alone"):
        return "guardian"
    return "decision_maker" if reading.fact("patient_lacks_capacity") else "no"


def _readers_language(reading: Reading) -> str:
    if reading.known("someone_else_signs") == "guardian":
        language = reading.value("guardian.language")
        if not isinstance(language, str):
            raise NeedMissing(("guardian.language",))
        return language
    return str(reading.need("patient.preferred_language"))


def _bilingual_wanted(reading: Reading) -> bool:
    return bool(reading.fact("readers_language") != reading.need("record.language"))


def _interpreter_needed(reading: Reading) -> bool:
    recorded = reading.value("patient.interpreter_needed")
    interpreter = reading.value("consent.interpreter")
    if recorded is True or (not isinstance(interpreter, Answer) and getattr(interpreter, "recorded_names", None)):
        return True
    return False if recorded is False else bool(reading.fact("bilingual_wanted"))


AGE_SETTINGS = ("settings.jurisdiction.leap_birthday",)

PERSON = (
    Fact("copy_is_clinic", (), _copy_is_clinic, ("design",), False),
    Fact("large_print_wanted", ("patient.communication_needs",), _large_print_wanted, ("design",)),
    Fact(
        "teeth_in_question",
        ("referral.teeth", "plan.procedures", "operation.procedures", "record.tooth_notation"),
        _teeth_in_question,
        ("design",),
    ),
    Fact(
        "reference_date",
        ("consent.first_talk_on", "operation.started_at", "plan.operation_at"),
        _reference_date,
        ("design",),
    ),
    Fact(
        "issued_on_operation_day",
        ("plan.operation_at", "operation.started_at"),
        _issued_on_operation_day,
        ("design",),
        False,
    ),
    Fact("leaflet_is_dated", ("operation.ended_at",), _leaflet_is_dated, ("design",), False),
    Fact("patient_age_years", ("patient.birth_date", "reference_date", *AGE_SETTINGS), _patient_age_years, ("cp",)),
    Fact(
        "age_at_operation_years",
        (*AGE_SETTINGS, "patient.birth_date", "plan.operation_at", "reference_date"),
        _age_at_operation,
        ("cp",),
    ),
    Fact(
        "patient_is_minor",
        ("patient_age_years", "settings.jurisdiction.age_of_majority"),
        _patient_is_minor,
        ("design",),
    ),
    Fact(
        "patient_may_consent_alone",
        ("patient_age_years", "patient_is_minor", "consent.capacity", "settings.jurisdiction.age_of_own_consent"),
        _patient_may_consent_alone,
        ("memory",),
    ),
    Fact("patient_lacks_capacity", ("consent.capacity",), _patient_lacks_capacity, ("GMC-MDU",)),
    Fact(
        "someone_else_signs",
        ("patient_is_minor", "patient_may_consent_alone", "patient_lacks_capacity"),
        _someone_else_signs,
        ("GMC-MDU", "memory"),
    ),
    Fact(
        "readers_language",
        ("someone_else_signs", "patient.preferred_language", "guardian.language"),
        _readers_language,
        ("design",),
    ),
    Fact("bilingual_wanted", ("readers_language", "record.language"), _bilingual_wanted, ("1557-RH",)),
    Fact(
        "interpreter_needed",
        ("patient.interpreter_needed", "consent.interpreter", "bilingual_wanted"),
        _interpreter_needed,
        ("1557-RH",),
        True,
    ),
)
"""In the order of the specification."""
