"""Every kind of patient: who signs, who is named, what is told and what the note says (specification 5.1 to 5.6)."""

from __future__ import annotations

import copy
import re
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from conftest import drop, example_tree, put

from docgen.checks import DEPARTURE_CODES
from docgen.generate import Made
from docgen.kinds import read_words
from docgen.problem import Refused, Severity
from docgen.shipped import shipped_folder

Tree = dict[str, Any]
Make = Callable[..., Made]

DAY_OF_PLAN, DAY_OF_OPERATION = date(2026, 3, 4), date(2026, 3, 17)
GUARDIAN = {
    "name": "Halina Brzezna", "relation": "mother", "phone": "0100 555 0140", "language": "en",
    "second_holder": "none", "authority": "parental_responsibility", "authority_seen_by": "mh",
}  # fmt: skip
DECISION_MAKER = {
    "name": "Livia Malvasio", "relation": "sister", "phone": "0100 555 0150", "people_consulted": "His mother.",
    "authority": "health_proxy", "document_seen_on": "2026-03-03",
}  # fmt: skip
INTERPRETER = {
    "name": "Ana Nowak", "number": "T-118", "language": "pl", "mode": "telephone", "qualified": "yes", "adult": "yes",
    "relative": "no", "reason": "not_applicable",
}  # fmt: skip


def _after() -> Tree:
    return copy.deepcopy(example_tree("fenwright"))


def _before() -> Tree:
    """Give case 1 after the first talk: nobody has signed, nothing is done."""
    tree = _after()
    for group in ("operation", "prescriptions", "aftercare", "follow_up", "reply"):
        del tree[group]
    for path in ("confirmed_at", "confirmed_by", "changes", "copy", "signed_at"):
        del tree["consent"][path]
    return tree


def _minor() -> Tree:
    tree = _before()
    tree["patient"]["birth_date"] = "2010-02-01"
    tree["guardian"] = dict(GUARDIAN)
    tree["consent"]["assent"] = "agrees"
    return tree


def _minor_alone() -> Tree:
    tree = _minor()
    tree["settings"]["jurisdiction.age_of_own_consent"] = {"value": "16", "by": "Maren Holt", "on": "2026-01-05"}
    tree["consent"].update(capacity="assessed_has", capacity_note="She weighs it well. Her mother does not know.")
    return tree


def _lacking(tree: Tree) -> Tree:
    tree["decision_maker"] = dict(DECISION_MAKER)
    note, support = "Could not hold the risks in mind on two days.", "Pictures, and a second talk."
    tree["consent"].update(capacity="assessed_lacks", capacity_note=note, support_given=support, assent="agrees")
    return tree


def _interpreted(**answers: str) -> Tree:
    tree = _before()
    tree["patient"]["interpreter_needed"] = "yes"
    tree["consent"]["interpreter"] = {**INTERPRETER, **answers}
    return tree


MARKS = r"^ *(P|LI|H3|LEAD|SMALL|NOTE|CAUTION|PAIR|TABLE|TH|TR|SIGN)( +|$)"
"""Marks of the review text that are no words."""


def _sections(made: Made) -> dict[str, str]:
    """Give the text of each section of the one patient's copy or note, in one line each."""
    name = next(n for n in made.files if "clinic" not in n)
    found: dict[str, str] = {}
    for part in re.split(r"^SEC     ", made.files[name].decode(), flags=re.M)[1:]:
        head, _, body = part.partition("│")
        found[head.strip()] = " ".join(re.sub(MARKS, "", body, flags=re.M).split())
    return found


def _roles(text: str) -> list[str]:
    return re.findall(r"BY Signature │ [^│]*│ ([^│]*?) │", text)


@pytest.fixture
def told(made: Make) -> Callable[..., dict[str, str]]:
    """Give a function that makes one patient's copy and gives its sections."""

    def tell(tree: Tree, kind: str, *, undated: bool = True, copies: tuple[str, ...] = ("patient",)) -> dict[str, str]:
        dated = "operation" in tree and not (kind == "aftercare" and undated)
        on = DAY_OF_OPERATION if dated else DAY_OF_PLAN
        wish = {"undated": kind == "aftercare" and undated, "copies": copies if kind != "operative-note" else ()}
        return _sections(made(tree, kind, on=on, formats=("text",), **wish))

    return tell


def _lacks(make: Make, tree: Tree, kind: str = "consent") -> list[str]:
    """Give the paths a document is refused for."""
    with pytest.raises(Refused) as refused:
        make(tree, kind, on=DAY_OF_PLAN, formats=())
    return [problem.path for problem in refused.value.problems if problem.severity is Severity.REFUSE]


Told = Callable[..., dict[str, str]]


def test_a_guardian_signs_for_a_minor_and_the_young_person_beside(told: Told) -> None:
    """The guardian stands with right and witness of it, the young person agrees on a line of their own."""
    text = told(_minor(), "consent")

    assert "Halina Brzezna (mother)" in text["C14"]
    assert "Who checked this right │ Maren Holt" in text["C14"]
    assert ["Clinician who explained", "Guardian", "Young person", "Witness"] == _roles(text["C21 C22"])
    assert "I was asked what I want. I agree to the operation." in text["C21 C22"]
    assert ["Guardian", "Clinician"] == _roles(text["C23"])


def test_an_adult_signs_alone_and_no_guardian_section_stands_there(told: Told) -> None:
    """Of an adult nobody else is asked."""
    text = told(_before(), "consent")

    assert "C14" not in text
    assert ["Clinician who explained", "Patient", "Witness"] == _roles(text["C21 C22"])


@pytest.mark.parametrize(
    ("assent", "sentence", "lines"), [("objects", "I do not agree to the operation.", 1), ("not_able", "", 0)]
)
def test_a_young_person_who_says_no_has_it_in_writing(told: Told, assent: str, sentence: str, lines: int) -> None:
    """A no is a line of its own; who cannot say what they want has no line."""
    tree = _minor()
    tree["consent"]["assent"] = assent
    text = told(tree, "consent")["C21 C22"]

    assert sentence in text
    assert lines == _roles(text).count("Young person")


def test_the_leaflet_of_a_minor_speaks_to_both(told: Told) -> None:
    """The leaflet names no guardian, speaks to both, and somebody watches while the mouth is numb."""
    minor, adult = told(_minor(), "aftercare"), told(_before(), "aftercare")

    assert "for you, and for the grown-up who takes care of you" in minor["A1"]
    assert "A grown-up watches over you" in minor["A9"]
    assert "grown-up" not in adult["A1"] + adult["A9"]


def test_a_guardian_who_is_not_asked_is_named_nowhere(told: Told, made: Make) -> None:
    """A minor who may decide alone signs alone, and no copy, leaflet or letter names the guardian."""
    alone, guarded = (
        made(tree, "consent", "aftercare", undated=True, on=DAY_OF_PLAN, formats=("text",))
        for tree in (_minor_alone(), _minor())
    )
    whole = " ".join(text.decode() for text in alone.files.values())

    assert 4 == len(alone.files)
    assert "Halina" not in whole
    assert "grown-up who takes care" not in whole
    assert "Guardian" not in _roles(whole)
    assert "Halina" in " ".join(text.decode() for text in guarded.files.values())
    assert "Patient" in _roles(told(_minor_alone(), "consent")["C21 C22"])


def test_a_minor_who_decides_alone_has_the_reason_written_down(told: Told, made: Make) -> None:
    """The note says why; "none" is no reason and refuses the paper."""
    text = told(_minor_alone(), "consent")
    bare = _minor_alone()
    bare["consent"]["capacity_note"] = "none"

    assert "She weighs it well." in text["C13"]
    assert "Patient" in _roles(text["C21 C22"])
    assert ["consent.capacity_note"] == _lacks(made, bare)


def test_a_guardians_signature_stands_after_the_birthday(told: Told) -> None:
    """Signed for a minor, operated of age: the guardian's line stays as signed, the patient signs the second stage."""
    tree = _minor()
    tree["patient"]["birth_date"] = "2008-03-10"
    tree["consent"]["signed_at"] = {"guardian": "2026-03-03T15:40", "clinician": "2026-03-03T15:42"}
    text = told(tree, "consent")

    assert ["Clinician who explained", "Guardian", "Young person"] == _roles(text["C21 C22"])
    assert "3 March 2026, 15:40" in text["C21 C22"]
    assert ["Patient", "Clinician"] == _roles(text["C23"])


def test_who_lacks_capacity_has_no_line_to_sign(told: Told) -> None:
    """Assessment, support, decision-maker and own view are there; a line for the patient is not; the risks stay."""
    text, plain = told(_lacking(_before()), "consent"), told(_before(), "consent")

    assert "Could not hold the risks in mind" in text["C13"]
    assert "Pictures, and a second talk." in text["C13"]
    assert "Livia Malvasio decides for you. We saw the paper that says so on 3 March 2026." in text["C13"]
    assert "You were asked what you want. You agree." in text["C13"]
    assert "People we asked │ His mother." in text["C13"]
    assert "Patient" not in _roles(text["C21 C22"] + text["C23"])
    assert "Decision-maker" in _roles(text["C21 C22"])
    assert plain["C7"] == text["C7"]


def test_overall_benefit_is_said_and_needs_no_document(told: Told) -> None:
    """Where the clinic decides for the overall benefit, that is the sentence, and no paper was seen."""
    tree = _lacking(_before())
    tree["decision_maker"].update(authority="clinician_overall_benefit", document_seen_on="not_applicable")
    text = told(tree, "consent")

    assert "The clinic decides what is best for you as a whole." in text["C13"]
    assert "We saw the paper" not in text["C13"]


def test_a_proxy_without_a_seen_document_is_refused(made: Make) -> None:
    """A named decision-maker needs the paper to have been seen; an assessment needs words."""
    tree = _lacking(_before())
    tree["decision_maker"]["document_seen_on"] = "not_applicable"
    tree["consent"]["capacity_note"] = "none"

    assert {"decision_maker.document_seen_on", "consent.capacity_note"} == set(_lacks(made, tree))


def test_the_leaflet_of_who_lacks_capacity_speaks_to_the_helper(told: Told) -> None:
    """The person who helps is spoken to as well."""
    text = told(_lacking(_before()), "aftercare")

    assert "the person who helps you" in text["A1"]
    assert "Your helper watches over you" in text["A9"]


def test_an_interpreter_by_telephone_is_heard_by_the_clinician(told: Told) -> None:
    """Name, number, language, mode and training stand there; both ways were told; the clinician signs for the voice."""
    text = told(_interpreted(), "consent")

    for part in ("Ana Nowak", "T-118", "Polish", "by telephone", "Trained interpreter │ yes"):
        assert part in text["C15"]
    assert "what it means to say yes, and what it means to say no" in text["C15"]
    assert "Clinician who heard it" in _roles(text["C21 C22"])
    assert "Interpreter" not in _roles(text["C21 C22"])


def test_an_interpreter_in_the_room_signs(told: Told) -> None:
    """In person the interpreter has a line; a relative is told as one, with the reason."""
    reason = "Nobody else speaks it in this county."
    text = told(_interpreted(mode="in_person", relative="yes", reason=reason), "consent")

    assert "Interpreter" in _roles(text["C21 C22"])
    assert f"The interpreter is a grown-up of your family. Why we did not use somebody else: {reason}" in text["C15"]


def test_an_interpreter_needs_a_name_or_a_number(told: Told, made: Make) -> None:
    """One of the two is enough; neither is refused."""
    by_number, nobody = _interpreted(), _interpreted()
    drop(by_number, "consent.interpreter.name")
    drop(nobody, "consent.interpreter.name")
    drop(nobody, "consent.interpreter.number")

    assert "T-118" in told(by_number, "consent")["C15"]
    assert ["consent.interpreter.name"] == _lacks(made, nobody)


def test_other_languages_without_interpreter_need_the_clinicians_sentence(told: Told) -> None:
    """It is said that nobody interpreted, and how it was understood: by the help given, else by the patient's words."""
    own_words = _before()
    own_words["patient"]["spoken_language"] = "pl"
    written = copy.deepcopy(own_words)
    written["consent"]["support_given"] = "We spoke slowly, and Ms Fenwright drew what would be done."

    told_so = "Nobody interpreted. How it was understood stands above, in your own words."
    assert told_so in told(own_words, "consent")["C15"]
    assert "so that you understood stands above" in told(written, "consent")["C15"]
    assert "Ms Fenwright drew what would be done" in told(written, "consent")["C13"]
    assert "Nobody interpreted" not in told(_before(), "consent")["C15"]


@pytest.mark.parametrize(
    ("witness", "lines"), [(None, 1), ("not_applicable", 0), ("2026-03-03T15:41", 1)], ids=["open", "none", "signed"]
)
def test_the_mark_of_who_cannot_write_has_a_witness(told: Told, witness: str | None, lines: int) -> None:
    """The line stands while it is open or once it is signed, and not where no witness was needed."""
    tree = _before()
    if witness:
        tree["consent"]["signed_at"] = {"witness": witness}
    text = told(tree, "consent")["C21 C22"]

    assert lines == _roles(text).count("Witness")
    assert (witness is None) == ("Anyone who cannot write makes a mark" in text)


@pytest.mark.parametrize(
    ("relation", "signs", "sentence"),
    [
        ("touching", "none", "The picture shows none of the warning signs for the nerve"),
        ("overlapping", "none", "The picture shows that a root may be very close"),
        ("not_known", "not_known", "We do not know how close a root is"),
    ],
)
def test_the_nerve_is_told_three_ways_and_never_as_no_risk(
    told: Told, relation: str, signs: str, sentence: str
) -> None:
    """At risk, not known and no sign are three sentences, none of them "no risk"; CT is offered in the first two."""
    tree = _before()
    tree["teeth"][0]["canal"].update(relation=relation, film_signs=signs)
    tree["plan"]["procedures"][0].update(coronectomy="offered_declined")
    text = told(tree, "consent")

    assert sentence in text["C3"]
    assert (relation != "touching") == ("A 3D X-ray (CT) can show more." in text["C3"])
    assert (relation == "not_known") == ("a numb lip is more likely than the table says" in text["C7"])


def test_a_root_that_touches_on_a_ct_is_not_called_close(told: Told) -> None:
    """What the 3D picture shows is said; the other tooth, of which only a film speaks, may be very close."""
    tree = _before()
    tree["teeth"][0]["canal"].update(ct_position="lingual", ct_contact="yes")
    tree["plan"]["procedures"][0].update(coronectomy="offered_declined")
    touches = "The 3D picture shows that a root touches the nerve of your lower lip."
    alone = told(copy.deepcopy(tree), "consent")["C3"]

    assert touches in alone
    assert "very close" not in alone
    other = copy.deepcopy(tree["teeth"][0])
    other.update(tooth="48", side="right")
    other["canal"] = {"relation": "overlapping", "film_signs": "none", "ct_position": "not_imaged"}
    other["canal"]["ct_contact"] = "not_applicable"
    tree["teeth"].append(other)
    planned = copy.deepcopy(tree["plan"]["procedures"][0])
    tree["plan"]["procedures"].append({**planned, "tooth": "48", "side": "right"})
    tree["consent"]["teeth"] = ["38", "48"]
    both = told(tree, "consent")["C3"]

    assert f"{touches} This is so at: lower left wisdom tooth (third molar)." in both
    close = "a root may be very close to the nerve of your lower lip. This is so at: lower right wisdom tooth"
    assert close in both


def _coronectomy(tree: Tree) -> Tree:
    tree["teeth"][0]["canal"].update(relation="overlapping", film_signs=["root_darkening"])
    tree["plan"]["procedures"][0].update(procedure="coronectomy", coronectomy="chosen")
    return tree


def _numbers(text: str, event: str) -> list[str]:
    """Give the numbers of an event in the table that compares the ways, one for each way, in their order."""
    rows = text[text.index(event) + len(event) :]
    ways = ("The whole tooth is taken out", "The crown is taken, the root stays", "The root has to come out after all")
    starts = [rows.index(way) for way in ways]
    ends = [*starts[1:], starts[2] + 120]
    parts = [rows[start + len(way) : end] for way, start, end in zip(ways, starts, ends, strict=True)]
    return [re.split(r" ALT | TR | NOTE ", part)[0].strip(" │") for part in parts]


def test_coronectomy_and_removal_stand_side_by_side(told: Told) -> None:
    """Planned: the sentences of C4, and the figures of 4.7 examples 10 and 26 in their three columns."""
    text = told(_coronectomy(_before()), "consent")
    row = "numb or tingling lip, chin or gum Matters in your life"

    assert "This may become a full removal" in text["C4"]
    assert "A second operation is possible later" in text["C4"]
    numbers = _numbers(text["C7"], row)
    assert [
        "about 75 out of 1,000 │ about 925",
        "about 5 out of 1,000 │ about 995",
        "about 26 out of 1,000 │ about 974",
    ] == (numbers)
    loose = _numbers(text["C7"], "the root comes loose or is taken out later")
    assert ["cannot happen", "about 73 out of 1,000 │ about 927"] == loose[:2]
    assert "the root often moves about 2 to 4 mm" in text["C7"]
    assert "about 26 out of 1,000" not in text["C9"]
    assert "take out the whole tooth. The table that sets both ways side by side" in text["C9"]


def test_a_rarer_figure_says_so_beside_a_commoner_one(told: Told) -> None:
    """DALLE17: 0.05 % is 50 of 100,000, and that is below 1 of 1,000; a lasting numb tongue was not seen there."""
    tree = _coronectomy(_before())
    text = told(tree, "consent")["C7"].split("If the whole tooth has to come out")[0]
    tree["patient"].update(matters="none", matters_words="none")
    nothing = told(tree, "consent")["C7"].split("If the whole tooth has to come out")[0]

    rarer = "about 50 out of 100,000 (fewer than 1 out of 1,000) │ about 99,950"
    assert 2 == text.count(rarer)  # lip that stays numb, and tongue
    lasting = "numb tongue or change of taste that lasts"
    life = "Matters in your life"  # case 1 sings
    assert ["about 5 out of 1,000 │ about 995", "none in the study we hold"] == _numbers(text, f"{lasting} {life}")[:2]
    assert 4 == text.count(life)
    assert life not in nothing


def test_coronectomy_must_be_answered_where_the_nerve_is_at_risk(told: Told, made: Make) -> None:
    """Offered and declined, it stands under the other choices; unanswered, or without its reason, it is refused."""
    tree = _coronectomy(_before())
    tree["plan"]["procedures"][0].update(procedure="removal", coronectomy="offered_declined")
    unanswered, unreasoned = copy.deepcopy(tree), copy.deepcopy(tree)
    unanswered["plan"]["procedures"][0]["coronectomy"] = "not_applicable"
    unreasoned["plan"]["procedures"][0]["coronectomy"] = "not_suitable"

    assert "about 26 out of 1,000" in told(tree, "consent")["C9"]
    assert ["plan.procedures[0].coronectomy"] == _lacks(made, unanswered)
    assert ["plan.procedures[0].coronectomy_reason"] == _lacks(made, unreasoned)


def _biopsy(tree: Tree) -> Tree:
    words = "The spot may leave a small scar."
    tree["plan"]["procedures"][0].update(procedure="biopsy", risks_words=words)
    return tree


def test_a_procedure_without_figures_has_the_surgeons_words(told: Told, made: Make) -> None:
    """A biopsy prints no number and no grade of an index, but the surgeon's words; without them it is refused."""
    text = told(_biopsy(_before()), "consent")["C7"]
    wordless = _biopsy(_before())
    wordless["plan"]["procedures"][0]["risks_words"] = "not_applicable"

    assert "We know no published numbers" in text
    assert "The spot may leave a small scar." in text
    assert "1,000" not in text
    assert "difficulty" not in text
    assert ["plan.procedures[0].risks_words"] == _lacks(made, wordless)


def test_no_treatment_is_always_among_the_options(told: Told, made: Make) -> None:
    """Each choice has its own risk; a list without "no treatment" is refused."""
    tree = _before()
    tree["plan"]["options"] = [o for o in tree["plan"]["options"] if o["option"] != "no_treatment"]

    assert "no treatment. We explained it. Its risk: the trouble can come back" in told(_before(), "consent")["C9"]
    assert ["plan.options"] == _lacks(made, tree)


def test_what_was_confirmed_on_the_day_is_recorded_whole(told: Told, made: Make) -> None:
    """All three answers or blank lines; one without the others is refused."""
    half = _before()
    half["consent"]["changes"] = "none"

    assert "WRITE" in told(_before(), "consent")["C23"]
    assert "WRITE" not in told(_after(), "consent")["C23"]
    assert {"consent.confirmed_at", "consent.confirmed_by"} == set(_lacks(made, half))


def _thinner(tree: Tree, inn: str, decision: str, times: list[str]) -> Tree:
    drug = {"inn": inn, "dose_mg": "5", "dose_times": times, "indication": "atrial_fibrillation"}
    tree["medical"]["antithrombotics"] = [{**drug, "recent_event": "none", "last_dose_at": "2026-03-02T20:00"}]
    tree["plan"]["antithrombotic_decisions"] = [{"inn": inn, "decision": decision, "by": "mh", "on": "2026-03-03"}]
    if inn == "warfarin":
        tree["medical"]["inr"] = {"value": "2.8", "taken_at": "2026-03-03T15:00", "stable": "yes"}
    return tree


def test_a_blood_thinner_is_never_stopped_by_the_patient(told: Told) -> None:
    """The decision stands with who made it; undecided, it is taken as always; bleeding is told up to day 9."""
    decided = told(_thinner(_before(), "warfarin", "continue", ["18:00"]), "consent")
    asked = told(_thinner(_before(), "warfarin", "ask_physician", ["18:00"]), "consent")
    leaflet = told(_thinner(_before(), "warfarin", "continue", ["18:00"]), "aftercare")

    assert "Never stop it on your own." in decided["C5"]
    assert "warfarin: keep taking it as always. Decided by Maren Holt." in decided["C5"]
    assert "Take it as always until we tell you." in asked["C5"]
    assert "as late as day 9" in decided["C7"]
    assert "as late as day 9" in leaflet["A5"]
    assert "Never stop it on your own." in leaflet["A15"]
    assert "No ibuprofen or similar" in leaflet["A6"]
    assert "A15" not in told(_before(), "aftercare")


def test_the_next_dose_is_a_day_and_a_time_or_a_question(told: Told) -> None:
    """Check of case 3: apixaban, morning dose missed, is taken at 20:00 the same day; without a pattern one asks."""
    tree = _thinner(_after(), "apixaban", "miss_dose", ["08:00", "20:00"])
    tree["settings"]["antithrombotic.doac_guidance"] = {"value": "sdcep_2022", "by": "Maren Holt", "on": "2026-01-05"}
    tree["prescriptions"] = "none"
    dated = told(tree, "aftercare", undated=False)["A15"]
    drop(tree, "medical.antithrombotics[0].dose_times")
    reason = "She takes it morning and evening, at no fixed hour."
    tree["departures"] = [{"code": "antithrombotic-differs", "reason": reason, "by": "mh", "on": "2026-03-17"}]
    asked = told(tree, "aftercare", undated=False)["A15"]

    assert "apixaban: next dose on Tuesday 17 March 2026 at 20:00. Then take it as always." in dated
    assert "Ask us before you leave when to take the next dose." in asked


PILLS = {"form": "tablet", "times_per_day": "3", "hours_apart": "6", "days": "3", "supply": "prescribed"}


def _prescribed(*drugs: tuple[str, str]) -> Tree:
    tree = _after()
    rows = [{"inn": inn, "dose_mg": mg, "max_mg_per_day": str(3 * int(mg)), "reason": "swelling"} for inn, mg in drugs]
    tree["prescriptions"] = [{**PILLS, **row} for row in rows]
    return tree


def test_pain_killers_and_antibiotics_stand_apart(told: Told) -> None:
    """Each under its heading; metronidazole always with its line on alcohol, and only metronidazole."""
    both = told(_prescribed(("ibuprofen", "400"), ("metronidazole", "400")), "aftercare", undated=False)
    amoxicillin = told(_prescribed(("amoxicillin", "500")), "aftercare", undated=False)

    assert "ibuprofen" in both["A6"]
    assert "metronidazole" not in both["A6"]
    assert "Take ibuprofen with food." in both["A6"]
    assert "metronidazole (tablet) │ 400 mg │ 3 times a day for 3 days. │ swelling" in both["A17"]
    assert "ibuprofen" not in both["A17"]
    assert "no alcohol while you take it and for 72 hours after" in both["A17"]
    assert "We gave you no medicine for pain." in amoxicillin["A6"]
    assert "Take the first dose before the numb feeling ends." not in amoxicillin["A6"]
    assert "alcohol" not in amoxicillin["A17"]
    assert "Rash or wheeze: stop and call." in amoxicillin["A17"]


def test_a_setting_leaves_food_to_the_box(told: Told) -> None:
    """The clinic that follows the leaflet in the box says so."""
    tree = _prescribed(("ibuprofen", "400"))
    tree["settings"]["aftercare.nsaid_food"] = {"value": "as_leaflet_in_box", "by": "Maren Holt", "on": "2026-01-05"}

    assert "Take ibuprofen as the paper in the box says." in told(tree, "aftercare", undated=False)["A6"]


def _sedated(tree: Tree) -> Tree:
    fasting = "Nothing to eat for six hours."
    tree["plan"].update(
        anesthesia="local_with_sedation", sedation={"route": "intravenous", "inn": "midazolam", "fasting": fasting}
    )
    tree["escort"] = {"name": "Tom Fenwright", "phone": "0100 555 0177"}
    return tree


def test_after_sedation_somebody_stays_and_nobody_drives(told: Told) -> None:
    """Drug, way and fasting before; escort and driving by hours, then by day and time; sleep that does not end."""
    tree = _sedated(_after())
    tree["operation"].update(observations="Pulse 72.")
    tree["operation"]["drugs_given"] = [{"inn": "midazolam", "dose": "3 mg", "at": "2026-03-17T09:50", "by": "mh"}]
    before, after = told(_sedated(_before()), "aftercare"), told(tree, "aftercare", undated=False)
    consent, plain = told(_sedated(_before()), "consent"), told(_before(), "aftercare")

    assert "midazolam. How you get it: into a vein." in consent["C5"]
    assert "Nothing to eat for six hours." in consent["C5"]
    assert "stay with you for 24 hours. Do not drive for 24 hours." in before["A12"]
    assert "Do not drive until Wednesday 18 March 2026 at 10:40." in after["A12"]
    assert "Tom Fenwright" in after["A12"]
    assert "nobody can wake you" in before["A11"]
    assert "nobody can wake you" not in plain["A11"]
    assert "midazolam 3 mg, at 17 March 2026, 09:50, by Maren Holt" in told(tree, "operative-note")["D13"]


UPPER = {
    "tooth": "26", "side": "left", "jaw": "upper", "present": "tooth", "eruption": "erupted", "cover": "none",
    "surgeon_grade": "not_applicable", "root_fraction": "1", "apex": "closed", "canal": "not_applicable",
    "sinus": {"relation": "some_roots_overlap", "overlap_fraction": "0.3"}, "indication": ["caries_unrestorable"],
    "indication_words": "This tooth is badly decayed.", "diagnosis": "deep decay", "prognosis": "It will hurt more.",
}  # fmt: skip


def _upper(tree: Tree) -> Tree:
    tree["teeth"] = [copy.deepcopy(UPPER)]
    tree["plan"]["procedures"][0].update(tooth="26", side="left", jaw="upper", surgical="no", incision="no")
    tree["consent"]["teeth"], tree["referral"]["teeth"], tree["imaging"][0]["teeth"] = ["26"], ["26"], ["26"]
    return tree


def test_an_upper_tooth_alone_has_nose_and_no_syringe(told: Told) -> None:
    """The undated leaflet is made before anybody operated; dry socket is one general sentence; the sinus is told."""
    leaflet, lower = told(_upper(_before()), "aftercare"), told(_before(), "aftercare")
    risks = told(_upper(_before()), "consent")["C7"]

    assert "Pain that comes back If strong pain comes back after some days, come back to us." == leaflet["A10"]
    assert "do not blow your nose" in leaflet["A13"]
    assert "food or air that passes into the nose" in leaflet["A11"]
    assert "a crack in the jaw" not in leaflet["A11"]
    assert "A13" not in lower
    assert "a crack in the jaw" in lower["A11"]
    assert "an opening between the mouth and the sinus │ about 48 │ about 952" in risks


def test_a_review_by_telephone_and_dressings_have_their_sentences(told: Told) -> None:
    """No visit: we call on day 7; a dressing that dissolves goes by itself, one that stays has its day."""
    tree = _after()
    tree["follow_up"].update(review_at="not_applicable", mode="telephone")
    tree["operation"]["procedures"][0]["dressing"] = {"name": "gelatin sponge", "resorbable": "yes", "lot": "G-88"}
    stays = _after()
    stays["operation"]["procedures"][0]["dressing"] = {"name": "ribbon gauze", "resorbable": "no", "lot": "G-9"}
    called, kept = told(tree, "aftercare", undated=False), told(stays, "aftercare", undated=False)

    assert "We call you on Tuesday 24 March 2026. If nobody calls, call us." in called["review"]
    assert "goes away on its own" in called["A16"]
    assert "We take it out on Tuesday 24 March 2026." in kept["A16"]


def test_a_drug_given_against_a_stop_stands_at_the_top_of_the_note(told: Told) -> None:
    """In bold words before all else, with the departure in words; a clean note has no such section."""
    tree = _after()
    allergy = {"substance": "amoxicillin", "group": "penicillin", "reaction": "collapse", "severity": "anaphylaxis"}
    tree["medical"]["allergies"] = [allergy]
    tree["operation"]["antibiotic"] = {"inn": "amoxicillin", "dose_mg": "2000", "at": "2026-03-17T09:40"}
    reason = "Given in error, seen at once."
    tree["departures"] = [{"code": "allergy-drug", "reason": reason, "by": "mh", "on": "2026-03-17"}]
    text, clean = told(tree, "operative-note"), told(_after(), "operative-note")

    assert "alerts" == next(iter(text))
    assert "Given although it speaks against it: amoxicillin. Penicillin allergy" in text["alerts"]
    assert f"a drug given against a stop: {reason} (Maren Holt, 17 March 2026)" in text["D1 D3"]
    assert "alerts" not in clean


def test_a_wrong_tooth_and_a_stopped_operation_are_said_first(told: Told) -> None:
    """What went wrong stands at the top and in its section, beside the tooth that was meant."""
    tree = _after()
    wrong = copy.deepcopy(tree["teeth"][0])
    wrong.update(tooth="37", canal="not_applicable")
    row = copy.deepcopy(tree["operation"]["procedures"][0])
    fault = {"code": "wrong_tooth", "words": "Taken first.", "action": "Put back.", "patient_told": "yes"}
    row.update(tooth="37", difference="Taken for the wisdom tooth.", complications=[fault])
    tree["teeth"].append({key: wrong[key] for key in wrong if key not in ("depth", "ramus", "angle_degrees")})
    tree["operation"]["procedures"].append(row)
    reason = "It is recorded, not renamed."
    tree["departures"] = [{"code": "teeth-performed-extra", "reason": reason, "by": "mh", "on": "2026-03-17"}]
    note, leaflet = told(tree, "operative-note"), told(tree, "aftercare", undated=False)
    stopped = _after()
    stopped["operation"]["procedures"][0].update(performed="stopped", difference="She felt faint.", tooth_out="not_out")
    stopped["aftercare"]["syringe_given"] = "no"

    assert "Wrong tooth treated: lower left second molar" in note["alerts"]
    assert "not proposed │ removal │ added" in note["O5 O10"]
    assert "Complications │ none" in note["O9"]
    assert "This was not part of the plan. Ask us about it." in leaflet["A1"]
    assert "Stopped before completion: lower left wisdom tooth" in told(stopped, "operative-note")["alerts"]
    assert "Left behind" in told(stopped, "operative-note")["D8"]
    assert "the whole tooth (not removed)" in told(stopped, "operative-note")["D8"]
    assert "We did not finish. Ask us what comes next." in told(stopped, "aftercare", undated=False)["A1"]
    stopped["aftercare"]["extra_words"] = "The hospital writes to you."
    words = told(stopped, "aftercare", undated=False)
    assert "We did not finish. The hospital writes to you." in words["A1"]
    assert "The hospital" not in words["review"]


def test_where_nothing_was_done_the_note_says_so_in_each_section(told: Told) -> None:
    """An operation that was not done asks for its reason and nothing else, and no section is left empty."""
    tree = _after()
    row = {
        "tooth": "38",
        "side": "left",
        "jaw": "lower",
        "performed": "not_done",
        "difference": "She changed her mind.",
    }
    tree["operation"]["procedures"] = [row]
    tree["aftercare"]["syringe_given"] = "no"
    note = told(tree, "operative-note")

    assert "removal │ not done │ left out" in note["O5 O10"]
    for section in ("O6 D5 D6 D7", "O8", "D8", "O12", "O13", "O9", "D10"):
        assert "Not applicable: nothing was performed." in note[section]
    assert "Nothing was done here." in told(tree, "aftercare", undated=False)["A1"]


def test_a_trainee_has_a_supervisor_who_signs(told: Told) -> None:
    """Named with the operator and on a line of their own; an unusual number of stitches is noted."""
    tree = _after()
    trainee = {"id": "aq", "name": "Ada Quill", "roles": ["operator"], "trainee": "yes", "supervisor": "mh"}
    tree["practitioners"].append({**trainee, "registration_number": "3 (sample)", "registration_body": "Register"})
    put(tree, "plan.operator", "aq")
    tree["operation"].update(operator="aq", signed_by="aq")
    for name in ("supervisor_signed_by", "supervisor_signed_at"):
        del tree["operation"][name]
    tree["operation"]["procedures"][0]["sutures"]["count"] = "4"
    note, usual = told(tree, "operative-note"), told(_after(), "operative-note")

    assert "The operator is in training; supervisor │ Maren Holt" in note["O1 O2 O3 O4"]
    assert ["Operator", "Supervisor"] == _roles(note["O17 D15 D16 O18"])
    assert "Not the usual number: usual here is 2" in note["O13"]
    assert "usual" not in usual["O13"]
    assert "Maren Holt watches over the work and answers for it." in told(tree, "consent")["C11"]


def test_what_does_not_apply_is_said_in_words_a_patient_knows(told: Told) -> None:
    """No photographs, and a clinician without a register: both are printed without a code word."""
    tree = _before()
    tree["consent"]["photographs"] = "not_applicable"
    tree["practitioners"][0].update(registration_number="not_applicable", registration_body="not_applicable")
    text = told(tree, "consent")

    assert "No photographs are planned." in text["C25"]
    assert "registration number" not in text["C21 C22"]
    assert "not_applicable" not in " ".join(text.values())


def test_every_departure_has_words() -> None:
    """Each code a departure may name is said in words, for a note has no codes."""
    words = read_words((shipped_folder("templates"),)).groups["departures.code"]

    assert DEPARTURE_CODES == set(words)


def test_the_leaflet_of_a_child_tells_it_nothing_a_child_does_not_do(told: Told) -> None:
    """No driving, smoking or drinking of its own, no "0 days"; a grown-up patient reads them."""
    tree = _minor()
    tree.update({group: _after()[group] for group in ("operation", "prescriptions", "aftercare", "follow_up")})
    tree["aftercare"]["days_off_work"] = "0"
    child, grown = told(tree, "aftercare", undated=False), told(_after(), "aftercare", undated=False)

    assert "You may ride a bike again when you feel fit for it. You need no day off school or work." in child["A12"]
    assert child["A12"].startswith("School, bike")
    assert "No aspirin for a child, unless a doctor gave it for the heart or blood." in child["A6"]
    assert "We write here how much to take each time." in child["A6"]
    assert "drive" not in " ".join(child.values())
    assert "Do not smoke" not in child["A7 A8"]
    assert "Do not smoke. Do not drink alcohol." in grown["A7 A8"]
    assert "You may drive or ride a bike when you feel fit for it. Stay off work for 1 day." in grown["A12"]


def test_a_biopsy_has_no_jaw_that_stiffens_and_no_tooth_that_is_taken(told: Told, made: Make) -> None:
    """What follows from taking out a tooth is not told to who had a piece of tissue taken, nor "another reason"."""
    tree, wish = example_tree("wexholm"), {"on": date(2026, 5, 5), "formats": ("text",), "copies": ("patient",)}
    leaflet, consent = (_sections(made(tree, kind, **wish)) for kind in ("aftercare", "consent"))

    assert "Where: at your lower left first molar" in leaflet["A1"]
    assert "jaw" not in leaflet["A2"]
    assert "Stiff jaw: until about 27 March 2026." in told(_after(), "aftercare", undated=False)["A2"]
    assert "another reason" not in consent["C2"]
    assert "Leaving it alone is always a choice." in consent["C9"]


def _with_upper(tree: Tree) -> Tree:
    """Add an upper tooth on the right to the lower left one."""
    tree["teeth"].append({**copy.deepcopy(UPPER), "tooth": "16", "side": "right"})
    first = tree["plan"]["procedures"][0]
    plain = {"surgical": "no", "incision": "no", "extra_steps": "none", "coronectomy": "not_applicable"}
    tree["plan"]["procedures"].append({**copy.deepcopy(first), "tooth": "16", "side": "right", "jaw": "upper", **plain})
    tree["consent"]["teeth"], tree["referral"]["teeth"] = ["38", "16"], ["38", "16"]
    tree["imaging"][0]["teeth"] = ["38", "16"]
    return tree


def test_a_figure_says_at_which_teeth_it_holds(told: Told) -> None:
    """Only where only these can have the event, highest where the others have less, neither with one tooth."""
    both, one = _with_upper(_before()), told(_before(), "consent")["C7"]
    text, leaflet = told(both, "consent"), told(both, "aftercare")
    lower, upper = "lower left wisdom tooth (third molar)", "upper right first molar"

    assert f"between the mouth and the sinus. Only at: {upper} │" in text["C7"]
    assert f"a broken jaw. Only at: {lower} │" in text["C7"]
    assert f"(dry socket). Highest at: {lower} │" in text["C7"]
    assert "a piece of root stays in the jaw │" in text["C7"]
    assert [] == re.findall("Only at|Highest at", one)
    assert f"You agree to the operation on: {lower}, 38 FDI, LL8 Palmer {upper}, 16 FDI, UR6 Palmer" in text["C12"]
    assert "Chew where it hurts least." in leaflet["A7 A8"]
    assert "Chew on the other side." in told(_before(), "aftercare")["A7 A8"]


def test_bleeding_is_defined_as_it_was_measured(told: Told) -> None:
    """A return visit without a blood thinner, any later bleeding with one (4.4): never both in one row."""
    thinner = told(_thinner(_before(), "warfarin", "continue", ["18:00"]), "consent")["C7"]
    plain = told(_before(), "consent")["C7"]

    assert "bleeding at home that needs a return visit │ about 7 │ about 993" in plain
    assert "any later bleeding" not in plain
    assert "with a blood thinner: any later bleeding │ about 39 │ about 961" in thinner
    assert "return visit" not in thinner


def test_the_word_for_how_often_stands_after_the_number_if_the_clinic_wants_it(told: Told) -> None:
    """The band of the unrounded figure (EC-FREQ: common from 1, uncommon from 0.1 of 100); never unasked."""
    tree = _coronectomy(_before())
    plain = told(tree, "consent")["C7"]
    tree["settings"]["risk.words"] = {"value": "on", "by": "Maren Holt", "on": "2026-01-05"}
    text = told(tree, "consent")["C7"]

    assert "a piece of root stays in the jaw │ about 11 (common) │ about 989" in text
    assert "bleeding at home that needs a return visit │ about 7 (uncommon) │ about 993" in text
    assert "a broken jaw │ about 5 (very rare) │ about 99,995" in text
    assert "about 5 out of 1,000 (uncommon) │ about 995" in text
    assert [] == re.findall(r"\((?:very )?(?:common|rare)\)|\(uncommon\)", plain)


def test_a_large_piece_of_bone_is_called_large(told: Told) -> None:
    """The clinic that counts large pieces prints their figure and says so (4.4)."""
    tree = _upper(_before())
    tree["teeth"][0].update(tooth="28", angle_degrees="0")
    for path in ("plan.procedures[0].tooth", "consent.teeth", "referral.teeth", "imaging[0].teeth"):
        put(tree, path, "28" if path.endswith("tooth") else ["28"])
    small = told(tree, "consent")["C7"]
    tree["settings"]["risk.tuberosity_event"] = {"value": "large_fragment", "by": "Maren Holt", "on": "2026-01-05"}

    assert "a piece of bone behind the tooth, of any size, breaks off │" in small
    assert "a large piece of bone behind the tooth breaks off │" in told(tree, "consent")["C7"]


def test_a_guardian_of_another_language_is_named_as_the_reader(made: Make) -> None:
    """The young person reads English; it is the grown-up who signs who reads best in Polish."""
    tree = _minor()
    tree["guardian"]["language"] = "pl"
    tree["consent"]["interpreter"] = dict(INTERPRETER)
    text = _sections(made(tree, "consent", on=DAY_OF_PLAN, formats=("text",), copies=("patient",), language="en"))

    assert "The grown-up who signs reads best in Polish." in text["language"]
    assert "You read best in" not in text["language"]
