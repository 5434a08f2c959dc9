"""A table of risks: strips that stay beside long names and numbers, names of several rows, telephone numbers, looks."""

from __future__ import annotations

import io
import re
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest
from conftest import need_program
from pypdf import PdfReader

from docgen.blocks import Block, Danger, Document, Figure, Items, Layout, Pairs, Section, Span, Table, Words, plain
from docgen.render import docx, pdf
from docgen.render.style import Style
from docgen.render.words import document_words, labeled_cells
from tests.render.reading import docx_words, pdf_words
from tests.render.samples import PATIENT, words
from tests.render.tree import Elem, fold, read_tagged

HEADER = (words("What may happen"), words("Affected, of 100,000"), words("Not affected, of 100,000"))
LONG = (
    Span("numb or painful tongue, or a change of taste, that lasts longer than a year. "),
    Span("Matters in your life", bold=True, look="tag"),
    Span(" "),
    Span("Highest at: lower left wisdom tooth (third molar)", look="second"),
)


def _strip(affected: int, frame: str = "about") -> Figure:
    data = {"affected": affected, "denominator": 100_000, "frame": frame}
    return Figure("people-100000", data, words(f"{affected} of 100,000 people."))


def _risks(first: str, name: Words = LONG) -> Table:
    rows = (
        (name, words(first), words("nearly all")),
        (words("a broken jaw"), words("about 20"), words("about 99,980")),
    )
    return Table(HEADER, rows, numeric=(1, 2), drawings=(_strip(1, "fewer_than"), _strip(20)))


def _document(*blocks: Block, layout: Layout = PATIENT.layout) -> Document:
    return replace(PATIENT, sections=(Section("C7", words("Risks"), blocks),), layout=layout)


def _table(document: Document, style: Style) -> Elem:
    (table,) = read_tagged(pdf.render(document, style)).root.below("Table")
    return table


@pytest.mark.parametrize("first", ["fewer than 1", "fewer\u00a0than\u00a01", "fewer than\u00a01", "about\u00a05"])
def test_words_that_stay_together_leave_the_strips(first: str, style: Style) -> None:
    """A no-break space before a number never costs the drawings of the table."""
    assert 2 == len(_table(_document(_risks(first)), style).below("Figure"))


def test_a_long_name_stands_above_its_strip_and_what_is_said_of_it_beside(style: Style) -> None:
    """Name, tag and strip of one row are read in this order, by ear and in every format."""
    document = _document(_risks("fewer than 1"))
    name = _table(document, style).below("TR")[1].kids[0]

    assert ("TH", fold(plain(LONG))) == (name.kind, fold(name.text))
    assert document_words(document) == pdf_words(pdf.render(document, style), document)
    assert document_words(document) == docx_words(docx.render(document, style))


def test_a_tag_is_framed_behind_a_diamond_and_what_is_not_recorded_has_an_open_one(style: Style) -> None:
    """Both are drawn; the Word file has the signs beside its text, so that no word is added."""
    document = _document(Pairs(((words("Pulse"), (Span("not recorded", bold=True, look="unrecorded"),)),)))
    bare = _document(Pairs(((words("Pulse"), (Span("not recorded", bold=True),)),)))
    drawn, plain_page = (
        PdfReader(io.BytesIO(pdf.render(one, style))).pages[0].get_contents().get_data().count(b" l S")
        for one in (document, bare)
    )

    assert drawn == plain_page + 1
    assert document_words(document) == pdf_words(pdf.render(document, style), document)
    assert document_words(document) == docx_words(docx.render(document, style))


def _compared() -> Table:
    header = (words("What may happen"), words("Affected"), words("Not affected"))
    rows = (
        (words("*a numb lip*"), (), ()),
        (words("The tooth is taken out"), words("about 75 out of 1,000"), words("about 925")),
        (words("The root stays"), words("no number"), ()),
    )
    return Table(header, rows, numeric=(1, 2), drawings=(None, _strip(75), None))


def test_rows_under_one_name_have_their_strips(style: Style) -> None:
    """The name stands once, as the head of its row; cells that have nothing to say stay empty in all formats."""
    document = _document(_compared())
    table = _table(document, style)

    assert ["a numb lip", "The tooth is taken out", "The root stays"] == [
        row.kids[0].text.strip() for row in table.below("TR")[1:]
    ]
    assert 1 == len(table.below("Figure"))
    assert document_words(document) == pdf_words(pdf.render(document, style), document)
    assert document_words(document) == docx_words(docx.render(document, style))


def test_in_large_print_the_name_labels_each_of_its_rows(style: Style) -> None:
    """Labels and values say of each row what it belongs to; the numbers stand beside each other, in order."""
    document = _document(_compared(), layout=Layout(large_print=True))
    nothing, first, second = labeled_cells(_compared())

    assert () == nothing
    assert ["a numb lip", "Affected", "Not affected"] == [plain(label) for label, _ in first]
    assert "a numb lip" == plain(second[0][0])
    assert document_words(document) == pdf_words(pdf.render(document, style), document)
    assert document_words(document) == docx_words(docx.render(document, style))


@pytest.mark.parametrize(("layout", "size"), [(Layout(), 19.0), (Layout(large_print=True), 26.0)])
def test_telephone_numbers_are_loud_and_their_hours_are_not(layout: Layout, size: float, style: Style) -> None:
    """In the danger box, bold and large; what is typed behind a number is set as small print."""
    calls = Pairs(
        ((words("By day"), words("0100 555 0142")), (words("At night"), words("0100 555 0199, 18:00 to 08:00")))
    )
    box = Danger(words("Call 000 now"), (Items((words("bleeding that pours"), words("fever"))), calls))
    document = _document(box, layout=layout)
    shown = [one for page in read_tagged(pdf.render(document, style)).shown for one in page]
    sizes = {one.text.strip(): one.size for one in shown if not one.hidden}

    assert (size, size) == (sizes["0100 555 0142"], sizes["0100 555 0199,"])
    assert sizes["18:00 to 08:00"] < size
    assert document_words(document) == pdf_words(pdf.render(document, style), document)


@pytest.mark.parametrize("lines", range(20, 34))
def test_rows_under_one_name_stand_on_its_page(lines: int, style: Style) -> None:
    """Alone at the top of a page, a row would not say what it is about."""
    document = _document(*(Items((words(f"line {n}"),)) for n in range(lines)), _compared())
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(pdf.render(document, style))).pages]

    assert 1 == sum(any(row in page for row in ("a numb lip", "taken out", "The root stays")) for page in pages)


def test_what_a_hand_writes_has_its_own_column(style: Style, tmp_path: Path) -> None:
    """A sentence of a check list takes the room of an empty cell beside it, but not that of lines for the pen."""
    long = words(" ".join(f"said{number}" for number in range(30)))
    header = (words("No."), words("English"), words("Reading"), words("Accepted"))
    beyond = []
    for writing in ((), (2,)):
        table = Table(header, ((words("1"), long, (), ()),), boxes=(3,), writing=writing)
        (tmp_path / "list.pdf").write_bytes(pdf.render(_document(table), style))
        command = [need_program("pdftotext"), "-bbox", str(tmp_path / "list.pdf"), "-"]
        found = re.findall(
            r'<word xMin="([\d.]+)" yMin="[\d.]+" xMax="([\d.]+)" yMax="[\d.]+">(.*)</word>',
            subprocess.run(command, check=True, capture_output=True, text=True).stdout,
        )
        column = next(float(left) for left, _, word in found if word == "Reading")
        beyond.append(any(float(right) > column for _, right, word in found if word.startswith("said")))

    assert [True, False] == beyond
