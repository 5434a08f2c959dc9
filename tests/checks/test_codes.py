"""Gate 3: each code is provoked by a small edit of case 1, and case 1 itself gives none."""

from __future__ import annotations

from datetime import date

import pytest
from edited_case import PACK, Edits, check_pack, checked, edited, found, request
from provocation import EXTRA, UPPER, Provocation
from provoke_addendum import ADDED, ADDENDUM
from provoke_care import CONSENT, DOSES, HISTORY, OPERATION
from provoke_drugs import CONFLICTS, LETTERS, NAMES, THINNERS
from provoke_teeth_and_dates import DATES, TEETH

from docgen.checks import CHECKS, DEPARTURE_CODES, check_case
from docgen.clinical.table_file import read_tables
from docgen.facts import Known, state_facts
from docgen.problem import Problem, say

PROVOCATIONS = {
    **TEETH, **DATES, **CONSENT, **HISTORY, **DOSES, **OPERATION, **NAMES, **CONFLICTS, **THINNERS, **LETTERS,
    **ADDENDUM,
}  # fmt: skip


def departing(code: str) -> Edits:
    """Add a departure with its reason."""
    return {"departures": f"[{{code: {code}, reason: The patient asked for it., by: mh, on: 2026-03-17}}]"}


def test_the_good_record_gives_nothing() -> None:
    """Case 1 as it is passes every check."""
    assert set() == found(checked({}))


def test_an_addendum_at_the_minute_of_the_signature_gives_nothing() -> None:
    """Case 1 with something added, written and signed in the minute of the note's own signature, passes."""
    moment = {"operation.addenda[0].at": "'2026-03-17T10:55'", "addendum.signed_at": "'2026-03-17T10:55'"}

    assert set() == found(checked({**ADDED, **moment}, ("addendum", *PACK)))


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
    assert {check.code for check in CHECKS} - {"must-print-missing"} == provoked


def test_a_consent_without_a_risk_that_it_must_print_is_refused() -> None:
    """No record of the shipped tables keeps a must-print figure back; a fact that says so refuses the consent."""
    case, problems = edited({})
    asked = request("consent")
    stated = {**state_facts(case, asked, read_tables()).results, "risk_must_print": Known(False, ("design",))}
    check_case(case, [(asked, "consent", stated)], problems)
    assert {("must-print-missing", "teeth", "refuse")} == found(problems)


DAGGER = frozenset({
    "teeth-performed-extra", "consent-after-start", "consent-withdrawn", "signer-wrong", "allergy-drug",
    "anesthesia-differs", "dose-over-limit", "batch-expired", "dose-no-weight", "antithrombotic-undecided",
    "counts-incomplete",
})  # fmt: skip
"""Codes that section 6 marks with a dagger: a departure lets the operative note be made, and no other document."""

UNLESS = frozenset({
    "assent-objects", "endocarditis-differs", "drug-in-words", "inr-missing", "inr-verdict", "antithrombotic-differs",
})  # fmt: skip
"""Codes of section 6 that say "unless a departure"."""

NEVER_ALONE = ("teeth-performed-extra", "counts-incomplete")
"""A departure lifts them only beside what the row asks for as well."""

HELD = (
    "dose-over-limit: planned", "allergy-drug: planned", "allergy-drug: prescribed", "consent-withdrawn: before",
    "allergy-drug: macrolide and statin", "allergy-drug: ibuprofen and a blood thinner",
)  # fmt: skip
"""What has not happened yet is not lifted by the code whose dagger speaks of what has."""


def _refused(case: Provocation) -> list[tuple[str, str]]:
    return [(code, path) for code, path, severity in case.found if severity == "refuse"]


LIFTED = sorted(
    name for name, case in PROVOCATIONS.items()
    if len(_refused(case)) == 1 and _refused(case)[0][0] in DEPARTURE_CODES
    and name.partition(":")[0] not in NEVER_ALONE and name not in HELD
)  # fmt: skip


def test_the_codes_that_may_be_departed_from_are_those_of_the_specification() -> None:
    """A departure may name the daggers, what says "unless a departure", and two rows of 3.5."""
    of_conflicts = {row.text("code") for row in read_tables().table("drug-conflict")
                    if row.text("severity") == "stop_unless_departure"}  # fmt: skip
    assert DAGGER | UNLESS | of_conflicts == DEPARTURE_CODES


@pytest.mark.parametrize("name", LIFTED)
def test_a_departure_lifts_what_its_row_says(name: str) -> None:
    """A dagger lets the operative note be made and no other document; "unless a departure" lets all of them."""
    case = PROVOCATIONS[name]
    ((code, path),) = _refused(case)
    edits = {**case.edits, **departing(code)}
    for kind in case.kinds:
        before = found(checked(case.edits, (kind,), clinic_edits=case.clinic_edits))
        lifted = code in UNLESS or kind == "operative-note"
        after = {(c, p, "note") if lifted and (c, p) == (code, path) else (c, p, s) for c, p, s in before}
        assert after == found(checked(edits, (kind,), clinic_edits=case.clinic_edits)), kind


@pytest.mark.parametrize("name", sorted(name for name in LIFTED if name.partition(":")[0] in DAGGER))
def test_what_happened_never_keeps_the_patient_from_leaflet_and_letter(name: str) -> None:
    """A dagger whose row names no other document holds up the note alone, departure or not."""
    case = PROVOCATIONS[name]
    code = name.partition(":")[0]
    named = ("aftercare",) if code == "antithrombotic-undecided" else ()
    for kind in ("aftercare", "reply"):
        refused = [p.code for p in checked(case.edits, (kind,), clinic_edits=case.clinic_edits).refusing]
        assert ([code] if kind in named else []) == [one for one in refused if one == code]


def test_a_refused_consent_does_not_stop_the_note_that_was_explained() -> None:
    """Where one document is refused and the departure lets another be made, only the refused one is named."""
    case = PROVOCATIONS["signer-wrong: guardian"]
    (problem,) = checked({**case.edits, **departing("signer-wrong")})
    assert ("consent",) == problem.needed_by


@pytest.mark.parametrize("name", HELD)
def test_what_lies_ahead_is_not_lifted_by_a_dagger(name: str) -> None:
    """A planned dose is reduced and a prescribed drug changed, not explained."""
    case = PROVOCATIONS[name]
    edits = {**case.edits, **departing(name.partition(":")[0])}
    assert case.found == found(checked(edits, case.kinds))


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("allergy-drug: macrolide and statin", "macrolide-statin"),
        ("allergy-drug: ibuprofen and a blood thinner", "nsaid-avoid"),
    ],
)
def test_some_conflicts_may_be_ordered_with_a_reason(name: str, code: str) -> None:
    """A stop of 3.5 that says "unless a departure" is lifted by its own code wherever the drug is ordered."""
    case = PROVOCATIONS[name]
    ((reported, path, _),) = case.found
    assert {(reported, path, "note")} == found(
        checked({**case.edits, **departing(code)}, ("operative-note", "aftercare"))
    )


@pytest.mark.parametrize("name", sorted(TEETH))
def test_a_departure_lifts_nothing_else(name: str) -> None:
    """A check without a dagger refuses whatever the departures say, and a departure from it is refused itself."""
    case = PROVOCATIONS[name]
    code = min(_refused(case) or case.found)[0]
    edits = {**case.edits, **departing(code)}
    useless = set() if code in DEPARTURE_CODES else {("bad-value", "departures[0].code", "refuse")}
    assert set(case.found) | useless == found(checked(edits, case.kinds))


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
    and name not in ("bad-value: nobody", "endocarditis-differs: none given")
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


JUDGED_BY_THE_SAFER_BRANCH = {
    "patient.birth_date": "prescriptions[0].inn", "medical": "prescriptions[0].inn",
    "medical.allergies": "prescriptions[0].inn", "medical.conditions": "prescriptions[0].inn",
    "operation": "prescriptions[0].inn", "operation.started_at": "prescriptions[0].inn",
}  # fmt: skip
"""What an nsaid verdict needs; without it the verdict is assumed to be caution, which is noted (3.4)."""


@pytest.mark.parametrize("dropped", DROPPED)
def test_a_check_with_a_missing_input_stays_silent(dropped: str) -> None:
    """What is missing is said by gate 2 alone; only what the specification assumes is acted on, with a note."""
    cautioned = JUDGED_BY_THE_SAFER_BRANCH.get(dropped)
    assert ({("drug-caution", cautioned, "note")} if cautioned else set()) == found(checked({dropped: None}))


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
