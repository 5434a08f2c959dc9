"""A heart at high risk > the antibiotic before the operation (specification 3.4, endocarditis)."""

from __future__ import annotations

from docgen.answer import Answer
from docgen.clinical.endocarditis import NO_RISK, EndocarditisRule, HeartPatient, endocarditis_rule, needs_weight
from docgen.facts.fact import Fact, Known, NeedMissing, Reading
from docgen.facts.history import read_history

SETTING = "jurisdiction.endocarditis"


def _rule(reading: Reading) -> Known | EndocarditisRule:
    hearts = reading.need("medical.endocarditis_heart")
    if not isinstance(hearts, tuple) or not hearts:
        return NO_RISK
    jurisdiction = _jurisdiction(reading)
    answers = read_history(reading, ("allergies", "minor", "weight"))
    allergies_not_known = reading.value("medical.allergies") is Answer.NOT_KNOWN
    missing = [] if jurisdiction else [f"settings.{SETTING}"]
    missing += answers.open_questions.get("minor", ())
    missing += () if allergies_not_known else answers.open_questions.get("allergies", ())
    if missing:
        raise NeedMissing(tuple(missing))
    history = answers.history
    patient = HeartPatient(
        hearts, None if allergies_not_known else history.allergies, history.patient_is_minor is True, history.weight_kg
    )
    if needs_weight(patient, jurisdiction, reading.tables):
        raise NeedMissing(("patient.weight_kg",))
    rule = endocarditis_rule(patient, jurisdiction, reading.tables)
    sources = tuple(dict.fromkeys(key for dose in rule.doses for key in dose.source))
    return Known(rule, sources or SOURCES, "; ".join(dose.working for dose in rule.doses if dose.working))


def _jurisdiction(reading: Reading) -> str:
    """Give the guidance the clinic follows; empty if it has not said so."""
    try:
        return str(reading.setting(SETTING))
    except NeedMissing:
        return ""


SOURCES = ("AHA-S", "JPABS", "BJGPO")

HEARTS = (
    Fact(
        "endocarditis_rule",
        (
            "medical.endocarditis_heart",
            f"settings.{SETTING}",
            "medical.allergies",
            "patient_is_minor",
            "patient.weight_kg",
        ),
        _rule,
        SOURCES,
    ),
    Fact("endocarditis_verdict", ("endocarditis_rule",), lambda r: r.fact("endocarditis_rule").verdict, SOURCES),
)
