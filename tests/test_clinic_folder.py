"""A clinic's own hand: wording of a section, an own field and an own kind, in its folder, without Python."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from conftest import tree_files
from PIL import Image

from docgen.blocks import plain
from docgen.compose import body_environment
from docgen.generate import Made, Wish, World, generate
from docgen.kinds import TemplateFolders, read_kind
from docgen.kinds.lint import lint_kind
from docgen.problem import Problems, Refused
from docgen.shipped import shipped_folder

CONSENT = """{% extends "shipped/consent/body.md.j2" %}
{% block C10 %}
## {{ _("What happens without it") }}

{{ plan.if_declined }}

{{ _("Parking: %(answer)s.", answer=own.consent.parking) }}
{% endblock %}
{% block C6 %}
{{ super() }}

{{ _("Ask us what we have seen in our own clinic.") }}
{% endblock %}
"""
CONSENT_KIND = """extends: consent
version: "1-ours"
requires:
  - {field: own.consent.parking, because: the car park is shared}
fields:
  parking: {type: line, label: Where the patient parks}
"""
SLIP = """{% block slip %}
## {{ _("Visit") }}

{{ _("%(name)s comes on %(day)s.", name=patient.form_of_address, day=follow_up.review_at|weekday) }}
{% endblock %}
"""
SLIP_KIND = """title: Visit slip
version: "1"
audience: staff
moment: follow_up.review_at
requires:
  - {field: [patient.form_of_address], because: the slip is handed to a person}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Write the clinic's folder."""
    for kind, texts in {"consent": (CONSENT, CONSENT_KIND), "visit-slip": (SLIP, SLIP_KIND)}.items():
        (tmp_path / kind).mkdir()
        (tmp_path / kind / "body.md.j2").write_text(texts[0], "utf-8")
        (tmp_path / kind / "kind.yaml").write_text(texts[1], "utf-8")
    return tmp_path


def _make(world: World, folder: Path, tree: dict[str, Any], kind: str) -> Made:
    own = World(TemplateFolders((folder, shipped_folder("templates"))), world.locales, world.tables, world.program)
    day = date(2026, 3, 17)
    return generate(tree_files(tree), Wish((kind,), on=day, formats=("text",)), own, lambda _zone: day)


def test_a_section_is_replaced_and_another_extended(world: World, folder: Path, fenwright: dict[str, Any]) -> None:
    """The own heading stands in C10, the own sentence under the shipped C6, and all other sections stay."""
    fenwright["own"] = {"consent": {"parking": "behind the mill"}}
    document = next(iter(_make(world, folder, fenwright, "consent").documents.values()))
    headings = {section.id: plain(section.heading) for section in document.sections}

    assert headings["C10"] == "What happens without it"
    assert headings["C6"] == "What you can expect to gain"
    assert headings["C7"] == "What may go wrong - for you"


def test_an_own_field_is_required_and_printed(world: World, folder: Path, fenwright: dict[str, Any]) -> None:
    """Without the own field the kind is refused with the clinic's reason; with it the answer is printed."""
    with pytest.raises(Refused) as refused:
        _make(world, folder, fenwright, "consent")
    fenwright["own"] = {"consent": {"parking": "behind the mill"}}
    files = _make(world, folder, fenwright, "consent").files

    assert [(p.code, p.path) for p in refused.value.problems] == [("missing-field", "own.consent.parking")]
    assert refused.value.problems[0].because[0].in_words() == "the car park is shared"
    assert all("Parking: behind the mill." in content.decode() for content in files.values())


def test_an_own_kind_needs_no_python(world: World, folder: Path, fenwright: dict[str, Any]) -> None:
    """A new folder is a new kind."""
    files = _make(world, folder, fenwright, "visit-slip").files

    assert list(files) == ["HM-2026-0117-visit-slip-en.txt"]
    text = next(iter(files.values())).decode()
    assert "comes on Tuesday 24 March 2026." in text.replace("\u00a0", " ")


def test_the_clinics_kinds_lint_clean_and_a_loose_word_does_not(world: World, folder: Path) -> None:
    """Lint follows extends; a word outside a sentence is found with its line."""
    folders = (folder, shipped_folder("templates"))
    problems = Problems()
    for name in ("consent", "visit-slip"):
        kind = read_kind(name, TemplateFolders(folders), problems)
        assert kind is not None
        lint_kind(kind, body_environment(folders), problems)
    assert [p.in_words() for p in problems] == []

    (folder / "visit-slip/body.md.j2").write_text(SLIP.replace("## {{", "## Loose {{"), "utf-8")
    kind = read_kind("visit-slip", TemplateFolders(folders), problems)
    assert kind is not None
    lint_kind(kind, body_environment((folder, shipped_folder("templates"))), problems)
    assert [p.code for p in problems] == ["template-loose"]


@pytest.mark.parametrize(
    "line",
    ["{{ 'bare text' }}", "{{ 1 + 1 }}", "{{ patient.given_names ~ patient.family_name }}", "{{ patient }}", "{{ x }}"],
)
def test_what_is_no_value_and_no_sentence_never_prints(
    world: World, folder: Path, fenwright: dict[str, Any], line: str
) -> None:
    """Bare text, arithmetic, joined values, whole groups and unknown names are refused, naming the template."""
    (folder / "visit-slip/body.md.j2").write_text(SLIP.replace("{% endblock %}", line + "\n{% endblock %}"), "utf-8")

    with pytest.raises(Refused) as refused:
        _make(world, folder, fenwright, "visit-slip")

    assert [p.code for p in refused.value.problems] == ["template-fault"]
    assert "visit-slip/body.md.j2" in str(refused.value.problems[0].place)


def test_a_changed_text_lapses_its_approval(made: Callable[..., Made], world: World, folder: Path) -> None:
    """The clinic that approved the shipped text has not approved its own new one."""
    shipped = read_kind("consent", world.templates, Problems())
    own = read_kind("consent", TemplateFolders((folder, shipped_folder("templates"))), Problems())

    assert shipped is not None
    assert own is not None
    assert shipped.digest != own.digest


def test_the_clinics_logo_stands_on_the_first_page(tmp_path: Path, fenwright: dict[str, Any], world: World) -> None:
    """A picture beside the clinic's file is printed, named after the clinic; no picture is refused."""
    fenwright["letterhead"] = {"logo": "logo.png"}
    picture = io.BytesIO()
    Image.new("RGB", (40, 20), "navy").save(picture, "PNG")
    day = date(2026, 3, 17)
    files = replace(tree_files(fenwright), beside=tmp_path)

    with pytest.raises(Refused) as refused:
        generate(files, Wish(("operative-note",), on=day), world, lambda _zone: day)
    (tmp_path / "logo.png").write_bytes(picture.getvalue())
    made = generate(files, Wish(("operative-note",), on=day), world, lambda _zone: day)
    document = next(iter(made.documents.values()))

    assert [p.code for p in refused.value.problems] == ["logo-unreadable"]
    assert document.furniture.logo is not None
    assert document.furniture.logo.alt == "Harrowmere Dental Surgery"
    assert all(content for content in made.files.values())
