"""
The medical history and the findings of a document > AllergyIntolerance, MedicationStatement, Condition.

What is absent is said by `absences`: asked and none, asked and not known, and not recorded are three things.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from docgen.answer import Answer
from docgen.exchange.elements import Element, clock, compact, concept, day_or_moment, hl7, quantity
from docgen.exchange.telling import Telling
from docgen.values import dataclass

MEDICINES = frozenset({"penicillin", "cephalosporin", "macrolide", "nsaid", "amide_la"})
"""Groups of allergies that are medicines for certain."""

LISTS = {
    "medical.conditions": "Conditions",
    "medical.medications": "Medicines",
    "medical.antithrombotics": "Blood thinners",
    "medical.antiresorptives": "Bone drugs",
    "medical.allergies": "Allergies",
}
"""Lists of the history whose emptiness is an answer, with the words the letters print for them."""

EMPTY_REASONS = {Answer.NONE: "nilknown", Answer.NOT_KNOWN: "unavailable"}


@dataclass(frozen=True)
class Absence:
    """A list that has no entry, and why."""

    path: str
    title: str
    reason: Element
    words: str


def tell_health(telling: Telling) -> None:
    """Add the history and the diagnoses of the teeth."""
    _allergies(telling)
    _medications(telling)
    _antithrombotics(telling)
    _antiresorptives(telling)
    _conditions(telling)
    _diagnoses(telling)


def absences(telling: Telling, carried: frozenset[str]) -> Iterator[Absence]:
    """Say of each list the document carries and that has no entry what that means; nothing stands for an answer."""
    for path, title in LISTS.items():
        value = telling.case.value(path)
        if path not in carried or (isinstance(value, tuple) and value):
            continue
        answer = Answer.NONE if value == () else value
        if isinstance(answer, Answer):
            words = telling.phrases.of("answer", answer.value)
            code = EMPTY_REASONS.get(answer)
            reason = concept(words, *(hl7("list-empty-reason", code)["coding"] if code else ()))
        else:
            words = telling.phrases.sentence("not recorded")
            reason = concept(words)
        yield Absence(path, telling.phrases.sentence(title), reason, words)


def _texts(*parts: object) -> str:
    return ", ".join(str(part) for part in parts if isinstance(part, str) and part)


def _allergies(telling: Telling) -> None:
    for number, one in telling.rows("medical.allergies"):
        severity = one.severity if isinstance(one.severity, str) else ""
        substance = one.substance or (one.group and telling.phrases.of("medical.allergies[].group", one.group))
        reaction = one.reaction and compact(
            manifestation=[concept(one.reaction)], severity="severe" if severity == "anaphylaxis" else None
        )
        telling.entries.add(
            f"medical.allergies/{number}",
            "AllergyIntolerance",
            text=telling.told(_texts(substance, one.reaction, severity and telling.phrases.of(
                "medical.allergies[].severity", severity))),
            clinicalStatus=hl7("allergyintolerance-clinical", "active"),
            verificationStatus=hl7("allergyintolerance-verification", "unconfirmed"),
            type="intolerance" if severity == "intolerance" else None,
            category=["medication"] if one.group in MEDICINES else None,
            criticality="high" if severity == "anaphylaxis" else None,
            code=telling.coded("allergy", one.group, substance) if substance else None,
            patient=telling.subject,
            recordedDate=_checked(telling),
            reaction=[reaction] if reaction else None,
        )  # fmt: skip


def _checked(telling: Telling) -> str | None:
    return day_or_moment(telling.value("medical.checked_on"), None)


def _statement(telling: Telling, name: str, inn: object, status: str, **more: Any) -> None:
    """Add a medicine somebody takes; `more` are further entries of the resource."""
    if isinstance(inn, str):
        telling.entries.add(
            name,
            "MedicationStatement",
            status=status,
            medicationCodeableConcept=telling.coded("medicine", inn, inn),
            subject=telling.subject,
            dateAsserted=_checked(telling),
            **more,
        )


def _medications(telling: Telling) -> None:
    for number, one in telling.rows("medical.medications"):
        dosage = _texts(one.dose, one.route, one.frequency)
        _statement(
            telling,
            f"medical.medications/{number}",
            one.inn,
            "active",
            text=telling.told(_texts(one.inn, dosage, one.indication)),
            reasonCode=[concept(one.indication)] if one.indication else None,
            dosage=[{"text": dosage}] if dosage else None,
        )


def _antithrombotics(telling: Telling) -> None:
    for number, one in telling.rows("medical.antithrombotics"):
        times = [clock(at) for at in one.dose_times or ()]
        dose = f"{one.dose_mg} mg" if one.dose_mg is not None else ""
        dosage = _texts(dose, *(at[:5] for at in times))
        why = one.indication and telling.phrases.of("medical.antithrombotics[].indication", one.indication)
        _statement(
            telling,
            f"medical.antithrombotics/{number}",
            one.inn,
            "active",
            text=telling.told(_texts(one.inn, dosage, why)),
            reasonCode=[concept(why)] if why else None,
            dosage=[
                compact(
                    text=dosage,
                    timing={"repeat": {"timeOfDay": times}} if times else None,
                    doseAndRate=[{"doseQuantity": quantity(one.dose_mg, "mg")}] if one.dose_mg is not None else None,
                )
            ]
            if dosage
            else None,
        )


def _antiresorptives(telling: Telling) -> None:
    for number, one in telling.rows("medical.antiresorptives"):
        stopped = day_or_moment(one.stopped_on, None)
        status = "stopped" if stopped else "active" if one.stopped_on is Answer.NOT_APPLICABLE else "unknown"
        codes = {name: value for name in ("route", "indication") if isinstance(value := getattr(one, name), str)}
        said = {name: telling.phrases.of(f"medical.antiresorptives[].{name}", code) for name, code in codes.items()}
        _statement(
            telling,
            f"medical.antiresorptives/{number}",
            one.inn,
            status,
            text=telling.told(_texts(one.inn, *said.values())),
            effectivePeriod=compact(start=day_or_moment(one.started_on, None), end=stopped),
            reasonCode=[concept(said["indication"])] if "indication" in said else None,
            dosage=[{"text": said["route"]}] if "route" in said else None,
        )


def _conditions(telling: Telling) -> None:
    for number, one in telling.rows("medical.conditions"):
        code = one.code if isinstance(one.code, str) else ""
        name = telling.phrases.of("medical.conditions[].code", code) if code and code != "other" else ""
        words = _texts(name, one.words) or telling.phrases.of("medical.conditions[].code", "other")
        what = telling.coded("condition", code, words)
        if extra := telling.icd10(one.icd10):
            what["coding"] = [*what.get("coding", []), extra]
        telling.entries.add(
            f"medical.conditions/{number}",
            "Condition",
            text=telling.told(words),
            code=what,
            subject=telling.subject,
            onsetDateTime=day_or_moment(one.since, None),
            recordedDate=_checked(telling),
        )


def _diagnoses(telling: Telling) -> None:
    """Add what each tooth suffers from: the diagnosis, else the reasons why treatment is proposed."""
    for number, one in telling.rows("teeth"):
        reasons = [telling.phrases.of("teeth[].indication", code) for code in one.indication or () if code]
        words = one.diagnosis or _texts(*reasons)
        if not words:
            continue
        tooth = telling.tooth(one.tooth)
        telling.entries.add(
            f"teeth/{one.tooth or number}",
            "Condition",
            text=telling.told(_texts(words, tooth and tooth["text"])),
            code=concept(words, telling.icd10(one.icd10)),
            bodySite=[tooth] if tooth else None,
            subject=telling.subject,
            note=[{"text": text} for text in (one.symptoms, one.findings) if isinstance(text, str)],
        )
