"""The catalog of sentences is fresh and whole: one domain, strict extraction, no date in the committed file."""

from __future__ import annotations

import io
import re
import subprocess
import sys
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.pofile import read_po
from conftest import ROOT, shipped_world
from jinja2 import TemplateSyntaxError

from docgen.clinical.medicine import known_inns
from docgen.kinds import read_words
from docgen.language import language_names, read_language
from docgen.problem import Problems

POT = ROOT / "locales/docgen.pot"
EXTRACT = ["-F", "pyproject.toml", "-k", "say", "-k", "text:1", "-k", "_", "-k", "pgettext:1c,2", "--no-location",
           "--sort-output", "--no-wrap", "--omit-header", "-c", "NOTE:", "--ignore-dirs", ".*"]  # fmt: skip
"""The folders to ignore are named because Babel alone would pass over templates/_house, and the words of every code."""


def _extracted(folder: Path) -> Catalog:
    out = folder / "docgen.pot"
    command = [sys.executable, "-m", "babel.messages.frontend", "extract", *EXTRACT, "-o", str(out), "."]
    subprocess.run(command, cwd=ROOT, check=True, capture_output=True)
    return read_po(io.BytesIO(out.read_bytes()))


def test_the_committed_catalog_is_what_extraction_gives(tmp_path: Path) -> None:
    """Every sentence of code, templates, kinds and words stands in the committed file, and no other."""
    fresh = {(m.context, m.id) for m in _extracted(tmp_path)}
    committed = {(m.context, m.id) for m in read_po(io.BytesIO(POT.read_bytes()))}

    assert fresh == committed
    assert len(fresh) > 800


def test_the_committed_catalog_has_no_date() -> None:
    """A second extraction changes nothing but sentences."""
    assert not re.search(rb"POT-Creation-Date|PO-Revision-Date", POT.read_bytes())


def test_a_broken_template_fails_extraction() -> None:
    """A template that cannot be read is an error, not a silence."""
    broken = io.BytesIO(b'{% if %}{{ _("lost") }}')

    with pytest.raises(TemplateSyntaxError):
        list(extract("jinja2", broken, options={"silent": "false"}))


def test_placeholders_have_names() -> None:
    """A translator can move a placeholder: each has a name."""
    nameless = [m.id for m in read_po(io.BytesIO(POT.read_bytes())) if re.search(r"%[sd]", str(m.id))]

    assert nameless == []


def test_a_second_language_is_only_a_folder(tmp_path: Path) -> None:
    """A folder with language.yaml and a catalog is a language; a sentence it lacks is noted, not hidden."""
    home = tmp_path / "es" / "LC_MESSAGES"
    home.mkdir(parents=True)
    described = "name: Español\ndirection: ltr\ndate: d 'de' MMMM 'de' y\nday: EEEE d MMMM y\ntime: HH:mm\n"
    (tmp_path / "es/language.yaml").write_text(described, "utf-8")
    po = 'msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n"\n\nmsgid "You"\nmsgstr "Usted"\n'
    (home / "docgen.po").write_text(po, "utf-8")
    spanish = read_language("es", [tmp_path], Problems())

    assert language_names([tmp_path]) == ("es",)
    assert spanish is not None
    assert spanish.text("You") == "Usted"
    assert spanish.text("Born") == "Born"
    assert list(spanish.missing) == ["Born"]


def test_every_drug_of_the_tables_has_a_name_to_translate() -> None:
    """A drug that a rule knows is printed in the words of the document's language, not as the table spells it."""
    names = read_words(shipped_world().templates.folders).groups["inn"]

    assert [] == [inn for inn in known_inns(shipped_world().tables) if inn not in names]
