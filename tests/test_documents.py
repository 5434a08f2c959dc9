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
from typing import Any

import pytest
from conftest import EXAMPLES, ISSUED_ON, LANGUAGES, example_files
from render.reading import docx_words, pdf_words, text_words

from docgen.blocks import Span
from docgen.case import field_specs
from docgen.generate import Made

GOLDEN = Path(__file__).parent / "golden"
NAMES = sorted(ISSUED_ON)


def text_spans(part: Any) -> list[Span]:
    """Collect every span of a document."""
    if isinstance(part, Span):
        return [part]
    if isinstance(part, tuple | list):
        return [span for one in part for span in text_spans(one)]
    if hasattr(part, "__dataclass_fields__"):
        return [span for name in part.__dataclass_fields__ for span in text_spans(getattr(part, name))]
    return []


@pytest.fixture(scope="module", params=NAMES)
def pack(request: pytest.FixtureRequest, made: Callable[..., Made]) -> Made:
    """Give all documents of an example in all formats."""
    name = str(request.param)
    return made(
        example_files(name), on=ISSUED_ON[name], language=LANGUAGES.get(name, ""), formats=("pdf", "docx", "text")
    )


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

    assert {"draft" in [mark.code for mark in d.furniture.marks] for d in approved.documents.values()} == {False}
    assert {"draft" in [mark.code for mark in d.furniture.marks] for d in unapproved.documents.values()} == {True}


def test_pdf_docx_and_review_text_have_the_same_words_in_order(pack: Made) -> None:
    """What one format says, the others say, word for word."""
    for name, content in pack.files.items():
        stem = name.removesuffix(".pdf")
        if stem == name:
            continue
        document = pack.documents[stem]
        words = pdf_words(content, document)

        assert words == docx_words(pack.files[f"{stem}.docx"], document)
        assert replace(words, running_head=()) == text_words(pack.files[f"{stem}.txt"])


def test_a_second_run_gives_the_same_bytes(made: Callable[..., Made], pack: Made) -> None:
    """The same input gives the same files, whatever was made before."""
    name = next(n for n in NAMES if pack.record in example_files(n).case.text.decode())
    again = made(
        example_files(name), on=ISSUED_ON[name], language=LANGUAGES.get(name, ""), formats=("pdf", "docx", "text")
    )

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
        assert not re.search(r"risk-free|guaranteed|\broutine\b|\b1 in \d", text, re.IGNORECASE), name
        if "-patient-" in name:
            assert "%" not in text.split("\n", 1)[1]
            assert "per cent" not in text


def test_a_tooth_is_never_a_bare_number(pack: Made) -> None:
    """A tooth field prints words, and nothing that somebody typed names a tooth of the case by its number alone."""
    for document in pack.documents.values():
        spans = text_spans(document)
        teeth = {s.text.split(",")[1].split()[0] for s in spans if s.path.endswith(".tooth") and "," in s.text}
        for span in spans:
            if span.path.endswith((".tooth", "consent.teeth", "referral.teeth")):
                assert any(c.isalpha() for c in span.text), span
            elif field_specs().get(re.sub(r"\[\d+\]", "[]", span.path)) is not None:
                bare = re.findall(r"(?<![\d:.,-])(\d\d)(?![\d:.,%-]|\s(?:mm|kg|mg|mL|years|FDI|April|May))", span.text)
                free = field_specs()[re.sub(r"\[\d+\]", "[]", span.path)].type == "text"
                assert not (free and teeth & set(bare)), span


ELEMENTS = {
    "consent": {f"C{n}" for n in range(1, 26)} | {"fixed", "staff"},
    "operative-note": {f"O{n}" for n in range(1, 19)} | {f"D{n}" for n in range(1, 17)},
    "referral": {f"R{n}" for n in range(1, 16)},
    "reply": {f"L{n}" for n in range(1, 16)} | {"dental"},
    "aftercare": {f"A{n}" for n in range(1, 18)} | {"syringe", "review"},
    "safety-sheet": {"K sign in", "K time out", "K sign out"},
    "physician-query": {f"Q{n}" for n in range(1, 7)},
    "addendum": {"E1", "E2", "E3"},
}
"""
Every element ID of section 5, and those of the addendum, which came later.

J1 to J9 are covered by rows of the note, the 19 points have numbers of their own.
"""


def test_every_element_of_the_specification_is_a_section_of_some_example(made: Callable[..., Made]) -> None:
    """Each element ID of section 5 appears in a composed document of some example."""
    found: dict[str, set[str]] = {kind: set() for kind in ELEMENTS}
    for name in NAMES:
        pack = made(example_files(name), on=ISSUED_ON[name], language=LANGUAGES.get(name, ""), formats=())
        for document in pack.documents.values():
            ids = {section.id for section in document.sections}
            found[document.origin.kind] |= ids | {part for one in ids for part in re.split("[ _]", one)}

    assert {kind: wanted - found[kind] for kind, wanted in ELEMENTS.items() if wanted - found[kind]} == {}


def test_the_day_of_issue_is_part_of_the_input(made: Callable[..., Made]) -> None:
    """Another day of issue gives other bytes, the same day the same."""
    first = made(example_files("fenwright"), "operative-note", on=date(2026, 3, 17), formats=("pdf",)).files
    other = made(example_files("fenwright"), "operative-note", on=date(2026, 3, 18), formats=("pdf",)).files

    assert first != other
