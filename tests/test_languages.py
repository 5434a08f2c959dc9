"""The reader's language: refused without a catalog, said where another is used, paired where the kind wants both."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from babel import Locale
from conftest import shipped_world, tree_files
from pseudo_language import marked, write_pseudo_language

from docgen.blocks import Document, Paragraph, Section, Signature, Span, Together, plain
from docgen.case import Source
from docgen.cli import main
from docgen.compose.two_languages import numbers
from docgen.drafts import desk_of, draft
from docgen.examine import Wish, World, examine, passing_kinds
from docgen.generate import generate
from docgen.language import read_language
from docgen.problem import Problems, Refused
from docgen.readability import all_words

DAY = date(2026, 3, 17)
SPANISH_LINE = "This paper is in English. You read best in Spanish. Ask us to go through it with you in that language."
BINDING = (
    "Translated text, reviewed by %(name)s on %(date)s; the %(language)s text is binding unless local law says"
    " otherwise."
)


@pytest.fixture
def solana(fenwright: dict[str, Any]) -> dict[str, Any]:
    """Give the first example with a patient who reads Spanish, and an interpreter."""
    fenwright["patient"]["preferred_language"] = "es"
    fenwright["patient"]["interpreter_needed"] = "yes"
    fenwright["consent"]["interpreter"] = {
        "name": "A. Sample", "number": "17", "language": "es", "mode": "video", "qualified": "yes", "adult": "yes",
        "relative": "no", "reason": "not_applicable",
    }  # fmt: skip
    return fenwright


@pytest.fixture(scope="session")
def spanish_world(tmp_path_factory: pytest.TempPathFactory) -> World:
    """Give the shipped world with a marked language beside it."""
    folder = write_pseudo_language(tmp_path_factory.mktemp("locales"), "es")
    shipped = shipped_world()
    return replace(shipped, locales=(folder, *shipped.locales))


def made(world: World, tree: dict[str, Any], *kinds: str, **wish: Any) -> dict[str, Document]:
    """Make documents of a tree, by the end of their name."""
    result = generate(tree_files(tree), Wish(kinds, on=DAY, formats=("text",), **wish), world, lambda _zone: DAY)
    return {name.removeprefix("HM-2026-0117-"): document for name, document in result.documents.items()}


def text_of(part: Any) -> str:
    """Join all words of a document or block."""
    return "\n".join(plain(words) for words in all_words(part))


def test_a_patient_whose_language_has_no_catalog_gets_no_patient_text(solana: dict[str, Any], world: World) -> None:
    """Consent and leaflet are refused with a way to go on; what staff reads would pass."""
    kinds = ("consent", "aftercare", "operative-note")
    solana["patient"]["preferred_language"] = solana["consent"]["interpreter"]["language"] = "ru"
    seen = examine(tree_files(solana), Wish(kinds, on=DAY), world, lambda _zone: DAY)
    (problem,) = [p for p in seen.problems.refusing if p.code == "language-missing"]

    assert ("consent (en, ru)", "aftercare (ru)") == problem.needed_by
    assert "patient.preferred_language" == problem.path
    assert "choose one of ar, en, es with --language" in problem.in_words()
    assert ("operative-note",) == passing_kinds(seen)
    with pytest.raises(Refused):
        generate(tree_files(solana), Wish(kinds, on=DAY), world, lambda _zone: DAY)


def test_a_record_in_a_language_without_catalog_is_refused_for_staff_too(
    fenwright: dict[str, Any], world: World
) -> None:
    """Staff texts are in the record's language; the field that names it is named."""
    fenwright["record"]["language"] = "ru"
    seen = examine(tree_files(fenwright), Wish(("operative-note",), on=DAY), world, lambda _zone: DAY)

    assert [("language-missing", "record.language", ("operative-note (ru)",))] == [
        (p.code, p.path, p.needed_by) for p in seen.problems.refusing
    ]


@pytest.mark.parametrize(("kind", "name"), [("consent", "consent-patient-en"), ("aftercare", "aftercare-patient-en")])
def test_a_text_in_another_language_says_so_first(solana: dict[str, Any], world: World, kind: str, name: str) -> None:
    """With --language the text is made, and its first line names both languages in words."""
    first = made(world, solana, kind, language="en")[name].sections[0]

    (line,) = first.blocks
    assert isinstance(line, Paragraph)
    assert Section("language", (), (Paragraph(line.words, "lead"),)) == first
    assert SPANISH_LINE == text_of(first)


def test_a_text_in_its_readers_language_has_no_such_line(fenwright: dict[str, Any], world: World) -> None:
    """Nothing is said where nothing differs, wished for or not."""
    for wish in ({}, {"language": "en"}):
        documents = made(world, fenwright, "consent", "aftercare", **wish)
        assert [] == [s for d in documents.values() for s in d.sections if s.id == "language"]


def test_the_reader_is_the_guardian_where_a_guardian_signs(fenwright: dict[str, Any], world: World) -> None:
    """The language of who signs decides, and the message points at it."""
    fenwright["patient"]["birth_date"] = "2010-11-19"
    fenwright["guardian"] = {"name": "Halina Sample", "relation": "mother", "language": "pl"}
    seen = examine(tree_files(fenwright), Wish(("consent",), on=DAY), world, lambda _zone: DAY)

    assert [("guardian.language", ("consent (en, pl)",))] == [
        (p.path, p.needed_by) for p in seen.problems if p.code == "language-missing"
    ]


def test_consent_in_two_languages_is_one_paper(solana: dict[str, Any], spanish_world: World) -> None:
    """Each paragraph stands in both languages under one number, each person signs once, numbers are equal."""
    both = made(spanish_world, solana, "consent")
    one = both["consent-patient-en-es"]
    (english,) = made(spanish_world, solana, "consent", language="en", copies=("patient",)).values()
    (spanish,) = made(spanish_world, solana, "consent", language="es", copies=("patient",)).values()
    pairs = [
        b for s in one.sections for b in s.blocks if isinstance(b, Together) and isinstance(b.blocks[0], Paragraph)
    ]
    signatures = [b for s in one.sections for b in s.blocks if isinstance(b, Signature)]

    assert {"consent-patient-en-es", "consent-clinic-en-es"} == set(both)
    assert [len(s.blocks) for s in english.sections if s.id != "language"] == [len(s.blocks) for s in spanish.sections]
    assert len(pairs) > 20
    for block in pairs:
        mine, theirs = (part.words for part in block.blocks if isinstance(part, Paragraph))
        assert mine[0] == theirs[0]
        assert {"es"} == {span.language for span in theirs[1:] if span.text.startswith("«")}
        assert numbers((mine,), Locale("en")) == numbers((theirs,), Locale("es"))
    assert len([b for s in english.sections for b in s.blocks if isinstance(b, Signature)]) == len(signatures)
    assert f"Signature / {marked('Signature')}" == plain(signatures[0].labels[0])
    assert f"You\n{marked('You')}" in [plain(s.heading) for s in one.sections]


def test_what_is_for_staff_stays_in_the_clinics_language(solana: dict[str, Any], spanish_world: World) -> None:
    """The staff page of the clinic's copy stands once; the patient's copy has none."""
    both = made(spanish_world, solana, "consent")
    (staff,) = [s for s in both["consent-clinic-en-es"].sections if s.id == "staff"]

    assert "«" not in text_of(staff)
    assert "staff" not in [s.id for s in both["consent-patient-en-es"].sections]


def test_numbers_that_differ_between_languages_are_refused(solana: dict[str, Any], tmp_path: Path) -> None:
    """A translation with another number makes nothing, and the message names the element."""
    sentence = "Out of **1,000** people with this operation:"
    folder = write_pseudo_language(tmp_path, "es", {sentence: "De cada **100** personas:"})
    shipped = shipped_world()
    with pytest.raises(Refused) as refused:
        made(replace(shipped, locales=(folder, *shipped.locales)), solana, "consent")

    assert [("figures-differ", "C7")] == [(p.code, p.path) for p in refused.value.problems]


def test_a_translation_of_another_shape_is_refused(solana: dict[str, Any], tmp_path: Path) -> None:
    """A catalog that adds a paragraph would part the pairs, so nothing is made."""
    folder = write_pseudo_language(tmp_path, "es", {"Ask us for one.": "x", "You": "Usted\n\nOtra cosa"})
    shipped = shipped_world()
    with pytest.raises(Refused) as refused:
        made(replace(shipped, locales=(folder, *shipped.locales)), solana, "consent")

    assert [("catalog-shape", "C1")] == [(p.code, p.path) for p in refused.value.problems]
    assert refused.value.template_only


def test_numbers_are_compared_as_each_language_writes_them() -> None:
    """Separators of thousands and decimals are the language's; the digits are the number."""
    words = {
        "en": "1,000 and 2.5, at 10:40",
        "de": "1.000 und 2,5, um 10:40",
        "fr": "1\u202f000 et 2,5, à 10:40",
    }
    found = {tag: numbers(((Span(text),),), Locale(tag)) for tag, text in words.items()}

    assert {"en": ("10", "1000", "2.5", "40")} | dict.fromkeys(("de", "fr"), ("10", "1000", "2.5", "40")) == found


def test_the_leaflet_is_the_readers_and_the_clinic_keeps_its_own(solana: dict[str, Any], spanish_world: World) -> None:
    """Aftercare goes out in the reader's language alone; the clinic's copy is in its own and says so."""
    both = made(spanish_world, solana, "aftercare")
    patient, clinic = both["aftercare-patient-es"], both["aftercare-clinic-en"]

    assert ("es", "en") == (patient.language, clinic.language)
    assert "«" in text_of(patient)
    assert "This is the clinic's copy, in English. The reader's copy is in Spanish." == text_of(clinic.sections[0])
    assert "language" not in [s.id for s in patient.sections]


def test_a_translation_is_a_draft_until_somebody_reviewed_it(
    solana: dict[str, Any], spanish_world: World, tmp_path: Path
) -> None:
    """Without a review DRAFT is on each page; with one its reviewer and the binding text are named instead."""
    file, locales = tmp_path / "approvals.yaml", str(spanish_world.locales[0])
    by = ["--to", str(file), "--by", "Rosa Sample", "--qualification", "translator", "--on", "2026-01-09"]
    files, wish = tree_files(solana), Wish(("aftercare",), ("patient",), on=DAY)
    assert 0 == main(["approve", "aftercare", *by])
    furniture = []
    for command in ([], ["review", "record", "es", "aftercare", "--locales", locales, *by]):
        assert not command or main(command) == 0
        approved = replace(files, approvals=Source("approvals.yaml", file.read_bytes()))
        seen = examine(approved, wish, spanish_world, lambda _zone: DAY)
        furniture.append(draft(seen.asked[0], desk_of(seen, spanish_world)).document.furniture)
    before, after = furniture
    line = marked(BINDING) % {"name": "Rosa Sample", "date": "9\u00a0de\u00a0enero\u00a0de 2026", "language": "inglés"}

    assert marked("DRAFT") in [mark.words for mark in before.marks]
    assert marked("DRAFT") not in [mark.words for mark in after.marks]
    assert line in [plain(words) for words in after.foot]
    assert line not in [plain(words) for words in before.foot]


def test_the_clinic_may_refuse_drafts_in_an_unreviewed_language(solana: dict[str, Any], spanish_world: World) -> None:
    """The setting refuses what it says, and only that: the clinic's own language needs no review."""
    solana["settings"]["language.unreviewed"] = {"value": "refuse", "by": "Maren Holt", "on": "2026-01-05"}
    seen = examine(tree_files(solana), Wish(("aftercare", "operative-note"), on=DAY), spanish_world, lambda _zone: DAY)

    assert [("translation-unreviewed", ("aftercare (es)",))] == [(p.code, p.needed_by) for p in seen.problems.refusing]


def test_a_query_the_case_calls_for_is_named_among_what_was_left_out(fenwright: dict[str, Any], world: World) -> None:
    """Earlier jaw necrosis asks for the physician's answer; the letter left out without query.on is said."""
    fenwright["medical"]["previous_mronj"] = "yes"
    seen = examine(tree_files(fenwright), Wish(on=DAY), world, lambda _zone: DAY)

    assert "physician_query_needed" in seen.left_out["physician-query"].in_words()
    assert "query.on" in seen.left_out["physician-query"].in_words()


def test_a_broken_catalog_says_where_and_why(tmp_path: Path) -> None:
    """Who reads the refusal is told which file is broken, not only that something is missing."""
    home = write_pseudo_language(tmp_path, "es") / "es"
    catalog = home / "LC_MESSAGES" / "docgen.po"
    catalog.write_text(catalog.read_text("utf-8") + 'msgid "a\n', "utf-8")
    problems = Problems()

    assert read_language("es", [tmp_path], problems) is None
    (problem,) = problems
    assert "the catalog of the language es cannot be read: " in problem.in_words()
    assert str(catalog) in problem.in_words()
