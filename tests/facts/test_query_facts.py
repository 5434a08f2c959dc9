"""When the physician has to be asked, and why (specification 3.4, physician_query_needed)."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from case_facts import CONSENT, Edits, unknown, value_of
from test_thinner_facts import APIXABAN, ASPIRIN, INR, WARFARIN, decided, taking

from docgen.facts.query import PARTS

BEFORE = replace(CONSENT, issued_on=date(2026, 3, 3))
BONE_DRUG = {"inn": "denosumab", "route": "injection", "indication": "osteoporosis", "started_on": "2021-03-03",
             "stopped_on": "not_applicable", "last_dose_on": "2026-01-10"}  # fmt: skip
OLD_INR = INR | {"taken_at": "2026-03-10T09:00"}
FOLLOWED = {"settings.antithrombotic.doac_guidance": "sdcep_2022"}


def ill(code: str) -> Edits:
    """Give the change for one condition."""
    return {"medical.conditions": [{"code": code, "words": code, "controlled": "no"}]}


def on(inn: str) -> Edits:
    """Give the change for one drug taken."""
    drug = {"inn": inn, "dose": "25 mg", "route": "by mouth", "frequency": "evening", "indication": "sample"}
    return {"medical.medications": [drug]}


CASES: dict[str, Edits] = {
    "inr_delay": taking(WARFARIN, inr=INR | {"value": "3.6"}),
    "inr_repeat_on_day": taking(WARFARIN, inr=OLD_INR),
    "ask_physician": taking(APIXABAN),
    "mronj_higher": {"medical.antiresorptives": [BONE_DRUG]},
    "jaw_radiotherapy": {"medical.jaw_radiotherapy.given": "yes"},
    "dual_antiplatelet": taking(ASPIRIN, ASPIRIN | {"inn": "clopidogrel"}),
    "endocarditis": {
        "medical.endocarditis_heart": ["prosthetic_valve"],
        "settings.jurisdiction.endocarditis": "us_2021",
        "medical.allergies": [
            {"substance": "amoxicillin", "group": "penicillin", "reaction": "rash", "severity": "rash"}
        ],
    },
    "tca_maoi_epinephrine": on("amitriptyline"),
    "heart_epinephrine": ill("angina_unstable"),
}
"""Reason > the changes to case 1 that bring it, and it alone."""


def test_case_1_asks_nobody() -> None:
    """Section 7: all seven kinds except the query."""
    assert () == value_of("physician_query_reasons", {}, CONSENT)
    assert value_of("physician_query_needed", {}, CONSENT) is False


@pytest.mark.parametrize("reason", [reason for reason in PARTS if reason != "recent_event"])
def test_one_reason_is_enough(reason: str) -> None:
    """Each reason of the row alone makes the query needed, on the day of the operation."""
    assert (reason,) == value_of("physician_query_reasons", CASES[reason], CONSENT)
    assert value_of("physician_query_needed", CASES[reason], CONSENT) is True


@pytest.mark.parametrize("event", ["clot_under_3_months", "stent_under_3_months", "cardioversion_planned"])
def test_a_recent_event_is_asked_about_twice_over(event: str) -> None:
    """The event is a reason, and so is the guidance that asks the physician about it."""
    edits = taking(ASPIRIN | {"recent_event": event})

    assert ("ask_physician", "recent_event") == value_of("physician_query_reasons", edits, CONSENT)


@pytest.mark.parametrize(
    "edits",
    [
        taking(WARFARIN),
        taking(APIXABAN, **FOLLOWED),
        taking(ASPIRIN),
        {"medical.antiresorptives": [BONE_DRUG | {"started_on": "2021-03-18"}]},  # one day short of five years
        {"medical.endocarditis_heart": ["prosthetic_valve"]},  # uk_framework gives a dose
        ill("asthma"),
        on("sertraline"),
        on("amitriptyline") | {"plan.injections": "none"},
    ],
)
def test_its_neighbor_asks_nobody(edits: Edits) -> None:
    """On the other side of each boundary there is no reason."""
    assert () == value_of("physician_query_reasons", edits, CONSENT)


def test_a_test_to_repeat_is_a_reason_only_on_the_day() -> None:
    """Before, there is time for a new test; a value too high is a reason at any time."""
    old = taking(WARFARIN, inr=OLD_INR)

    assert () == value_of("physician_query_reasons", old, BEFORE)
    assert ("inr_repeat_on_day",) == value_of("physician_query_reasons", old, CONSENT)
    assert ("inr_delay",) == value_of("physician_query_reasons", CASES["inr_delay"], BEFORE)


def test_a_decision_to_ask_is_a_reason_whatever_the_guidance_says() -> None:
    """The clinician's own decision counts beside the rule."""
    edits = taking(WARFARIN) | decided(warfarin="ask_physician")

    assert ("ask_physician",) == value_of("physician_query_reasons", edits, CONSENT)


@pytest.mark.parametrize(
    ("edits", "reason"),
    [
        ({"medical.jaw_radiotherapy.given": "not_known"}, "jaw_radiotherapy"),
        ({"medical.steroid_or_immunosuppressant": "not_known", "medical.antiresorptives": [BONE_DRUG]}, "mronj_higher"),
        (taking(WARFARIN, inr="not_known"), "inr_repeat_on_day"),
        ({"medical.endocarditis_heart": "not_known"}, "endocarditis"),
    ],
)
def test_what_is_assumed_counts(edits: Edits, reason: str) -> None:
    """Asked, and nobody knows: the safer branch is taken."""
    assert (reason,) == value_of("physician_query_reasons", edits, CONSENT)


@pytest.mark.parametrize(
    "path",
    ["medical.antithrombotics", "medical.conditions", "medical.medications", "medical.endocarditis_heart",
     "plan.injections"],
)  # fmt: skip
def test_a_question_nobody_answered_leaves_it_open_as_needed(path: str) -> None:
    """Column U: yes, with the path that would settle it; a reason that is there needs no more."""
    edits: dict[str, Any] = {path: None}
    found = unknown("physician_query_needed", edits, CONSENT)

    assert path in found.needs
    assert found.assumed is True
    assert value_of("physician_query_needed", CASES["jaw_radiotherapy"] | edits, CONSENT) is True
