"""Facts of age, capacity and language, and what the record is kept for (specification 3.1, 3.9)."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from case_facts import CONSENT, LEAFLET, REFERRAL, Edits, facts_of, unknown, value_of

from docgen.answer import Answer
from docgen.facts import Known, Unknown

LEAP = {"patient.birth_date": "2008-02-29"}
CHILD = {"patient.birth_date": "2012-06-01"}


def talked_on(day: str) -> Edits:
    """Give the changes for a first talk on a day, nothing confirmed yet."""
    return {"consent.first_talk_on": day, "consent.confirmed_at": None}


@pytest.mark.parametrize(
    ("day", "rule", "age", "minor"),
    [
        ("2026-02-28", "1_march", 17, True),
        ("2026-03-01", "1_march", 18, False),
        ("2026-02-27", "28_february", 17, True),
        ("2026-02-28", "28_february", 18, False),
    ],
)
def test_who_was_born_on_29_february_comes_of_age_by_the_setting(day: str, rule: str, age: int, minor: bool) -> None:
    """In a common year; 1 March keeps a minor one day longer."""
    edits: Edits = {**LEAP, **talked_on(day), "settings.jurisdiction.leap_birthday": rule}

    assert (age, minor) == (value_of("patient_age_years", edits, CONSENT), value_of("patient_is_minor", edits, CONSENT))


def test_an_age_shows_its_dates() -> None:
    """The two days, and the rule where it decided."""
    plain = facts_of({}, CONSENT)["patient_age_years"]
    leap = facts_of({**LEAP, **talked_on("2026-03-01")}, CONSENT)["patient_age_years"]

    assert isinstance(plain, Known)
    assert isinstance(leap, Known)
    assert "2001-11-19 > 2026-03-17" == plain.working
    assert "2008-02-29 > 2026-03-01 (1_march)" == leap.working


@pytest.mark.parametrize(
    ("own", "capacity", "alone", "signs"),
    [
        ("none", "presumed", False, "guardian"),
        ("14", "presumed", False, "guardian"),
        ("13", "presumed", True, "no"),
        ("13", "assessed_has", True, "no"),
        ("13", "assessed_lacks", False, "guardian"),
    ],
)
def test_a_minor_of_13_decides_alone_by_the_setting(own: str, capacity: str, alone: bool, signs: str) -> None:
    """The age of own consent is a setting; lacking capacity goes before it."""
    edits: Edits = {**CHILD, "consent.capacity": capacity, "settings.jurisdiction.age_of_own_consent": own}

    assert alone is value_of("patient_may_consent_alone", edits, CONSENT)
    assert signs == value_of("someone_else_signs", edits, CONSENT)


def test_one_no_settles_who_decides_alone() -> None:
    """A minor under the age decides not alone, whatever is known of capacity; an adult's capacity has to be known."""
    assert value_of("patient_may_consent_alone", {**CHILD, "consent.capacity": None}, CONSENT) is False
    assert (
        value_of(
            "patient_may_consent_alone", {"patient.birth_date": None, "consent.capacity": "assessed_lacks"}, CONSENT
        )
        is False
    )
    assert ("consent.capacity",) == unknown("patient_may_consent_alone", {"consent.capacity": None}, CONSENT).needs


def test_the_guardian_reads_for_a_child() -> None:
    """Their language decides, and has to be known."""
    guardian = {"name": "Ida Sample", "relation": "mother", "phone": "0100", "language": "pl", "second_holder": "none",
                "authority": "parental_responsibility", "authority_seen_by": "mh"}  # fmt: skip
    mute = {key: value for key, value in guardian.items() if key != "language"}

    assert value_of("bilingual_wanted", {**CHILD, "guardian": guardian}, CONSENT) is True
    assert ("guardian.language",) == unknown("bilingual_wanted", {**CHILD, "guardian": mute}, CONSENT).needs
    assert value_of("bilingual_wanted", {}, CONSENT) is False


@pytest.mark.parametrize(("urgency", "expected"), [("not_urgent", False), ("soon", True), ("urgent", True)])
def test_a_referral_presses_unless_it_is_not_urgent(urgency: str, expected: bool) -> None:
    """The field of the referrer decides."""
    assert expected is value_of("referral_is_pressing", {"referral.urgency": urgency}, REFERRAL)


def test_an_urgency_nobody_gave_is_open() -> None:
    """Unknown is never no."""
    assert ("referral.urgency",) == unknown("referral_is_pressing", {"referral.urgency": None}, REFERRAL).needs


def test_a_clinic_that_set_no_years_prints_none() -> None:
    """Not applicable, for adult and child alike."""
    assert Answer.NOT_APPLICABLE == value_of("retention_until", {})
    child_only: Edits = {"settings.retention.child_until_age": "25"}
    assert Answer.NOT_APPLICABLE == value_of("retention_until", child_only)
    assert Answer.NOT_APPLICABLE == value_of("retention_until", {**CHILD, "settings.retention.years_adult": "11"})


@pytest.mark.parametrize(
    ("edits", "until"),
    [
        ({"settings.retention.years_adult": "11"}, date(2037, 3, 24)),  # 11 years [DDU-G], from the visit
        ({"settings.retention.years_adult": "15"}, date(2041, 3, 24)),  # 15 years [DDU-23]
        (
            {
                "settings.retention.years_adult": "11",
                "operation.addenda": [{"text": "Phoned, no bleeding", "by": "mh", "at": "2028-02-29T09:00"}],
            },
            date(2039, 3, 1),  # 29 February: the later day
        ),
        ({**CHILD, "settings.retention.child_until_age": "25"}, date(2037, 6, 1)),
        ({**LEAP, **talked_on("2026-02-28"), "settings.retention.child_until_age": "25"}, date(2033, 3, 1)),
    ],
)
def test_a_record_is_kept_from_the_last_entry_or_from_birth(edits: dict[str, Any], until: date) -> None:
    """What is only planned (the review) is no entry."""
    request = LEAFLET if "consent.first_talk_on" not in edits else CONSENT

    assert until == value_of("retention_until", edits, request)


def test_retention_is_open_while_nobody_knows_whether_it_is_a_child() -> None:
    """The birth date decides which years count."""
    edits: Edits = {"patient.birth_date": None, "settings.retention.years_adult": "11"}

    assert isinstance(facts_of(edits)["retention_until"], Unknown)


def test_the_cautions_follow_signing() -> None:
    """A signed kind says so, and until it is signed that it has to be; a leaflet nobody signs says neither."""
    signing = replace(CONSENT, signed_at=("consent.signed_at.patient",))
    unsigned: Edits = {"consent.signed_at.patient": None}

    lines = ["prepared_from_data", "no_substitute", "figures_of_groups", "laws_vary"]
    assert tuple(lines) == value_of("cautions", {}, LEAFLET)
    assert (*lines, "clinician_signs") == value_of("cautions", {}, signing)
    assert (lines[0], "read_correct_sign", *lines[1:], "clinician_signs") == value_of("cautions", unsigned, signing)
    not_him: Edits = {"consent.signed_at.patient": "not_applicable"}
    assert "read_correct_sign" in value_of("cautions", not_him, signing)
