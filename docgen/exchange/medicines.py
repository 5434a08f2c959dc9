"""Medicines given during the operation, and those to take at home > MedicationAdministration, MedicationStatement."""

from __future__ import annotations

from typing import Any

from docgen.exchange.elements import UCUM, Element, compact, concept, day_or_moment, quantity
from docgen.exchange.telling import Telling


def tell_medicines(telling: Telling) -> None:
    """Add injections, drugs and an antibiotic that were given, and the prescriptions."""
    for number, one in telling.rows("operation.injections"):
        _given(
            telling, f"operation.injections/{number}", one.inn, one.at, _solution(telling, one), _injected(telling, one)
        )
    for number, one in telling.rows("operation.drugs_given"):
        _given(telling, f"operation.drugs_given/{number}", one.inn, one.at, one.inn, compact(text=one.dose))
    dose = telling.value("operation.antibiotic.dose_mg")
    inn = telling.value("operation.antibiotic.inn")
    amount = {"dose": quantity(dose, "mg")} if dose is not None else {}
    _given(telling, "operation.antibiotic", inn, telling.value("operation.antibiotic.at"), inn, amount)
    _prescriptions(telling)


def _given(telling: Telling, name: str, inn: object, at: object, words: object, dosage: Element) -> None:
    """Add one medicine that was given; without a recorded moment nobody can say that it was."""
    moment = day_or_moment(at, telling.zone)
    if isinstance(inn, str) and isinstance(words, str) and moment:
        telling.entries.add(
            name,
            "MedicationAdministration",
            text=telling.told(words, dosage.get("text")),
            status="completed",
            medicationCodeableConcept=telling.coded("medicine", inn, words),
            subject=telling.subject,
            effectiveDateTime=moment,
            dosage=dosage,
        )


def _solution(telling: Telling, one: Any) -> str | None:
    """Name the solution: drug, strength, and what narrows the vessels."""
    if not one.inn:
        return None
    words = f"{one.inn} {one.percent:f} %" if one.percent is not None else str(one.inn)
    if not isinstance(one.vasoconstrictor, str):
        return words
    dilution = f" 1:{one.dilution}" if isinstance(one.dilution, int) else ""
    return f"{words}, {telling.phrases.of('operation.injections[].vasoconstrictor', one.vasoconstrictor)}{dilution}"


def _injected(telling: Telling, one: Any) -> Element:
    how = one.technique and telling.phrases.of("operation.injections[].technique", one.technique)
    return compact(
        site=concept(one.site) if one.site else None,
        method=concept(how) if how else None,
        dose=quantity(one.volume_ml, "mL") if one.volume_ml is not None else None,
    )


def _prescriptions(telling: Telling) -> None:
    """Add what is to be taken at home: intended, because nobody knows yet whether it will be."""
    for number, one in telling.rows("prescriptions"):
        if not one.inn:
            continue
        most = one.max_mg_per_day
        repeat = compact(frequency=one.times_per_day, period=1 if one.times_per_day else None)
        dosage = compact(
            timing={"repeat": _lasting(one, {**repeat, "periodUnit": "d"})} if repeat else None,
            doseAndRate=[{"doseQuantity": quantity(one.dose_mg, "mg")}] if one.dose_mg is not None else None,
            maxDosePerPeriod={"numerator": quantity(most, "mg"), "denominator": {"value": 1, "unit": "d"}}
            if most is not None
            else None,
        )
        telling.entries.add(
            f"prescriptions/{number}",
            "MedicationStatement",
            text=telling.told(" ".join(part for part in (one.inn, one.form) if part), one.reason),
            status="intended",
            medicationCodeableConcept=telling.coded("medicine", one.inn, one.inn),
            subject=telling.subject,
            reasonCode=[concept(one.reason)] if one.reason else None,
            dosage=[dosage] if dosage else None,
        )


def _lasting(one: Any, repeat: Element) -> Element:
    """Add for how many days, if that is recorded."""
    if one.days is None:
        return repeat
    return {**repeat, "boundsDuration": {"value": one.days, "unit": "d", "system": UCUM, "code": "d"}}
