"""Every example in every shipped language: whole, told in goldens, inside its page, read back, accessible, archival."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from conftest import ISSUED_ON, ROOT, WHOLE, example_files, need_program, shipped_world
from openxml_audit import OpenXmlValidator

from docgen.generate import Made, Wish, generate
from docgen.kept import from_bytes, to_bytes
from docgen.kinds import kind_names, read_kind
from docgen.language import SOURCE_LANGUAGE, language_names, read_language
from docgen.problem import Problems
from docgen.render.words import document_words
from tests.render.reading import pdf_words
from tests.render.test_standards import faults

GOLDEN = ROOT / "tests" / "golden"
WORLD = shipped_world()
LANGUAGES = [name for name in language_names(WORLD.locales) if name != SOURCE_LANGUAGE]
PAIRS = {"solana": "es"}
"""Examples whose reader has a shipped language: their consent is in two."""

EDGE = 12.0
"""Points from the edge of a page in which no word may stand."""


def _kinds(tag: str) -> tuple[str, ...]:
    """Name the kinds that a language is whole for."""
    language = read_language(tag, WORLD.locales, Problems())
    assert language is not None
    return tuple(name for name in kind_names(WORLD.templates) if language.description.offers(name))


CASES = [
    (name, tag) for tag in LANGUAGES for name in sorted(ISSUED_ON) if name in WHOLE or "addendum" in _kinds(tag)
] + [(name, "") for name in PAIRS]


@cache
def made(example: str, tag: str) -> Made:
    """Make all documents of an example in a language; without a tag, in those of record and reader."""
    kinds = _called(example, tag)
    formats = ("pdf", "docx", "text")
    files, on = example_files(example), ISSUED_ON[example]
    return generate(files, Wish(kinds, on=on, language=tag, formats=formats, copies=_copies(tag)), WORLD, lambda _: on)


def _called(example: str, tag: str) -> tuple[str, ...]:
    """Name the kinds of an example whose moment has come, as far as the language offers them."""
    offered = _kinds(tag) if tag else tuple(kind_names(WORLD.templates))
    english = {path.name for path in GOLDEN.glob("*-en.txt") if "-undated-" not in path.name}
    record = example_files(example).case.text.decode()
    identifier = re.search(r"id: ([A-Z]{2}-\d{4}-\d{4})", record)
    assert identifier
    return tuple(kind for kind in offered if any(name.startswith(f"{identifier[1]}-{kind}-") for name in english))


def _copies(tag: str) -> tuple[str, ...]:
    """Give the copies a language is made for: the staff page needs a language that offers staff's kinds."""
    staff = [kind for name in _kinds(tag) if (kind := read_kind(name, WORLD.templates, Problems()))] if tag else []
    return ("patient",) if tag and all(kind.audience == "patient" for kind in staff) else ()


def _outside(content: bytes, folder: Path) -> Iterator[str]:
    """Name each word that stands in the margin of its page or beyond, as pdftotext sees it."""
    path = folder / "page.pdf"
    path.write_bytes(content)
    command = [need_program("pdftotext"), "-bbox", str(path), "-"]
    text = subprocess.run(command, check=True, capture_output=True).stdout.decode()
    width = 0.0
    for line in text.splitlines():
        if page := re.search(r'<page width="([\d.]+)"', line):
            width = float(page[1])
        word = re.search(r'xMin="(-?[\d.]+)" yMin="(-?[\d.]+)" xMax="(-?[\d.]+)"[^>]*>(.*)</word>', line)
        if word and (float(word[1]) < EDGE or float(word[3]) > width - EDGE):
            yield word[4]


@pytest.mark.parametrize(("example", "tag"), CASES)
def test_every_review_text_is_the_golden_one(example: str, tag: str, request: pytest.FixtureRequest) -> None:
    """Nothing is refused, and each text is the one that was read."""
    texts = {name: content for name, content in made(example, tag).files.items() if name.endswith(".txt")}
    assert texts
    for name, content in texts.items():
        golden = GOLDEN / "translated" / name
        if request.config.getoption("--accept"):
            golden.parent.mkdir(exist_ok=True)
            golden.write_bytes(content)
        assert golden.read_text("utf-8") == content.decode(), name


@pytest.mark.parametrize(("example", "tag"), CASES)
def test_every_page_is_whole_and_inside(example: str, tag: str, tmp_path: Path) -> None:
    """Each word of the document comes back from its pages, none stands in a margin; kept, it is the same again."""
    for name, document in made(example, tag).documents.items():
        content = made(example, tag).files[f"{name}.pdf"]

        assert document_words(document) == pdf_words(content, document), name
        assert [] == list(_outside(content, tmp_path)), name
        assert document == from_bytes(to_bytes(document)), name


@pytest.mark.parametrize(("example", "tag"), CASES)
def test_every_file_meets_its_standards(example: str, tag: str, tmp_path: Path) -> None:
    """PDF/UA-1, PDF/A-3a and the rules of Open XML."""
    found: dict[str, list[str]] = {}
    for name in made(example, tag).documents:
        found[name] = faults(made(example, tag).files[f"{name}.pdf"], tmp_path)
        path = tmp_path / "checked.docx"
        path.write_bytes(made(example, tag).files[f"{name}.docx"])
        found[name] += [str(error) for error in OpenXmlValidator().validate(path).errors][:5]

    assert {} == {name: wrong[:5] for name, wrong in found.items() if wrong}
