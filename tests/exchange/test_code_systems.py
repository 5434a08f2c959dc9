"""Codes come from the clinic, words from the house, absences from the record; times know their offset or are days."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from bundles import PDF, Told, issued, one, resources
from conftest import ISSUED_ON, example_tree, put, shipped_world, tree_files
from definitions import faults

from docgen.case import Source, read_case
from docgen.exchange import Phrases, bundle, restated
from docgen.exchange.bundle import BUNDLE_NAME
from docgen.exchange.elements import day_or_moment, escaped, number
from docgen.exchange.health import LISTS
from docgen.exchange.narrative import xhtml
from docgen.facts import Known
from docgen.generate import Wish, compose_all
from docgen.language import read_language
from docgen.problem import Problems

OWN = "https://codes.example/own"


def _told(tree: dict[str, Any], kind: str, example: str = "fenwright") -> Told:
    on = ISSUED_ON[example]
    ready = compose_all(tree_files(tree), Wish(kinds=(kind,), on=on, formats=()), shipped_world(), lambda _zone: on)
    name, (asked, document) = next(iter(ready.documents.items()))
    language = ready.seen.languages[asked.request.language]
    return Told(name, ready.seen.case, asked.kind, asked, document, Phrases(ready.words, language))


def _set(tree: dict[str, Any], name: str, value: str) -> None:
    tree["settings"][name] = {"value": value, "by": "Maren Holt", "on": "2026-01-05"}


def test_no_code_of_a_foreign_system_is_shipped() -> None:
    """Without a word of the clinic only FHIR's own systems, LOINC, UCUM, BCP 47 and the tooth's number stand there."""
    content = json.dumps(one("holloway", "referral").read() | {"note": one("kestrelmoor", "operative-note").read()})
    systems = {part.split('"')[0] for part in content.split('"system": "')[1:]}
    foreign = {s for s in systems if not s.startswith(("http://terminology.hl7.org/CodeSystem/", "urn:uuid:"))}

    assert {
        "http://loinc.org",
        "http://unitsofmeasure.org",
        "urn:ietf:bcp:47",
        "urn:ietf:rfc:3986",
        "urn:iso:std:iso:3950",
        "phone",
        "email",
    } >= foreign


def test_the_clinic_gives_its_codes(fenwright: dict[str, Any]) -> None:
    """System, version, code and display stand as the clinic wrote them, beside the words."""
    _set(fenwright, "exchange.procedure.removal", f"{OWN}|2026|R 1|Removal, surgical")
    _set(fenwright, "exchange.tooth_system", f"{OWN}/teeth")
    _set(fenwright, "exchange.medicine.ibuprofen", f"{OWN}||ibu|")
    content = _told(fenwright, "operative-note").read()
    (done,) = resources(content, "Procedure")
    taken = [one["medicationCodeableConcept"] for one in resources(content, "MedicationStatement")]

    assert [] == faults(content)
    assert {
        "coding": [{"system": OWN, "version": "2026", "code": "R 1", "display": "Removal, surgical"}],
        "text": "removal",
    } == done["code"]
    assert [{"system": f"{OWN}/teeth", "code": "38"}] == done["bodySite"][0]["coding"]
    assert [{"coding": [{"system": OWN, "code": "ibu"}], "text": "ibuprofen"}] == taken


def test_the_clinic_gives_codes_of_conditions_allergies_and_the_edition_of_icd10() -> None:
    """A condition has the clinic's code and its ICD-10 code, once the clinic says of which edition that is."""
    tree = example_tree("holloway")
    _set(tree, "exchange.condition.other", f"{OWN}|1|c|C")
    _set(tree, "exchange.allergy.penicillin", f"{OWN}|1|p|P")
    _set(tree, "exchange.icd10_system", f"{OWN}/icd")
    content = _told(tree, "referral", "holloway").read()
    valve = resources(content, "Condition")[0]["code"]

    assert [(OWN, "c"), (f"{OWN}/icd", "Z95.2")] == [(one["system"], one["code"]) for one in valve["coding"]]
    assert [(OWN, "p")] == [
        (o["system"], o["code"]) for o in resources(content, "AllergyIntolerance")[0]["code"]["coding"]
    ]


@pytest.mark.parametrize(
    "value", ["removal", f"{OWN}|1|x", f"{OWN}|1||Removal", "no uri|1|x|X", f"{OWN}|1| x|X", f"{OWN}|1|a  b|X"]
)
def test_a_code_without_system_is_no_code(value: str) -> None:
    """Four parts, the system a URI, the code not empty."""
    text = json.dumps({"settings": {"exchange.procedure.removal": {"value": value, "by": "x", "on": "2026-01-01"}}})
    problems = Problems()
    case = read_case(Source("clinic.json", text.encode(), is_json=True), None, None, problems)

    assert ["bad-value"] == [problem.code for problem in problems]
    assert {} == dict(case.settings)


@pytest.mark.parametrize(
    ("answer", "code", "words"),
    [("none", "nilknown", "none"), ("not_known", "unavailable", "not known (asked)")],
)
def test_no_known_allergies_is_said_only_when_somebody_asked(
    fenwright: dict[str, Any], answer: str, code: str, words: str
) -> None:
    """None and not known are two reasons; neither makes an AllergyIntolerance."""
    put(fenwright, "medical.allergies", answer)
    content = _told(fenwright, "referral").read()
    reasons = {one["title"]: one["emptyReason"] for one in _sections(content) if "emptyReason" in one}

    assert [] == resources(content, "AllergyIntolerance")
    assert (code, words) == (reasons["Allergies"]["coding"][0]["code"], reasons["Allergies"]["text"])


def test_what_nobody_recorded_is_not_called_none() -> None:
    """A list that nobody filled has no code of absence, only the words that it is not recorded."""
    told = one("fenwright", "referral")
    tree = json.loads(told.case_json())
    del tree["medical"]["conditions"]
    case = read_case(Source("case.json", json.dumps(tree).encode(), is_json=True), None, None, Problems())
    content = json.loads(bundle(case, told.kind, told.stated, told.document, issued(case), told.phrases))
    reasons = {one["title"]: one["emptyReason"] for one in _sections(content) if "emptyReason" in one}

    assert {"text": "not recorded"} == reasons["Conditions"]


def _sections(content: dict[str, Any]) -> list[dict[str, Any]]:
    found, ahead = [], list(content["entry"][0]["resource"]["section"])
    while ahead:
        found.append(ahead.pop())
        ahead += found[-1].get("section", [])
    return found


@pytest.mark.parametrize(
    ("sex", "gender"), [("female", "female"), ("male", "male"), ("other_recorded", "other"), ("not_known", "unknown")]
)
def test_sex_has_its_word_of_fhir(fenwright: dict[str, Any], sex: str, gender: str) -> None:
    """Each answer has its own word."""
    put(fenwright, "patient.sex", sex)

    assert gender == resources(_told(fenwright, "referral").read(), "Patient")[0]["gender"]


@pytest.mark.parametrize(
    ("performed", "status"),
    [("removal", "completed"), ("stopped", "stopped"), ("not_done", "not-done")],
)
def test_what_was_done_has_its_state(performed: str, status: str) -> None:
    """What was not done has no time and nobody who did it, but its reason."""
    told = one("fenwright", "operative-note")
    tree = json.loads(told.case_json())
    tree["operation"]["procedures"][0] |= {"performed": performed, "difference": "The patient changed her mind."}
    case = read_case(Source("case.json", json.dumps(tree).encode(), is_json=True), None, None, Problems())
    stated = {**told.stated, "performed_differs": Known(status != "completed")}
    content = json.loads(bundle(case, told.kind, stated, told.document, issued(case), told.phrases))
    (done,) = resources(content, "Procedure")

    assert [] == faults(content)
    assert status == done["status"]
    assert (status != "not-done") is ("performedPeriod" in done and "performer" in done)
    assert (status != "completed") is ("statusReason" in done)


@pytest.mark.parametrize(
    ("edits", "issue", "status"),
    [
        ({}, {}, "active"),
        ({"consent.signed_at.patient": ""}, {}, "proposed"),
        ({"consent.withdrawn_at": "2026-03-10T09:00"}, {}, "inactive"),
        ({}, {"state": "withdrawn", "reason": "consent_withdrawn"}, "inactive"),
        ({}, {"state": "withdrawn", "reason": "entered_in_error"}, "entered-in-error"),
    ],
)
def test_a_consent_is_as_active_as_it_is(edits: dict[str, str], issue: dict[str, str], status: str) -> None:
    """Unsigned, signed, withdrawn and entered in error are four states."""
    told = one("fenwright", "consent", "clinic")
    tree = json.loads(told.case_json())
    for path, value in edits.items():
        group, _, name = path.rpartition(".")
        below = tree
        for step in group.split("."):
            below = below[step]
        if value:
            below[name] = value
        else:
            del below[name]
    case = read_case(Source("case.json", json.dumps(tree).encode(), is_json=True), None, None, Problems())
    content = json.loads(bundle(case, told.kind, told.stated, told.document, issued(case, **issue), told.phrases))
    (consent,) = resources(content, "Consent")

    assert [] == faults(content)
    assert status == consent["status"]
    assert ["removal: lower left wisdom tooth (third molar), 38 FDI"] == [
        c["text"] for c in consent["provision"]["code"]
    ]


def test_who_signs_for_another_is_named() -> None:
    """A guardian agrees as a related person, a decision-maker too."""
    for example in ("brzezna", "malvasio"):
        content = one(example, "consent", "clinic").read()
        (consent,), (person,) = resources(content, "Consent"), resources(content, "RelatedPerson")

        assert [{"reference": f"urn:uuid:{person['id']}"}] == consent["performer"]


def test_a_consent_says_what_it_is_whose_and_where() -> None:
    """Its category is the document's type, its organization the clinic, and who explained it is the author."""
    content = one("fenwright", "consent", "clinic").read(files=(PDF,))
    (consent,), composition = resources(content, "Consent"), content["entry"][0]["resource"]
    clinic, surgeon = resources(content, "Organization")[0], resources(content, "Practitioner")[0]
    (file,) = resources(content, "DocumentReference")

    assert [composition["type"]] == consent["category"] == [file["type"]]
    assert [("http://loinc.org", "59284-0")] == [(c["system"], c["code"]) for c in composition["type"]["coding"]]
    assert [{"reference": f"urn:uuid:{clinic['id']}"}] == consent["organization"]
    assert [{"reference": f"urn:uuid:{surgeon['id']}"}] == composition["author"]
    assert {"reference": f"urn:uuid:{file['id']}"} == consent["sourceReference"]
    assert "Maren Holt" == surgeon["name"][0]["text"]
    assert [{"verified": True, "verificationDate": "2026-03-17T09:40:00+00:00"}] == consent["verification"]


AUTHORS = {
    "operative-note": "Maren Holt",
    "reply": "Maren Holt",
    "referral": "P. Lindqvist-Odell",
    "consent": "Maren Holt",
}


@pytest.mark.parametrize("kind", AUTHORS)
def test_each_kind_has_its_author(kind: str) -> None:
    """Who signs or explains wrote it; of a referral, who refers, with the practice."""
    content = one("fenwright", kind, "clinic" if kind == "consent" else "").read()
    known = {entry["fullUrl"]: entry["resource"] for entry in content["entry"]}
    author = known[content["entry"][0]["resource"]["author"][0]["reference"]]
    person = known[author["practitioner"]["reference"]] if "practitioner" in author else author

    assert AUTHORS[kind] == person["name"][0]["text"]
    assert (kind == "referral") is (author["resourceType"] == "PractitionerRole")


def test_the_query_and_the_addendum_have_their_authors() -> None:
    """Who signs them wrote them."""
    for example, kind, path in (("holloway", "physician-query", "query"), ("ostermill", "addendum", "addendum")):
        told = one(example, kind)
        content = told.read()
        known = {entry["fullUrl"]: entry["resource"] for entry in content["entry"]}
        author = known[content["entry"][0]["resource"]["author"][0]["reference"]]
        people = {person.id: person.name for person in told.case.value("practitioners")}

        assert people[told.case.value(f"{path}.signed_by")] == author["name"][0]["text"]


def test_what_is_not_signed_is_preliminary(fenwright: dict[str, Any]) -> None:
    """A note waits for its signature, on paper or in the file; a kind that is not signed waits for nothing."""
    told = one("fenwright", "operative-note")
    tree = json.loads(told.case_json())
    del tree["operation"]["signed_at"]
    case = read_case(Source("case.json", json.dumps(tree).encode(), is_json=True), None, None, Problems())
    states = []
    for kind, state in ((told.kind, "issued"), (told.kind, "signed"), (replace(told.kind, signed_at=()), "issued")):
        content = json.loads(bundle(case, kind, told.stated, told.document, issued(case, state=state), told.phrases))
        states.append(content["entry"][0]["resource"]["status"])

    assert ["preliminary", "final", "final"] == states


HOMES = {
    ("holloway", "referral"): {
        "Urgency": {"ServiceRequest"},
        "Problem and findings": {"Condition"},
        "Health": {"AllergyIntolerance", "Condition", "MedicationStatement"},
    },
    ("holloway", "operative-note"): {
        "Health re-checked": {"AllergyIntolerance", "Condition", "MedicationStatement"},
        "Diagnosis before and after": {"Condition"},
        "Injections": {"MedicationAdministration"},
        "Done": {"Procedure"},
        "Prevention": {"MedicationAdministration"},
        "Medicines": {"MedicationStatement"},
    },
}


@pytest.mark.parametrize("document", HOMES)
def test_a_resource_hangs_on_the_section_that_prints_it(document: tuple[str, str]) -> None:
    """Each section of the page leads to what it says, and to nothing else."""
    content = one(*document).read()
    known = {entry["fullUrl"]: entry["resource"]["resourceType"] for entry in content["entry"]}
    sections = content["entry"][0]["resource"]["section"]

    assert HOMES[document] == {
        section.get("title"): {known[entry["reference"]] for entry in section["entry"]}
        for section in sections
        if "entry" in section
    }


def test_the_titles_of_absences_are_words_of_the_letters() -> None:
    """Each is a sentence that the catalogs know, so that a translated bundle has it too."""
    spanish = read_language("es", shipped_world().locales, Problems())

    assert spanish is not None
    assert [] == [title for title in LISTS.values() if not spanish.knows(title)]


def test_an_addendum_names_its_note() -> None:
    """It is appended to the number it adds to."""
    told = one("ostermill", "addendum")
    composition = told.read()["entry"][0]["resource"]
    note = told.case.value("addendum.note_number")

    assert [("appends", f"{note:06d}")] == [
        (r["code"], r["targetIdentifier"]["value"]) for r in composition["relatesTo"]
    ]


@pytest.mark.parametrize("sample", ["yes", "no"])
def test_invented_people_are_marked_as_test_data(fenwright: dict[str, Any], sample: str) -> None:
    """A sample record says so in bundle and patient, and on the page's head; a real one does not."""
    put(fenwright, "record.sample", sample)
    content = _told(fenwright, "referral").read()
    told = [one.get("meta") for one in (content, resources(content, "Patient")[0])]
    marks = content["entry"][0]["resource"]["text"]["div"]

    assert [] == faults(content)
    assert [sample == "yes"] * 2 == [bool(one) and one["security"][0]["code"] == "HTEST" for one in told]
    assert (sample == "yes") is ("SAMPLE" in marks)


def test_a_text_nobody_approved_is_not_final() -> None:
    """A draft is preliminary, whatever was signed."""
    composition = one("kestrelmoor", "referral").read()["entry"][0]["resource"]

    assert "preliminary" == composition["status"]
    assert "DRAFT" in composition["text"]["div"]
    assert "final" == one("fenwright", "referral").read()["entry"][0]["resource"]["status"]


def test_a_document_in_another_language_says_so(fenwright: dict[str, Any]) -> None:
    """A consent record in Arabic has Arabic narratives from right to left, and asks no catalog for what it lacks."""
    on = ISSUED_ON["fenwright"]
    wish = Wish(kinds=("consent",), copies=("patient",), language="ar", on=on, formats=())
    ready = compose_all(tree_files(fenwright), wish, shipped_world(), lambda _zone: on)
    name, (asked, document) = next(iter(ready.documents.items()))
    language = ready.seen.languages["ar"]
    before = dict(language.missing)
    content = Told(name, ready.seen.case, asked.kind, asked, document, Phrases(ready.words, language)).read()
    (consent,), composition = resources(content, "Consent"), content["entry"][0]["resource"]

    assert [] == faults(content)
    assert "ar" == composition["language"]
    assert all(' dir="rtl"' in section["text"]["div"] for section in composition["section"] if "text" in section)
    assert any("\u0600" < sign < "\u0700" for sign in consent["provision"]["code"][0]["text"])
    assert before == dict(language.missing)


LONDON = ZoneInfo("Europe/London")


@pytest.mark.parametrize(
    ("value", "zone", "expected"),
    [
        (datetime(2026, 3, 17, 10, 5), LONDON, "2026-03-17T10:05:00+00:00"),
        (datetime(2026, 7, 17, 10, 5), LONDON, "2026-07-17T10:05:00+01:00"),
        (datetime(2026, 10, 25, 1, 30), LONDON, "2026-10-25"),  # the clocks strike this hour twice
        (datetime(2026, 3, 29, 1, 30), LONDON, "2026-03-29"),  # and leave this one out
        (datetime(2026, 3, 17, 10, 5), None, "2026-03-17"),
        (date(2026, 3, 17), LONDON, "2026-03-17"),
        (None, LONDON, None),
    ],
)  # fmt: skip
def test_a_moment_knows_its_offset_or_is_a_day(value: object, zone: ZoneInfo | None, expected: str | None) -> None:
    """No offset is made up."""
    assert expected == day_or_moment(value, zone)


@pytest.mark.parametrize(("value", "expected"), [("400", "400"), ("2.20", "2.2"), ("0.5", "0.5"), ("1E+2", "100")])
def test_a_number_is_written_as_json_has_it(value: str, expected: str) -> None:
    """Whole numbers without a point, others without needless zeros."""
    assert expected == json.dumps(number(Decimal(value)))


HOSTILE = '<script>alert(1)</script> & "quoted" ]]> <!-- \x0b'


def test_no_text_becomes_markup(fenwright: dict[str, Any]) -> None:
    """What somebody typed stands in the narrative as typed, and the narrative stays well formed."""
    put(fenwright, "referral.problem", HOSTILE.strip(" \x0b"))
    put(fenwright, "patient.family_name", "O'<b>Neil</b>")
    content = _told(fenwright, "referral").read()

    assert [] == faults(content)
    assert "<script>" not in json.dumps(content["entry"][0])
    assert "&lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;quoted&quot; ]]&gt; &lt;!--  " == escaped(HOSTILE)


def test_the_narrative_says_the_words_of_the_page() -> None:
    """Each section of the document is a section of the Composition, with its heading, in order."""
    told = one("kestrelmoor", "operative-note")
    composition = told.read()["entry"][0]["resource"]
    divs = [section["text"]["div"] for section in composition["section"] if "text" in section and "title" in section]

    assert [xhtml(s.headed_blocks) for s in told.document.sections if s.heading] == [
        div.partition(">")[2].removesuffix("</div>") for div in divs if "<h2>" in div
    ]


@pytest.mark.parametrize(
    ("state", "reason", "expected"),
    [
        ("superseded", "", ("superseded", "final", "final")),
        ("withdrawn", "other", ("current", "final", "final")),
        ("withdrawn", "entered_in_error", ("entered-in-error",) * 3),
    ],
)
def test_a_kept_bundle_can_say_what_became_of_its_document(state: str, reason: str, expected: tuple[str, ...]) -> None:
    """The state alone is written anew, and the bundle gets an address of its own."""
    told = one("fenwright", "operative-note")
    kept = told.bundle(files=(PDF,))
    content = json.loads(restated(kept, issued(told.case, state=state, reason=reason)))
    (file,), composition = resources(content, "DocumentReference"), content["entry"][0]["resource"]

    assert [] == faults(content)
    assert expected == (file["status"], file["docStatus"], composition["status"])
    assert json.loads(kept)["id"] != content["id"]
    assert "bundle.json" == BUNDLE_NAME
