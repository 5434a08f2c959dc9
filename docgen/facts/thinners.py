"""Blood thinners > their class, the INR, the guidance and the next dose (specification 3.4)."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction
from typing import Any

from docgen.answer import Answer
from docgen.clinical.medicine import plain_inn
from docgen.clinical.next_dose import next_dose
from docgen.clinical.thinners import (
    Guidance,
    Thinner,
    antithrombotic_rule,
    inr_is_old_unless_stable,
    inr_too_high,
    inr_verdict,
    thinner_class,
)
from docgen.facts.fact import Fact, Known, NeedMissing, Reading
from docgen.facts.medical import classes_of, inns, items
from docgen.values import dataclass

TAKEN = "medical.antithrombotics"
DECIDED = "plan.antithrombotic_decisions"


def _bleeding_patient_class(reading: Reading) -> str:
    return thinner_class(inns(reading, TAKEN), reading.tables)


def _takes_vka(reading: Reading) -> bool:
    return "vka" in classes_of(reading, inns(reading, TAKEN))


def _inr_verdict(reading: Reading) -> Known | Answer:
    """Judge the value first; when it was taken, and how stable it is, only if the value lets the operation go on."""
    if not reading.fact("takes_vka"):
        return Answer.NOT_APPLICABLE
    rule, value = reading.setting("antithrombotic.inr_rule"), reading.need("medical.inr.value")
    if isinstance(value, Answer):  # not applicable is no answer for somebody who takes such a drug
        raise NeedMissing(("medical.inr",))
    source = reading.tables.table("inr-rule").row(rule).source
    if inr_too_high(Fraction(value), rule, reading.tables):
        return Known("delay", source, f"{rule}: {value}")
    taken, start = reading.moment("medical.inr.taken_at"), _start(reading)
    stable = reading.value("medical.inr.stable")
    if not isinstance(stable, bool) and inr_is_old_unless_stable(taken, start, rule, reading.tables):
        raise NeedMissing(("medical.inr.stable",), asked=stable is Answer.NOT_KNOWN)
    found = inr_verdict(Fraction(value), taken, start, stable is True, rule, reading.tables)
    hours, minutes = divmod(abs(found.age_minutes), 60)
    sign = "-" if found.age_minutes < 0 else ""
    working = f"{rule}: {value}; {taken:%Y-%m-%d %H:%M} > {start:%Y-%m-%d %H:%M} = {sign}{hours} h {minutes} min"
    return Known(found.verdict, found.source, working)


def _start(reading: Reading) -> datetime:
    started = reading.value("operation.started_at")
    return reading.moment("plan.operation_at" if started is None else "operation.started_at")


def _rule(reading: Reading) -> Known:
    """Give the guidance for each drug; a need nobody answered makes that drug ask the physician."""
    rows = items(reading, TAKEN)
    inns(reading, TAKEN)
    thinners = [
        Thinner(
            plain_inn(row.inn, reading.tables),
            row.dose_times if isinstance(row.dose_times, tuple) else None,
            row.recent_event.value if isinstance(row.recent_event, Answer) else row.recent_event,
        )
        for row in rows
    ]
    if not thinners:
        return Known(())
    is_low = reading.fact("bleeding_category") == "low"
    inr = reading.fact("inr_verdict") if reading.fact("takes_vka") else ""
    guidance = reading.setting("antithrombotic.doac_guidance")
    found: tuple[Guidance, ...] = antithrombotic_rule(thinners, is_low, guidance, inr, reading.tables)
    return Known(found, tuple(dict.fromkeys(key for one in found for key in one.source)))


@dataclass(frozen=True)
class NextDose:
    """When one blood thinner is taken next."""

    inn: str
    at: datetime
    not_before: datetime


def _next_doses(reading: Reading) -> Known | Answer:
    """Count out each decision from the end of the bleeding; one drug without a decision leaves the answer open."""
    if not reading.fact("takes_blood_thinner"):
        return Answer.NOT_APPLICABLE
    decided = _decisions(reading)
    hemostasis = reading.moment("operation.hemostasis_at")
    found, working = [], []
    for index, drug in enumerate(items(reading, TAKEN)):
        names = plain_inn(drug.inn, reading.tables)
        decision = _decision(decided, names)
        times_path = f"{TAKEN}[{index}].dose_times"
        due = next_dose(decision, reading.need(times_path), hemostasis, reading.tables)
        if due is None:
            raise NeedMissing((times_path,))
        found.append(NextDose(" + ".join(names), due.at, due.not_before))
        working.append(f"{decision}: {hemostasis:%H:%M} > {due.at:%Y-%m-%d %H:%M}, >= {due.not_before:%H:%M}")
    return Known(tuple(found), working="; ".join(working))


def _decisions(reading: Reading) -> dict[str, tuple[str, Any]]:
    """Give each decided drug, by plain INN, with the path and the code of the decision."""
    rows = enumerate(items(reading, DECIDED))
    return {
        name: (f"{DECIDED}[{index}].decision", row.decision)
        for index, row in rows
        if isinstance(row.inn, str)
        for name in plain_inn(row.inn, reading.tables)
    }


def _decision(decided: dict[str, tuple[str, Any]], names: tuple[str, ...]) -> str:
    """
    Give what was decided about a drug.

    Errors: NeedMissing, if nobody decided, or parts of a combination differ; the physician is still to be asked.
    """
    for name in names:
        path, code = decided.get(name, (DECIDED, None))
        if code is None or code == "ask_physician" or code != decided.get(names[0], ("", None))[1]:
            raise NeedMissing((path,), asked=code == "ask_physician")
    return str(decided[names[0]][1])


THINNERS = (
    Fact("bleeding_patient_class", (TAKEN,), _bleeding_patient_class, ("SDCEP-BR",)),
    Fact(
        "takes_blood_thinner",
        ("bleeding_patient_class",),
        lambda r: r.fact("bleeding_patient_class") != "none",
        ("SDCEP-BR",),
    ),
    Fact("takes_vka", (TAKEN,), _takes_vka, ("SDCEP-BR",)),
    Fact(
        "inr_verdict",
        (
            "takes_vka",
            "medical.inr",
            "operation.started_at",
            "plan.operation_at",
            "clinic.time_zone",
            "settings.antithrombotic.inr_rule",
        ),
        _inr_verdict,
        ("CDA24", "SDCEP-VKA"),
        "repeat_test",
    ),
    Fact(
        "antithrombotic_rule",
        (TAKEN, "takes_vka", "inr_verdict", "bleeding_category", "settings.antithrombotic.doac_guidance"),
        _rule,
        ("SDCEP-DOAC", "SDCEP-D2", "CDA24"),
    ),
    Fact(
        "next_antithrombotic_dose",
        (TAKEN, "takes_blood_thinner", DECIDED, "operation.hemostasis_at", "clinic.time_zone"),
        _next_doses,
        ("SDCEP-DOAC",),
    ),
)
