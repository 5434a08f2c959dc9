"""The antibiotic before the operation, in both jurisdictions (reference 5.5)."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from clinical_patients import TABLES

from docgen.clinical.endocarditis import NO_RISK, EndocarditisRule, HeartPatient, endocarditis_rule, needs_weight
from docgen.clinical.history import Allergy

HEARTS = ("prosthetic_valve", "previous_endocarditis", "listed_congenital", "transplant_valvulopathy")
ADULT = HeartPatient(("prosthetic_valve",), (), False, None)
PENICILLIN = (Allergy("medical.allergies[0]", "amoxicillin", "penicillin", "rash"),)
CLINDAMYCIN = (Allergy("medical.allergies[1]", "clindamycin", "other", "rash"),)
JURISDICTIONS = ("us_2021", "uk_framework")


def rule(patient: HeartPatient, jurisdiction: str) -> EndocarditisRule:
    """Work out the rule."""
    return endocarditis_rule(patient, jurisdiction, TABLES)


def doses(patient: HeartPatient, jurisdiction: str) -> list[tuple[str, Fraction, int, int]]:
    """Give drug, mg and minutes of each dose."""
    return [(d.inn, d.dose_mg, d.minutes_from, d.minutes_to) for d in rule(patient, jurisdiction).doses]


def child(weight_kg: str | None) -> HeartPatient:
    """Give a minor."""
    return replace(ADULT, patient_is_minor=True, weight_kg=Fraction(weight_kg) if weight_kg else None)


@pytest.mark.parametrize("heart", HEARTS)
def test_an_adult_in_the_us_has_two_grams_of_amoxicillin(heart: str) -> None:
    """AHA-S, JPABS: amoxicillin 2 g, 30 to 60 minutes before; clindamycin is no longer recommended."""
    patient = replace(ADULT, hearts=(heart,))

    assert [("amoxicillin", Fraction(2000), 30, 60)] == doses(patient, "us_2021")
    assert ("dose", (heart,)) == (rule(patient, "us_2021").verdict, rule(patient, "us_2021").reasons)


def test_an_adult_in_the_uk_has_three_grams_or_clindamycin() -> None:
    """BJGPO: amoxicillin 3 g or clindamycin 600 mg, 1 hour before, agreed and recorded."""
    expected = [("amoxicillin", Fraction(3000), 60, 60), ("clindamycin", Fraction(600), 60, 60)]

    assert expected == doses(ADULT, "uk_framework")
    assert ("prosthetic_valve", "agreed_and_recorded") == rule(ADULT, "uk_framework").reasons


@pytest.mark.parametrize(
    ("weight_kg", "expected"),
    [
        ("10", 500),
        ("39.9", 1995),
        ("39.99", 1999),  # 1999.5, down
        ("40", 2000),
        ("40.1", 2000),
        ("90", 2000),
        ("33.333", 1666),  # 1666.65, down
    ],
)
def test_a_minor_has_50_mg_for_each_kg_and_two_grams_at_most(weight_kg: str, expected: int) -> None:
    """AHA-S: 50 mg/kg of a child, at most the 2 g of an adult; doses round down."""
    assert [("amoxicillin", Fraction(expected), 30, 60)] == doses(child(weight_kg), "us_2021")


def test_a_minor_without_a_weight_has_no_dose() -> None:
    """No weight, no dose, never a default."""
    assert needs_weight(child(None), "us_2021", TABLES)
    assert not needs_weight(child("40"), "us_2021", TABLES)
    assert not needs_weight(ADULT, "us_2021", TABLES)
    assert not needs_weight(child(None), "uk_framework", TABLES)
    assert not needs_weight(replace(child(None), allergies=PENICILLIN), "us_2021", TABLES)
    assert not needs_weight(replace(child(None), hearts=()), "us_2021", TABLES)
    with pytest.raises(ValueError, match="weight"):
        rule(child(None), "us_2021")


def test_no_child_dose_of_the_uk_is_held() -> None:
    """The clinician decides (specification 3.4)."""
    found = rule(child("40"), "uk_framework")

    assert ("clinician_decides", (), ("prosthetic_valve", "no_child_dose")) == (
        found.verdict,
        found.doses,
        found.reasons,
    )


@pytest.mark.parametrize("severity", ["anaphylaxis", "rash", "intolerance", "not_known"])
def test_a_penicillin_allergy_leaves_no_dose_in_the_us_and_clindamycin_in_the_uk(severity: str) -> None:
    """us_2021: the alternatives are memory, the clinician decides; uk_framework: amoxicillin is not printed."""
    allergies = (Allergy("medical.allergies[0]", "flucloxacillin", "penicillin", severity),)
    patient = replace(ADULT, allergies=allergies)

    assert EndocarditisRule("clinician_decides", (), ("prosthetic_valve", "penicillin_allergy")) == rule(
        patient, "us_2021"
    )
    assert [("clindamycin", Fraction(600), 60, 60)] == doses(patient, "uk_framework")
    assert ("prosthetic_valve", "penicillin_allergy", "agreed_and_recorded") == rule(patient, "uk_framework").reasons


def test_a_drug_the_patient_is_allergic_to_is_never_printed() -> None:
    """An allergy to clindamycin leaves amoxicillin; both leave nothing."""
    one, both = replace(ADULT, allergies=CLINDAMYCIN), replace(ADULT, allergies=(*PENICILLIN, *CLINDAMYCIN))

    assert [("amoxicillin", Fraction(3000), 60, 60)] == doses(one, "uk_framework")
    assert ("prosthetic_valve", "drug_allergy", "agreed_and_recorded") == rule(one, "uk_framework").reasons
    assert ("clinician_decides", ()) == (rule(both, "uk_framework").verdict, rule(both, "uk_framework").doses)
    assert [("amoxicillin", Fraction(2000), 30, 60)] == doses(one, "us_2021")


@pytest.mark.parametrize("jurisdiction", JURISDICTIONS)
def test_allergies_nobody_knows_leave_the_decision_to_the_clinician(jurisdiction: str) -> None:
    """No dose is printed for a patient who could be allergic to it."""
    assert EndocarditisRule("clinician_decides", (), ("prosthetic_valve", "allergies_not_known")) == rule(
        replace(ADULT, allergies=None), jurisdiction
    )


@pytest.mark.parametrize("jurisdiction", JURISDICTIONS)
def test_another_heart_has_no_prophylaxis(jurisdiction: str) -> None:
    """Only the hearts of the list (AHA-S, BJGPO)."""
    assert NO_RISK == rule(replace(ADULT, hearts=()), jurisdiction)


def test_an_unknown_jurisdiction_is_refused() -> None:
    """Never one value without a jurisdiction (reference 5.5)."""
    with pytest.raises(ValueError, match="no jurisdiction"):
        rule(ADULT, "elsewhere")


def test_each_dose_has_its_source() -> None:
    """AHA-S and JPABS in one jurisdiction, BJGPO in the other; a dose by weight shows its working."""
    assert [("AHA-S", "JPABS")] == [d.source for d in rule(ADULT, "us_2021").doses]
    assert [("BJGPO",), ("BJGPO",)] == [d.source for d in rule(ADULT, "uk_framework").doses]
    assert ["50 mg/kg x 35 kg, at most 2000 mg"] == [d.working for d in rule(child("35"), "us_2021").doses]
