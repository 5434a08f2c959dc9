"""Facts about ordered drugs, hearts and bone drugs, read from a case: answers, gaps and moments."""

from __future__ import annotations

import copy
from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from conftest import drop, example_tree, put, shipped_world, tree_files

from docgen.case import read_case
from docgen.facts import Known, Request, Unknown, state_facts
from docgen.problem import Problems

NOTE = Request(
    "operative-note", "clinic", "en", date(2026, 3, 17), True, ("operation.procedures",), ("operation.started_at",)
)
IBUPROFEN = {"inn": "ibuprofen", "form": "tablet", "dose_mg": "400", "times_per_day": "3", "hours_apart": "6",
             "days": "3", "max_mg_per_day": "1200", "supply": "over_the_counter", "reason": "pain"}  # fmt: skip
AMOXICILLIN_ALLERGY = [{"substance": "amoxicillin", "group": "penicillin", "reaction": "rash", "severity": "rash"}]
VALVE = {"medical.endocarditis_heart": ["prosthetic_valve"]}
BONE_DRUG = {"inn": "denosumab", "route": "injection", "indication": "osteoporosis", "started_on": "2023-03-17",
             "stopped_on": "not_applicable", "last_dose_on": "2026-01-10"}  # fmt: skip


def facts_of(edits: dict[str, Any]) -> dict[str, Any]:
    """State the facts of case 1 after changing some fields; None takes one out, "settings." names a setting."""
    tree = copy.deepcopy(example_tree("fenwright"))
    for path, value in edits.items():
        if path.startswith("settings."):
            _set(tree, path.removeprefix("settings."), value)
        elif value is None:
            drop(tree, path)
        else:
            put(tree, path, value)
    problems = Problems()
    case = read_case(tree_files(tree).case, None, None, problems)
    assert [problem.code for problem in problems] == []
    return state_facts(case, NOTE, shipped_world().tables).results


def _set(tree: dict[str, Any], name: str, value: str | None) -> None:
    if value is None:
        tree["settings"].pop(name, None)
    else:
        tree["settings"][name] = {"value": value, "by": "mh", "on": "2026-01-05"}


def known(edits: dict[str, Any], name: str) -> Any:
    """Give the value of a fact that can be computed."""
    result = facts_of(edits)[name]
    assert isinstance(result, Known), result
    return result.value


def open_fact(edits: dict[str, Any], name: str) -> Unknown:
    """Give a fact that cannot be computed."""
    result = facts_of(edits)[name]
    assert isinstance(result, Unknown), result
    return result


def test_a_patient_with_everything_answered_has_no_conflict() -> None:
    """Case 1: no note (specification 7, row 1)."""
    found = known({}, "drug_conflicts")

    assert ((), ()) == (found.hits, found.unanswered)
    assert "ok" == known({}, "nsaid_verdict").verdict


def test_each_moment_has_its_hits() -> None:
    """The plan, what was given and what was prescribed are told apart, with the place of the drug."""
    edits = {
        "medical.allergies": AMOXICILLIN_ALLERGY,
        "plan.antibiotic": {"inn": "amoxicillin", "dose_mg": "2000", "minutes_before": "60", "reason": "valve"},
        "operation.antibiotic": {"inn": "amoxicillin", "dose_mg": "2000", "at": "2026-03-17T09:05"},
        "prescriptions": [{**IBUPROFEN, "inn": "amoxicillin", "supply": "prescribed"}],
    }
    hits = [hit for hit in known(edits, "drug_conflicts").hits if hit.code == "penicillin-allergy"]

    assert [
        ("planned", "plan.antibiotic.inn"),
        ("given", "operation.antibiotic.inn"),
        ("prescribed", "prescriptions[0].inn"),
    ] == [(hit.moment, hit.ordered_path) for hit in hits]
    assert {"medical.allergies[0].group"} == {hit.other_path for hit in hits}


def test_sedation_and_drugs_given_are_ordered_drugs_too() -> None:
    """Every ordered drug of the specification, 3.4, is looked at."""
    taken = [
        {"inn": name, "dose": "5 mg", "route": "by mouth", "frequency": "night", "indication": "sleep",
         "last_taken_at": "not_known"}
        for name in ("midazolam", "diazepam")
    ]  # fmt: skip
    edits = {
        "medical.medications": taken,
        "plan.sedation": {"route": "intravenous", "inn": "midazolam", "fasting": "six hours"},
        "operation.drugs_given": [{"inn": "diazepam", "dose": "5 mg", "at": "2026-03-17T09:55", "by": "mh"}],
    }

    assert [("planned", "plan.sedation.inn"), ("given", "operation.drugs_given[0].inn")] == [
        (hit.moment, hit.ordered_path) for hit in known(edits, "drug_conflicts").hits
    ]


def test_epinephrine_in_a_cartridge_meets_what_the_patient_takes() -> None:
    """Case 7: tca-maoi-epinephrine is a caution, planned and given."""
    taken = [{"inn": "amitriptyline", "dose": "25 mg", "route": "by mouth", "frequency": "night",
              "indication": "pain", "last_taken_at": "not_known"}]  # fmt: skip
    hits = known({"medical.medications": taken}, "drug_conflicts").hits

    assert [
        ("tca-maoi-epinephrine", "caution", "planned", "medical.medications[0].inn"),
        ("tca-maoi-epinephrine", "caution", "given", "medical.medications[0].inn"),
    ] == [(hit.code, hit.severity, hit.moment, hit.other_path) for hit in hits]


@pytest.mark.parametrize("name", ["conditions", "medications", "antithrombotics", "antiresorptives", "allergies"])
def test_a_list_nobody_answered_is_named(name: str) -> None:
    """The conflicts that can be seen are given, with what was not answered (specification 3.4)."""
    found = known({f"medical.{name}": None}, "drug_conflicts")

    assert (f"medical.{name}",) == found.unanswered
    assert {"nsaid-caution"} >= {hit.code for hit in found.hits}


def test_allergies_nobody_knows_are_named_too() -> None:
    """Not known is no answer to rely on."""
    assert ("medical.allergies",) == known({"medical.allergies": "not_known"}, "drug_conflicts").unanswered


def test_metronidazole_without_an_answer_about_alcohol_is_a_hit() -> None:
    """Not recorded included (specification 3.5, metronidazole-alcohol)."""
    edits = {"prescriptions": [{**IBUPROFEN, "inn": "metronidazole"}], "medical.alcohol": None}
    found = known(edits, "drug_conflicts")

    assert [("metronidazole-alcohol", "alcohol_not_recorded")] == [(hit.code, hit.other) for hit in found.hits]
    assert ("medical.alcohol",) == found.unanswered


def test_a_missing_birth_date_is_named_where_an_amide_is_ordered() -> None:
    """Age limits of local anesthetics cannot be told then; the NSAID verdict is caution at least."""
    found = known({"patient.birth_date": None}, "drug_conflicts")

    assert "patient.birth_date" in found.unanswered
    assert ["nsaid-caution"] == [hit.code for hit in found.hits]


def test_stability_of_the_inr_is_asked_only_with_a_block_and_a_vka() -> None:
    """Without one of them nobody misses it."""
    warfarin = [{"inn": "warfarin", "dose_mg": "3", "dose_times": ["18:00"], "indication": "clot",
                 "recent_event": "none", "last_dose_at": "2026-03-16T18:00"}]  # fmt: skip
    inr = {"value": "2.8", "taken_at": "2026-03-16T12:00"}
    edits = {"medical.antithrombotics": warfarin, "medical.inr": inr}
    unstable = {**edits, "medical.inr": {**inr, "stable": "no"}}

    assert ("medical.inr.stable",) == known(edits, "drug_conflicts").unanswered
    assert {"nsaid-avoid"} == {hit.code for hit in known(edits, "drug_conflicts").hits}
    assert {"nsaid-avoid", "block-unstable-inr"} == {hit.code for hit in known(unstable, "drug_conflicts").hits}


@pytest.mark.parametrize(("approved", "severity"), [("off", "caution"), ("approved", "stop")])
def test_felypressin_in_pregnancy_follows_the_setting(approved: str, severity: str) -> None:
    """A caution, and a stop once the clinic approved the memory rows (specification 3.5)."""
    injection = {"inn": "prilocaine", "percent": "3", "vasoconstrictor": "felypressin", "dilution": "1850000",
                 "volume_ml": "2.2", "cartridge_ml": "2.2", "technique": "infiltration", "site": "38"}  # fmt: skip
    edits = {
        "plan.injections": [injection],
        "medical.pregnancy": {"state": "yes", "weeks": "12"},
        "settings.la.memory_rows": approved,
    }
    hits = [hit for hit in known(edits, "drug_conflicts").hits if hit.code == "felypressin-pregnancy"]

    assert [severity] == [hit.severity for hit in hits]


def test_the_nsaid_verdict_without_an_answer_is_assumed_and_says_why() -> None:
    """Unknown, acting as caution at least, with the list of what was not answered (specification 3.4)."""
    found = open_fact({"medical.conditions": None, "medical.breast_feeding": None}, "nsaid_verdict")

    assert ("medical.conditions", "medical.breast_feeding") == found.needs
    assert ("caution", found.needs) == (found.assumed.verdict, found.assumed.unanswered)
    assert not found.asked
    assert open_fact({"medical.allergies": "not_known"}, "nsaid_verdict").asked


def test_a_proved_stop_is_known_though_other_answers_are_open() -> None:
    """A pregnancy whose week nobody recorded is a stop, whatever else is open."""
    found = known({"medical.pregnancy": {"state": "yes"}, "medical.conditions": None}, "nsaid_verdict")

    assert ("stop", ("late_pregnancy",), ("medical.conditions",)) == (found.verdict, found.reasons, found.unanswered)


def test_the_totals_of_a_prescription_are_ready_to_print() -> None:
    """Whole numbers as such, decimals as written; prescriptions nobody recorded leave the fact open."""
    row = {**IBUPROFEN, "dose_mg": "62.5", "times_per_day": "1", "max_mg_per_day": "62.5"}
    (found,) = known({"prescriptions": [row]}, "analgesic_totals")

    assert ("ibuprofen", "62.5", "1200", "6", "ok", False) == (
        found.inn,
        str(found.mg_per_day),
        str(found.ceiling_mg),
        str(found.hours_apart),
        found.verdict,
        found.over,
    )
    assert () == known({"prescriptions": "none"}, "analgesic_totals")
    assert ("prescriptions",) == open_fact({"prescriptions": None}, "analgesic_totals").needs
    assert known({"prescriptions": [{**IBUPROFEN, "dose_mg": "401"}]}, "analgesic_totals")[0].over


def test_the_heart_rule_follows_the_jurisdiction() -> None:
    """3 g in one, 2 g in the other, and nothing without the setting (specification 1.3)."""
    uk = known({**VALVE, "settings.jurisdiction.endocarditis": "uk_framework"}, "endocarditis_rule")
    us = facts_of({**VALVE, "settings.jurisdiction.endocarditis": "us_2021"})

    assert ("dose", [3000, 600]) == (uk.verdict, [dose.dose_mg for dose in uk.doses])
    assert [Fraction(2000)] == [dose.dose_mg for dose in us["endocarditis_rule"].value.doses]
    assert ("AHA-S", "JPABS") == us["endocarditis_rule"].sources
    assert "dose" == us["endocarditis_verdict"].value
    assert ("settings.jurisdiction.endocarditis",) == open_fact(
        {**VALVE, "settings.jurisdiction.endocarditis": None}, "endocarditis_rule"
    ).needs


def test_without_a_listed_heart_no_setting_is_needed() -> None:
    """No question arises; a heart nobody knows about leaves the rule open."""
    edits = {"medical.endocarditis_heart": "none", "settings.jurisdiction.endocarditis": None}

    assert "none" == known(edits, "endocarditis_rule").verdict
    assert open_fact({"medical.endocarditis_heart": "not_known"}, "endocarditis_verdict").asked


def test_the_heart_rule_needs_allergies_and_the_weight_of_a_minor() -> None:
    """No dose for a patient who may be allergic, or a child nobody weighed; all needs at once."""
    us = {**VALVE, "settings.jurisdiction.endocarditis": "us_2021"}
    minor = {**us, "patient.birth_date": "2014-05-01"}

    assert ("medical.allergies",) == open_fact({**us, "medical.allergies": None}, "endocarditis_rule").needs
    assert "clinician_decides" == known({**us, "medical.allergies": "not_known"}, "endocarditis_rule").verdict
    assert ("patient.weight_kg",) == open_fact({**minor, "patient.weight_kg": None}, "endocarditis_rule").needs
    assert [1995] == [dose.dose_mg for dose in known({**minor, "patient.weight_kg": "39.9"}, "endocarditis_rule").doses]
    assert ("settings.jurisdiction.endocarditis", "patient.birth_date", "medical.allergies") == open_fact(
        {
            **VALVE,
            "settings.jurisdiction.endocarditis": None,
            "patient.birth_date": None,
            "medical.allergies": None,
        },
        "endocarditis_rule",
    ).needs


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({}, "low"),
        ({"started_on": "2021-03-18"}, "low"),  # SDCEP-M16: under five years on the day
        ({"started_on": "2021-03-17"}, "higher"),  # SDCEP-MF: five completed years count as past the review
        ({"started_on": "2015-03-17", "stopped_on": "2019-03-17"}, "low"),
        ({"indication": "cancer"}, "higher"),  # SDCEP-M16
    ],
)
def test_the_group_of_a_bone_drug(changed: dict[str, str], expected: str) -> None:
    """Both sides of five completed years (specification 3.4, mronj_group)."""
    assert expected == known({"medical.antiresorptives": [{**BONE_DRUG, **changed}]}, "mronj_group")


@pytest.mark.parametrize(
    ("edits", "expected"),
    [
        ({}, ()),
        ({"medical.steroid_or_immunosuppressant": "yes"}, ("steroid",)),
        ({"medical.antiresorptives[0].started_on": "2021-03-17"}, ("years",)),
        ({"medical.antiresorptives[0].indication": "cancer"}, ("cancer",)),
        (
            {"medical.previous_mronj": "yes", "medical.steroid_or_immunosuppressant": "yes"},
            ("previous_mronj", "steroid"),
        ),
        ({"medical.antiresorptives": "none", "medical.steroid_or_immunosuppressant": "yes"}, ()),
    ],
)
def test_the_higher_group_says_why(edits: dict[str, str], expected: tuple[str, ...]) -> None:
    """Each reason of the rule that holds, in its order; the lower groups have none (SDCEP-M16, SDCEP-MF)."""
    assert expected == known({"medical.antiresorptives": [dict(BONE_DRUG)], **edits}, "mronj_reasons")


def test_a_bone_drug_whose_reason_nobody_knows_is_never_low() -> None:
    """It could be for cancer; what is proved higher needs no more answers."""
    drug = {**BONE_DRUG, "indication": "not_known"}
    found = open_fact({"medical.antiresorptives": [drug]}, "mronj_group")
    proved = {**drug, "started_on": "2015-01-01"}

    assert ("higher", ("medical.antiresorptives[0].indication",)) == (found.assumed, found.needs)
    assert "higher" == known({"medical.antiresorptives": [proved]}, "mronj_group")
    assert "higher" == known({"medical.antiresorptives": None, "medical.previous_mronj": "yes"}, "mronj_group")
    assert "higher" == open_fact({"medical.antiresorptives": None}, "mronj_group").assumed


@pytest.mark.parametrize(
    ("setting", "last_dose_on", "expected"),
    [
        ("keep_group", "2025-01-01", "low"),
        ("nine_months", "2025-06-16", "none"),
        ("nine_months", "2025-06-17", "low"),  # nine months to the day still count
    ],
)
def test_a_stopped_denosumab_counts_as_the_clinic_chose(setting: str, last_dose_on: str, expected: str) -> None:
    """Reference 5.4: the last nine months count (memory), only where the clinic set it."""
    drug = {**BONE_DRUG, "stopped_on": last_dose_on, "last_dose_on": last_dose_on}
    edits = {"medical.antiresorptives": [drug], "settings.mronj.denosumab_washout": setting}

    assert expected == known(edits, "mronj_group")
    other = {**drug, "inn": "zoledronic acid"}
    assert "low" == known({**edits, "medical.antiresorptives": [other]}, "mronj_group")
