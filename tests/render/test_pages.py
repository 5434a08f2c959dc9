"""Where pages may end, by geometry: nothing stands alone, nothing overlaps (page design, sections 3, 5 and 8)."""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import replace

import docx as word
import pytest
from pypdf import PdfReader

from docgen.blocks import (
    Block,
    Danger,
    Document,
    Heading,
    Items,
    Layout,
    PageBreak,
    Pairs,
    Paragraph,
    Section,
    Table,
    Writing,
)
from docgen.render import docx, pdf
from docgen.render.columns import person_widths
from docgen.render.style import Style
from tests.render.reading import page_words
from tests.render.samples import LARGE, PATIENT, STAFF, words

LINE = Paragraph(words("filler"))

RISKS = Table(
    (words("event"), words("affected"), words("spared")),
    tuple((words(f"event{n}"), words(f"yes{n}"), words(f"no{n}")) for n in range(6)),
)
WIDE = Table(tuple(words(f"head{n}") for n in range(5)), ((words("event0"), *(words("x"),) * 4),) * 3)


def _document(blocks: Iterable[Block], base: Document = PATIENT) -> Document:
    return replace(base, sections=(Section("C1", (), tuple(blocks)),))


def _pages(blocks: Iterable[Block], style: Style, base: Document = PATIENT) -> list[tuple[str, ...]]:
    return page_words(pdf.render(_document(blocks, base), style))


def _heights(content: bytes, page: int) -> dict[str, float]:
    """Give the height of the base line of each text on a page, in points above its lower edge."""
    found: dict[str, float] = {}

    def note(text: str, matrix: list[float], place: list[float], *_: object) -> None:
        if text.strip():
            found.setdefault(text.strip(), place[5] * matrix[3] + matrix[5])

    PdfReader(io.BytesIO(content)).pages[page].extract_text(visitor_text=note)
    return found


@pytest.mark.parametrize(
    ("base", "below"),
    [
        (STAFF, (Pairs(tuple((words(f"event{n}"), words("none")) for n in range(3))),)),
        (STAFF, (WIDE,)),
        (PATIENT, (RISKS,)),
        (PATIENT, (Items((words("event0"), words("event1"), words("event2"))),)),
        (PATIENT, (Paragraph(words("one line")), Paragraph(words("event0")))),
        (PATIENT, (Paragraph(words("Out of 1,000 people:")), RISKS)),
        (PATIENT, (Paragraph(words("*lower left wisdom tooth*")), RISKS)),
        (PATIENT, (Heading(3, words("below")), RISKS)),
        (LARGE, (RISKS,)),
    ],
)
def test_a_heading_is_never_the_last_thing_on_a_page(base: Document, below: tuple[Block, ...], style: Style) -> None:
    """Whatever stands above it, a heading and what it announces begin on one page (section 8, rule 5)."""
    for count in range(12, 30):
        for page in _pages((*(LINE,) * count, Heading(2, words("Headed")), *below), style, base):
            assert ("Headed" in page) == ("event0" in page)


def test_in_large_print_no_label_is_parted_from_its_value(style: Style) -> None:
    """A row of a table, as labels and values, stays whole; so does each pair."""
    pairs = Pairs(tuple((words(f"label{n}"), words(f"value{n}")) for n in range(12)))
    for count in range(6):
        for page in _pages((*(LINE,) * count, RISKS, pairs), style, LARGE):
            assert [word[5:] for word in page if word.startswith("label")] == [
                word[5:] for word in page if word.startswith("value")
            ]
            rows = [word.removeprefix("yes") for word in page if word.startswith("yes")]
            assert rows == [word.removeprefix("no") for word in page if word.startswith("no") and word[2:].isdigit()]


@pytest.mark.parametrize("name", ["event", "item", "label"])
def test_no_row_item_or_pair_stands_alone_on_a_page(name: str, style: Style) -> None:
    """A page ends or begins with at least two rows of a table, items of a list or pairs of answers."""
    texts = tuple(words(f"{name}{n}") for n in range(6))
    block = {"event": RISKS, "item": Items(texts), "label": Pairs(tuple((text, words("none")) for text in texts))}[name]
    for count in range(16, 30):
        for page in _pages((*(LINE,) * count, block), style):
            assert 1 != sum(word.startswith(name) and word[len(name) :].isdigit() for word in page)


def test_a_line_for_the_pen_stays_with_the_sentence_above_it(style: Style) -> None:
    """What a person fills in is never alone on a page: no "Given by" and line without the visit."""
    for count in range(16, 30):
        blocks = (*(LINE,) * count, Paragraph(words("visit")), Writing(words("Given")))
        for page in _pages(blocks, style):
            assert ("visit" in page) == ("Given" in page)


def test_a_danger_box_cut_by_a_page_says_on_both_what_it_is(style: Style) -> None:
    """Too long for a page: the band stands above each part, and at least three signs follow it on the first page."""
    danger = Danger(words("Call now"), (Items(tuple(words(f"sign{n}") for n in range(30))),))
    cut = 0
    for count in range(4, 16):
        made = _pages((*(LINE,) * count, danger), style, LARGE)
        pages = [page for page in made if any(word.startswith("sign") for word in page)]
        cut += len(pages) > 1
        assert all("Call" in page for page in pages)
        assert {"sign0", "sign1", "sign2"} <= set(pages[0])
    assert cut


def test_a_danger_box_that_fits_on_a_page_is_never_cut(style: Style) -> None:
    """In large print it moves to the next page whole, rather than stand on two (section 5)."""
    danger = Danger(words("Call now"), (Items(tuple(words(f"sign{n}") for n in range(9))),))
    for count in range(4, 16):
        pages = _pages((*(LINE,) * count, danger), style, LARGE)
        assert 1 == sum(any(word.startswith("sign") for word in page) for page in pages)


def test_a_heading_beside_short_text_has_room_for_its_lines(style: Style) -> None:
    """The next section begins below the last line of the heading, not through it (section 8, rule 6)."""
    sections = (
        Section("C1", words("Where the figures come from"), (Paragraph(words("short")),)),
        Section("C2", words("Next"), (Paragraph(words("text")),)),
    )
    heights = _heights(pdf.render(replace(PATIENT, sections=sections), style), 0)
    line = style.role("heading", PATIENT.layout).line

    assert heights["short"] == pytest.approx(heights["Where the figures"], abs=0.1)
    assert heights["come from"] - heights["Next"] >= line


def test_headings_are_set_above_the_text_in_the_whole_document_if_one_word_is_too_wide(style: Style) -> None:
    """The longest word decides for all headings (section 1, stacked layout)."""
    wide, narrow = words("Weisheitszahnentfernungsaufklärung"), words("Next")
    sections = tuple(Section("C1", heading, (Paragraph(words("text")),)) for heading in (narrow, wide))
    stacked = _heights(pdf.render(replace(PATIENT, sections=sections), style), 0)
    beside = _heights(pdf.render(replace(PATIENT, sections=sections[:1]), style), 0)

    assert stacked["Next"] - stacked["text"] >= style.role("body", PATIENT.layout).line
    assert beside["Next"] == pytest.approx(beside["text"], abs=0.1)


def test_a_page_does_not_begin_with_a_space(style: Style) -> None:
    """A heading that begins a page stands as high as a line of text would: the space before it is left out."""
    tops = set()
    for first in (LINE, Heading(3, words("filler"))):
        content = pdf.render(_document((Paragraph(words("before")), PageBreak(), first, LINE)), style)
        tops.add(round(_heights(content, 1)["filler"], 1))

    assert 1 == len(tops)


def test_tables_with_one_head_stand_on_the_same_columns(style: Style) -> None:
    """The parts of a check list, or risks in a thousand and in a hundred thousand, line up in both formats."""
    long = Table(RISKS.header, ((words("a much longer event than any other"), words("about 99,995"), words("few")),))
    content = docx.render(_document((RISKS, LINE, long)), style)
    grids = [[cell.width for cell in table.rows[0].cells] for table in word.Document(io.BytesIO(content)).tables]

    assert grids[0] == grids[1]


def test_a_label_longer_than_its_column_does_not_push_its_value_in_word(style: Style) -> None:
    """The value stands in its column, on the line below such a label."""
    rows = ((words("Note"), words("none")), (words("How you put it in your own words"), words("none")))
    short, long = word.Document(io.BytesIO(docx.render(_document((Pairs(rows),)), style))).paragraphs[-2:]

    assert ("Note\tnone", "How you put it in your own words\nnone") == (short.text, long.text)


def test_a_long_name_takes_the_room_it_needs_beside_birth_date_and_number() -> None:
    """Short names keep the columns of the page; what cannot fit keeps them too, and wraps."""
    short, long, endless = (words("x" * length) for length in (5, 20, 300))
    others = (words("born 8 July 1952"), words("number P-1"))

    assert [48, 78, 48] == person_widths((short, *others), 174, 48, 5.6)
    assert 48 < person_widths((long, *others), 174, 48, 5.6)[0]
    assert [48, 78, 48] == person_widths((endless, *others), 174, 48, 5.6)


@pytest.mark.parametrize("layout", [Layout(), Layout(voice="staff"), Layout(large_print=True)])
def test_in_word_what_belongs_together_is_kept(layout: Layout, style: Style) -> None:
    """First and last items and pairs, rows and announcing lines carry Word's mark to stay with what follows."""
    texts = tuple(words(f"item{n}") for n in range(4))
    blocks = (Paragraph(words("These can happen:")), Items(texts), Paragraph(words("end.")))
    paragraphs = word.Document(io.BytesIO(docx.render(replace(_document(blocks), layout=layout), style))).paragraphs

    kept = [bool(paragraph.paragraph_format.keep_with_next) for paragraph in paragraphs[-6:]]
    assert [True, True, False, True, False, False] == kept
