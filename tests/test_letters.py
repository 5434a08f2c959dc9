"""The letters that ask: referral (specification 5.4) and question to the physician (5.7)."""

from __future__ import annotations

import copy
import io
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from conftest import drop, example_tree, put, shipped_world, tree_files
from pypdf import PdfReader
from render.reading import docx_words, pdf_words, text_words

from docgen.case import field_specs
from docgen.generate import Examined, Made, Wish, examine
from docgen.kinds.complete import CODES_OF_ABSENCE
from docgen.problem import Severity

ON = date(2026, 3, 24)
TITLES = {"referral": "HM-2026-0117-referral-en", "physician-query": "HM-2026-0117-physician-query-en"}

QUERY = {
    "on": "2026-03-05",
    "questions": ["May the operation go ahead as planned?"],
    "answer_wanted_by": "2026-03-12",
    "consent_to_share": "yes",
    "signed_by": "mh",
    "signed_at": "not_applicable",
}
WARFARIN = {
    "inn": "warfarin",
    "dose_mg": "3",
    "dose_times": ["18:00"],
    "indication": "atrial_fibrillation",
    "recent_event": "none",
    "last_dose_at": "2026-02-19T18:00",
}
DENOSUMAB = {
    "inn": "denosumab",
    "route": "injection",
    "indication": "osteoporosis",
    "started_on": "2020-04-20",
    "stopped_on": "not_applicable",
    "last_dose_on": "2026-02-02",
}
PARACETAMOL = {
    "inn": "paracetamol",
    "dose": "500 mg",
    "route": "by mouth",
    "frequency": "when needed",
    "indication": "headache",
    "last_taken_at": "not_known",
}
LATEX = {"substance": "latex", "group": "latex", "reaction": "weals", "severity": "rash"}
INR = {"value": "2.8", "taken_at": "2026-02-19T13:10"}
RADIATION = {"given": "yes", "finished_on": "2021-06-30", "dose_gy": "60", "field": "left lower jaw"}
GUARDIAN = {
    "name": "Halina Brzezna",
    "relation": "mother",
    "phone": "0100 555 0140",
    "language": "pl",
    "second_holder": "none",
    "authority": "parental_responsibility",
    "authority_seen_by": "mh",
}
UPPER = {
    "tooth": "18",
    "side": "right",
    "jaw": "upper",
    "present": "tooth",
    "eruption": "erupted",
    "canal": "not_applicable",
    "sinus": {"relation": "all_roots_overlap"},
    "symptoms": "none",
    "findings": "Deep caries.",
    "infection_now": "no",
    "previous_infection": "not_known",
    "indication": ["caries_unrestorable"],
}


def simple(kind: str) -> dict[str, Any]:
    """Give case 1, with a question to the physician."""
    tree = copy.deepcopy(example_tree("fenwright"))
    tree["query"] = copy.deepcopy(QUERY)
    if kind == "referral":
        del tree["query"]
    return tree


def rich(kind: str) -> dict[str, Any]:
    """Give case 1 with an item in every list of the history, so that the parts of items are asked too."""
    tree = simple(kind)
    tree["medical"] |= {
        "conditions": [{"code": "hypertension"}],
        "medications": [dict(PARACETAMOL)],
        "antithrombotics": [dict(WARFARIN)],
        "inr": dict(INR),
        "antiresorptives": [dict(DENOSUMAB)],
        "allergies": [dict(LATEX)],
        "jaw_radiotherapy": dict(RADIATION),
        "smoking": {"status": "current", "per_day": "10"},
        "pregnancy": {"state": "yes", "weeks": "20"},
    }
    tree["escort"] = {"name": "Jan Fenwright", "phone": "0100 555 0141"}
    if kind == "referral":
        tree["referral"] |= {"urgency": "soon", "urgency_why": "Pain wakes the patient.", "teeth": ["18", "38"]}
        tree["teeth"].append(copy.deepcopy(UPPER))
    return tree


def text_of(made: Callable[..., Made], tree: dict[str, Any], kind: str) -> str:
    """Make one letter and give its review text, one statement a line."""
    name = f"{TITLES[kind]}.txt"
    text = made(tree, kind, on=ON, formats=("text",)).files[name].decode().partition("\n")[2]
    return text.replace("\n        ", " ").replace("\N{NO-BREAK SPACE}", " ")


def refused(looked: Callable[..., Examined], tree: dict[str, Any], kind: str) -> list[tuple[str, str]]:
    """Give code and path of each refusal."""
    seen = looked(tree_files(tree), kind, on=ON)
    return [(p.code, p.path) for p in seen.problems if p.severity is Severity.REFUSE]


@pytest.mark.parametrize(
    ("kind", "elements"),
    [
        ("referral", ["R11", "R1", "R2 R3", "R4", "R5 R6", "R7", "R8", "R9", "R10", "R12 R13", "R14", "R15"]),
        ("physician-query", ["Q1", "Q2", "Q3", "Q4", "Q5 Q6"]),
    ],
)
@pytest.mark.parametrize("case", [simple, rich])
def test_elements_stand_in_the_order_of_the_specification(
    made: Callable[..., Made], case: Callable[[str], dict[str, Any]], kind: str, elements: list[str]
) -> None:
    """Each row of 5.4 and 5.7 is a section, in its order, whatever the case."""
    document = made(case(kind), kind, on=ON, formats=()).documents[TITLES[kind]]

    assert [*elements, "cautions"] == [section.id for section in document.sections]


ELSEWHERE = {
    "teeth[].tooth": "without its number the item is no tooth of the letter, so the tooth itself is missing",
    "plan.procedures[].tooth": "an entry without number proposes no tooth",
    "practitioners[].name": "every practitioner is asked, not only the first",
    "medical.antithrombotics[].inn": "a drug without its name is of no class",
}
"""Fields whose absence shows elsewhere as well, and why."""


def _required() -> list[Any]:
    world, found = shipped_world(), []
    for kind in TITLES:
        seen = examine(tree_files(rich(kind)), Wish((kind,), on=ON), world, lambda _zone: ON)
        for pattern in sorted({p for r in seen.asked[0].kind.requires for p in r.fields} - {"referral.no_image_why"}):
            for path in seen.case.expand(pattern) if "[]" in pattern else (pattern,):
                try:
                    drop(rich(kind), path)
                except (KeyError, TypeError, IndexError, ValueError):
                    continue
                found.append(pytest.param(kind, pattern, path, id=f"{kind}:{path}"))
    return found


@pytest.mark.parametrize(("kind", "pattern", "path"), _required())
def test_a_missing_row_is_refused_with_its_reason(
    looked: Callable[..., Examined], kind: str, pattern: str, path: str
) -> None:
    """A required field that is gone is named once, with why, and nothing else is said."""
    tree = rich(kind)
    drop(tree, path)
    problems = [p for p in looked(tree_files(tree), kind, on=ON).problems if p.severity is Severity.REFUSE]

    if pattern in ELSEWHERE:
        assert problems
        return
    assert [(CODES_OF_ABSENCE.get(pattern, "missing-field"), path)] == [(p.code, p.path) for p in problems]
    assert problems[0].because


def test_the_exceptions_name_fields() -> None:
    """Each exception is a field of the dictionary."""
    assert set(ELSEWHERE) <= set(field_specs())


def test_urgency_and_request_stand_first(made: Callable[..., Made]) -> None:
    """Who reads only the first section knows how urgent it is, what is asked for and at which tooth."""
    text = text_of(made, simple("referral"), "referral")

    assert (
        "Urgency\nP       Not urgent.\nP       Asked for: opinion and treatment, "
        "lower left wisdom tooth (third molar). Cancer suspected: no.\n"
    ) in text
    assert "PAIR    Tooth │ lower left wisdom tooth (third molar), 38 FDI, LL8 Palmer" in text


@pytest.mark.parametrize(("urgency", "line"), [("soon", "FRAME   Soon. Pain."), ("urgent", "BAND    Urgent. Pain.")])
def test_a_pressing_letter_says_why_and_looks_it(
    made: Callable[..., Made], looked: Callable[..., Examined], urgency: str, line: str
) -> None:
    """A letter that cannot wait needs its reason, which stands at the top; the weight follows the urgency."""
    tree = simple("referral")
    put(tree, "referral.urgency", urgency)
    put(tree, "referral.urgency_why", "Pain.")
    assert line in text_of(made, tree, "referral")

    drop(tree, "referral.urgency_why")
    assert [("missing-field", "referral.urgency_why")] == refused(looked, tree, "referral")


def test_a_letter_that_can_wait_needs_no_reason(looked: Callable[..., Examined]) -> None:
    """The reason of the urgency is asked of pressing letters only."""
    tree = simple("referral")
    drop(tree, "referral.urgency_why")

    assert [] == refused(looked, tree, "referral")


def test_suspected_cancer_goes_another_way(looked: Callable[..., Examined]) -> None:
    """A suspicion of cancer refuses the letter and names the other route; other kinds are made."""
    tree = simple("referral")
    put(tree, "referral.suspected_cancer", "yes")
    (problem,) = [p for p in looked(tree_files(tree), "referral", on=ON).problems if p.severity is Severity.REFUSE]

    assert ("cancer-route", "referral.suspected_cancer") == (problem.code, problem.path)
    assert "use the separate cancer route" in problem.fix.in_words()
    assert [] == refused(looked, tree, "operative-note")


@pytest.mark.parametrize(
    ("path", "value"), [("referrer.kind", "self"), ("referrer.kind", "none"), ("referrer.name", "not_applicable")]
)
def test_somebody_refers(looked: Callable[..., Examined], path: str, value: str) -> None:
    """A patient who comes without a referrer has no referral letter; other kinds are made."""
    tree = simple("referral")
    put(tree, path, value)

    assert [("referrer-unnamed", path)] == refused(looked, tree, "referral")
    assert [] == refused(looked, tree, "consent")


def test_the_referrer_signs(made: Callable[..., Made]) -> None:
    """The signature is the referrer's, and the mark of an unsigned copy stands until its moment is recorded."""
    tree = simple("referral")
    signed = text_of(made, tree, "referral")
    put(tree, "referral.signed_at", "not_applicable")
    unsigned = text_of(made, tree, "referral")

    who = "BY      Signature │ P. Lindqvist-Odell │ dentist, registration number 000001 (sample)"
    assert who in signed
    assert "AT      20 February 2026, 16:00 │ Date and time" in signed
    assert "UNSIGNED COPY" not in signed
    assert who in unsigned
    assert "16:00" not in unsigned
    assert "MARK    UNSIGNED COPY" in unsigned


def test_every_list_of_the_history_says_none(made: Callable[..., Made]) -> None:
    """A list answered with none prints none, one line each."""
    text = text_of(made, simple("referral"), "referral")

    for label in ("Conditions", "Medicines", "Blood thinners", "Bone drugs", "Allergies", "Heart, endocarditis"):
        assert f"PAIR    {label} │ none\n" in text, label


def test_what_nobody_could_answer_is_said(made: Callable[..., Made]) -> None:
    """An answer not known prints as asked, never as none or no."""
    tree = simple("referral")
    asked = ("allergies", "endocarditis_heart", "previous_mronj", "steroid_or_immunosuppressant", "alcohol")
    tree["medical"] |= dict.fromkeys(asked, "not_known")
    tree["medical"] |= {"smoking": {"status": "not_known"}, "jaw_radiotherapy": {"given": "not_known"}}
    tree["physician"] = dict.fromkeys(("name", "practice", "address", "phone", "email"), "not_known")
    text = text_of(made, tree, "referral")

    labels = ("Allergies", "Heart, endocarditis", "Previous MRONJ", "Alcohol", "Smoking", "Jaw radiotherapy")
    for label in (*labels, "Steroid or immunosuppressant", "Physician"):
        assert f"PAIR    {label} │ not known (asked)\n" in text, label


def test_items_of_the_history_are_printed_whole(made: Callable[..., Made]) -> None:
    """Each drug stands with dose and times, each allergy with its reaction, radiation with dose and field."""
    text = text_of(made, rich("referral"), "referral")

    assert "warfarin 3 mg at 18:00, for atrial fibrillation; last dose 19 February 2026, 18:00" in text
    assert (
        "denosumab, by injection, for osteoporosis; first dose 20 April 2020, last dose 2 February 2026, not stop"
        in text
    )
    assert "paracetamol 500 mg, by mouth, when needed, for headache; last taken not known (asked)" in text
    assert "latex (latex): weals; severity: rash" in text
    assert "yes: left lower jaw, 60 Gy, finished 30 June 2021" in text
    assert "current smoker, 10 a day" in text
    assert "pregnant, completed weeks: 20" in text


def test_the_inr_is_asked_of_who_takes_a_vka(made: Callable[..., Made], looked: Callable[..., Examined]) -> None:
    """With warfarin the INR is printed, or that nobody knows it; without, it is not asked."""
    tree = rich("referral")
    assert "PAIR    INR │ 2.8, taken 19 February 2026, 13:10" in text_of(made, tree, "referral")

    put(tree, "medical.inr", "not_known")
    assert "PAIR    INR │ not known (asked)" in text_of(made, tree, "referral")
    drop(tree, "medical.inr")
    assert {("missing-field", f"medical.inr.{leaf}") for leaf in ("value", "taken_at")} == set(
        refused(looked, tree, "referral")
    )

    put(tree, "medical.antithrombotics", "none")
    assert [] == refused(looked, tree, "referral")
    assert "INR" not in text_of(made, tree, "referral")


def test_a_letter_without_image_says_why(made: Callable[..., Made], looked: Callable[..., Examined]) -> None:
    """Images are listed with type, day and file; without any the reason is required and printed."""
    tree = simple("referral")
    image = "panoramic radiograph, 20 February 2026, of: lower left wisdom tooth (third molar)"
    assert f"LI      {image}; file: f1 (pan-20417.png)" in text_of(made, tree, "referral")

    put(tree, "imaging", "none")
    assert [("na-contradicted", "referral.no_image_why")] == refused(looked, tree, "referral")
    drop(tree, "referral.no_image_why")
    assert [("missing-field", "referral.no_image_why")] == refused(looked, tree, "referral")
    put(tree, "referral.no_image_why", "The practice has no film machine.")
    assert "P       None: The practice has no film machine." in text_of(made, tree, "referral")


MINOR_BORN = "2009-08-21"


def test_the_guardian_of_a_minor_is_named(made: Callable[..., Made], looked: Callable[..., Examined]) -> None:
    """A minor's letter needs the guardian and names them; an adult's does not."""
    tree = simple("referral")
    assert "PAIR    Guardian │ not applicable (adult)" in text_of(made, tree, "referral")

    put(tree, "patient.birth_date", MINOR_BORN)
    assert ("na-contradicted", "guardian") in [
        (code, path.partition(".")[0]) for code, path in refused(looked, tree, "referral")
    ]
    tree["guardian"] = dict(GUARDIAN)
    assert "Guardian of the minor │ Halina Brzezna, mother, 0100 555 0140, reads Polish" in text_of(
        made, tree, "referral"
    )


@pytest.mark.parametrize(("age", "is_named"), [("16", False), ("17", True)])
def test_no_letter_names_the_guardian_of_who_decides_alone(made: Callable[..., Made], age: str, is_named: bool) -> None:
    """At the age of own consent (16 years and a half here) a recorded guardian stays unnamed; below it not."""
    tree = simple("referral")
    put(tree, "patient.birth_date", MINOR_BORN)
    tree["guardian"] = dict(GUARDIAN)
    own = {"value": age, "by": "Maren Holt", "on": "2026-01-05"}
    tree["settings"] |= {"jurisdiction.age_of_own_consent": own}
    drop(tree, "consent.capacity")
    text = text_of(made, tree, "referral")

    assert is_named == ("Halina" in text)
    assert is_named != ("Guardian │ minor of an age to consent alone" in text)


def test_without_the_age_of_majority_nothing_is_guessed(looked: Callable[..., Examined]) -> None:
    """Whether a guardian is named hangs on a setting of the clinic; without it the letter is refused."""
    tree = simple("referral")
    del tree["settings"]["jurisdiction.age_of_majority"]

    assert ("no-jurisdiction", "settings.jurisdiction.age_of_majority") in refused(looked, tree, "referral")


@pytest.mark.parametrize(("wanted", "is_said"), [("sedation", True), ("general", True), ("local", False)])
def test_sedation_is_asked_for_not_promised(made: Callable[..., Made], wanted: str, is_said: bool) -> None:
    """Sedation and general anesthesia carry the sentence that nobody promised them."""
    tree = simple("referral")
    put(tree, "referral.anesthesia_wanted", wanted)

    assert is_said == ("asked for, not promised" in text_of(made, tree, "referral"))


def test_difficulty_stands_with_its_method_or_is_not_graded(made: Callable[..., Made]) -> None:
    """A total prints with index, band and band set, both bands at 7 points; without a position nothing is graded."""
    tree = simple("referral")
    assert "PAIR    Pederson index, 3 to 10 │ 5, moderate (set p8: very difficult from 8)" in text_of(
        made, tree, "referral"
    )
    put(tree, "teeth[0].depth", "C")
    put(tree, "teeth[0].ramus", "III")
    seven = text_of(made, tree, "referral")
    assert (
        "│ 7, moderate (set p8: very difficult from 8)\nPAIR    By both band sets │ moderate / very difficult" in seven
    )

    drop(tree, "teeth[0].angle_degrees")
    assert "Difficulty\nP       Not graded.\n" in text_of(made, tree, "referral")


def test_several_teeth_stand_apart(made: Callable[..., Made]) -> None:
    """Each tooth asked for has its own findings: film signs for the lower one, the sinus for the upper one."""
    text = text_of(made, rich("referral"), "referral")
    upper = text.partition("P       upper right wisdom tooth (third molar), 18 FDI, UR8 Palmer")[2]

    assert "PAIR    Maxillary sinus │ all roots overlap the sinus" in upper.partition("SEC")[0]
    assert "touching the canal; film signs: none" in text
    assert "canal" not in upper.partition("SEC")[0]
    assert "PAIR    Pederson index, 3 to 10 │ not applicable" in text.partition("│ Difficulty")[2]


def test_the_list_of_rows_is_ticked(made: Callable[..., Made]) -> None:
    """The last block lists every required row, and each is ticked."""
    last = text_of(made, simple("referral"), "referral").partition("│ Complete")[2].partition("SIGN")[0]
    boxes = [line for line in last.splitlines() if line.startswith("BOX")]

    assert 11 == len(boxes)
    assert all("☒" in box for box in boxes)


def test_without_agreement_no_data_leave(looked: Callable[..., Examined]) -> None:
    """A patient who did not agree has no letter to the physician; other kinds are made."""
    tree = simple("physician-query")
    put(tree, "query.consent_to_share", "no")

    assert [("query-not-agreed", "query.consent_to_share")] == refused(looked, tree, "physician-query")
    assert [] == refused(looked, tree, "consent")


def test_two_questions_at_most(looked: Callable[..., Examined]) -> None:
    """A third question is refused."""
    tree = simple("physician-query")
    tree["query"]["questions"] = ["One?", "Two?"]
    assert [] == refused(looked, tree, "physician-query")

    tree["query"]["questions"] = ["One?", "Two?", "Three?"]
    assert [("out-of-range", "query.questions")] == refused(looked, tree, "physician-query")


def test_the_question_stands_with_plan_and_answer(made: Callable[..., Made]) -> None:
    """The letter says what is planned, with the bleeding to expect and each solution once, and asks for an answer."""
    text = text_of(made, simple("physician-query"), "physician-query")

    assert "Operation: removal, surgical, lower left wisdom tooth (third molar), 38 FDI, LL8 Palmer." in text
    assert (
        "Bleeding: higher bleeding risk. 17 March 2026, 10:00; local anesthesia; lidocaine with epinephrine 1:80,000."
        in text
    )
    assert 1 == text.count("epinephrine 1:80,000")
    boxes = "BOX     ☐ Go on as planned\nBOX     ☐ Change as below\nBOX     ☐ See the patient first"
    question = "H3      May the operation go ahead as planned?"
    assert f"{question}\nCHOICE\n{boxes}\nWRITE   Change or advice\nLINE\nLINE\n" in text
    assert "WRITE   Name, date, signature" in text
    assert "BY      Signature │ Maren Holt │ Surgeon, registration number 000000 (sample)" in text


def test_what_we_hold_says_none_of_each_list(made: Callable[..., Made]) -> None:
    """Every list that is empty is named with none, so that the physician can correct it."""
    text = text_of(made, simple("physician-query"), "physician-query")

    for label in ("Blood thinners", "Bone drugs", "Allergies", "Conditions", "Medicines"):
        assert f"{label}: none." in text, label
    assert "INR: not applicable." in text
    assert "Jaw radiotherapy: no." in text


def test_the_guidance_is_named_and_no_drug_is_stopped(made: Callable[..., Made]) -> None:
    """The rule of each drug stands with its source, and always that nobody is asked to stop a drug."""
    kind = "physician-query"
    sentence = "We do not ask you to stop a drug unless you advise it."
    plain, full = text_of(made, simple(kind), kind), text_of(made, rich(kind), kind)

    assert sentence in plain
    assert sentence in full
    assert "warfarin: continue (SDCEP 2nd edition, 2022" in full
    assert "Jaw bone (MRONJ): higher risk group (SDCEP" in full
    assert "Irradiated jaw: risk of osteoradionecrosis (Radiat Oncol 2021;16:130)" in full
    assert "Jaw bone" not in plain


def test_the_operation_waits_where_a_rule_asks(made: Callable[..., Made]) -> None:
    """A question the rules ask for holds the operation up; one the surgeon asks alone does not."""
    kind = "physician-query"
    assert "The operation waits for it." in text_of(made, rich(kind), kind)
    assert "Until then treatment goes on as planned." in text_of(made, simple(kind), kind)


def test_the_endocarditis_dose_stands_with_its_source(made: Callable[..., Made]) -> None:
    """For a listed heart the letter names the dose of the clinic's jurisdiction: 3 g, 1 h before [BJGPO]."""
    tree = simple("physician-query")
    put(tree, "medical.endocarditis_heart", ["previous_endocarditis"])
    text = text_of(made, tree, "physician-query")

    assert "(BJGP Open, box 1)" in text
    assert "amoxicillin 3,000 mg, 60 min before" in text


@pytest.mark.parametrize("history", [{}, {"antiresorptives": [DENOSUMAB]}, {"antithrombotics": [WARFARIN], "inr": INR}])
def test_a_question_about_one_matter_is_one_page(made: Callable[..., Made], history: dict[str, Any]) -> None:
    """The letter to the physician is one page, answer box included."""
    tree = simple("physician-query")
    tree["medical"] |= copy.deepcopy(history)
    made_pdf = made(tree, "physician-query", on=ON, formats=("pdf",)).files["HM-2026-0117-physician-query-en.pdf"]

    assert 1 == len(PdfReader(io.BytesIO(made_pdf)).pages)


@pytest.mark.parametrize("kind", sorted(TITLES))
def test_pdf_docx_and_review_text_say_the_same(made: Callable[..., Made], kind: str) -> None:
    """A letter with every list filled has the same words in each format."""
    pack, name = made(rich(kind), kind, on=ON, formats=("pdf", "docx", "text")), TITLES[kind]
    words = pdf_words(pack.files[f"{name}.pdf"], pack.documents[name])

    assert words == docx_words(pack.files[f"{name}.docx"])
    assert replace(words, running_head=()) == text_words(pack.files[f"{name}.txt"])


@pytest.mark.parametrize("kind", ["referral", "physician-query"])
def test_a_letter_says_nothing_of_a_later_day(made: Callable[..., Made], kind: str) -> None:
    """Doses taken, an INR and a check dated the day after the letter are left out; those of its day stand."""
    on, later = ("2026-02-20", "2026-02-21") if kind == "referral" else ("2026-03-05", "2026-03-06")
    tree = rich(kind)
    for day in (on, later):
        put(tree, "medical.checked_on", day)
        put(tree, "medical.inr.taken_at", f"{day}T09:11")
        put(tree, "medical.medications[0].last_taken_at", f"{day}T09:12")
        put(tree, "medical.antithrombotics[0].last_dose_at", f"{day}T09:13")
        text = text_of(made, tree, kind)
        assert [day == on] * 3 == [clock in text for clock in ("09:11", "09:12", "09:13")]
        assert (day == on) == ("by Maren Holt" in text)

    assert "none recorded on the day of this letter" in text


def test_an_image_taken_after_the_letter_is_not_enclosed(
    made: Callable[..., Made], looked: Callable[..., Examined]
) -> None:
    """A film of a later day cannot lie in the envelope: without another one the letter says why."""
    tree = simple("referral")
    put(tree, "imaging[0].taken_on", "2026-02-21")
    put(tree, "referral.no_image_why", "The practice has no film machine.")
    text = text_of(made, tree, "referral")

    assert "P       None: The practice has no film machine." in text
    assert "panoramic" not in text

    drop(tree, "referral.no_image_why")
    assert [("missing-field", "referral.no_image_why")] == refused(looked, tree, "referral")


def test_who_decides_is_who_agreed_to_the_letter(made: Callable[..., Made]) -> None:
    """Of an adult without capacity the letter never says that the patient agreed; it names who did."""
    tree = copy.deepcopy(example_tree("malvasio"))
    lacking = made(tree, "physician-query", on=date(2026, 9, 29), formats=("text",), language="en").files
    text = next(iter(lacking.values())).decode().replace("\n        ", " ")

    assert "Livia Malvasio (sister), who decides for the patient, agreed to this letter: yes." in text
    assert "The patient agreed" not in text
    assert "The patient agreed to this letter: yes." in text_of(made, simple("physician-query"), "physician-query")


@pytest.mark.parametrize("kind", ["referral", "physician-query", "reply", "operative-note", "safety-sheet"])
def test_another_condition_stands_in_its_own_words(made: Callable[..., Made], kind: str) -> None:
    """A condition of no list prints its words in every document for colleagues, never the code alone."""
    tree = simple("physician-query")
    put(tree, "medical.conditions", [{"code": "other", "words": "mechanical aortic valve"}])
    files = made(tree, kind, on=ON, formats=("text",)).files
    text = next(iter(files.values())).decode()

    assert "mechanical aortic valve" in text
    assert "other condition" not in text
