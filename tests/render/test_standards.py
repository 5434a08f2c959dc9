"""Every page we make is accessible and fit for an archive: PDF/UA-1, PDF/A-3a and clean syntax, whatever it says."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import page
import pytest
from conftest import need_program

from docgen.blocks import Document, Layout
from docgen.render import pdf
from docgen.render.style import Style
from tests.render.composed import EXAMPLES, documents
from tests.render.samples import SAMPLES
from tests.render.specimens import LANGUAGES, all_scripts, specimen

PROFILES = (page.ValidationProfile.PDF_UA_1, page.ValidationProfile.PDF_A_3A)

LAYOUTS: dict[str, Callable[[Layout], Layout]] = {
    "A4": lambda layout: replace(layout, paper="A4"),
    "Letter": lambda layout: replace(layout, paper="Letter"),
    "large A4": lambda layout: replace(layout, paper="A4", large_print=True),
    "large Letter": lambda layout: replace(layout, paper="Letter", large_print=True),
}


def faults(content: bytes, folder: Path) -> list[str]:
    """List what a validator or a syntax check finds wrong with a PDF."""
    found = []
    for profile in PROFILES:
        report = page.validate_pdf_bytes(content, profile=profile)
        found += [f"{fault.rule_id}: {fault.message}" for fault in report.failures]
        found += [] if report.is_compliant or found else [f"{profile}: not compliant"]
    path = folder / "checked.pdf"
    path.write_bytes(content)
    checked = subprocess.run([need_program("qpdf"), "--check", str(path)], capture_output=True, text=True)
    return found + ([] if checked.returncode == 0 else (checked.stdout + checked.stderr).splitlines()[:5])


def _faulty(made: dict[str, Document], style: Style, folder: Path) -> dict[str, list[str]]:
    found = {name: faults(pdf.render(document, style), folder) for name, document in made.items()}
    return {name: wrong[:5] for name, wrong in found.items() if wrong}


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize("example", EXAMPLES)
def test_every_document_of_an_example_meets_both_standards(
    example: str, layout: str, style: Style, tmp_path: Path
) -> None:
    """Each kind of document, for each patient, on both papers, in usual and in large print."""
    made = {
        name: replace(document, layout=LAYOUTS[layout](document.layout))
        for name, document in documents(example).items()
    }
    assert {} == _faulty(made, style, tmp_path)


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize("language", LANGUAGES)
def test_the_specimen_of_every_language_meets_both_standards(
    language: str, layout: str, style: Style, tmp_path: Path
) -> None:
    """Shaped text, mixed directions, a long table, forms and a figure, in every script a patient reads."""
    assert {} == _faulty({language: specimen(language, LAYOUTS[layout](Layout()))}, style, tmp_path)


@pytest.mark.parametrize("forms", ["fill", "print"])
def test_samples_and_a_page_of_all_scripts_meet_both_standards(forms: str, style: Style, tmp_path: Path) -> None:
    """With form fields and without; scripts of both directions on one page."""
    made = {**SAMPLES, "all scripts": all_scripts(), "staff": replace(all_scripts(), layout=Layout(voice="staff"))}
    assert {} == _faulty(made, replace(style, forms=forms), tmp_path)
