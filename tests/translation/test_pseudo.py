"""Two languages nobody speaks show what a real one does to a page: all is set, inside, readable, and to standard."""

from __future__ import annotations

import re
import subprocess
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from conftest import ISSUED_ON, WHOLE, example_tree, need_program, shipped_world, tree_files
from hypothesis import given
from hypothesis import strategies as st
from openxml_audit import OpenXmlValidator

from docgen.blocks import Document
from docgen.cli import main
from docgen.drafts import desk_of, draft
from docgen.examine import Wish, World, examine
from docgen.language import read_language
from docgen.problem import Problems
from docgen.render import docx, pdf
from docgen.render.style import Style, read_style
from docgen.render.words import document_words
from docgen.shipped import shipped_folder
from docgen.translation.contract import catalog_faults
from docgen.translation.exchange import source_forms
from docgen.translation.pseudo import PSEUDO, PseudoLanguage
from tests.render.reading import as_drawn, docx_words, page_words, pdf_letters
from tests.render.test_standards import faults
from tests.translation.desk import accepted_by_gettext, catalog_of, entries_of, kinds, sentences

TAGS = tuple(one.tag for one in PSEUDO)
SPREAD = ("holloway", "brzezna")
"""Examples whose files are printed: an adult with two consultants, and a minor with guardian, interpreter and sedation;
with `--long` every example."""

EDGE = 12.0
"""Points from the edge of a page in which no word may stand."""


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Choose the examples that are printed."""
    if "printed" in metafunc.fixturenames:
        metafunc.parametrize("printed", WHOLE if metafunc.config.getoption("--long") else SPREAD)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make both languages once."""
    made = tmp_path_factory.mktemp("pseudo")
    assert 0 == main(["translate", "pseudo", "--to", str(made)])
    return made


@pytest.fixture(scope="module")
def pseudo_world(folder: Path) -> World:
    """Give the shipped world with both beside it."""
    shipped = shipped_world()
    return replace(shipped, locales=(folder, *shipped.locales))


@pytest.fixture(scope="module")
def style() -> Style:
    """Give the house style as shipped."""
    return read_style(shipped_folder("templates") / "_house")


def in_language(example: str, record: str, reader: str) -> dict[str, Any]:
    """Give an example whose record and reader have these languages."""
    tree: dict[str, Any] = example_tree(example)
    tree["record"]["language"] = record
    tree["patient"]["preferred_language"] = reader
    if "language" in tree.get("guardian", {}):
        tree["guardian"]["language"] = reader
    return tree


def composed(
    example: str, record: str, reader: str, world: World, kinds: tuple[str, ...] = ()
) -> Mapping[str, Document]:
    """Compose the documents of an example."""
    on = ISSUED_ON[example]
    seen = examine(tree_files(in_language(example, record, reader)), Wish(kinds, on=on), world, lambda _: on)
    seen.problems.refuse()
    desk = desk_of(seen, world)
    return {f"{one.label} {one.request.copy}": draft(one, desk).document for one in seen.asked}


@pytest.mark.parametrize("one", PSEUDO, ids=TAGS)
def test_a_sentence_keeps_what_every_translation_keeps(one: PseudoLanguage) -> None:
    """Placeholders, bold, digits, units and addresses stay; each letter is another; it is longer by its share."""
    english = "Take **%(dose)s** of 1,200 mg at 10:40; call 0100 555 0100 or see https://a.example/x?y=z. {page}"
    kept = ("**%(dose)s**", "1,200 mg", "10:40", "0100 555 0100", "https://a.example/x?y=z. {page}")
    said = one.said(english)
    plain = one.said("a sentence of plain words, as patients read them.")

    assert [] == [part for part in kept if part not in said]
    assert [] == re.findall("[A-Za-z]", plain)
    assert (49 * (100 + one.longer_percent) + 99) // 100 == len(plain)


@given(st.text("ab E*%,.0١é(){}", min_size=1).map(lambda text: text.replace("**", "*")))
def test_any_sentence_has_a_pseudo_translation(text: str) -> None:
    """As long as promised, or as it was if there is nothing to write twice."""
    for one in PSEUDO:
        said = one.said(text)
        assert len(text) <= len(said)
        assert re.findall(r"[\d%(){}*]", text) == re.findall(r"[\d%(){}*]", said)


@pytest.mark.parametrize("tag", TAGS)
def test_a_pseudo_language_is_whole(tag: str, folder: Path) -> None:
    """Every sentence has it, the contract finds nothing lost, msgfmt takes it; it is as long as it says."""
    language = read_language(tag, [folder], Problems())
    assert language is not None
    file = catalog_of(folder, tag)
    found = [one.in_words() for one in catalog_faults(file.read_bytes(), str(file), sentences(), kinds(), language)]
    entries = entries_of(folder, tag).values()
    before = sum(len(form) for one in entries for form in source_forms(one, language))
    after = sum(
        len(form) for one in entries for form in ([one.string] if isinstance(one.string, str) else one.string or ())
    )
    (one,) = (one for one in PSEUDO if one.tag == tag)

    assert [] == found
    assert {one.key for one in sentences()} == language.catalog.entries.keys()
    assert "" == accepted_by_gettext(file)
    assert one.direction == language.direction
    assert one.longer_percent - 6 < 100 * (after - before) / before < one.longer_percent + 6


def test_making_them_again_writes_nothing(folder: Path) -> None:
    """The same sentences give the same bytes."""
    files = sorted(folder.rglob("*.*"))
    before = [(file.stat().st_ino, file.stat().st_mtime_ns) for file in files]
    assert 0 == main(["translate", "pseudo", "--to", str(folder)])

    assert 4 == len(files)
    assert before == [(file.stat().st_ino, file.stat().st_mtime_ns) for file in files]


@pytest.mark.parametrize("tag", TAGS)
@pytest.mark.parametrize("example", WHOLE)
def test_every_document_of_an_example_composes(example: str, tag: str, pseudo_world: World) -> None:
    """Every kind whose moment has come, the patient's beside the English too: no sentence is missing, numbers agree."""
    own = composed(example, tag, tag, pseudo_world)
    pairs = composed(example, "en", tag, pseudo_world, ("consent",))

    assert {tag} == {document.language for document in own.values()}
    assert 5 <= len(own)
    assert {f"consent (en, {tag}) patient", f"consent (en, {tag}) clinic"} == set(pairs)


@cache
def _printed(example: str, tag: str, folder: Path) -> Mapping[str, tuple[Document, bytes, bytes]]:
    """Print the documents of an example, as PDF and as Word file."""
    shipped = shipped_world()
    world = replace(shipped, locales=(folder, *shipped.locales))
    house = read_style(shipped_folder("templates") / "_house")
    made = {**composed(example, tag, tag, world), **composed(example, "en", tag, world, ("consent",))}
    return {name: (one, pdf.render(one, house), docx.render(one, house)) for name, one in made.items()}


@pytest.mark.parametrize("tag", TAGS)
def test_nothing_is_clipped_or_lost(printed: str, tag: str, folder: Path, tmp_path: Path) -> None:
    """Each letter is on the pages, in order where one direction alone rules, and no word stands in a margin."""
    for name, (document, content, _) in _printed(printed, tag, folder).items():
        letters = Counter("".join(document_words(as_drawn(document, content)).body))

        assert not letters - Counter("".join(word for page in page_words(content) for word in page)), name
        if document.direction == "ltr" and " (en, " not in name:
            assert "".join(document_words(document).body) == pdf_letters(content, document), name
        assert [] == list(_outside(content, tmp_path)), name


def _outside(content: bytes, folder: Path) -> Iterator[str]:
    """Name each word that stands in the margin of its page or beyond, as pdftotext sees it."""
    path = folder / "page.pdf"
    path.write_bytes(content)
    command = [need_program("pdftotext"), "-bbox", str(path), "-"]
    text = subprocess.run(command, check=True, capture_output=True).stdout.decode()
    sides = (0.0, 0.0)
    for line in text.splitlines():
        if page := re.search(r'<page width="([\d.]+)" height="([\d.]+)"', line):
            sides = float(page[1]), float(page[2])
        if word := re.search(r'xMin="(.+?)" yMin="(.+?)" xMax="(.+?)" yMax="(.+?)">(.*)</word>', line):
            left, top, right, low = map(float, word.groups()[:4])
            if min(left, top, sides[0] - right, sides[1] - low) < EDGE:
                yield word[5]


@pytest.mark.parametrize("tag", TAGS)
def test_every_file_meets_its_standards(printed: str, tag: str, folder: Path, tmp_path: Path) -> None:
    """PDF/UA-1, PDF/A-3a and the rules of Open XML."""
    found: dict[str, list[str]] = {}
    for name, (_, content, word) in _printed(printed, tag, folder).items():
        path = tmp_path / "checked.docx"
        path.write_bytes(word)
        found[name] = [*faults(content, tmp_path), *(str(error) for error in OpenXmlValidator().validate(path).errors)]

    assert {} == {name: wrong[:5] for name, wrong in found.items() if wrong}


@pytest.mark.parametrize("tag", TAGS)
def test_a_word_file_says_what_the_document_says(printed: str, tag: str, folder: Path) -> None:
    """Word for word; in two languages letter for letter, as figures are said in another order there."""
    for name, (document, _, word) in _printed(printed, tag, folder).items():
        told, read = document_words(document), docx_words(word, document)
        if " (en, " in name:
            said, shown = (Counter("".join(words.body).replace("/", "")) for words in (told, read))
            assert said == shown, name
        else:
            assert told == read, name
