"""The examples' documents: goldens a clinician can read, one text in three formats, the same bytes every time."""

from __future__ import annotations

import hashlib
import os
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from conftest import EXAMPLES, ISSUED_ON, example_files, need_program
from render.reading import docx_words, pdf_words, text_words

from docgen.generate import Made

GOLDEN = Path(__file__).parent / "golden"
NAMES = sorted(ISSUED_ON)


@pytest.fixture(scope="module", params=NAMES)
def pack(request: pytest.FixtureRequest, made: Callable[..., Made]) -> Made:
    """Give all documents of an example in all formats."""
    name = str(request.param)
    return made(example_files(name), on=ISSUED_ON[name], formats=("pdf", "docx", "text"))


def test_review_texts_are_the_golden_ones(pack: Made, request: pytest.FixtureRequest) -> None:
    """Each review text is the one a reader has accepted."""
    for name, content in pack.files.items():
        if not name.endswith(".txt"):
            continue
        golden = GOLDEN / name
        if request.config.getoption("--accept"):
            GOLDEN.mkdir(exist_ok=True)
            golden.write_bytes(content)

        assert golden.read_text("utf-8") == content.decode(), name


def test_approved_texts_carry_no_draft_mark_and_others_do(made: Callable[..., Made]) -> None:
    """The clinic that approved the texts prints without DRAFT; the clinic that did not prints it on each."""
    approved = made(example_files("fenwright"), on=ISSUED_ON["fenwright"], formats=())
    unapproved = made(example_files("pellingrove"), on=ISSUED_ON["pellingrove"], formats=())

    assert {"DRAFT" in d.furniture.marks for d in approved.documents.values()} == {False}
    assert {"DRAFT" in d.furniture.marks for d in unapproved.documents.values()} == {True}


def test_pdf_docx_and_review_text_have_the_same_words_in_order(pack: Made) -> None:
    """What one format says, the others say, word for word."""
    for name, content in pack.files.items():
        stem = name.removesuffix(".pdf")
        if stem == name:
            continue
        words = pdf_words(content, pack.documents[stem])

        assert words == docx_words(pack.files[f"{stem}.docx"])
        assert replace(words, running_head=()) == text_words(pack.files[f"{stem}.txt"])


def test_a_second_run_gives_the_same_bytes(made: Callable[..., Made], pack: Made) -> None:
    """The same input gives the same files, whatever was made before."""
    name = next(n for n in NAMES if pack.record in example_files(n).case.text.decode())
    again = made(example_files(name), on=ISSUED_ON[name], formats=("pdf", "docx", "text"))

    assert again.files == pack.files


def test_another_process_gives_the_same_bytes(tmp_path: Path, made: Callable[..., Made]) -> None:
    """Hash seed, time zone and process change no byte."""
    arguments = ["make", str(EXAMPLES / "fenwright/case.yaml"), "--on", "2026-03-17", "--kind", "operative-note"]
    digests = []
    for seed, zone in (("1", "UTC"), ("77", "Asia/Tokyo")):
        out = tmp_path / seed
        command = [sys.executable, "-m", "docgen", *arguments, "--out", str(out)]
        subprocess.run(command, check=True, env={**os.environ, "PYTHONHASHSEED": seed, "TZ": zone}, capture_output=True)
        digests.append({f.name: hashlib.sha256(f.read_bytes()).hexdigest() for f in out.iterdir()})

    assert digests[0] == digests[1]
    assert len(digests[0]) == 2


def test_words_never_used(pack: Made) -> None:
    """No document says risk-free, guaranteed or routine, counts "1 in x", or gives patients a percentage."""
    for name, content in pack.files.items():
        if not name.endswith(".txt"):
            continue
        text = content.decode()
        assert not re.search(r"(?<!:)\b[34][78]\b(?!\s(FDI|March|May))", text.split("\n", 1)[1]), "a bare tooth number"
        assert not re.search(r"risk-free|guaranteed|\broutine\b|\b1 in \d", text, re.IGNORECASE), name
        if name.endswith("patient-en.txt"):
            assert "%" not in text.split("\n", 1)[1]
            assert "per cent" not in text


def test_every_element_of_the_specification_is_a_section_of_some_example(made: Callable[..., Made]) -> None:
    """Each element ID of section 5 that a case of these examples has appears in a composed document."""
    found: set[str] = set()
    for name in NAMES:
        for document in made(example_files(name), on=ISSUED_ON[name], formats=()).documents.values():
            found |= {part for section in document.sections for part in section.id.split(" ")}
    consent = {f"C{n}" for n in range(1, 26)} - {"C14"}
    note = {f"O{n}" for n in range(1, 19)} | {f"D{n}" for n in range(1, 17)}
    leaflet = {f"A{n}" for n in range(1, 18)} - {"A13", "A14", "A15"} | {"syringe", "review"}

    assert consent | {"fixed", "staff"} <= found
    assert note - found == set()
    assert leaflet - found == set()


@pytest.mark.parametrize("example", NAMES)
def test_libreoffice_opens_the_docx(tmp_path: Path, made: Callable[..., Made], example: str) -> None:
    """A word processor turns each DOCX into pages."""
    office = need_program("soffice")
    files = made(example_files(example), "consent", on=ISSUED_ON[example], formats=("docx",)).files
    for name, content in files.items():
        (tmp_path / name).write_bytes(content)
    profile = f"-env:UserInstallation=file://{tmp_path}/profile"
    command = [
        office,
        profile,
        "--headless",
        "--convert-to",
        "pdf",
        "--outdir",
        str(tmp_path),
        *map(str, tmp_path.glob("*.docx")),
    ]
    subprocess.run(command, check=True, capture_output=True, timeout=180)

    assert {f.stem for f in tmp_path.glob("*.pdf")} == {name.removesuffix(".docx") for name in files}


def test_the_day_of_issue_is_part_of_the_input(made: Callable[..., Made]) -> None:
    """Another day of issue gives other bytes, the same day the same."""
    first = made(example_files("fenwright"), "operative-note", on=date(2026, 3, 17), formats=("pdf",)).files
    other = made(example_files("fenwright"), "operative-note", on=date(2026, 3, 18), formats=("pdf",)).files

    assert first != other
