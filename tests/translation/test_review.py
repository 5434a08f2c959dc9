"""The review of a translation: listed, put on paper, recorded, and lapsed with any change of the kind's own words."""

from __future__ import annotations

import io
import json
import re
import shutil
import subprocess
import zipfile
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import page
import pytest
from conftest import example_tree, need_program, shipped_world, tree_files
from openxml_audit import OpenXmlValidator
from pseudo_language import marked, write_pseudo_language
from pypdf import PdfReader

from docgen.blocks import Document, Table, plain
from docgen.case import Approval
from docgen.cli import main
from docgen.examine import Wish, World
from docgen.generate import generate, house_style
from docgen.kinds import DocumentKind, TemplateFolders, read_kind, translation_entry
from docgen.language import Language, read_catalog, read_language
from docgen.problem import Problems
from docgen.render import docx, pdf, text
from docgen.render.words import document_words
from docgen.shipped import shipped_folder
from docgen.translation.catalog_file import Entries, merged, read_entries, write_catalog
from docgen.translation.lint import catalog_of
from docgen.translation.review_lines import groups, readable
from docgen.translation.review_sheet import SheetOrder, review_sheet
from docgen.translation.review_state import gaps, review_states
from docgen.translation.sentences import Sentence, all_sentences
from tests.render.reading import docx_words

DAY = date(2026, 3, 17)
BY = ["--by", "Rosa Sample", "--qualification", "translator", "--on", "2026-01-09"]
UNREVIEWED = "No qualified person has reviewed this translation."
TAG = "ar-XB"


@pytest.fixture(scope="module")
def pseudo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a folder with the two languages nobody speaks; tests copy it before they change it."""
    folder = tmp_path_factory.mktemp("locales")
    assert main(["translate", "pseudo", "--to", str(folder)]) == 0
    return folder


@pytest.fixture(scope="module")
def sentences() -> tuple[Sentence, ...]:
    """Give the sentences of today."""
    return all_sentences(shipped_world().templates)


@pytest.fixture(scope="module")
def order(pseudo: Path, sentences: tuple[Sentence, ...]) -> Callable[..., SheetOrder]:
    """Give a function that orders a sheet."""

    def make(kind_name: str, tag: str = TAG) -> SheetOrder:
        world = shipped_world()
        kind, language = kind_of(kind_name), language_of(tag, pseudo)
        found = groups(kind, world.templates, sentences, language)
        return SheetOrder(kind, language, language_of("en", *world.locales), found, world.program, DAY)

    return make


def kind_of(name: str, folders: TemplateFolders | None = None) -> DocumentKind:
    """Read a kind."""
    kind = read_kind(name, folders or shipped_world().templates, Problems())
    assert kind is not None
    return kind


def language_of(tag: str, *folders: Path) -> Language:
    """Read a language."""
    language = read_language(tag, folders, Problems())
    assert language is not None
    return language


def listed(locales: Path, approvals: Path, capsys: pytest.CaptureFixture[str]) -> dict[str, tuple[Any, ...]]:
    """List the reviews of one language by kind: state, by, qualification, on."""
    capsys.readouterr()
    assert main(["review", "list", "--json", "--locales", str(locales), "--approvals", str(approvals)]) == 0
    found = json.loads(capsys.readouterr().out)["reviews"]
    names = ("state", "by", "qualification", "on")
    return {one["kind"]: tuple(one[name] for name in names) for one in found if one["language"] == TAG}


def test_a_review_is_listed_until_a_word_of_its_kind_is_changed(
    pseudo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A changed entry lapses the review of the kind that prints it, and of no other; the old review stays named."""
    locales, approvals = tmp_path / "locales", tmp_path / "approvals.yaml"
    shutil.copytree(pseudo, locales)
    approvals.touch()
    before = listed(locales, approvals, capsys)
    for kind in ("aftercare", "consent"):
        command = ["review", "record", TAG, kind, "--to", str(approvals), "--locales", str(locales), *BY]
        assert main(command) == 0
    reviewed = listed(locales, approvals, capsys)
    file = catalog_of(locales / TAG)
    language, entries = language_of(TAG, locales), read_entries(file.read_bytes(), str(file))
    key = next(key for key, kinds in language.catalog.kinds.items() if kinds == {"aftercare"})
    entries[key].string = f"{entries[key].string} "
    file.write_bytes(write_catalog(entries.values(), language))
    after = listed(locales, approvals, capsys)
    by = ("Rosa Sample", "translator", "2026-01-09")

    assert ("never reviewed", None, None, None) == before["aftercare"] == before["reply"]
    assert [("reviewed", *by)] * 2 == [reviewed["aftercare"], reviewed["consent"]]
    assert ("lapsed", *by) == after["aftercare"]
    assert ("reviewed", *by) == after["consent"]
    assert "never reviewed" == after["reply"][0]


def test_a_word_that_any_kind_may_print_lapses_all(pseudo: Path) -> None:
    """Words of codes and the program's lines belong to every kind."""
    language = language_of(TAG, pseudo)
    kinds = [kind_of("aftercare"), kind_of("consent")]
    approvals = [Approval(*translation_entry(language, kind.name), "R", "translator", DAY) for kind in kinds]
    entries = {**language.catalog.entries, (None, UNREVIEWED): ("x",)}
    changed = replace(language, catalog=replace(language.catalog, entries=entries))

    assert ["reviewed"] * 2 == [one.state for one in review_states(language, kinds, approvals)]
    assert ["lapsed"] * 2 == [one.state for one in review_states(changed, kinds, approvals)]


def test_a_changed_sentence_of_a_template_lapses_its_own_kind(
    pseudo: Path, sentences: tuple[Sentence, ...], tmp_path: Path
) -> None:
    """Merged, the sentence is fuzzy: the review of its kind lapses and cannot be renewed; the others stand."""
    shutil.copytree(shipped_folder("templates"), tmp_path / "templates")
    body = tmp_path / "templates/aftercare/body.md.j2"
    old, new = "We left the root in on purpose.", "We left the root in, on purpose."
    assert old in body.read_text("utf-8")
    body.write_text(body.read_text("utf-8").replace(old, new), "utf-8")
    folders = TemplateFolders((tmp_path / "templates",))
    kinds = [kind_of("aftercare", folders), kind_of("consent", folders)]
    language, today = language_of(TAG, pseudo), all_sentences(folders)
    approvals = [Approval(*translation_entry(language, kind.name), "R", "translator", DAY) for kind in kinds]
    file = catalog_of(pseudo / TAG)
    content = write_catalog(merged(read_entries(file.read_bytes(), ""), today, kinds, language), language)
    now = replace(language, catalog=read_catalog(content))
    found = [one.in_words() for kind in kinds for one in gaps(now, kind, today, read_entries(content, "f.po"), "f.po")]

    assert ["lapsed", "reviewed"] == [one.state for one in review_states(now, kinds, approvals)]
    assert [True] == [f"“{new}”: it is fuzzy" in one for one in found]
    assert [] == [*gaps(language, kinds[0], sentences, read_entries(file.read_bytes(), ""), "")]


@pytest.mark.parametrize(
    ("damage", "says"), [("fuzzy", "it is fuzzy"), ("empty", "no translation"), ("gone", "not in")]
)
def test_a_catalog_that_is_not_whole_cannot_be_reviewed(
    damage: str, says: str, pseudo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The sentence is named, nothing is written; a kind that does not print it can be reviewed."""
    locales, approvals = tmp_path / "locales", tmp_path / "approvals.yaml"
    shutil.copytree(pseudo, locales)
    file = catalog_of(locales / TAG)
    language, entries = language_of(TAG, locales), read_entries(file.read_bytes(), str(file))
    key = next(key for key, kinds in language.catalog.kinds.items() if kinds == {"aftercare"})
    _damage(entries, key, damage)
    file.write_bytes(write_catalog(entries.values(), language))
    command = ["review", "record", TAG, "aftercare", "--to", str(approvals), "--locales", str(locales), *BY]
    code, said, written = main(command), capsys.readouterr().err, approvals.exists()
    command[3] = "consent"

    assert (1, False) == (code, written)
    assert f"“{key[1]}”" in said
    assert says in said
    assert main(command) == 0


def _damage(entries: Entries, key: Any, damage: str) -> None:
    if damage == "fuzzy":
        entries[key].flags.add("fuzzy")
    elif damage == "empty":
        entries[key].string = ""
    else:
        del entries[key]


def test_what_is_not_offered_or_no_translation_is_refused(
    pseudo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A kind the language does not offer, English, and names nobody knows: exit 1, and nothing is written."""
    locales, approvals = tmp_path / "locales", tmp_path / "approvals.yaml"
    shutil.copytree(pseudo, locales)
    described = locales / TAG / "language.yaml"
    described.write_text(described.read_text("utf-8") + "kinds: [consent]\n", "utf-8")
    codes = []
    for asked in ((TAG, "aftercare"), ("en", "consent"), ("xx", "consent"), (TAG, "nothing")):
        codes.append(main(["review", "record", *asked, "--to", str(approvals), "--locales", str(locales), *BY]))
        codes.append(main(["review", "sheet", *asked, "--out", str(tmp_path / "out"), "--locales", str(locales)]))

    assert [1] * 8 == codes
    assert f"{TAG} does not offer aftercare" in capsys.readouterr().err
    assert {locales} == {*tmp_path.iterdir()}


def test_an_approvals_file_that_is_named_must_be_there(
    pseudo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Beside a clinic's file it may be absent: then nothing has been reviewed."""
    words = ["review", "list", "--locales", str(pseudo)]
    codes = [main([*words, "--approvals", str(tmp_path / "a.yaml")]), main([*words, "--clinic", str(tmp_path / "c")])]
    shown = capsys.readouterr()

    assert [1, 0] == codes
    assert "[file-unreadable]" in shown.err
    assert re.search(rf"^{TAG} +aftercare +[0-9a-f]{{16}} +never reviewed$", shown.out, re.MULTILINE)


@pytest.mark.parametrize("kind", ["aftercare", "consent", "reply"])
def test_every_sentence_of_a_kind_stands_on_its_sheet_once(
    kind: str, order: Callable[..., SheetOrder], sentences: tuple[Sentence, ...]
) -> None:
    """Each in both languages, a plural in all its forms, numbered without a gap, with no raw placeholder or mark."""
    one = order(kind)
    rows = [row for table in _tables(review_sheet(one)) for row in table.rows]
    needed = [sentence for sentence in sentences if sentence.is_needed((one.kind,))]
    said = one.language.catalog.entries
    expected = Counter(shown(form) for sentence in needed for form in said[sentence.key])
    numbers = [int(re.sub(r"\D", "", plain(row[0]))) for row in rows]
    sources = Counter(plain(tuple(s for s in row[1] if not s.look)).strip() for row in rows if plain(row[0]).isdigit())

    assert expected == Counter(plain(row[2]) for row in rows)
    assert Counter(shown(sentence.forms[0]) for sentence in needed if len(sentence.forms) == 1) == sources
    assert [*range(1, len(needed) + 1)] == [*dict.fromkeys(numbers)]
    assert {one.language.name} == {span.language for row in rows for span in row[2]}
    assert [] == [plain(cell) for row in rows for cell in row if re.search(r"%\(|\{|\*\*", plain(cell))]


def _tables(document: Document) -> list[Table]:
    return [block for block in document.blocks if isinstance(block, Table)]


def shown(sentence: str) -> str:
    """Show a sentence as a page would, by other means than the sheet."""
    return re.sub(r"%\((\w+)\)s|\{(\w+)\}", lambda found: f"‹{found[1] or found[2]}›", sentence).replace("**", "")


def test_elements_come_in_the_order_of_the_page_then_words_then_lines(order: Callable[..., SheetOrder]) -> None:
    """An element is named by its ID and heading."""
    names = [group.name for group in order("consent").groups]

    assert "Name of the document and labels" == names[0]
    assert ["Words for the codes of a record", "Lines of the program"] == names[-2:]
    assert ["C1. You", "C2. Why treatment is proposed"] == [name for name in names if name[:3] in ("C1.", "C2.")]


def test_a_plural_says_for_which_numbers_a_form_is(order: Callable[..., SheetOrder]) -> None:
    """The reviewer of six forms knows which is which, and reads each beside the English that says the same."""
    lines = [line for group in order("consent").groups for line in group.lines]
    first = next(place for place, line in enumerate(lines) if line.number.endswith("a"))
    six = lines[first : first + 6]

    assert ["a", "b", "c", "d", "e", "f"] == [line.number[-1] for line in six]
    numbers = ["0", "1", "2", "3, 4, 5 …", "100, 101, 102 …", "11, 12, 13 …"]  # in the order of Babel's rule
    assert [f"said of {some}" for some in numbers] == [line.note.partition(";")[0] for line in six]
    assert [False, True, False] == [" minute." in plain(line.source) for line in six[:3]]


def test_marks_of_a_template_are_shown_as_the_page_shows_them() -> None:
    """Bold is bold, a placeholder has a name in angles, a per cent sign is one."""
    words = readable("Take **%(dose)s** now, {page}: 5 %%.", "es")

    assert "Take ‹dose› now, ‹page›: 5 %." == plain(words)
    assert ["‹dose›"] == [span.text for span in words if span.bold]
    assert {"es"} == {span.language for span in words}


@pytest.mark.parametrize("tag", ["en-XA", TAG])
def test_the_sheet_meets_the_standards_in_both_directions(
    tag: str, order: Callable[..., SheetOrder], tmp_path: Path
) -> None:
    """PDF/UA-1, PDF/A-3a, clean syntax, and no finding in the Word file; the same bytes twice."""
    document, style = review_sheet(order("aftercare", tag)), house_style(shipped_world())
    content, word = pdf.render(document, style), docx.render(document, style)
    (tmp_path / "a.pdf").write_bytes(content)
    (tmp_path / "a.docx").write_bytes(word)
    faults = [
        fault.message
        for profile in (page.ValidationProfile.PDF_UA_1, page.ValidationProfile.PDF_A_3A)
        for fault in page.validate_pdf_bytes(content, profile=profile).failures
    ]
    checked = subprocess.run([need_program("qpdf"), "--check", str(tmp_path / "a.pdf")], capture_output=True)
    result = OpenXmlValidator().validate(tmp_path / "a.docx")

    assert [] == faults
    assert 0 == checked.returncode, checked.stdout
    assert ([], 0, True) == ([*result.errors], result.warning_count, result.is_valid)
    assert (content, word) == (pdf.render(document, style), docx.render(document, style))


def test_the_words_of_the_sheet_are_those_of_the_document(order: Callable[..., SheetOrder]) -> None:
    """In Word all in their order; on the pages no placeholder is raw and each number stands at its row."""
    document, style = review_sheet(order("aftercare", "en-XA")), house_style(shipped_world())
    read, known = docx_words(docx.render(document, style)), document_words(document)
    pages = [one.extract_text() for one in PdfReader(io.BytesIO(pdf.render(document, style))).pages]
    printed = Counter(word for one in pages for word in one.split())
    wanted = Counter(word for word in known.body if word.startswith("‹") and word.endswith("›"))

    assert known.body == read.body
    assert {} == {word: count for word, count in wanted.items() if printed[word] < count}
    assert "%(" not in "".join(pages) + text.render(document, style).decode()


def test_the_pen_has_room_in_both_formats(order: Callable[..., SheetOrder]) -> None:
    """A row of the Word file is as high as a hand needs for its English: the longer, the higher."""
    document, style = review_sheet(order("aftercare", "en-XA")), house_style(shipped_world())
    with zipfile.ZipFile(io.BytesIO(docx.render(document, style))) as package:
        heights = re.findall(
            r'<w:trHeight w:val="(\d+)" w:hRule="atLeast"/>', package.read("word/document.xml").decode()
        )
    lines = Counter(round(int(height) / 1440 * 25.4 / 7) for height in heights)

    assert sum(len(table.rows) for table in _tables(document)) == len(heights)
    assert min(lines) == 1
    assert max(lines) > 5
    assert {(3,)} == {table.writing for table in _tables(document)}


def test_the_command_writes_both_files_under_their_names(
    pseudo: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A day and the words give the bytes; other content is not written over."""
    words = ["review", "sheet", TAG, "physician-query", "--out", str(tmp_path), "--locales", str(pseudo)]
    first = main([*words, "--on", "2026-03-17"])
    names = [f"review-{TAG}-physician-query.{ending}" for ending in ("docx", "pdf")]

    assert [0, 0, 1, 0] == [
        first,
        main([*words, "--on", "2026-03-17"]),
        main([*words, "--on", "2026-03-18"]),
        main([*words, "--on", "2026-03-18", "--replace"]),
    ]
    assert names == sorted(file.name for file in tmp_path.iterdir())
    assert "[file-exists]" in capsys.readouterr().err
    assert main([*words, "--format", "odt"]) == 2


@pytest.fixture(scope="module")
def unreviewed(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """Make a leaflet in a language nobody has reviewed, in all three formats."""
    shipped = shipped_world()
    folder = write_pseudo_language(tmp_path_factory.mktemp("locales"), "es")
    world: World = replace(shipped, locales=(folder, *shipped.locales))
    tree = example_tree("fenwright")
    tree["patient"]["preferred_language"] = "es"
    wish = Wish(("aftercare",), ("patient",), on=DAY, formats=("pdf", "docx", "text"))
    return generate(tree_files(tree), wish, world, lambda _zone: DAY).files


def test_an_unreviewed_page_says_so_in_both_languages(unreviewed: dict[str, bytes]) -> None:
    """On every page of the PDF, in the foot of the Word file and in the review text."""
    files = {name.rpartition(".")[2]: content for name, content in unreviewed.items()}
    pages = [" ".join(one.extract_text().split()) for one in PdfReader(io.BytesIO(files["pdf"])).pages]
    shown = {f"page {number}": said for number, said in enumerate(pages, 1)}
    shown |= {"docx": " ".join(docx_words(files["docx"]).foot), "text": " ".join(files["txt"].decode().split())}

    assert {} == {name: said for name, said in shown.items() if marked(UNREVIEWED) not in said}
    assert {} == {name: said for name, said in shown.items() if UNREVIEWED not in said.replace(marked(UNREVIEWED), "")}
