"""Word files are what the standard asks; a word processor opens each with nothing lost, on as many pages as before."""

from __future__ import annotations

import json
import os
import re
import subprocess
from collections import Counter
from pathlib import Path

import pytest
from conftest import ROOT, need_program
from openxml_audit import OpenXmlValidator

from docgen.blocks import Document, Layout
from docgen.render import docx
from docgen.render.style import Style
from docgen.render.words import TICKED_BOX
from tests.render.composed import EXAMPLES, documents
from tests.render.reading import docx_words
from tests.render.samples import SAMPLES
from tests.render.specimens import LANGUAGES, all_scripts, specimen

GOLDEN = ROOT / "tests" / "golden" / "word-pages"
"""For each source the pages of its files as LibreOffice sets them, with the Noto fonts."""

SOURCES = (*EXAMPLES, "specimens", "large specimens", "samples")

PLAIN = re.compile("[0-9A-Za-z\u00c0-\u052f\u1e00-\u1fff]")
"""Letters and digits that a word processor's pages give back one by one."""

NO_FONT = {"specimen-zh", "specimen-zh-large", "all-scripts"}
"""Files with Chinese, whose fonts are in no package of the tests: their pages would be those of empty boxes."""

Files = dict[str, bytes]


def _documents(source: str) -> dict[str, Document]:
    if source == "samples":
        return {**SAMPLES, "all-scripts": all_scripts()}
    if source == "specimens":
        return {f"specimen-{language}": specimen(language) for language in LANGUAGES}
    if source == "large specimens":
        return {f"specimen-{language}-large": specimen(language, Layout(large_print=True)) for language in LANGUAGES}
    return documents(source)


@pytest.fixture(scope="module", params=SOURCES)
def files(request: pytest.FixtureRequest, style: Style) -> Files:
    """Give the Word files of an example, of all specimens or of the samples."""
    return {name: docx.render(document, style) for name, document in _documents(request.param).items()}


def need_font(family: str) -> None:
    """Skip by name without a font, but never where CI is true: without it lines break elsewhere."""
    listed = subprocess.run([need_program("fc-list"), family], capture_output=True, text=True, check=True)
    if not listed.stdout:
        if os.environ.get("CI") == "true":
            pytest.fail(f"the font {family} is not installed, and CI skips nothing")
        pytest.skip(f"needs the font {family}")


def office_pages(files: Files, folder: Path) -> dict[str, list[str]]:
    """Let LibreOffice turn Word files into pages, and read each."""
    need_font("Noto Sans")
    office = need_program("soffice")
    for name, content in files.items():
        (folder / f"{name}.docx").write_bytes(content)
    profile = f"-env:UserInstallation=file://{folder}/profile"
    wish = ["--headless", "--convert-to", "pdf", "--outdir", str(folder), *map(str, sorted(folder.glob("*.docx")))]
    subprocess.run([office, profile, *wish], check=True, capture_output=True, timeout=240)
    return {name: _pages(folder / f"{name}.pdf") for name in files}


def _pages(path: Path) -> list[str]:
    """Give the text of each page; not by pypdf, which refuses pages with so many dots of drawings."""
    done = subprocess.run([need_program("pdftotext"), str(path), "-"], check=True, capture_output=True)
    return done.stdout.decode().split("\f")[:-1]


def test_no_finding_in_any_word_file(files: Files, tmp_path: Path) -> None:
    """The rules of the Open XML SDK find nothing, not even a warning."""
    found = {}
    for name, content in files.items():
        path = tmp_path / f"{name}.docx"
        path.write_bytes(content)
        result = OpenXmlValidator().validate(path)
        if result.errors or result.warning_count or not result.is_valid:
            found[name] = [str(error) for error in result.errors][:5]
    assert {} == found


def test_a_word_processor_shows_every_letter_on_as_many_pages_as_before(
    files: Files, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    """LibreOffice opens each file, clips no text, and needs the pages a reader has accepted."""
    pages = office_pages({name: content for name, content in files.items() if name not in NO_FONT}, tmp_path)
    lost = {name: _lost(files[name], texts) for name, texts in pages.items()}
    assert {} == {name: letters for name, letters in lost.items() if letters}
    counts = {name: len(texts) for name, texts in pages.items()}
    golden = GOLDEN / f"{request.node.callspec.params['files'].replace(' ', '-')}.json"
    if request.config.getoption("--accept"):
        GOLDEN.mkdir(parents=True, exist_ok=True)
        golden.write_text(json.dumps(counts, indent=0, sort_keys=True) + "\n", "utf-8")
    assert json.loads(golden.read_text("utf-8")) == counts


def _lost(content: bytes, pages: list[str]) -> str:
    """Name the letters of the body that the pages show less often than the file, in plain scripts."""
    body = Counter(c for word in docx_words(content).body if word != TICKED_BOX for c in word if PLAIN.match(c))
    shown = Counter(c for page in pages for c in page)
    return "".join(sorted((body - shown).elements()))
