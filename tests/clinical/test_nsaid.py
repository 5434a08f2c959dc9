"""The verdict on NSAIDs: each reason with its verdict, the boundaries, and what unanswered questions do."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from clinical_patients import TABLES

from docgen.clinical.history import Allergy, Condition, History, TakenDrug
from docgen.clinical.nsaid import NsaidVerdict, judge_nsaid

WELL = History(pregnancy="no", age_years=30)
"""Everything answered, and nothing speaks against an NSAID."""


def ill(*codes: str) -> History:
    """Give a patient with conditions."""
    return replace(WELL, conditions=tuple(Condition(code, f"medical.conditions[{i}]") for i, code in enumerate(codes)))


def on(*names: str, thins: bool = False) -> History:
    """Give a patient who takes drugs."""
    return replace(WELL, taken=tuple(TakenDrug(name, f"list[{i}].inn", thins) for i, name in enumerate(names)))


def allergic(severity: str, group: str = "nsaid", substance: str = "naproxen") -> History:
    """Give a patient with an allergy."""
    return replace(WELL, allergies=(Allergy("medical.allergies[0]", substance, group, severity),))


def pregnant(weeks: int | None) -> History:
    """Give a pregnant patient."""
    return replace(WELL, pregnancy="yes", pregnancy_weeks=weeks)


def judged(history: History) -> tuple[str, tuple[str, ...]]:
    """Give verdict and reasons."""
    found = judge_nsaid(history, TABLES)
    return found.verdict, found.reasons


@pytest.mark.parametrize(
    ("history", "verdict", "reason"),
    [
        # Reference 5.1, hypersensitivity: ELMS; specification 3.4: any severity but intolerance
        *(
            (allergic(severity), "stop", "nsaid_allergy")
            for severity in ("anaphylaxis", "urticaria_angioedema", "rash")
        ),
        (allergic("not_known"), "stop", "nsaid_allergy"),
        (allergic("rash", "other", "aspirin"), "stop", "nsaid_allergy"),
        (allergic("intolerance"), "caution", "nsaid_intolerance"),
        (ill("aspirin_sensitive_airway"), "stop", "aspirin_sensitive_airway"),  # ELMS
        (ill("peptic_ulcer_active"), "stop", "peptic_ulcer_active"),  # ELMS, SDCEP-PAIN
        (ill("nsaid_ulcer_past"), "stop", "nsaid_ulcer_past"),  # ELMS, SDCEP-PAIN
        *((ill(code), "stop", code) for code in ("heart_failure_severe", "kidney_severe", "liver_severe")),  # MOSTOFI
        (on("warfarin", thins=True), "avoid", "antithrombotic"),  # MOSTOFI; warfarin not routinely: NAT-NSAID
        (on("enoxaparin", thins=True), "avoid", "antithrombotic"),  # any antithrombotic, listed or not
        (on("lithium carbonate"), "avoid", "lithium"),  # MOSTOFI
        (on("methotrexate"), "avoid", "methotrexate"),  # MOSTOFI
        (on("sertraline"), "caution", "ssri"),  # MOSTOFI
        (on("ramipril"), "caution", "antihypertensive"),  # MOSTOFI
        *((ill(code), "caution", code) for code in ("hypertension", "hypertension_severe")),  # specification 3.4
        *((ill(code), "caution", code) for code in ("asthma", "inflammatory_bowel", "bleeding_disorder")),  # MOSTOFI
        (replace(WELL, is_breast_feeding=True), "caution", "breast_feeding"),  # ELMS, NAT-NSAID
    ],
)
def test_a_reason_brings_its_verdict(history: History, verdict: str, reason: str) -> None:
    """The stop and caution list of the reference, 5.1, at the safer end (specification 3.4)."""
    assert (verdict, (reason,)) == judged(history)


@pytest.mark.parametrize(
    "history", [WELL, ill("diabetes"), on("simvastatin"), allergic("anaphylaxis", "latex", "latex")]
)
def test_without_a_reason_it_is_ok(history: History) -> None:
    """What stands on no list speaks against nothing."""
    assert ("ok", ()) == judged(history)


@pytest.mark.parametrize(
    ("weeks", "expected"),
    [
        (1, ("caution", ("pregnancy",))),
        (27, ("caution", ("pregnancy",))),
        (28, ("stop", ("late_pregnancy",))),
        (40, ("stop", ("late_pregnancy",))),
        (None, ("stop", ("late_pregnancy",))),  # weeks not recorded
    ],
)
def test_the_third_trimester_begins_at_week_28(weeks: int | None, expected: Any) -> None:
    """ELMS, NAT-NSAID: avoid in the third trimester, caution earlier; week 28 is memory."""
    assert expected == judged(pregnant(weeks))


@pytest.mark.parametrize(("age", "expected"), [(64, ("ok", ())), (65, ("caution", ("age_65",)))])
def test_from_65_it_is_a_caution(age: int, expected: Any) -> None:
    """MOSTOFI, NAT-NSAID: caution in the elderly; the cut is memory (specification 3.4)."""
    assert expected == judged(replace(WELL, age_years=age))


@pytest.mark.parametrize(
    ("history", "paths"),
    [
        (replace(WELL, is_breast_feeding=True), ("medical.breast_feeding",)),
        (pregnant(20), ("medical.pregnancy.state",)),
        (pregnant(28), ("medical.pregnancy.state",)),
        (replace(WELL, age_years=65), ("patient.birth_date",)),
        (allergic("rash"), ("medical.allergies[0]",)),
        (on("simvastatin", "lithium"), ("list[1].inn",)),
        (on("simvastatin", "enoxaparin", thins=True), ("list[0].inn",)),
        (replace(ill("asthma"), is_breast_feeding=True), ("medical.conditions[0]", "medical.breast_feeding")),
    ],
)
def test_a_reason_names_where_it_stands(history: History, paths: tuple[str, ...]) -> None:
    """The answer, date or row of the record that speaks against the drug."""
    assert paths == judge_nsaid(history, TABLES).reason_paths


def test_the_first_that_applies_counts_with_all_its_reasons() -> None:
    """Stop before avoid before caution; only the reasons of the verdict are given, with their places."""
    many = replace(ill("asthma", "kidney_severe", "liver_severe"), taken=on("lithium").taken)
    found = judge_nsaid(many, TABLES)

    assert ("stop", ("kidney_severe", "liver_severe")) == (found.verdict, found.reasons)
    assert ("medical.conditions[1]", "medical.conditions[2]") == found.reason_paths
    assert ("MOSTOFI",) == found.source
    assert ("avoid", ("lithium",)) == judged(replace(many, conditions=ill("asthma").conditions))


@pytest.mark.parametrize(
    ("history", "verdict", "reasons"),
    [
        (WELL, "caution", ("not_all_answered",)),
        (ill("asthma"), "caution", ("asthma", "not_all_answered")),
        (on("lithium"), "avoid", ("lithium",)),
        (ill("kidney_severe"), "stop", ("kidney_severe",)),
    ],
)
def test_an_unanswered_question_makes_it_caution_at_least(
    history: History, verdict: str, reasons: tuple[str, ...]
) -> None:
    """At least caution, with the list of what was not answered; a proved stop or avoid stays."""
    found = judge_nsaid(replace(history, unanswered=("medical.allergies",)), TABLES)

    assert (verdict, reasons, ("medical.allergies",)) == (found.verdict, found.reasons, found.unanswered)
    assert NsaidVerdict("ok", ()) == judge_nsaid(WELL, TABLES)
