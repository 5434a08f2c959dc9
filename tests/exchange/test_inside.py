"""The files inside a PDF: which documents have them, whole standards, the same bytes, and nothing for patients."""

from __future__ import annotations

import hashlib
import io
import json
import subprocess
from dataclasses import replace
from pathlib import Path
from typing import Any

import page
import pypdf
import pytest
from bundles import KINDS, Told, issued, one
from conftest import need_program, shipped_world

from docgen.case import Source, read_case
from docgen.exchange import carries_exchange, files_inside
from docgen.generate import house_style
from docgen.kinds import Exchange, kind_names, read_kind
from docgen.problem import Problems
from docgen.render import pdf

PROFILES = (page.ValidationProfile.PDF_UA_1, page.ValidationProfile.PDF_A_3A)


def _pdf(told: Told) -> bytes:
    inside = files_inside(told.case, told.kind, told.stated, told.document, issued(told.case), told.phrases)
    return pdf.render(told.document, house_style(shipped_world()), attached=inside)


def _kind(name: str) -> Any:
    kind = read_kind(name, shipped_world().templates, Problems())
    assert kind is not None
    return kind


@pytest.mark.parametrize(("example", "kind"), [("fenwright", "referral"), ("kestrelmoor", "operative-note")])
def test_a_file_with_its_data_keeps_both_standards(example: str, kind: str, tmp_path: Path) -> None:
    """PDF/UA-1, PDF/A-3a and clean syntax, and the same bytes each time."""
    content = _pdf(one(example, kind))
    path = tmp_path / "checked.pdf"
    path.write_bytes(content)
    checked = subprocess.run([need_program("qpdf"), "--check", str(path)], capture_output=True, text=True)

    assert [] == [str(f) for p in PROFILES for f in page.validate_pdf_bytes(content, profile=p).failures]
    assert 0 == checked.returncode, checked.stdout
    assert content == _pdf(one(example, kind))


def test_the_catalog_associates_both_files() -> None:
    """Each has its relationship, type, day of issue, size and words; the case is marked with its digest."""
    told = one("fenwright", "referral")
    root: Any = pypdf.PdfReader(io.BytesIO(_pdf(told))).trailer["/Root"]
    found = [one.get_object() for one in root["/AF"]]
    held = [one["/EF"]["/F"].get_object() for one in found]

    assert [("case.json", "/Source"), ("bundle.json", "/Data")] == [(f["/UF"], f["/AFRelationship"]) for f in found]
    assert ["/application/json", "/application/fhir+json"] == [one["/Subtype"] for one in held]
    assert {f"D:{told.document.origin.issued_on.replace('-', '')}000000Z"} == {h["/Params"]["/ModDate"] for h in held}
    assert [len(one.get_data()) for one in held] == [one["/Params"]["/Size"] for one in held]
    assert f"docgen case 1; referral; sha-256 {hashlib.sha256(held[0].get_data()).hexdigest()}" == found[0]["/Desc"]
    assert told.case_json() == held[0].get_data()
    assert told.read() == json.loads(held[1].get_data())


CARRIED = {
    ("referral", ""): True,
    ("operative-note", ""): True,
    ("physician-query", ""): True,
    ("addendum", ""): True,
    ("reply", ""): False,  # nobody knows yet whether it goes to the patient
    ("consent", "patient"): False,
    ("consent", "clinic"): False,
    ("aftercare", "patient"): False,
    ("aftercare", "clinic"): False,
    ("safety-sheet", ""): False,
}


@pytest.mark.parametrize(("kind", "copy"), CARRIED)
def test_a_kind_says_whether_its_pages_carry_data(kind: str, copy: str) -> None:
    """Letters and the note do; leaflets, sheets and the consent record do not."""
    assert CARRIED[kind, copy] == carries_exchange(_kind(kind), copy)


def test_every_kind_is_decided() -> None:
    """A new kind of document is thought of here."""
    assert {kind for kind, _ in CARRIED} == set(kind_names(shipped_world().templates))
    assert {name for name, _ in CARRIED if _kind(name).exchange} == set(KINDS)


def test_no_patient_copy_ever_carries_data() -> None:
    """Whatever a kind declares, a patient's copy and a patient's text without copies stay without data."""
    kind = replace(_kind("aftercare"), exchange=Exchange())

    assert [False, False, True] == [carries_exchange(kind, copy) for copy in ("patient", "", "clinic")]


@pytest.mark.parametrize(("address_to", "expected"), [("referrer", True), ("patient", False)])
def test_a_reply_carries_data_to_the_referrer_alone(address_to: str, expected: bool) -> None:
    """A letter that greets the patient is the patient's."""
    text = f'{{"reply": {{"address_to": "{address_to}"}}}}'.encode()
    case = read_case(Source("case.json", text, is_json=True), None, None, Problems())

    assert expected is carries_exchange(_kind("reply"), "", case)


def test_a_document_without_data_has_no_files_inside() -> None:
    """The patient's letter of the first example is printed as it was."""
    told = one("fenwright", "reply")
    root: Any = pypdf.PdfReader(io.BytesIO(_pdf(told))).trailer["/Root"]

    assert "/AF" not in root
    assert pdf.render(told.document, house_style(shipped_world())) == _pdf(told)
