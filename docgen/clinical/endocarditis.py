"""A heart at high risk, a jurisdiction and the allergies > the antibiotic before the operation, or who decides."""

from __future__ import annotations

from fractions import Fraction

from docgen.clinical.history import Allergy, allergy_matches
from docgen.clinical.rounding import round_down
from docgen.clinical.table import Row, Tables
from docgen.values import dataclass


@dataclass(frozen=True)
class EndocarditisDose:
    """One dose before the operation."""

    inn: str
    dose_mg: Fraction
    """A whole number of mg, rounded down."""
    minutes_from: int
    minutes_to: int
    source: tuple[str, ...]
    working: str = ""


@dataclass(frozen=True)
class EndocarditisRule:
    """What the guidance of a jurisdiction says about one patient."""

    verdict: str
    """none, dose or clinician_decides."""
    doses: tuple[EndocarditisDose, ...]
    """Alternatives; one of them is given."""
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class HeartPatient:
    """What the rule looks at."""

    hearts: tuple[str, ...]
    allergies: tuple[Allergy, ...] | None
    """None: asked, and nobody knows."""
    patient_is_minor: bool
    weight_kg: Fraction | None
    """Needed for a minor where a dose by weight is held."""


NO_RISK = EndocarditisRule("none", (), ())


def endocarditis_rule(patient: HeartPatient, jurisdiction: str, tables: Tables) -> EndocarditisRule:
    """
    Find the doses a jurisdiction names; a drug the patient is allergic to is never among them.

    us_2021: with a penicillin allergy the alternatives are not held, so the clinician decides.
    uk_framework: no dose of a child is held; prophylaxis is agreed with the patient and recorded.
    Errors: ValueError for a minor without weight, where the dose goes by weight, or an unknown jurisdiction.
    Source: table endocarditis-dose (AHA-S, JPABS, BJGPO).
    """
    if not patient.hearts:
        return NO_RISK
    rows = [row for row in tables.table("endocarditis-dose") if row.text("jurisdiction") == jurisdiction]
    if not rows:
        raise ValueError(f"no jurisdiction {jurisdiction}")
    agreed = ("agreed_and_recorded",) if jurisdiction == "uk_framework" else ()
    if patient.allergies is None:
        return EndocarditisRule("clinician_decides", (), (*patient.hearts, "allergies_not_known"))
    fit = [row for row in rows if not _is_allergic(row.text("inn"), patient.allergies, tables)]
    barred = () if len(fit) == len(rows) else (_allergy_reason(patient.allergies, tables),)
    if patient.patient_is_minor:
        fit = [row for row in fit if "child_mg_per_kg" in row]
        barred = (*barred, *(() if any("child_mg_per_kg" in row for row in rows) else ("no_child_dose",)))
    doses = tuple(_dose(row, patient) for row in fit)
    if not doses:
        return EndocarditisRule("clinician_decides", (), (*patient.hearts, *barred))
    return EndocarditisRule("dose", doses, (*patient.hearts, *barred, *agreed))


def needs_weight(patient: HeartPatient, jurisdiction: str, tables: Tables) -> bool:
    """Tell whether the rule cannot be worked out without a weight."""
    return bool(patient.hearts and patient.patient_is_minor and patient.weight_kg is None) and any(
        row.text("jurisdiction") == jurisdiction
        and "child_mg_per_kg" in row
        and not _is_allergic(row.text("inn"), patient.allergies or (), tables)
        for row in tables.table("endocarditis-dose")
    )


def _is_allergic(inn: str, allergies: tuple[Allergy, ...], tables: Tables) -> bool:
    return any(allergy_matches(allergy, inn, tables) for allergy in allergies)


def _allergy_reason(allergies: tuple[Allergy, ...], tables: Tables) -> str:
    penicillin = any(allergy_matches(allergy, "amoxicillin", tables) for allergy in allergies)
    return "penicillin_allergy" if penicillin else "drug_allergy"


def _dose(row: Row, patient: HeartPatient) -> EndocarditisDose:
    most = row.number("dose_mg")
    dose, working = most, ""
    if patient.patient_is_minor:
        if patient.weight_kg is None:
            raise ValueError("a minor's dose needs the weight")
        per_kg = row.number("child_mg_per_kg")
        dose = round_down(min(most, per_kg * patient.weight_kg), 0)
        working = f"{per_kg} mg/kg x {patient.weight_kg} kg, at most {most} mg"
    minutes = row.whole("minutes_from"), row.whole("minutes_to")
    return EndocarditisDose(row.text("inn"), dose, *minutes, row.source, working)
