"""Who hears a page is told what stands on it, block by block, in the same order, and what each thing is."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest

from docgen.blocks import Document, Paragraph, Section
from docgen.render import pdf
from docgen.render.style import Style, read_style
from docgen.shipped import shipped_folder
from tests.render.composed import EXAMPLES, documents
from tests.render.samples import PATIENT, SAMPLES
from tests.render.specimens import LANGUAGES, RIGHT_TO_LEFT, VALUES, all_scripts, specimen, texts
from tests.render.spoken import Speech, said
from tests.render.tree import Elem, Tagged, fold, read_tagged

KIDS = {
    "L": {"LI", "Caption"},
    "LI": {"Lbl", "LBody"},
    "Table": {"Caption", "THead", "TBody"},
    "THead": {"TR"},
    "TBody": {"TR"},
    "TR": {"TH", "TD"},
}
"""What may stand directly below an element (ISO 32000-1, 14.8.4.3)."""

PARENTS = {"LI": {"L"}, "Lbl": {"LI"}, "LBody": {"LI"}, "TR": {"THead", "TBody"}, "TH": {"TR"}, "TD": {"TR"}}

SOURCES = (*EXAMPLES, *LANGUAGES, "samples")

Printed = dict[str, tuple[Document, Tagged]]
"""By name, documents and what their files say."""


@cache
def _style() -> Style:
    return read_style(shipped_folder("templates") / "_house")


@cache
def leaflet(language: str) -> Tagged:
    """Print and read the specimen of a language."""
    return read_tagged(pdf.render(specimen(language), _style()))


@pytest.fixture(scope="module", params=[(source, large) for source in SOURCES for large in (False, True)], ids=str)
def printed(request: pytest.FixtureRequest) -> Printed:
    """Print and read the documents of an example, a specimen or the samples, in usual or in large print."""
    source, large = request.param
    if source == "samples":
        made = {**SAMPLES, "all scripts": all_scripts()}
    else:
        made = documents(source) if source in EXAMPLES else {source: specimen(source)}
    held = {
        name: replace(document, layout=replace(document.layout, large_print=large)) for name, document in made.items()
    }
    return {name: (document, read_tagged(pdf.render(document, _style()))) for name, document in held.items()}


def test_the_tree_says_what_the_model_says(printed: Printed) -> None:
    """Every text of the model once, in order, in the element of its sort; nothing else; figures by what they show."""
    for name, (document, read) in printed.items():
        drawn = [fold(elem.alt or "") for elem in read.root.below("Figure")]
        assert (name, Speech(document, drawn).list()) == (name, said(read.root))


def test_elements_stand_where_they_belong(printed: Printed) -> None:
    """One title, no level of heading left out; lists of items; rows as wide as the table's head; heads with scope."""
    for _, read in printed.values():
        root = read.root
        levels = [int(elem.kind[1]) for elem in root.walk() if elem.kind[0] == "H" and elem.kind[1:].isdigit()]
        assert levels[0] == 1
        assert levels.count(1) == 1
        assert all(after <= before + 1 for before, after in pairwise(levels))
        _check_family(root)
        for table in root.below("Table"):
            _check_table(table)


def _check_family(root: Elem) -> None:
    for elem in root.walk():
        for kid in elem.kids:
            assert kid.kind in KIDS.get(elem.kind, {kid.kind}), (elem.kind, kid.kind)
            assert elem.kind in PARENTS.get(kid.kind, {elem.kind}), (elem.kind, kid.kind)
        if elem.kind in ("L", "Table", "TR", "TBody", "LI"):
            assert elem.kids, f"an empty {elem.kind}"


def _check_table(table: Elem) -> None:
    head = [elem for part in table.kids if part.kind == "THead" for row in part.kids for elem in row.kids]
    assert head
    assert {"TH"} == {elem.kind for elem in head}
    assert {"/Column"} == {elem.attributes.get("Scope") for elem in head}
    for part in table.kids:
        for row in part.kids if part.kind == "TBody" else []:
            assert len(head) == len(row.kids)
            scopes = [elem.attributes.get("Scope") for elem in row.kids if elem.kind == "TH"]
            assert scopes in ([], ["/Row"])


def test_every_figure_link_and_field_says_what_it_is(printed: Printed) -> None:
    """A figure has its text and its place, a link its words and address, a field its tooltip, a box a role."""
    for _, read in printed.values():
        for figure in read.root.below("Figure"):
            assert figure.alt
            assert figure.alt.strip()
            left, low, right, top = map(float, figure.attributes["BBox"])
            assert left < right
            assert low < top
        for elem in read.root.below("Link"):
            assert elem.annotations
            assert all(link["/Contents"] and link["/A"]["/URI"] for link in elem.annotations)
        for elem in read.root.below("Form"):
            assert len(elem.annotations) == 1 or (
                not elem.annotations and elem.attributes["Role"] in ("/cb", "/rb", "/tv")
            )
        held = [field for elem in read.root.below("Form") for field in elem.annotations]
        assert all(str(field.get("/TU") or field["/Parent"]["/TU"]).strip() for field in held)
        shown = [one for page in read.reader.pages for one in page.get("/Annots", [])]
        kept = [one for elem in read.root.walk() for one in elem.annotations]
        assert len(shown) == len(kept)


def test_nothing_is_shown_that_is_neither_read_out_nor_furniture(printed: Printed) -> None:
    """Each string belongs to an element or an artifact; heads of later pages, and every foot, are artifacts."""
    for document, read in printed.values():
        furniture = document.furniture
        assert not [one for page in read.shown for one in page if one.owner is None and one.text.strip()]
        heads, feet = (read.artifacts(sort) for sort in ("Header", "Footer"))
        person = [fold("".join(span.text for span in words)) for words in furniture.person]
        assert all(part in fold(head) for head in heads[1:] for part in person)
        assert "" == heads[0]
        for number, foot in enumerate(feet, 1):
            line = furniture.page.replace("{page}", str(number)).replace("{pages}", str(len(feet)))
            assert fold(line) in fold(foot)


def test_a_paragraph_that_a_page_cuts_is_one_element() -> None:
    """Its text goes on behind the page's edge; a screen reader does not stop there."""
    long = tuple(Paragraph(PATIENT.sections[0].blocks[1].words * 9) for _ in range(4))
    document = replace(PATIENT, sections=(Section("C1", (), long),))
    read = read_tagged(pdf.render(document, _style()))
    cut = [elem for elem in read.root.walk() if len(set(elem.pages)) > 1]
    assert cut
    assert {"P"} == {elem.kind for elem in cut}
    assert Speech(document, ()).list() == said(read.root)


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_is_in_another_language_is_read_out_in_it(language: str) -> None:
    """The page has the language of its document; a name keeps its own."""
    read = leaflet(language)
    name = VALUES["name"].text.split()[0]
    spoken = {
        read.language(number, one)
        for number, page in enumerate(read.shown, 1)
        for one in page
        if name in one.text and isinstance(one.owner, int)
    }
    others = {
        read.language(number, one)
        for number, page in enumerate(read.shown, 1)
        for one in page
        if one.text.strip() and texts(language)["lead"].startswith(one.text.strip())
    }
    assert {"en"} == spoken
    assert {language} == others


def test_every_script_on_one_page_is_read_out_in_its_language() -> None:
    """No line of Hindi is spelled out by an English voice."""
    read = read_tagged(pdf.render(all_scripts(), _style()))
    ranges = {"zh": "\u4e00\u9fff", "hi": "\u0900\u097f", "ar": "\u0600\u06ff", "he": "\u0590\u05ff"}
    for language, (first, last) in {**ranges, "ru": "\u0400\u04ff", "ta": "\u0b80\u0bff"}.items():
        found = {
            read.language(number, one)
            for number, page in enumerate(read.shown, 1)
            for one in page
            if any(first <= letter <= last and letter not in "।॥" for letter in one.text)
        }
        assert {language} == found


def _owner(read: Tagged, kind: str, word: str) -> int | None:
    """Find the marks of the first page that an element of a kind with a word has."""
    found = (
        mark for (page, mark), elem in read.elements.items() if page == 1 and elem.kind == kind and word in elem.text
    )
    return next(found, None)


@pytest.mark.parametrize("language", RIGHT_TO_LEFT)
def test_a_page_read_from_right_to_left_is_mirrored_but_not_its_numbers(language: str) -> None:
    """Headings stand in the side column at the right, values beside labels; numbers and names run as ever."""
    read = leaflet(language)
    width = float(read.reader.pages[0].mediabox.width)
    heading = {fold(elem.text) for elem in read.root.below("H2")}
    assert {fold(texts(language)["heads"][0])} <= heading
    headings = [elem for elem in read.root.below("H2") if len(elem.text.split()) < 4]
    for elem in headings:
        shown = [
            one
            for one in read.shown[elem.pages[0] - 1]
            if isinstance(one.owner, int) and read.elements.get((elem.pages[0], one.owner)) is elem
        ]
        assert min(one.x for one in shown) > width / 2
    values = [one.x for one in read.shown[0] if "Orla" in one.text and one.owner == _owner(read, "LBody", "Orla")]
    assert values
    assert min(values) > width / 4
    numbers = 0
    for page in read.shown:
        for first, second in pairwise(page):
            if (first.text.strip(), second.text.strip()) in (("0100", "555"), ("555", "0142"), ("Orla", "Fenwright")):
                numbers += 1
                assert first.y != second.y or first.x < second.x
    whole = sum("0100\u00a0555" in one.text or "0100 555" in one.text for page in read.shown for one in page)
    assert numbers + whole
    assert read.reader.trailer["/Root"]["/ViewerPreferences"]["/Direction"] == "/R2L"
