"""Every bundle of every example is R4: by the official schema, by an independent model, and by the definitions."""

from __future__ import annotations

import json

import pytest
from bundles import KINDS, PDF, Told, all_told, issued, one, resources
from conftest import ISSUED_ON
from definitions import faults, validator
from fhir.resources.R4B.bundle import Bundle

from docgen.exchange import bundle


def _wrong(told: Told) -> list[str]:
    """Give what the three checkers say of a document's bundle, inside the PDF and beside it."""
    found = []
    for issue in ({}, {"files": (PDF,), "state": "signed", "replaces": 41}):
        content = told.read(**issue)
        found += [f"schema: {error}" for error in validator().iter_errors(content)]
        found += [f"definitions: {fault}" for fault in faults(content)]
        Bundle.model_validate(content)
    return found


@pytest.mark.parametrize("example", ISSUED_ON)
def test_every_bundle_passes_three_checkers(example: str) -> None:
    """Schema, model and definitions find nothing in any document of an example."""
    assert {} == {told.name: wrong for told in all_told(example) if (wrong := _wrong(told))}


def test_every_kind_is_among_the_examples() -> None:
    """No kind goes unchecked."""
    assert set(KINDS) == {told.kind.name for told in all_told("holloway", "ostermill")}


FAULTS = {
    "an unknown status": lambda one: resources(one, "Procedure")[0].update(status="done!"),
    "an unknown gender": lambda one: resources(one, "Patient")[0].update(gender="f"),
    "no title": lambda one: resources(one, "Composition")[0].pop("title"),
    "30 February": lambda one: resources(one, "Composition")[0].update(date="2026-02-30T09:30:00Z"),
    "a dangling reference": lambda one: resources(one, "Procedure")[0].update(subject={"reference": "urn:uuid:x"}),
    "a wrong target": lambda one: resources(one, "Procedure")[0].update(
        subject={"reference": one["entry"][0]["fullUrl"]}
    ),
    "an unknown element": lambda one: resources(one, "Patient")[0].update(color="red"),
    "a script": lambda one: resources(one, "Patient")[0]["text"].update(
        div='<div xmlns="http://www.w3.org/1999/xhtml"><script>x</script></div>'
    ),
    "an unreachable resource": lambda one: one["entry"].append(
        {"fullUrl": "urn:uuid:a", "resource": {"resourceType": "Organization", "id": "a", "name": "A"}}
    ),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_the_definitions_find_a_fault(fault: str) -> None:
    """What the other two checkers let pass is found by ours."""
    content = one("fenwright", "operative-note").read()
    assert [] == faults(content)
    FAULTS[fault](content)

    assert 1 == len(faults(content))


def test_the_same_document_gives_the_same_bytes() -> None:
    """Ids come from register and number, moments from arguments."""
    told = one("fenwright", "referral")

    assert told.bundle() == told.bundle()
    assert told.bundle() == json.dumps(
        json.loads(told.bundle()), sort_keys=True, ensure_ascii=False, separators=(",", ":")
    ).encode()  # fmt: skip


def test_another_number_gives_other_ids() -> None:
    """No id of one document stands in another's bundle."""
    told = one("fenwright", "referral")
    other = issued(told.case)
    other = type(other)(other.register, 43, other.at)
    second = json.loads(bundle(told.case, told.kind, told.stated, told.document, other, told.phrases))
    ids = [{entry["fullUrl"] for entry in content["entry"]} for content in (told.read(), second)]

    assert set() == ids[0] & ids[1]


def test_a_file_is_named_by_its_digest() -> None:
    """The DocumentReference holds number, SHA-256, size and what the document took the place of."""
    told = one("fenwright", "operative-note")
    (file,) = resources(told.read(files=(PDF,), replaces=41), "DocumentReference")

    assert f"nih:sha-256;{PDF.digest}" in [one["value"] for one in file["identifier"]]
    assert "000042" in [one["value"] for one in file["identifier"]]
    assert PDF.size == file["content"][0]["attachment"]["size"]
    assert [("replaces", "000041")] == [(r["code"], r["target"]["identifier"]["value"]) for r in file["relatesTo"]]
    assert [] == resources(told.read(), "DocumentReference")


@pytest.mark.parametrize(
    ("issue", "expected"),
    [
        ({}, ("current", "final", "final")),
        ({"state": "superseded"}, ("superseded", "final", "final")),
        ({"state": "withdrawn", "reason": "entered_in_error"}, ("entered-in-error",) * 3),
        ({"state": "withdrawn", "reason": "other"}, ("current", "final", "final")),
    ],
)
def test_a_state_of_the_register_is_a_state_of_fhir(issue: dict[str, str], expected: tuple[str, ...]) -> None:
    """Issued, superseded and withdrawn in error each have their own word."""
    content = one("fenwright", "operative-note").read(files=(PDF,), **issue)
    (file,), composition = resources(content, "DocumentReference"), content["entry"][0]["resource"]

    assert expected == (file["status"], file["docStatus"], composition["status"])
