"""The lines every document carries, and how long the record is kept (specification 3.9, 5.1)."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from docgen.answer import Answer
from docgen.clinical.age import years_later
from docgen.facts.fact import Fact, Known, NeedMissing, Reading

ENTRIES = (
    "referral.on",
    "referral.signed_at",
    "imaging[].taken_on",
    "imaging[].viewed_on",
    "medical.checked_on",
    "plan.made_on",
    "plan.antithrombotic_decisions[].on",
    "consent.first_talk_on",
    "consent.information_given[].given_on",
    "consent.signed_at.patient",
    "consent.signed_at.guardian",
    "consent.signed_at.decision_maker",
    "consent.signed_at.clinician",
    "consent.confirmed_at",
    "consent.withdrawn_at",
    "departures[].on",
    "operation.started_at",
    "operation.ended_at",
    "operation.hemostasis_at",
    "operation.discharged_at",
    "operation.signed_at",
    "operation.supervisor_signed_at",
    "operation.addenda[].at",
    "addendum.on",
    "addendum.signed_at",
    "follow_up.visits[].on",
    "follow_up.results[].on",
    "reply.on",
    "reply.signed_at",
    "query.on",
    "query.signed_at",
    "files[].on",
)
"""Fields whose day is that of an entry in the record; what is only planned is none."""


def _day(value: Any) -> date | None:
    if isinstance(value, datetime):
        return value.date()
    return value if isinstance(value, date) else None


def _last_entry(reading: Reading) -> date:
    days = [_day(reading.value(path)) for pattern in ENTRIES for path in reading.expand(pattern)]
    entered = [day for day in days if day is not None]
    if not entered:
        raise NeedMissing(("plan.made_on",))
    return max(entered)


def _retention_until(reading: Reading) -> Known | Answer:
    """Count an adult's years from the last entry, a child's from birth; a clinic that set none prints none."""
    minor = reading.fact("patient_is_minor")
    name = "retention.child_until_age" if minor else "retention.years_adult"
    if reading.value(f"settings.{name}") is None:
        return Answer.NOT_APPLICABLE
    years, since = int(reading.setting(name)), reading.need("patient.birth_date") if minor else _last_entry(reading)
    until = years_later(since, years)
    return Known(until, working=f"{name} {years}: {since} > {until}")


def _cautions(reading: Reading) -> tuple[str, ...]:
    """Name the lines that hold for a document: one that is signed says by whom, and until then that it has to be."""
    signed_at = reading.request.signed_at
    unsigned = not any(_day(reading.value(path)) for path in signed_at)
    return (
        "prepared_from_data",
        *(["read_correct_sign"] if signed_at and unsigned else []),
        "no_substitute",
        "figures_of_groups",
        "laws_vary",
        *(["clinician_signs"] if signed_at else []),
    )


LEGAL = (
    Fact("cautions", (), _cautions, ("GMC-IPT", "design")),
    Fact(
        "retention_until",
        (
            *ENTRIES,
            "patient_is_minor",
            "patient.birth_date",
            "settings.retention.years_adult",
            "settings.retention.child_until_age",
        ),
        _retention_until,
        ("DDU-G", "DDU-23"),
    ),
)
