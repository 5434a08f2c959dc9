"""Boxes in a column of a table, and a line for the pen beside its label: the same in all three formats."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from docx import Document as WordFile
from pypdf import PdfReader

from docgen.blocks import Document, Layout, Section, Table, Writing
from docgen.compose.markup import MarkupFault, read_blocks
from docgen.compose.tokens import Tokens
from docgen.render import docx, pdf, text
from docgen.render.style import Style
from docgen.render.words import document_words
from tests.render.reading import docx_words, pdf_words, text_words
from tests.render.samples import STAFF, words

POINTS = Table(
    (words("No."), words("Point"), words("Done"), words("Initials")),
    ((words("1"), words("Site marked"), (), ()), (words("2"), words("Allergies said aloud"), (), ())),
    boxes=(2,),
)


def _sheet(layout: Layout) -> Document:
    blocks = (Writing(words("Time, and who leads"), 0), POINTS)
    return replace(STAFF, sections=(Section("K", words("Before"), blocks),), layout=layout)


@pytest.mark.parametrize("layout", [Layout(voice="staff"), Layout(large_print=True)])
def test_each_format_prints_the_same_boxes(style: Style, layout: Layout) -> None:
    """One empty box a row, in reading order, in PDF, DOCX and review text; large print too."""
    sheet = _sheet(layout)
    expected = document_words(sheet)

    assert ["[", "]"] * 2 == [word for word in expected.body if word in ("[", "]")]
    assert expected == pdf_words(pdf.render(sheet, style), sheet)
    assert expected == docx_words(docx.render(sheet, style))
    assert replace(expected, running_head=()) == text_words(text.render(sheet, style))


def test_a_box_in_word_can_be_ticked(style: Style) -> None:
    """Each box is a form control, not a sign in the text."""
    file = WordFile(io.BytesIO(docx.render(_sheet(STAFF.layout), style)))

    assert 2 == len(file.element.body.findall(".//{http://schemas.microsoft.com/office/word/2010/wordml}checkbox"))


def test_a_line_beside_its_label_takes_no_line_of_its_own(style: Style) -> None:
    """With no lines below, the page is as high as the label alone; the review text still shows that there is a line."""
    beside, below = Writing(words("Time"), 0), Writing(words("Time"), 1)
    lines = [
        text.render(replace(STAFF, sections=(Section("K", (), (one,)),)), style).decode().count("\nLINE")
        for one in (beside, below)
    ]
    drawn = [
        PdfReader(io.BytesIO(pdf.render(replace(STAFF, sections=(Section("K", (), (one,) * 40),)), style))).pages
        for one in (beside, below)
    ]

    assert [1, 1] == lines
    assert len(drawn[0]) < len(drawn[1])


def test_a_centered_column_holds_boxes() -> None:
    """In a template a centered column is a column of boxes; words in it are refused with their line."""
    (table,) = read_blocks("| a | b |\n|---|:-:|\n| c | |", Tokens())
    assert isinstance(table, Table)
    assert (1,) == table.boxes

    with pytest.raises(MarkupFault):
        read_blocks("| a | b |\n|---|:-:|\n| c | d |", Tokens())
