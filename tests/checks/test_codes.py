"""Gate 3: each code is provoked by a small edit of case 1, and case 1 itself gives none."""

from __future__ import annotations

from datetime import date

import pytest
from edited_case import PACK, Edits, check_pack, checked, edited, found
from provocation import EXTRA, UPPER
from provoke_care import CONSENT, DOSES, HISTORY, OPERATION
from provoke_teeth_and_dates import DATES, TEETH

from docgen.checks import CHECKS, DEPARTURE_CODES
from docgen.problem import Problem, say

PROVOCATIONS = {**TEETH, **DATES, **CONSENT, **HISTORY, **DOSES, **OPERATION}


def departing(code: str) -> Edits:
    """Add a departure with its reason."""
    return {"departures": f"[{{code: {code}, reason: The patient asked for it., by: mh, on: 2026-03-17}}]"}


def test_the_good_record_gives_nothing() -> None:
    """Case 1 as it is passes every check."""
    assert set() == found(checked({}))


def test_the_good_upper_record_gives_nothing() -> None:
    """Case 1 told of an upper tooth passes every check, so that the edits on top of it stand alone."""
    assert set() == found(checked(UPPER))


@pytest.mark.parametrize("name", sorted(PROVOCATIONS))
def test_an_edit_gives_its_problem_and_no_other(name: str) -> None:
    """A contradiction is reported once, on its path and with its severity."""
    case = PROVOCATIONS[name]
    assert case.found == found(checked(case.edits, case.kinds, clinic_edits=case.clinic_edits))


def test_every_check_is_provoked() -> None:
    """No code stands in the list that no edit brings about."""
    provoked = {code for case in PROVOCATIONS.values() for code, _, _ in case.found}
    assert {check.code for check in CHECKS} == provoked


LIFTED = sorted(
    name for name, case in PROVOCATIONS.items()
    if len(case.found) == 1 and next(iter(case.found))[0] in DEPARTURE_CODES and next(iter(case.found))[2] == "refuse"
    and name.partition(":")[0] not in ("teeth-performed-extra", "counts-incomplete")
    and name != "dose-over-limit: planned"
)  # fmt: skip


@pytest.mark.parametrize("name", LIFTED)
def test_a_departure_turns_the_refusal_into_a_note(name: str) -> None:
    """What has happened can be written down once a clinician gives the reason (section 6, the dagger)."""
    case = PROVOCATIONS[name]
    ((code, path, _),) = case.found
    edits = {**case.edits, **departing(code)}
    assert {(code, path, "note")} == found(checked(edits, case.kinds, clinic_edits=case.clinic_edits))


@pytest.mark.parametrize("name", sorted(TEETH))
def test_a_departure_lifts_nothing_else(name: str) -> None:
    """A check without a dagger refuses whatever the departures say, and a departure from it is refused itself."""
    case = PROVOCATIONS[name]
    code = sorted(case.found)[0][0]
    edits = {**case.edits, **departing(code)}
    useless = set() if code in DEPARTURE_CODES else {("bad-value", "departures[0].code", "refuse")}
    assert set(case.found) | useless == found(checked(edits, case.kinds))


def test_a_planned_dose_over_the_limit_is_never_lifted() -> None:
    """A planned dose is reduced, not explained."""
    case = PROVOCATIONS["dose-over-limit: planned"]
    edits = {**case.edits, **departing("dose-over-limit")}
    assert case.found == found(checked(edits, case.kinds))


def test_an_incomplete_count_needs_its_complication_and_a_departure() -> None:
    """The departure counts only beside a complication with its action."""
    incomplete = PROVOCATIONS["counts-incomplete"].edits
    departure = departing("counts-incomplete")
    lost = "[{code: fragment_lost, words: Swab, action: Film taken., patient_told: yes}]"
    action = {"operation.procedures[0].complications": lost}
    refused = {("counts-incomplete", "operation.counts", "refuse")}
    assert refused == found(checked({**incomplete, **departure}))
    assert refused == found(checked({**incomplete, **action}))
    noted = {("counts-incomplete", "operation.counts", "note")}
    assert noted == found(checked({**incomplete, **action, **departure}))


def test_an_extra_tooth_the_patient_agreed_to_passes() -> None:
    """A tooth outside the consent is explained by the extra procedure, if it was agreed."""
    explained = {"operation.extra_procedure": "{what: Biopsy, reason: A lump., agreed: yes}"}
    assert set() == found(checked({**EXTRA, **explained}))


def test_a_wrong_tooth_is_recorded_never_renamed() -> None:
    """A departure lifts an extra tooth only beside the complication wrong_tooth with action and patient_told."""
    departure = departing("teeth-performed-extra")
    faults = "[{code: wrong_tooth, words: Wrong side., action: Stopped., patient_told: yes}]"
    wrong = {"operation.procedures[1].complications": faults}
    refused = {("teeth-performed-extra", "operation.procedures[1].tooth", "refuse")}
    assert refused == found(checked({**EXTRA, **departure}))
    assert refused == found(checked({**EXTRA, **wrong}))
    noted = {("teeth-performed-extra", "operation.procedures[1].tooth", "note")}
    assert noted == found(checked({**EXTRA, **wrong, **departure}))


BEFORE = ("consent", "aftercare-undated")


@pytest.mark.parametrize("name", sorted(
    name for name, case in PROVOCATIONS.items() if all(path.startswith("operation.") for _, path, _ in case.found)
    and not name.startswith("tooth-side-mismatch")
    and name != "bad-value: nobody"
))  # fmt: skip
def test_documents_before_the_operation_do_not_look_at_it(name: str) -> None:
    """A consent or an undated leaflet asked for alone is not held up by a field of the operation."""
    case = PROVOCATIONS[name]
    kept = {one for one in case.found if one[0] == "tooth-side-mismatch"}
    assert kept == found(checked(case.edits, BEFORE, clinic_edits=case.clinic_edits))


def test_side_words_are_checked_wherever_they_are_recorded() -> None:
    """A wrong side in the operation is said even if only the consent is asked for."""
    case = PROVOCATIONS["tooth-side-mismatch: performed"]
    assert case.found == found(checked(case.edits, ("consent",)))


def test_a_check_names_every_document_it_concerns() -> None:
    """One fault in three documents is one problem that names the three."""
    (problem,) = checked(PROVOCATIONS["tooth-absent"].edits)
    assert problem.needed_by == PACK


def test_only_the_kinds_concerned_are_named() -> None:
    """A patient who was not told of a fragment holds up the leaflet, and nobody else is named."""
    (problem,) = checked(PROVOCATIONS["fragment-told"].edits)
    assert problem.needed_by == ("aftercare",)


@pytest.mark.parametrize(("kind", "expected"), [("consent", set()), ("operative-note", set())])
def test_a_fragment_does_not_hold_up_other_kinds(kind: str, expected: set[tuple[str, str, str]]) -> None:
    """What concerns the leaflet is silent where no leaflet is asked for."""
    assert expected == found(checked(PROVOCATIONS["fragment-told"].edits, (kind,)))


DROPPED = (
    "patient.birth_date", "patient.preferred_language", "record.tooth_notation", "teeth", "teeth[0].tooth",
    "teeth[0].ramus", "teeth[0].present", "teeth[0].angle_degrees", "teeth[0].canal", "imaging", "imaging[0].taken_on",
    "imaging[0].teeth", "medical", "medical.allergies", "medical.conditions", "plan", "plan.procedures",
    "plan.procedures[0].tooth", "plan.operation_at", "plan.injections", "consent", "consent.teeth",
    "consent.first_talk_on", "consent.confirmed_at", "consent.capacity", "operation", "operation.started_at",
    "operation.ended_at", "operation.hemostasis_at", "operation.discharged_at", "operation.signed_at",
    "operation.injections", "operation.injections[2].needle_gauge", "operation.injections[0].volume_ml",
    "operation.procedures", "operation.procedures[0].tooth", "operation.procedures[0].sutures",
    "operation.procedures[0].performed", "operation.counts", "operation.baseline", "prescriptions",
    "prescriptions[0].dose_mg", "prescriptions[0].supply", "aftercare",
)  # fmt: skip


@pytest.mark.parametrize("dropped", DROPPED)
def test_a_check_with_a_missing_input_stays_silent(dropped: str) -> None:
    """What is missing is said by gate 2 alone."""
    assert set() == found(checked({dropped: None}))


def test_a_path_an_earlier_gate_reported_is_left_alone() -> None:
    """Gate 3 adds nothing about a path that gate 1 or 2 has spoken of."""
    case, problems = edited(PROVOCATIONS["tooth-absent"].edits)
    earlier = Problem("missing-field", "plan.procedures[0].tooth", say("it is missing"), say("add it"))
    problems.add(earlier)
    check_pack(case, PACK, problems)
    assert (earlier,) == tuple(problems)


def test_a_value_gate_1_took_out_brings_no_second_problem() -> None:
    """A list with a faulty number is not compared, and its fault is said once."""
    case, problems = edited({"consent.teeth": "[38, 99]"})
    check_pack(case, PACK, problems)
    assert {("bad-value", "consent.teeth[1]", "refuse")} == found(problems)


def test_messages_hold_no_value_of_the_patient() -> None:
    """A problem names paths, never a tooth, a dose, a drug or a date."""
    for name in ("tooth-absent", "dose-over-limit: given", "drug-misplaced: thinner", "dates-order: start and end"):
        case = PROVOCATIONS[name]
        for problem in checked(case.edits, case.kinds):
            words = problem.in_words().partition(": ")[2]
            assert not any(value in words for value in ("38", "lidocaine", "arfarin", "2026", "10:05"))


def test_the_day_of_issue_decides_what_lies_ahead() -> None:
    """Asked for on the day before, the operation lies ahead of a document that states it as done."""
    codes = {(p.code, p.path) for p in checked({}, ("operative-note",), issued_on=date(2026, 3, 16))}
    assert ("dates-order", "operation.started_at") in codes
    assert {code for code, _ in codes} == {"dates-order"}
