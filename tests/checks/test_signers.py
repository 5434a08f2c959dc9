"""Who signs a consent, on either side of each age and answer that decides it."""

from __future__ import annotations

from datetime import date

import pytest
from edited_case import Edits, checked
from provocation import DECIDED, WARFARIN

LEAP = {"settings.jurisdiction.leap_birthday": "{value: 28_february, by: Maren Holt, on: 2026-01-05}"}
SIGNED_ON_28_FEBRUARY: Edits = {
    "patient.birth_date": "2008-02-29",
    "plan.made_on": "2026-02-27",
    "consent.first_talk_on": "2026-02-27",
    "consent.signed_at.patient": "'2026-02-28T15:40'",
}


def _wrong(edits: Edits, clinic_edits: Edits | None = None) -> list[tuple[str, str]]:
    problems = checked(edits, ("consent",), clinic_edits=clinic_edits)
    return [(p.path, p.fix.in_words()) for p in problems if p.code == "signer-wrong"]


@pytest.mark.parametrize(
    ("born", "wrong"),
    [
        ("2008-03-03", []),  # comes of age on the day of signing
        ("2008-03-04", [("consent.signed_at.patient", "the right person signs (consent.signed_at.guardian)")]),
    ],
)
def test_the_patient_signs_from_the_birthday_on(born: str, wrong: list[tuple[str, str]]) -> None:
    """On the day of majority the signature is the patient's own, on the day before the guardian's."""
    assert wrong == _wrong({"patient.birth_date": born, "consent.signed_at.patient": "'2026-03-03T15:40'"})


def test_without_capacity_the_decision_maker_signs() -> None:
    """A grown patient found to lack capacity does not sign, and the right person is named."""
    named = [("consent.signed_at.patient", "the right person signs (consent.signed_at.decision_maker)")]
    assert named == _wrong({"consent.capacity": "assessed_lacks"})
    signed = {"consent.signed_at.patient": "not_applicable", "consent.signed_at.decision_maker": "'2026-03-03T15:40'"}
    assert [] == _wrong({"consent.capacity": "assessed_lacks", **signed})


def test_a_leap_birthday_is_the_day_the_law_sets() -> None:
    """Born on 29 February: of age on 28 February only where the clinic says so, else on 1 March."""
    guardian = [("consent.signed_at.patient", "the right person signs (consent.signed_at.guardian)")]
    assert guardian == _wrong(SIGNED_ON_28_FEBRUARY)
    assert [] == _wrong(SIGNED_ON_28_FEBRUARY, LEAP)


GUARDIAN = [("consent.signed_at.patient", "the right person signs (consent.signed_at.guardian)")]


@pytest.mark.parametrize(("own", "wrong"), [(None, GUARDIAN), ("none", GUARDIAN), ("17", GUARDIAN), ("16", [])])
def test_a_minor_signs_from_the_age_the_law_sets(own: str | None, wrong: list[tuple[str, str]]) -> None:
    """At 16 the guardian signs, unless the clinic's law lets the patient."""
    law = {"settings.jurisdiction.age_of_own_consent": f"{{value: {own}, by: Maren Holt, on: 2026-01-05}}"}
    assert wrong == _wrong({"patient.birth_date": "2009-11-19"}, law if own else None)


def test_without_an_age_of_majority_nobody_is_wrong() -> None:
    """A law nobody has entered is not guessed."""
    assert [] == _wrong({"patient.birth_date": "2009-11-19"}, {"settings.jurisdiction.age_of_majority": None})


@pytest.mark.parametrize(("born", "wrong"), [("2026-03-03", GUARDIAN), ("2026-03-04", [])])
def test_a_signature_dated_before_birth_names_nobody(born: str, wrong: list[tuple[str, str]]) -> None:
    """Who had to sign on a day before the patient lived has no answer; from the day of birth on it has."""
    assert wrong == _wrong({"patient.birth_date": born})


@pytest.mark.parametrize(
    ("born", "talked", "operated", "clinic_edits", "codes"),
    [
        ("2008-03-03", "2026-03-03", "2026-03-17", None, []),  # of age at the talk already
        ("2008-03-17", "2026-03-03", "2026-03-17", None, ["majority-between"]),  # on the day itself
        ("2008-03-18", "2026-03-03", "2026-03-17", None, []),  # after it
        ("2008-02-29", "2026-02-27", "2026-02-28", None, []),
        ("2008-02-29", "2026-02-27", "2026-02-28", LEAP, ["majority-between"]),
    ],
)
def test_coming_of_age_between_talk_and_operation_is_noted(
    born: str, talked: str, operated: str, clinic_edits: Edits | None, codes: list[str]
) -> None:
    """The birthday counts on the day of the operation, and no more on the day of the talk."""
    edits = {"patient.birth_date": born, "consent.first_talk_on": talked, "plan.operation_at": f"'{operated}T10:00'"}
    problems = checked(edits, ("consent",), clinic_edits=clinic_edits)
    assert codes == [p.code for p in problems if p.code == "majority-between"]


@pytest.mark.parametrize(("day", "codes"), [(17, ["inr-verdict"]), (16, [])])
def test_a_consent_before_the_day_waits_for_the_inr_of_the_day(day: int, codes: list[str]) -> None:
    """Issued on the day, the consent is refused for an INR that is too high; the day before, it is not."""
    edits = {**WARFARIN, **DECIDED, "medical.inr": "{value: 3.6, taken_at: '2026-03-16T12:00', stable: yes}"}
    problems = checked(edits, ("consent",), issued_on=date(2026, 3, day))
    assert codes == [p.code for p in problems if p.code == "inr-verdict"]


def test_a_blood_thinner_left_out_against_the_guidance_refuses_on_any_day() -> None:
    """The safety sheet of the week before is refused too; a wrong decision is mended before it is followed."""
    left_out = "[{inn: warfarin, decision: miss_dose, by: mh, on: 2026-03-03}]"
    edits = {**WARFARIN, "plan.antithrombotic_decisions": left_out}
    problems = checked(edits, ("safety-sheet",), issued_on=date(2026, 3, 10))
    assert ["refuse"] == [p.severity.value for p in problems if p.code == "antithrombotic-differs"]
