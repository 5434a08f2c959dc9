"""The head of the first page, that of the later ones, and the foot: whose paper it is, its number, its title."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby

import pytest

from docgen.blocks import Document, Issue, Paragraph, Section
from docgen.render import pdf
from docgen.render.style import Style
from tests.render.composed import documents
from tests.render.samples import LARGE, PATIENT, STAFF, words
from tests.render.tree import Shown, Tagged, read_tagged

SAID = "Number 000042, issued on 24 March 2026, check code AB2D 7FGH."
NUMBERED = Issue("000042", "AB2D7FGH", "ab" * 32, ("1" * 21,) * 21, "QR code", (words(SAID),))
SPANISH = "Número 000042, emitido el 24 de marzo de 2026."
NAMES = {
    "short": ("Orla Fenwright", "born 1 May 2001", "number P-1"),
    "long": ("Beatrix Holloway-Vane", "nacimiento: 8 de septiembre de 1952", "número P-00771"),
    "longer": ("Maximiliane Konstantinopoulou-Featherstonehaugh", "born 8 September 1952", "number P-00771"),
}


def _named(base: Document, name: str) -> Document:
    """Give a document of two pages that is somebody's."""
    person = tuple(words(part) for part in NAMES[name])
    text = (Section("C1", (), tuple(Paragraph(words("Some text. " * 40)) for _ in range(9))),)
    return replace(base, sections=text, furniture=replace(base.furniture, person=person))


def _read(document: Document, style: Style) -> Tagged:
    return read_tagged(pdf.render(document, style))


def _lines(shown: list[Shown], said: tuple[str, ...]) -> list[list[str]]:
    """Give which of some words stand on one line, from the highest line down; a word in two pieces is in none."""
    found = [one for one in shown if one.text.strip() in said]
    return [
        [one.text.strip() for one in line]
        for _, line in groupby(sorted(found, key=lambda one: -one.y), lambda one: one.y)
    ]


@pytest.mark.parametrize(
    ("base", "name", "first", "later"),
    [
        (PATIENT, "short", [[0, 1, 2]], [[0, 1, 2]]),
        (PATIENT, "long", [[0, 1, 2]], [[0, 1, 2]]),
        (PATIENT, "longer", [[0, 1, 2]], [[0, 1, 2]]),
        (LARGE, "short", [[0, 1, 2]], [[0, 1, 2]]),
        (LARGE, "long", [[0], [1, 2]], [[0, 1, 2]]),
        (LARGE, "longer", [[0], [1, 2]], [[0], [1, 2]]),
    ],
)
def test_whose_paper_it_is_breaks_between_name_birth_date_and_number(
    base: Document, name: str, first: list[list[int]], later: list[list[int]], style: Style
) -> None:
    """None of the three is cut; a later page writes them smaller, if one line then holds them, but not very small."""
    document = _named(base, name)
    read = _read(document, style)
    parts = NAMES[name]

    for page, wanted in ((read.shown[0], first), (read.shown[1], later)):
        assert [[parts[part] for part in line] for line in wanted] == _lines(page, parts)
    sizes = {one.size for one in read.shown[1] if one.text.strip() in parts}
    voice = style.voices[style.voice(base.layout)]
    assert voice["furniture"].size <= min(sizes) <= max(sizes) <= voice["person"].size


def test_a_name_longer_than_a_line_is_whole(style: Style) -> None:
    """Each of the three then begins a line of its own, and nothing of the name is lost."""
    document = _named(LARGE, "short")
    person = (words("Wilhelmina " * 12), *document.furniture.person[1:])
    read = _read(replace(document, furniture=replace(document.furniture, person=person)), style)
    found = [one for one in read.shown[0] if one.text.startswith(("Wilhelmina", "born", "number"))]

    assert 12 == sum(one.text.count("Wilhelmina") for one in found)
    (born,), (number,) = ([one for one in found if one.text.startswith(word)] for word in ("born", "number"))
    assert min(one.y for one in found if "Wilhelmina" in one.text) > born.y == number.y


def test_a_title_of_large_print_that_nearly_fits_has_one_line(style: Style) -> None:
    """The first page is short of room for the danger box; a longer title keeps its size and has two lines."""
    found = {}
    for title in ("Looking after yourself after surgery", "Consent record and information for your operation"):
        (page, *_) = _read(replace(LARGE, sections=(), title=words(title)), style).shown
        lines = [one for one in page if one.text.strip() and one.text.strip() in title]
        found[title[:7]] = (len({one.y for one in lines}), min(one.size for one in lines))

    assert (2, 29) == found["Consent"]
    assert 1 == found["Looking"][0]
    assert 29 * 0.88 <= found["Looking"][1] < 29


def _foot(document: Document, style: Style) -> list[Shown]:
    return [one for one in _read(document, style).shown[0] if one.y < 35 * 72 / 25.4 and one.size < 16]


def test_a_tall_foot_of_large_print_has_its_lines_close_together(style: Style) -> None:
    """Two lines are as far apart as the style says, more of them less; the number of the page stands on the last."""
    apart = {}
    for count in (1, 6):
        foot = (words("Some words of a foot of large print that go on and on. " * count),) * 2
        document = replace(LARGE, sections=(), furniture=replace(LARGE.furniture, foot=foot))
        found = _foot(document, style)
        lines = sorted({round(one.y, 1) for one in found if "Page" not in one.text})
        (number,) = (one for one in found if "Page 1" in one.text)
        assert {12} == {one.size for one in found}
        assert number.y == pytest.approx(lines[0 if count > 1 else -1], abs=0.2)
        apart[len(lines)] = lines[1] - lines[0]

    assert [17.0, 14.4] == [pytest.approx(step, abs=0.2) for _, step in sorted(apart.items())]


@pytest.mark.parametrize("base", [PATIENT, STAFF, LARGE])
def test_who_hears_an_issued_paper_hears_its_number(base: Document, style: Style) -> None:
    """A paragraph of the text above the title, once; the feet, which no screen reader reads, stay artifacts."""
    said = (*NUMBERED.said, tuple(replace(span, language="es") for span in words(SPANISH)))
    document = replace(base, furniture=replace(base.furniture, issue=replace(NUMBERED, said=said)))
    read = _read(document, style)
    heard = [elem for elem in read.root.walk() if elem.text.strip()]
    title = next(place for place, elem in enumerate(heard) if elem.kind == "H1")
    number = [(place, elem) for place, elem in enumerate(heard) if "000042" in elem.text]

    assert [(title - 2, "P", SAID, None), (title - 1, "P", SPANISH, "es")] == [
        (place, elem.kind, elem.text.strip(), elem.language) for place, elem in number
    ]
    assert {(1,)} == {tuple(elem.pages) for _, elem in number}


def _title_at(document: Document, style: Style) -> float:
    return next(one.y for one in _read(document, style).shown[0] if one.size >= 20)


@pytest.mark.parametrize(
    "contact", ["7 Millrace Walk, 0100 555 0142", "7 Millrace Walk, a very long way from anywhere " * 2]
)
def test_the_number_takes_no_line_where_the_address_leaves_room(contact: str, style: Style) -> None:
    """It stands at the end of the address's line; only if that is full, or tags stand there, below it."""
    plain = replace(STAFF, furniture=replace(STAFF.furniture, contact=words(contact), marks=STAFF.furniture.marks[:2]))
    numbered = replace(plain, furniture=replace(plain.furniture, issue=NUMBERED))
    moved = _title_at(plain, style) - _title_at(numbered, style)

    assert (0 if len(contact) < 40 else 12) == pytest.approx(moved, abs=0.1)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_danger_box_of_a_large_leaflet_stands_whole_on_its_first_page(paper: str, style: Style) -> None:
    """Signs and telephone numbers, on both papers, and also where the number of an issued paper stands above."""
    leaflet = documents("holloway")["TE-2026-0009-aftercare-patient-en"]
    for issue in (None, NUMBERED):
        furniture = replace(leaflet.furniture, issue=issue)
        read = _read(replace(leaflet, furniture=furniture, layout=replace(leaflet.layout, paper=paper)), style)
        first = " ".join(one.text for one in read.shown[0])
        assert "Call 000 now" in first
        assert "0100 555 0419" in first.replace("\u00a0", " ")


def test_a_title_too_long_to_stand_beside_the_tags_stands_below_them(style: Style) -> None:
    """In the head of a later page it takes one line over the whole width, not a second one for its last word."""
    title = "Record of consent and of information for the operation that is planned here"
    document = replace(_named(LARGE, "short"), title=words(title))
    furniture = replace(document.furniture, marks=document.furniture.marks[:2])
    read = _read(replace(document, furniture=furniture), style)
    head = [one for one in read.shown[1] if one.owner and one.text.strip()]
    (line,) = (one for one in head if one.text.strip() in title and len(one.text) > 20)
    (tag,) = (one for one in head if one.text.strip() == "SAMPLE")
    (name,) = (one for one in head if "Orla" in one.text)

    assert title == line.text.strip()
    assert tag.y > line.y > name.y


def test_tall_tags_hold_the_number_beside_them(style: Style) -> None:
    """A paper that is over has many tags: its number stands below the address, and the title no lower than they ask."""
    marks = tuple(
        replace(PATIENT.furniture.marks[0], words="SUPERSEDED BY 000043, NOT IN FORCE ANY MORE") for _ in "123"
    )
    furniture = replace(PATIENT.furniture, contact=words("7 Millrace Walk"), marks=marks)
    marked = replace(PATIENT, sections=(), furniture=furniture)
    numbered = replace(marked, furniture=replace(furniture, issue=NUMBERED))

    assert _title_at(marked, style) == pytest.approx(_title_at(numbered, style), abs=0.1)
