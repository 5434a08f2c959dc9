"""The look: what is mirrored, what is loud, and where words may not go."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pytest
from pypdf import PdfReader

from docgen.blocks import Document, Items, Mark, Paragraph, Section, Table, Together
from docgen.render import pdf
from docgen.render.style import Style
from tests.render.samples import PATIENT, SAMPLES, words

DRAFT = Mark("draft", "DRAFT")


def _content(document: Document, style: Style, page: int = 0) -> str:
    return PdfReader(io.BytesIO(pdf.render(document, style))).pages[page].get_contents().get_data().decode("latin-1")


def _bars(content: str) -> list[tuple[float, float]]:
    """Give the left and right edges of filled rectangles, in points."""
    found = re.findall(r"([-\d.]+) [-\d.]+ ([-\d.]+) [-\d.]+ re f", content)
    return [(round(float(x), 1), round(float(x) + float(width), 1)) for x, width in found]


@pytest.mark.parametrize("code", ["draft", "sample"])
def test_only_a_draft_has_its_word_across_the_page(code: str, style: Style) -> None:
    """It is drawn in outline and is no text: a reader finds the word once, in the tag."""
    document = replace(PATIENT, sections=(), furniture=replace(PATIENT.furniture, marks=(Mark(code, "DRAFT"),)))
    reader = PdfReader(io.BytesIO(pdf.render(document, style)))

    assert 1 == reader.pages[0].extract_text().count("DRAFT")
    assert (code == "draft") == (" c " in _content(document, style))


def test_a_page_read_from_right_to_left_is_mirrored(style: Style) -> None:
    """The heavy part of the house rule, bars and squares stand as far from the right edge as else from the left."""
    blocks = (Items((words("one"), words("two"))), Paragraph(words("text")))
    document = replace(PATIENT, sections=(Section("C1", words("Headed"), blocks),))
    width = style.paper(document.layout).width * 72 / 25.4
    there, back = (_bars(_content(replace(document, direction=way), style)) for way in ("ltr", "rtl"))

    assert there
    assert [
        (pytest.approx(width - right, abs=0.15), pytest.approx(width - left, abs=0.15)) for left, right in there
    ] == back


def test_a_pair_in_two_languages_has_its_number_beside_both(style: Style) -> None:
    """Both halves stand on one page, each with the number; a bar marks what the reader reads."""
    mark = words("77\u2002")
    translated = tuple(replace(span, language="es") for span in words("Quitamos un diente."))
    pair = Together((Paragraph((*mark, *words("We take out a tooth."))), Paragraph((*mark, *translated))))
    document = replace(PATIENT, sections=(Section("C1", words("Done"), (pair,)),))
    text = PdfReader(io.BytesIO(pdf.render(document, style))).pages[0].extract_text().split()
    bars = [bar for bar in _bars(_content(document, style)) if bar[1] - bar[0] == pytest.approx(1.5)]

    assert 2 == text.count("77")
    assert 1 == len(bars)


@pytest.mark.parametrize("name", SAMPLES)
def test_nothing_stands_outside_the_margins(name: str, style: Style) -> None:
    """No line of words begins left of the text's place, and no rectangle leaves it."""
    paper = style.paper(SAMPLES[name].layout)
    left, right = paper.margin * 72 / 25.4, (paper.width - paper.margin) * 72 / 25.4
    for page in range(len(PdfReader(io.BytesIO(pdf.render(SAMPLES[name], style))).pages)):
        assert all(
            left - 0.1 <= start <= end <= right + 0.1 for start, end in _bars(_content(SAMPLES[name], style, page))
        )


def test_an_overlong_word_in_a_narrow_cell_is_cut_and_whole(style: Style) -> None:
    """Nothing of it is lost, and the next column is not written over."""
    word = "Weisheitszahnentfernungsaufklärungsbogen" * 3
    table = Table(tuple(words(f"head{n}") for n in range(4)), ((words(word), words("b"), words("c"), words("d")),))
    document = replace(PATIENT, sections=(Section("C1", (), (table,)),))
    text = "".join(PdfReader(io.BytesIO(pdf.render(document, style))).pages[0].extract_text().split())

    assert word in text
