"""Conditions of gate 3 that only a second case tells apart: the other day, the other document, half an explanation."""

from __future__ import annotations

from datetime import date

import pytest
from edited_case import Edits, checked, edited, found, request
from provocation import EXTRA, ROW, UPPER
from provoke_drugs import PRESCRIBED, REPLY, VALVE

from docgen.checks.departures import departure_checks
from docgen.checks.look import Look
from docgen.clinical.table_file import read_tables
from docgen.facts import state_facts

DEPARTED = {
    "departures": "[{code: teeth-performed-extra, reason: Told at once., by: mh, on: 2026-03-17}]",
}
FAULT = "[{code: %s, words: x, action: %s, patient_told: %s}]"


@pytest.mark.parametrize(("kind", "codes"), [("consent", set()), ("safety-sheet", {"endocarditis-differs"})])
def test_a_consent_before_the_day_asks_for_no_antibiotic_yet(kind: str, codes: set[str]) -> None:
    """The consent given out earlier is not held up by the antibiotic of the day; the safety sheet always is."""
    problems = checked(VALVE, (kind,), issued_on=date(2026, 3, 3))
    assert codes == {p.code for p in problems if p.code == "endocarditis-differs"}


@pytest.mark.parametrize(
    "fault",
    [FAULT % ("wrong_tooth", "Stopped.", "no"), FAULT % ("bleeding", "Stopped.", "yes"),
     "[{code: wrong_tooth, words: x, patient_told: yes}]"],
)  # fmt: skip
def test_half_an_explanation_of_an_extra_tooth_lifts_nothing(fault: str) -> None:
    """It takes the complication wrong_tooth, its action and the patient told, all three."""
    edits = {**EXTRA, **DEPARTED, "operation.procedures[1].complications": fault}
    refused = {("teeth-performed-extra", "operation.procedures[1].tooth", "refuse")}
    assert refused == found(checked(edits, ("operative-note",)))


@pytest.mark.parametrize(
    "extra", ["{what: Biopsy, agreed: yes}", "{reason: A lump., agreed: yes}", "{what: Biopsy, reason: x, agreed: no}"]
)
def test_an_extra_procedure_needs_what_why_and_a_yes(extra: str) -> None:
    """Without one of the three the extra tooth stands unexplained."""
    refused = {("teeth-performed-extra", "operation.procedures[1].tooth", "refuse")}
    assert refused == found(checked({**EXTRA, "operation.extra_procedure": extra}, ("operative-note",)))


@pytest.mark.parametrize(
    ("teeth", "expected"), [("[48]", {("teeth-agreed-differ", "consent.teeth", "refuse")}), ("[38]", set())]
)
def test_teeth_are_compared_without_a_notation(teeth: str, expected: set[tuple[str, str, str]]) -> None:
    """Whatever the notation is, two numbers of one notation are two teeth."""
    assert expected == found(checked({"record.tooth_notation": None, "consent.teeth": teeth}, ("consent",)))


def test_an_unfinished_list_is_not_compared_without_a_notation() -> None:
    """One tooth of the plan without a number: nothing is said about the whole."""
    edits: Edits = {
        "record.tooth_notation": None,
        "consent.teeth": "[38, 48]",
        "plan.procedures[1]": "{side: right, jaw: lower, procedure: removal, surgical: no}",
    }
    assert set() == found(checked(edits, ("consent",)))


def test_a_row_that_lacks_its_cartridge_adds_nothing() -> None:
    """Without the size of the cartridge a volume is no number of cartridges."""
    edits = {"patient.weight_kg": None, "operation.injections[0].cartridge_ml": None}
    assert {("dose-no-weight", "patient.weight_kg", "note")} == found(checked(edits, ("operative-note",)))


def test_only_a_sedative_begins_the_operation() -> None:
    """A drug that sedates nobody may be given before the confirmation."""
    given = "[{inn: dexamethasone, dose: 4 mg, at: '2026-03-17T09:30', by: mh}]"
    assert set() == found(checked({"operation.drugs_given": given}, ("operative-note",)))


@pytest.mark.parametrize(("group", "is_silent"), [("penicillin", True), ("latex", False)])
def test_an_allergy_in_words_is_silent_where_its_group_is_listed(group: str, *, is_silent: bool) -> None:
    """The words name one group, and that one has to be listed."""
    edits = {
        "medical.allergies": f"[{{substance: {group}, group: {group}, severity: rash}}]",
        "medical.anesthetic_history": "She is allergic to penicillin.",
    }
    problems = checked(edits, ("consent",))
    assert is_silent == ("allergy-differs" not in {p.code for p in problems})


def test_every_reason_of_a_conflict_is_named() -> None:
    """An allergy and a drug that speak against one order stand side by side in one message."""
    edits = {
        "medical.allergies": "[{substance: erythromycin, group: macrolide, severity: rash}]",
        "medical.medications": "[{inn: simvastatin}]",
        "prescriptions": "[%s]" % (PRESCRIBED % "azithromycin"),
    }
    (problem,) = checked(edits, ("operative-note",))
    others = "medical.allergies[0].group, medical.medications[0].inn"
    assert f"prescriptions[0].inn conflicts with {others} (same-allergy, macrolide-statin)" == problem.what.in_words()


def test_the_rows_about_departures_know_the_codes_they_are_given() -> None:
    """Made for one code, they refuse every other one and offer the near one."""
    departures = (
        "[{code: inr-verdict, reason: x, by: mh, on: 2026-03-17}, {code: inr-verdit, reason: x, by: jt, "
        "on: 2026-03-17}]"
    )
    case, _ = edited({"departures": departures})
    asked, tables = request("consent"), read_tables()
    look = Look(case, asked, state_facts(case, asked, tables).results, tables)
    rows = departure_checks(frozenset({"inr-verdict"}))
    said = [(row.code, one.path, one.fix.in_words()) for row in rows for one in row.find(look)]
    assert [
        ("bad-value", "departures[1].code", "did you mean inr-verdict?"),
        ("bad-value", "departures[1].by", "a surgeon or operator decides it and writes the reason"),
    ] == said


def test_a_missing_weight_names_the_injections_of_its_moment() -> None:
    """The safety sheet speaks of what is planned, the note of what was given."""
    said = [checked({"patient.weight_kg": None}, (kind,)) for kind in ("safety-sheet", "operative-note")]
    assert [
        "patient.weight_kg is missing: no limit is computed for plan.injections",
        "patient.weight_kg is missing: no limit is computed for operation.injections",
    ] == [one.what.in_words() for problems in said for one in problems]


def test_a_row_without_numbers_hides_no_row_behind_it() -> None:
    """The second prescription passes its own maximum although the first has none."""
    second = "{inn: paracetamol, dose_mg: 500, times_per_day: 4, hours_apart: 6, max_mg_per_day: 1500, supply: %s}"
    edits = {"prescriptions[0].max_mg_per_day": None, "prescriptions[1]": second % "over_the_counter"}
    assert ("daily-dose", "prescriptions[1].max_mg_per_day", "refuse") in found(checked(edits, ("operative-note",)))


def test_a_stopped_total_is_said_at_its_own_rows() -> None:
    """A paracetamol behind too much ibuprofen is not accused."""
    sound = "{inn: paracetamol, dose_mg: 500, times_per_day: 4, hours_apart: 6, max_mg_per_day: 2000, supply: %s}"
    edits = {
        "prescriptions[0].max_mg_per_day": "1600",
        "prescriptions[0].times_per_day": "4",
        "prescriptions[1]": sound % "over_the_counter",
    }
    assert {("daily-dose", "prescriptions[0].dose_mg", "refuse")} == found(checked(edits, ("operative-note",)))


NOBODY_ASKED: Edits = {"medical.conditions": None, "patient.weight_kg": "80"}
"""The low limit of epinephrine, 40 micrograms, is assumed; lidocaine has 300 mg, and a healthy patient 200."""
STRONG: Edits = {"plan.injections[0].dilution": "50000", "plan.injections[1].dilution": "50000"}
TWO_DRUGS: Edits = {"plan.injections[1].inn": "articaine", "plan.injections[1].percent": "4"}


@pytest.mark.parametrize(
    ("more", "codes"),
    [
        ({}, set()),
        ({"medical.conditions": "[{code: angina_unstable, words: angina}]"}, {"dose-over-limit"}),
        ({"plan.injections[0].volume_ml": "12.8"}, set()),  # 300 mg
        ({"plan.injections[0].volume_ml": "12.9"}, {"dose-over-limit"}),
        ({**STRONG, "plan.injections[0].volume_ml": "7.8"}, set()),  # 200 micrograms
        ({**STRONG, "plan.injections[0].volume_ml": "7.9"}, {"dose-over-limit"}),
        ({**TWO_DRUGS, "plan.injections[0].volume_ml": "6", "plan.injections[1].volume_ml": "7.5"}, set()),
        ({**TWO_DRUGS, "plan.injections[0].volume_ml": "6.1", "plan.injections[1].volume_ml": "7.5"},
         {"dose-over-limit"}),
    ],
)  # fmt: skip
def test_an_epinephrine_limit_that_is_merely_assumed_convicts_no_dose(more: Edits, codes: set[str]) -> None:
    """55 micrograms pass a limit an illness lowers; with nobody asked, healthy limits and the sum of drugs judge."""
    regime = {"settings.la.regime": "{value: conservative, by: Maren Holt, on: 2026-01-05}"}
    problems = checked({**NOBODY_ASKED, **more}, ("safety-sheet",), clinic_edits=regime)
    assert codes == {p.code for p in problems if p.code == "dose-over-limit"}


@pytest.mark.parametrize("path", ["plan.made_on", "consent.first_talk_on"])
def test_what_is_planned_and_agreed_lies_behind_a_consent_and_not_behind_a_referral(path: str) -> None:
    """A consent is refused for a plan or a talk of the next day; the letter that was sent earlier is not."""
    edits = {path: "2026-03-03", "patient.weight_on": None, "medical.checked_on": None, "imaging[0].viewed_on": None}
    said = {
        kind: {p.path for p in checked(edits, (kind,), issued_on=date(2026, 3, 2)) if p.code == "dates-order"}
        for kind in ("consent", "referral")
    }
    assert (True, set()) == (path in said["consent"], said["referral"])


@pytest.mark.parametrize(("kind", "expected"), [("physician-query", "query.signed_by"), ("consent", None)])
def test_only_the_query_looks_at_who_signed_it(kind: str, expected: str | None) -> None:
    """A signer nobody knows is named where the letter is made."""
    problems = checked({"query": "{signed_by: xy}"}, (kind,))
    assert ({("bad-value", expected, "refuse")} if expected else set()) == found(problems)


ALLERGIC_TO_LATEX = "Bled on warfarin, and has an allergy to latex."


@pytest.mark.parametrize(
    ("edits", "kind", "path"),
    [
        ({"query": f"{{questions: [May she go on?, '{ALLERGIC_TO_LATEX}']}}"}, "physician-query", "query.questions[1]"),
        ({**REPLY, "reply.summary": ALLERGIC_TO_LATEX}, "reply", "reply.summary"),
        ({"plan.benefit": ALLERGIC_TO_LATEX}, "consent", "plan.benefit"),
    ],
)
def test_the_words_of_a_document_are_read_for_drugs_and_allergies(edits: Edits, kind: str, path: str) -> None:
    """What the letter itself says is looked at like the history."""
    assert {("drug-in-words", path, "refuse"), ("allergy-differs", path, "refuse")} == found(checked(edits, (kind,)))


@pytest.mark.parametrize(
    ("edits", "kind"),
    [
        ({"plan.benefit": ALLERGIC_TO_LATEX}, "referral"),
        ({"query": f"{{questions: ['{ALLERGIC_TO_LATEX}']}}"}, "consent"),
        ({"reply.summary": ALLERGIC_TO_LATEX}, "operative-note"),
    ],
)
def test_words_of_another_document_or_a_later_moment_are_not_read(edits: Edits, kind: str) -> None:
    """A referral knows no plan, and no document reads the letter of another."""
    assert set() == found(checked(edits, (kind,)))


@pytest.mark.parametrize(("group", "codes"), [("nsaid", set()), ("latex", {"allergy-differs"})])
def test_a_sensitive_airway_asks_for_an_allergy_to_its_group(group: str, codes: set[str]) -> None:
    """The list that names the group nsaid, in any place, is complete; another allergy does not stand for it."""
    allergies = "[{substance: pollen, group: other, severity: rash}, {substance: x, group: %s, severity: rash}]"
    edits = {
        "medical.conditions": "[{code: aspirin_sensitive_airway, words: wheeze}]",
        "medical.allergies": allergies % group,
        "prescriptions": "none",
    }
    assert codes == {p.code for p in checked(edits, ("consent",))}


def test_the_list_of_allergies_is_not_accused_of_its_own_words() -> None:
    """A reaction that tells of a second allergy stands in the list already, where the clinician reads it."""
    allergies = "[{substance: pollen, group: other, reaction: also allergic to latex, severity: rash}]"
    assert set() == found(checked({"medical.allergies": allergies}, ("consent",)))


@pytest.mark.parametrize(
    ("performed", "codes"),
    [("not_done", set()), ("removal", {"suture-unusual", "emphysema", "section-past-furcation"})],
)
def test_a_tooth_that_was_not_touched_has_nothing_unusual(performed: str, codes: set[str]) -> None:
    """Handpiece, cut and stitches of a row count only if something was done there."""
    edits = {
        f"{ROW}.performed": performed,
        f"{ROW}.handpiece": "air_driven",
        f"{ROW}.lingual_flap_raised": "yes",
        f"{ROW}.sectioned_to": "past_furcation",
        f"{ROW}.sutures.count": "3",
    }
    assert codes == {p.code for p in checked(edits, ("operative-note",))}


@pytest.mark.parametrize(
    ("handpiece", "flap", "codes"),
    [
        ("air_driven", "no", set()),
        ("electric", "yes", set()),
        ("air_driven", "yes", {("emphysema", f"{ROW}.handpiece", "note")}),
    ],
)
def test_air_under_the_skin_takes_the_air_and_the_flap(
    handpiece: str, flap: str, codes: set[tuple[str, str, str]]
) -> None:
    """Neither of the two is unusual alone."""
    edits = {f"{ROW}.handpiece": handpiece, f"{ROW}.lingual_flap_raised": flap}
    assert codes == found(checked(edits, ("operative-note",)))


@pytest.mark.parametrize(("tooth", "applies"), [("28", True), ("26", True), ("24", True), ("23", False)])
def test_the_sinus_test_applies_behind_the_upper_canine(tooth: str, *, applies: bool) -> None:
    """Premolars and molars lie under the sinus; at a canine the question does not arise."""
    edits = {
        **UPPER,
        **dict.fromkeys(("teeth[0].tooth", "plan.procedures[0].tooth", f"{ROW}.tooth"), tooth),
        **dict.fromkeys(("consent.teeth", "imaging[0].teeth", "referral.teeth"), f"[{tooth}]"),
        f"{ROW}.sinus_test": "not_applicable",
    }
    refused = {("na-contradicted", f"{ROW}.sinus_test", "refuse")}
    assert (refused if applies else set()) == found(checked(edits, ("operative-note",)))


@pytest.mark.parametrize(
    ("day", "codes"), [("2026-03-17", set()), ("2026-03-18", {"image-dated-after", "dates-order"})]
)
def test_an_image_of_the_day_of_the_operation_is_in_time(day: str, codes: set[str]) -> None:
    """It shows the tooth as it was; only one of a later day cannot."""
    edits = {"imaging[0].taken_on": day, "imaging[0].viewed_on": "2026-03-17"}
    assert codes == {p.code for p in checked(edits, ("operative-note",))}


@pytest.mark.parametrize(("born", "codes"), [("2026-03-17", set()), ("2026-03-18", {"out-of-range"})])
def test_a_patient_may_be_born_on_the_day_of_issue(born: str, codes: set[str]) -> None:
    """Nobody is operated on before birth; the day itself is possible."""
    problems = checked({"patient.birth_date": born}, ("referral",))
    assert codes == {p.code for p in problems if p.path == "patient.birth_date"}
