"""A section for staff inside a document for the patient, what is urgent, and the foot: sizes, places and words."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from lxml import etree
from pypdf import PdfReader

from docgen.blocks import (
    Block,
    Caution,
    Choice,
    Document,
    Heading,
    Items,
    PageBreak,
    Pairs,
    Paragraph,
    Section,
    Table,
    Together,
    Writing,
)
from docgen.render import pdf, text
from docgen.render.style import Style
from tests.render.composed import documents
from tests.render.docx.reading_parts import W, main_part, parts, styled, values, with_blocks
from tests.render.docx.reading_parts import text as said
from tests.render.samples import LARGE, PATIENT, STAFF, words
from tests.render.tree import Shown, read_tagged

TABLE = Table((words("Drug"), words("Dose")), ((words("lidocaine"), words("88")),))


def with_staff(base: Document, *blocks: Block) -> Document:
    """Give a document of one section for the patient and one for staff."""
    return replace(
        base,
        sections=(
            Section("C1", words("For you"), (Paragraph(words("Yours.")),)),
            Section("staff", (), (PageBreak(), Heading(2, words("For staff")), *blocks), "staff"),
        ),
    )


def _shown(document: Document, style: Style) -> list[tuple[int, Shown]]:
    read = read_tagged(pdf.render(document, style))
    return [(number, one) for number, page in enumerate(read.shown, 1) for one in page]


@pytest.mark.parametrize("base", [PATIENT, LARGE])
def test_a_section_for_staff_is_set_in_their_size(base: Document, style: Style) -> None:
    """10.5 points beside the patient's 12 or 18, also in large print, with head and foot as on every page."""
    blocks = (Paragraph(words("Theirs.")), Items((words("item"),)), Pairs(((words("label"), words("value")),)), TABLE)
    size = {one.text.strip(): (page, one.size) for page, one in _shown(with_staff(base, *blocks), style)}

    assert (1, 18 if base is LARGE else 12) == size["Yours."]
    assert {(2, 10.5)} == {size[name] for name in ("Theirs.", "item", "label", "value")}
    assert (2, 9.5) == size["lidocaine"]
    assert size["For staff"] == (2, 11)


@pytest.mark.parametrize("base", [PATIENT, LARGE])
def test_the_same_section_of_a_word_file_has_styles_of_its_own(base: Document, style: Style) -> None:
    """The styles of its paragraphs are the staff's, so that a change of the patient's leaves it as it is."""
    made = parts(with_staff(base, Paragraph(words("Theirs.")), TABLE), style)
    root, styles = (etree.fromstring(made[f"word/{name}.xml"]) for name in ("document", "styles"))
    sizes = dict(zip(values(styles, "style", "styleId"), styles.iter("{*}style"), strict=True))

    assert ["Theirs."] == [said(one) for one in styled(root, "StaffBodyText")]
    assert ["lidocaine", "88"] == [said(one) for one in styled(root, "StaffCell")]
    assert "21" == values(sizes["StaffBodyText"], "sz")[0]
    assert ("36" if base is LARGE else "24") == values(sizes["BodyText"], "sz")[0]


def test_a_file_without_such_a_section_has_no_such_styles(style: Style) -> None:
    """Whoever goes on writing sees no style that the file does not use."""
    assert b"StaffBodyText" not in parts(PATIENT, style)["word/styles.xml"]


def test_a_table_for_staff_is_a_table_in_large_print_too(style: Style) -> None:
    """Only what a patient reads in large print is taken apart into labels and values."""
    assert b"TH      Drug" in text.render(with_staff(LARGE, TABLE), style)
    assert 1 == len(list(main_part(with_staff(LARGE, TABLE), style).iter("{*}tbl")))


def test_the_staff_page_of_a_consent_is_in_the_voice_of_staff() -> None:
    """The clinic's copy alone has it; what the patient reads of both copies stays in the patient's voice."""
    made = documents("holloway")
    voices = {name: {one.id: one.voice for one in made[name].sections} for name in made if "-consent-" in name}
    (clinic,) = (found for name, found in voices.items() if "-clinic-" in name)
    (patient,) = (found for name, found in voices.items() if "-patient-" in name)

    assert "staff" == clinic.pop("staff")
    assert {""} == {*clinic.values(), *patient.values()}


@pytest.mark.parametrize("example", ["fenwright", "malvasio"])
def test_the_foot_has_two_lines(example: str, style: Style) -> None:
    """Record, version and edition, then the day and whose copy it is (page design, section 5)."""
    (document,) = (one for name, one in documents(example).items() if "consent-clinic" in name)
    document = replace(document, furniture=replace(document.furniture, foot=document.furniture.foot[:2]))
    first = [one for page, one in _shown(document, style) if page == 1]
    below = {round(one.y) for one in first if one.y < 25 * 72 / 25.4 and one.size == 8.5}

    assert 2 == len(below)


def test_the_number_of_the_page_makes_room_where_that_saves_a_line(style: Style) -> None:
    """A foot a little too long for the place beside the number takes the whole width, and the number stands lower."""

    def lines(count: int) -> tuple[int, bool]:
        furniture = replace(PATIENT.furniture, foot=(words("word " * count),))
        found = [one for _, one in _shown(replace(PATIENT, sections=(), furniture=furniture), style)]
        foot = sorted({one.y for one in found if one.text.startswith("word")})
        (number,) = {one.y for one in found if one.text.startswith("Page 1")}
        return len(foot), number == pytest.approx(foot[-1], abs=1)

    assert (1, True) == lines(10)
    most = next(count for count in range(20, 200) if lines(count) == (2, False))
    assert (2, True) == lines(most - 1)


def test_urgency_is_framed_or_filled_over_the_whole_width(style: Style) -> None:
    """Soon has a frame of one point in ink, urgent the same place filled with white words on it (design, section 5)."""
    shown, strokes = {}, {}
    for look in ("bar", "frame", "band"):
        document = replace(STAFF, sections=(Section("R", words("Urgency"), (Caution(words("Now."), look),)),))
        page = PdfReader(io.BytesIO(pdf.render(document, style))).pages[0]
        shown[look] = next(one for _, one in _shown(document, style) if one.text == "Now.")
        strokes[look] = page.get_contents().get_data().count(b" re S")

    assert shown["frame"].x == shown["band"].x < shown["bar"].x
    assert (1.0, 1.0, 1.0) == shown["band"].color != shown["frame"].color
    assert strokes["bar"] + 1 == strokes["frame"] == strokes["band"] + 1


@pytest.mark.parametrize(("look", "name"), [("bar", "Caution"), ("frame", "UrgencyFrame"), ("band", "UrgencyBand")])
def test_urgency_has_a_style_of_a_word_file(look: str, name: str, style: Style) -> None:
    """Frame and band are paragraphs with borders, the band with white words."""
    made = parts(with_blocks(Caution(words("Now."), look)), style)
    (paragraph,) = styled(etree.fromstring(made["word/document.xml"]), name)
    styles = {one.get(f"{W}styleId"): one for one in etree.fromstring(made["word/styles.xml"])}

    assert "Now." == said(paragraph)
    assert ("FFFFFF" if look == "band" else "17191C") == values(styles[name], "color")[-1]


def test_lines_go_on_below_the_one_beside_the_label(style: Style) -> None:
    """One line begins beside the words and another stands below, each a field of its own."""
    document = replace(STAFF, sections=(Section("Q", (), (Writing(words("Advice"), 0, 1),)),))
    fields = PdfReader(io.BytesIO(pdf.render(document, style))).get_fields()

    assert ["Advice (1/2)", "Advice (2/2)"] == [str(field["/TU"]) for field in (fields or {}).values()]
    assert b"WRITE   Advice\nLINE\nLINE\n" in text.render(document, style)
    assert 1 == len(styled(main_part(document, style), "WritingLine"))


def test_a_list_that_is_ticked_may_be_cut_and_boxes_for_the_pen_may_not(style: Style) -> None:
    """In a Word file: no more than two entries stay together, or a program can keep no heading with them."""
    options = tuple(words(name) for name in ("one", "two", "three", "four", "five"))

    def kept(complete: bool) -> list[bool]:
        found = styled(main_part(with_blocks(Choice((), options, complete=complete)), style), "Choice")
        return [one.find("{*}pPr/{*}keepNext") is not None for one in found]

    assert [True, False, False, True, False] == kept(True)
    assert [True, True, True, True, False] == kept(False)


def test_a_heading_stays_with_its_own_text_and_not_with_the_next_heading(style: Style) -> None:
    """Short sections before a tall whole stay on the page they fit on: they do not follow it to the next."""
    lines = tuple(Paragraph(words(f"line {n}.")) for n in range(24))
    short = (
        Heading(3, words("first")),
        Paragraph(words("One.")),
        Heading(3, words("second")),
        Paragraph(words("Two.")),
    )
    blocks = (*lines, *short, Heading(3, words("third")), Together(lines))
    document = replace(STAFF, sections=(Section("S", words("Many"), blocks),))
    pages = {one.text: page for page, one in _shown(document, style)}

    assert {"first": 1, "One.": 1, "second": 1, "Two.": 1, "third": 2} == {
        name: pages[name] for name in ("first", "One.", "second", "Two.", "third")
    }
