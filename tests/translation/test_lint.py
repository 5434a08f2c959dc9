"""Every shipped catalog is whole and says what the English says; what it would not say is reported with its file."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest
from conftest import ROOT, need_program, shipped_world

from docgen.kinds import kind_names, read_kind
from docgen.language import SOURCE_LANGUAGE, language_names
from docgen.problem import Problem, Problems
from docgen.translation.lint import lint_catalogs

SHIPPED = ROOT / "locales"
LANGUAGES = [name for name in language_names([SHIPPED]) if name != SOURCE_LANGUAGE]


def lint(locales: Path) -> list[Problem]:
    """Lint the catalogs of a folder against the shipped templates."""
    world, problems = shipped_world(), Problems()
    kinds = [kind for name in kind_names(world.templates) if (kind := read_kind(name, world.templates, problems))]
    lint_catalogs(world.templates, [locales], kinds, problems)
    return list(problems)


@pytest.fixture
def copied(tmp_path: Path) -> Path:
    """Give a copy of the shipped languages, to be spoiled."""
    shutil.copytree(SHIPPED, tmp_path / "locales")
    return tmp_path / "locales"


def test_the_shipped_catalogs_have_no_fault() -> None:
    """Header, forms, notes, placeholders, numbers, units, sides, times, teeth and negation of every entry."""
    assert [] == [problem.in_words() for problem in lint(SHIPPED)]


@pytest.mark.parametrize("name", LANGUAGES)
def test_gettext_accepts_every_catalog(name: str) -> None:
    """The second opinion: GNU msgfmt checks header and formats."""
    catalog = SHIPPED / name / "LC_MESSAGES" / "docgen.po"
    command = [need_program("msgfmt"), "--check", "--output-file=/dev/null", str(catalog)]

    assert 0 == subprocess.run(command, capture_output=True).returncode


@pytest.mark.parametrize("name", LANGUAGES)
def test_no_entry_is_english(name: str) -> None:
    """A sentence of several words is never left as it is."""
    content = (SHIPPED / name / "LC_MESSAGES" / "docgen.po").read_text("utf-8")
    entries = [entry.split("\nmsgstr ") for entry in content.split("\n\n") if "\nmsgid_plural" not in entry]
    same = [one[1] for one in entries if len(one) == 2 and one[0].endswith(f"msgid {one[1]}") and one[1].count(" ") > 2]

    assert [] == [text for text in same if "%(" not in text]


def test_a_spoiled_entry_is_reported(copied: Path) -> None:
    """A lost placeholder is a fault, a lost negation a difference; each names the sentence."""
    catalog = copied / "es" / "LC_MESSAGES" / "docgen.po"
    text = catalog.read_text("utf-8")
    rinse, number = "No se enjuague", "Página {page} de {pages}"
    assert rinse in text
    assert number in text
    catalog.write_text(text.replace(rinse, "Enjuáguese", 1).replace(number, "Página {page}", 1), "utf-8")

    found = {problem.code: problem.in_words() for problem in lint(copied)}

    assert {"catalog-faulty", "catalog-differs"} == set(found)
    assert "Page {page} of {pages}" in found["catalog-faulty"]
    assert "Do not rinse" in found["catalog-differs"]


def test_an_exception_nobody_needs_is_reported(copied: Path) -> None:
    """What `read.yaml` excuses must differ, with these counts."""
    idle = '- {sentence: "You", meanings: {left: "1/0"}, because: "nothing"}\n'
    read = copied / "es" / "read.yaml"
    read.write_text(read.read_text("utf-8") + idle, "utf-8")

    assert ["catalog-differs"] == [problem.code for problem in lint(copied)]
