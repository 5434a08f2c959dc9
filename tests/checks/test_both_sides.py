"""Conditions of gate 3 that only a second case tells apart: the other day, the other document, half an explanation."""

from __future__ import annotations

from datetime import date

import pytest
from edited_case import Edits, checked, edited, found, request
from provocation import EXTRA
from provoke_drugs import PRESCRIBED, VALVE

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
