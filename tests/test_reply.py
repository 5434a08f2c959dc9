"""The letter after a visit: its elements in order, what it refuses, and each condition on both sides."""

from __future__ import annotations

import copy
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from conftest import drop, pick, put

from docgen.generate import Examined, Made
from docgen.kinds.complete import CODES_OF_ABSENCE
from docgen.problem import Severity

ON = date(2026, 3, 24)


@pytest.fixture(scope="module")
def text(made: Callable[..., Made]) -> Callable[[dict[str, Any]], str]:
    """Give a function that makes the review text of the letter of a tree, each block on one line."""

    def make(tree: dict[str, Any], on: date = ON) -> str:
        files = made(tree, "reply", on=on, formats=("text",)).files
        return next(iter(files.values())).decode().replace("\n        ", " ").replace("\u00a0", " ")

    return make


@pytest.fixture(scope="module")
def refused(looked: Callable[..., Examined]) -> Callable[[dict[str, Any]], dict[str, str]]:
    """Give a function that gives what a tree is refused for: path > code."""

    def look(tree: dict[str, Any], on: date = ON) -> dict[str, str]:
        found = looked(tree, "reply", on=on).problems
        return {p.path: p.code for p in found if p.severity is Severity.REFUSE}

    return look


def without_operation(tree: dict[str, Any]) -> dict[str, Any]:
    """Turn the case into a visit after which nothing was operated on."""
    for group in ("operation", "aftercare", "follow_up", "consent"):
        del tree[group]
    tree["prescriptions"] = "none"
    return tree


def test_elements_stand_in_the_order_of_the_specification(made: Callable[..., Made], fenwright: dict[str, Any]) -> None:
    """What to do comes first; then whom it reaches, diagnosis, tests, what to know, medicines, the short word."""
    (document,) = made(fenwright, "reply", on=ON, formats=()).documents.values()

    assert [
        "L13",
        "L1 L2 L3 L4",
        "L5 L6",
        "L7 L8 L9",
        "dental",
        "L10 L11",
        "L12 L14 L15",
    ] == [section.id for section in document.sections if section.id != "cautions"]


def test_case_one_reads_plainly(text: Callable[..., str], fenwright: dict[str, Any]) -> None:
    """The letter greets the patient, names each tooth removed and left, and says who does what by when."""
    letter = text(fenwright)

    assert "Dear Ms Fenwright," in letter
    assert "│ referrer │ 30 September 2026" in letter
    assert "PAIR    Teeth removed │ lower left wisdom tooth (third molar)" in letter
    assert "PAIR    Teeth left in place │ none" in letter
    assert "PAIR    Complications │ none" in letter
    assert "PAIR    Test the tongue │ 3 months after the operation" in letter  # [LOESCH03], timetable nerve_review
    assert "PAIR    Send back at once │ if the tongue is still numb then" in letter
    assert "before the operation │ normal sensation │ normal sensation" in letter
    assert "review on 24 March 2026 │ normal sensation │ normal sensation" in letter


@pytest.mark.parametrize(
    "path",
    [
        "reply.summary",
        "reply.told_patient",
        "reply.refer_back_if",
        "reply.copies",
        "reply.medicine_changes",
        "reply.actions",
        "reply.actions[0].owner",
        "reply.signed_by",
        "physician.name",
        "referrer.name",
        "teeth[0].diagnosis",
        "teeth[0].symptoms",
        "operation.started_at",
        "operation.procedures[0].tooth_out",
        "operation.procedures[0].complications",
        "operation.procedures[0].nerve_seen",
        "operation.procedures[0].fragment",
        "operation.procedures[0].sutures",
        "operation.procedures[0].dressing",
        "operation.specimens",
        "follow_up.review_at",
        "prescriptions",
        "medical.allergies",
    ],
)
def test_a_required_field_that_is_missing_refuses_the_letter(
    refused: Callable[..., dict[str, str]], fenwright: dict[str, Any], path: str
) -> None:
    """A letter with a gap is not written; the gap is named."""
    drop(fenwright, path)

    code = CODES_OF_ABSENCE.get(path.replace("[0]", "[]"), "missing-field")
    assert {path: code} == refused(fenwright)


def test_a_visit_without_operation_asks_and_prints_nothing_of_one(
    text: Callable[..., str], refused: Callable[..., dict[str, str]], fenwright: dict[str, Any]
) -> None:
    """No operation.*, follow_up.* or aftercare.* is asked; the letter says what is planned and not yet done."""
    without_operation(fenwright)
    letter = text(fenwright)

    assert {} == refused(fenwright)
    assert "Visit │ 3 March 2026, no operation" in letter
    assert "Planned, not yet done" in letter
    assert "38 FDI, LL8 Palmer: removal" in letter
    assert "There is no complication to report." in letter
    assert "3 months" not in letter
    assert "Operator" not in letter


def test_an_opinion_without_any_plan_says_so(text: Callable[..., str], fenwright: dict[str, Any]) -> None:
    """After an opinion alone the teeth are those of the referral, and nothing is said to be planned."""
    del without_operation(fenwright)["plan"]
    letter = text(fenwright)

    assert "No operation has taken place, and none is planned." in letter
    assert "38 FDI, LL8 Palmer: infection of the gum" in letter


def test_an_operation_without_start_is_no_visit_without_operation(
    refused: Callable[..., dict[str, str]], fenwright: dict[str, Any]
) -> None:
    """Once anything of an operation is recorded, its start and end are asked; it is never passed over."""
    fenwright["operation"] = {"operator": "mh"}

    found = refused(fenwright)
    assert found["operation.started_at"] == found["operation.ended_at"] == "missing-field"


def test_greeting_the_referrer_changes_no_other_word(text: Callable[..., str], fenwright: dict[str, Any]) -> None:
    """reply.address_to swaps the greeting and nothing else."""
    to_patient = text(copy.deepcopy(fenwright))
    put(fenwright, "reply.address_to", "referrer")
    to_referrer = text(fenwright)

    greeting = "Dear P. Lindqvist-Odell, this letter is written to Ms Fenwright."
    assert greeting in to_referrer
    assert to_patient == to_referrer.replace(greeting, "Dear Ms Fenwright,")


def test_nobody_can_be_greeted_who_does_not_exist(
    refused: Callable[..., dict[str, str]], fenwright: dict[str, Any]
) -> None:
    """A letter to the referrer of a patient who came alone is refused."""
    fenwright["referrer"] = {"kind": "self", "name": "not_applicable"}
    assert {} == refused(copy.deepcopy(fenwright))

    put(fenwright, "reply.address_to", "referrer")
    assert {"referrer.name": "na-contradicted"} == refused(fenwright)


def test_exposure_figures_stand_only_where_the_nerve_was_seen(
    text: Callable[..., str], fenwright: dict[str, Any]
) -> None:
    """A nerve seen in a lower third molar socket prints 210 and 59 of 1,000; one not seen prints neither."""
    unseen = text(copy.deepcopy(fenwright))
    put(fenwright, "operation.procedures[0].nerve_seen", "yes")
    seen = text(fenwright)

    assert "about 210" not in unseen
    assert "│ about 210 │ about 790" in seen  # [TAY04] 20.3 %, specification 4.4 and example 22
    assert "│ about 59 │ about 941" in seen  # [TAY04] 0.203 x 0.289


def test_a_specimen_needs_a_result_or_an_owner(
    text: Callable[..., str], refused: Callable[..., dict[str, str]], fenwright: dict[str, Any]
) -> None:
    """The owner is printed until the result is in; with neither the letter is refused."""
    specimen = {"what": "follicle wall", "sent_to": "County pathology", "result_owner": "mh"}
    put(fenwright, "operation.specimens", [specimen])
    assert "answers for the result: Maren Holt" in text(copy.deepcopy(fenwright))
    assert "Result │ not in yet" in text(copy.deepcopy(fenwright))

    result = {"what": "follicle wall", "on": "2026-03-23", "words": "Dentigerous cyst"}
    put(fenwright, "follow_up.results", [result])
    assert "23 March 2026, follicle wall: Dentigerous cyst" in text(copy.deepcopy(fenwright))

    del specimen["result_owner"]
    del fenwright["follow_up"]["results"]
    assert "operation.specimens[0].result_owner" in refused(fenwright)


def test_an_upper_tooth_tells_of_the_sinus_and_a_lower_one_does_not(
    text: Callable[..., str], refused: Callable[..., dict[str, str]], fenwright: dict[str, Any]
) -> None:
    """The opening is asked of an upper back tooth and printed, of a lower one neither; a numb tongue the reverse."""
    lower = text(copy.deepcopy(fenwright))
    assert "Sinus │" not in lower
    assert "Send back at once │" in lower

    for path in ("teeth[0]", "plan.procedures[0]", "operation.procedures[0]"):
        put(fenwright, f"{path}.tooth", "28")
        put(fenwright, f"{path}.jaw", "upper")
    fenwright["teeth"][0] |= {"ramus": "not_applicable", "canal": "not_applicable", "sinus": {"relation": "clear"}}
    fenwright["consent"]["teeth"], fenwright["referral"]["teeth"] = ["28"], ["28"]
    fenwright["aftercare"]["syringe_given"] = "no"
    path = "operation.procedures[0].sinus_opening"
    assert refused(copy.deepcopy(fenwright))[path] == "na-contradicted"

    put(fenwright, "operation.procedures[0].sinus_test", "positive")
    put(fenwright, path, "under_3_mm")
    upper = text(fenwright)
    assert "Sinus │ opening: under 3 mm; test: positive" in upper
    assert "Send back at once │" not in upper  # no nerve of the tongue runs in the upper jaw


def test_a_fragment_a_silk_stitch_and_a_dressing_are_told(text: Callable[..., str], fenwright: dict[str, Any]) -> None:
    """What was left and what must come out again stands in the letter with its reason."""
    row = pick(fenwright, "operation.procedures[0]")
    row["fragment"] = {
        "site": "distal apex",
        "size_mm": "3",
        "reason": "Close to the nerve",
        "on_purpose": "no",
        "patient_told": "yes",
    }
    row["sutures"] |= {"material": "silk", "resorbable": "no"}
    row["dressing"] = {"name": "ribbon gauze", "resorbable": "no", "lot": "G-88"}
    letter = text(fenwright)

    assert "distal apex, 3 mm; on purpose: no; patient told: yes. Reason: Close to the nerve" in letter
    assert "2, silk; they must be taken out" in letter
    assert "ribbon gauze; it must be taken out" in letter


def test_crown_only_is_neither_a_tooth_removed_nor_a_tooth_left(
    text: Callable[..., str], fenwright: dict[str, Any]
) -> None:
    """After a coronectomy the root is named as left, and the tooth stands in no other list."""
    put(fenwright, "plan.procedures[0].procedure", "coronectomy")
    put(fenwright, "plan.procedures[0].coronectomy", "chosen")
    put(fenwright, "operation.procedures[0].performed", "coronectomy")
    put(fenwright, "operation.procedures[0].tooth_out", "crown_only")
    letter = text(fenwright)

    assert "Crown removed, root left │ lower left wisdom tooth (third molar)" in letter
    assert "Teeth removed │ none" in letter
    assert "Teeth left in place │ none" in letter


def test_a_tooth_not_done_is_left_in_place_with_its_reason(text: Callable[..., str], fenwright: dict[str, Any]) -> None:
    """A tooth that was planned and not touched is told apart from those removed, with the reason."""
    row = {"side": "left", "jaw": "upper", "performed": "not_done", "difference": "Patient asked to stop."}
    item = copy.deepcopy(fenwright["teeth"][0])
    item |= {"tooth": "28", "jaw": "upper", "ramus": "not_applicable", "canal": "not_applicable"}
    item |= {"sinus": {"relation": "clear"}}
    fenwright["teeth"].append(item)
    planned = {**copy.deepcopy(fenwright["plan"]["procedures"][0]), "tooth": "28", "jaw": "upper"}
    fenwright["plan"]["procedures"].append(planned)
    fenwright["consent"]["teeth"] = ["38", "28"]
    fenwright["operation"]["procedures"].append({"tooth": "28", **row})
    letter = text(fenwright)

    assert "Teeth removed │ lower left wisdom tooth (third molar)" in letter
    assert "Teeth left in place │ upper left wisdom tooth (third molar)" in letter
    assert "upper left wisdom tooth (third molar): Patient asked to stop." in letter


@pytest.mark.parametrize(
    ("present", "words"),
    [
        ("tooth", "the whole tooth (not removed)"),
        ("root_only", "all of the root that was there (not removed)"),
    ],
)
def test_a_tooth_that_was_begun_and_stayed_is_not_called_nothing(
    text: Callable[..., str], fenwright: dict[str, Any], present: str, words: str
) -> None:
    """Stopped with nothing taken out, the whole tooth is what is left; no word says that nothing is."""
    put(fenwright, "teeth[0].present", present)
    row = fenwright["operation"]["procedures"][0]
    row.update(performed="stopped", difference="She felt faint.", tooth_out="not_out", roots_complete="not_applicable")
    fenwright["aftercare"]["syringe_given"] = "no"
    letter = text(fenwright)

    assert "Teeth left in place │ lower left wisdom tooth (third molar)" in letter
    assert f"Left in the jaw │ {words}" in letter
    assert "Left in the jaw │ none" not in letter


def test_a_minor_is_greeted_with_the_guardian_unless_deciding_alone(
    text: Callable[..., str], fenwright: dict[str, Any]
) -> None:
    """A minor's letter names the guardian; one who may consent alone gets a letter that names nobody else."""
    fenwright["guardian"] = {
        "name": "Halina Sample",
        "relation": "mother",
        "phone": "0100 555 0140",
        "language": "en",
        "second_holder": "none",
        "authority": "parental_responsibility",
        "authority_seen_by": "mh",
    }
    put(fenwright, "patient.birth_date", "2009-08-21")
    put(fenwright, "consent.assent", "agrees")
    put(fenwright, "reply.copies", ["guardian", "physician"])
    signed = pick(fenwright, "consent.signed_at")
    alone = copy.deepcopy(fenwright)
    signed |= {"guardian": signed["patient"], "patient": "not_applicable"}
    alone["settings"]["jurisdiction.age_of_own_consent"] = {"value": "16", "by": "Maren Holt", "on": "2026-01-05"}
    put(alone, "consent.capacity_note", "Understands the risks. The guardian does not know.")

    assert "Dear Ms Fenwright, dear Halina Sample (mother)," in text(fenwright)
    letter = text(alone)
    assert "Halina" not in letter
    assert "Copies to: physician. No copy goes to a guardian: the patient decides alone." in letter


def test_the_next_dose_of_a_blood_thinner_has_date_and_time(
    text: Callable[..., str], fenwright: dict[str, Any]
) -> None:
    """With a decision and usual times the next dose is printed; without times the letter says it is not settled."""
    drug = {
        "inn": "apixaban",
        "dose_mg": "5",
        "dose_times": ["08:00", "20:00"],
        "indication": "atrial_fibrillation",
        "recent_event": "none",
        "last_dose_at": "2026-03-16T20:00",
    }
    fenwright["settings"]["antithrombotic.doac_guidance"] = {
        "value": "sdcep_2022",
        "by": "Maren Holt",
        "on": "2026-01-05",
    }
    put(fenwright, "medical.antithrombotics", [drug])
    decision = {"inn": "apixaban", "decision": "miss_dose", "by": "mh", "on": "2026-03-03"}
    put(fenwright, "plan.antithrombotic_decisions", [decision])
    put(fenwright, "prescriptions", "none")

    # hemostasis 10:42 + 4 h = 14:42, evening dose 20:00 [SDCEP-DOAC]
    assert "apixaban, 17 March 2026, 20:00 (not before 14:42)" in text(copy.deepcopy(fenwright))
    held = "Decided for before the operation │ apixaban: miss the morning dose of the day (Maren Holt, 3 March 2026)"
    assert held in text(copy.deepcopy(fenwright))
    assert "First dose afterwards │" not in text(without_operation(copy.deepcopy(fenwright)))


def test_the_letter_is_unsigned_until_its_own_signature(made: Callable[..., Made], fenwright: dict[str, Any]) -> None:
    """The mark stands until reply.signed_at is recorded; not_applicable does not lift it."""
    put(fenwright, "reply.signed_at", "not_applicable")
    (unsigned,) = made(copy.deepcopy(fenwright), "reply", on=ON, formats=()).documents.values()
    put(fenwright, "reply.signed_at", "2026-03-24T16:30")
    (signed,) = made(fenwright, "reply", on=ON, formats=()).documents.values()

    assert "UNSIGNED COPY" in [mark.words for mark in unsigned.furniture.marks]
    assert "UNSIGNED COPY" not in [mark.words for mark in signed.furniture.marks]


def test_the_outlook_of_a_tooth_ends_with_its_removal(text: Callable[..., str], fenwright: dict[str, Any]) -> None:
    """What would have become of the tooth is told while it is as before, not once it was treated."""
    outlook = f"Outlook of the tooth │ {pick(fenwright, 'teeth[0].prognosis')}"
    removed = text(copy.deepcopy(fenwright))
    stopped = copy.deepcopy(fenwright)
    put(stopped, "operation.procedures[0].performed", "stopped")
    put(stopped, "operation.procedures[0].tooth_out", "not_out")
    put(stopped, "operation.procedures[0].difference", "Pain.")

    assert outlook not in removed
    assert outlook in text(stopped)
    assert outlook in text(without_operation(fenwright))


def test_a_review_that_was_held_is_not_announced_again(text: Callable[..., str], fenwright: dict[str, Any]) -> None:
    """The date of the review stands until a visit of that day or later is recorded."""
    held = text(copy.deepcopy(fenwright))
    put(fenwright, "follow_up.visits", "none")
    ahead = text(fenwright)

    assert "Review date │" not in held
    assert "Answers for the follow-up │ Maren Holt" in held
    assert "Review date │ 24 March 2026, 16:00, with Maren Holt (visit)" in ahead


@pytest.mark.parametrize("kind", ["reply", "operative-note"])
@pytest.mark.parametrize(("loss", "printed"), [("30", "30 mL"), ("minimal", "minimal")])
def test_blood_loss_has_its_unit(
    made: Callable[..., Made], fenwright: dict[str, Any], kind: str, loss: str, printed: str
) -> None:
    """A measured loss prints in mL, a code as its word."""
    put(fenwright, "operation.blood_loss", loss)
    (file,) = made(fenwright, kind, on=ON, formats=("text",)).files.values()
    label = {"reply": "Bleeding", "operative-note": "Blood loss"}[kind]

    assert f"PAIR    {label} │ {printed}" in file.decode().replace("\u00a0", " ")
