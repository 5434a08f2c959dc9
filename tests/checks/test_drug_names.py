"""Drugs in the record's words and lists: what is found in a text, and how near a misspelled name is."""

from __future__ import annotations

import pytest
from edited_case import checked, found

from docgen.checks.free_text import drugs_named
from docgen.clinical.table_file import read_tables


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("Takes Warfarin since 2019.", ("warfarin",)),
        ("Aspirin, and zoledronic acid once a year", ("zoledronic acid", "aspirin")),
        ("On ramipril since April, pain since avril.", ("ramipril",)),
        ("Cefaleia e alcohol, sin alergias.", ()),
        ("A bone scan with medronic acid", ()),
        ("No medicine at all", ()),
    ],
)
def test_a_text_names_the_drugs_of_the_class_lists(text: str, named: tuple[str, ...]) -> None:
    """Full names, synonyms and endings of a class are found; months and beginnings of other words are not."""
    assert named == drugs_named(text, read_tables())


@pytest.mark.parametrize(
    ("name", "severity"),
    [
        ("simvastatine", "refuse"),
        ("simvstatine", "refuse"),
        ("simvstatinee", "note"),
        ("levothyroxine", "note"),
        ("xysimvastatin", "refuse"),
        ("xyzsimvastatin", "note"),
    ],
)
def test_a_name_up_to_two_letters_away_is_taken_for_misspelled(name: str, severity: str) -> None:
    """At most two letters from a known drug refuses a drug that is taken; three are another drug, and noted."""
    edits = {"medical.medications": f"[{{inn: {name}}}]"}
    assert {("drug-unknown", "medical.medications[0].inn", severity)} == found(checked(edits))


def test_a_drug_the_clinic_knows_is_known() -> None:
    """A name the clinic adds is known in every list, and what is near it is misspelled."""
    clinic = {"clinic.drugs": "[levothyroxine]"}
    known = checked({"medical.medications": "[{inn: Levothyroxine sodium}]"}, clinic_edits=clinic)
    near = checked({"medical.medications": "[{inn: levothyroxin}]"}, clinic_edits=clinic)
    assert set() == found(known)
    assert {("drug-unknown", "medical.medications[0].inn", "refuse")} == found(near)


def test_a_drug_in_words_that_a_list_holds_is_no_finding() -> None:
    """A blood thinner in words is silent once it stands in a list, under any of its names, or as an allergy."""
    words = {"medical.anesthetic_history": "Bled for a day on aspirin."}
    allergy = {"medical.allergies": "[{substance: acetylsalicylic acid, group: nsaid, severity: intolerance}]",
               "prescriptions": "none"}  # fmt: skip
    assert set() == found(checked({**words, **allergy}))


def test_texts_of_a_later_moment_are_left_alone() -> None:
    """The consent does not read what the operation says."""
    edits = {"operation.held_medicines": "Warfarin was paused."}
    assert set() == found(checked(edits, ("consent",)))
    refused = {("drug-in-words", "operation.held_medicines", "refuse")}
    assert refused == found(checked(edits, ("operative-note",)))


def test_a_conflict_of_a_drug_already_given_is_explained_by_its_own_row() -> None:
    """A macrolide given beside a statin is written down with a departure from the row, or from allergy-drug."""
    edits = {
        "medical.medications": "[{inn: simvastatin}]",
        "operation.antibiotic": "{inn: azithromycin, dose_mg: 500, at: '2026-03-17T09:05'}",
    }
    path = "operation.antibiotic.inn"
    assert {("allergy-drug", path, "refuse")} == found(checked(edits, ("operative-note",)))
    for code in ("macrolide-statin", "allergy-drug"):
        departures = {"departures": f"[{{code: {code}, reason: Paused by the physician., by: mh, on: 2026-03-17}}]"}
        assert {("allergy-drug", path, "note")} == found(checked({**edits, **departures}, ("operative-note",)))
