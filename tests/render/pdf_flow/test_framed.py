"""What somebody else fills in stands in one frame, with its fields inside, whole where a page can hold it."""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pytest
from pypdf import PdfReader

from docgen.blocks import Block, Choice, Document, Heading, Paragraph, Section, Together, Writing
from docgen.render import pdf
from docgen.render.style import Style
from tests.render.composed import documents
from tests.render.samples import LETTER, STAFF, words
from tests.render.tree import read_tagged

QUESTION = Together(
    (
        Heading(3, words("Do you agree?")),
        Choice((), (words("Go on"), words("Change"), words("Wait"))),
        Writing(words("Advice"), 0, 1),
    )
)


def _letter(base: Document, questions: int, above: int = 0) -> Document:
    """Give a letter of some paragraphs and one frame of questions."""
    held: tuple[Block, ...] = (
        Paragraph(words("Answer, to desk@example")),
        *[QUESTION] * questions,
        Writing(words("Name"), 0),
    )
    text = tuple(Paragraph(words("Some text. " * 30)) for _ in range(above))
    return replace(base, sections=(Section("Q6", words("Please tell us"), (*text, Together(held, framed=True))),))


def _frames(content: bytes) -> list[list[tuple[float, ...]]]:
    """Give the frames of 174 mm on each page: left, bottom, right, top."""
    pages = []
    for page in PdfReader(io.BytesIO(content)).pages:
        drawn = page.get_contents().get_data().decode("latin-1")
        boxes = (
            tuple(map(float, found)) for found in re.findall(r"([-\d.]+) ([-\d.]+) ([-\d.]+) ([-\d.]+) re S", drawn)
        )
        pages.append([(x, y, x + wide, y + high) for x, y, wide, high in boxes if wide > 173 * 72 / 25.4 and high > 15])
    return pages


def _fields(content: bytes) -> list[list[tuple[float, ...]]]:
    pages = PdfReader(io.BytesIO(content)).pages
    return [[tuple(map(float, one.get_object()["/Rect"])) for one in page.get("/Annots", [])] for page in pages]


@pytest.mark.parametrize("base", [STAFF, LETTER])
def test_a_frame_holds_all_its_fields_on_one_page(base: Document, style: Style) -> None:
    """Three boxes and two lines a question, and the line of the name: all inside, wherever the frame comes to stand."""
    for above in (0, 11):
        content = pdf.render(_letter(base, 2, above), style)
        frames, fields = _frames(content), _fields(content)
        ((left, bottom, right, top),) = [frame for page in frames for frame in page]
        (inside,) = [page for page in fields if page]

        assert 11 == len(inside)
        assert all(left < x and right > to and bottom < y and top > high for x, y, to, high in inside)
        assert [len(page) > 0 for page in frames] == [len(page) > 0 for page in fields]


def test_a_frame_taller_than_a_page_goes_on_in_a_frame(style: Style) -> None:
    """Each page has its own, and no question is cut."""
    content = pdf.render(_letter(STAFF, 9), style)
    frames, fields = _frames(content), _fields(content)

    assert [1, 1] == [len(page) for page in frames]
    assert [0, 1] == [len(page) % 5 for page in fields]
    assert 9 * 5 + 1 == sum(len(page) for page in fields)
    for (frame,), page in zip(frames, fields, strict=True):
        assert all(frame[0] < x and frame[1] < y and frame[3] > high for x, y, _, high in page)


def test_what_a_frame_holds_is_read_out_as_without_it(style: Style) -> None:
    """One element around the same elements: the frame itself is drawn and is no word."""
    framed = _letter(STAFF, 2)
    (section,) = framed.sections
    open_blocks = replace(section, blocks=tuple(block for one in section.blocks for block in one.blocks))
    said = []
    for document in (framed, replace(framed, sections=(open_blocks,))):
        root = read_tagged(pdf.render(document, style)).root
        said.append([(elem.kind, elem.text, len(elem.annotations)) for elem in root.walk() if elem.kind != "Div"])

    assert said[1] == said[0]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_physician_answers_in_one_frame(paper: str, style: Style) -> None:
    """The question to the physician has one box for the answer, on one page, below or behind the letter."""
    for example in ("holloway", "malvasio", "pinhal"):
        (query,) = (one for one in documents(example).values() if one.origin.kind == "physician-query")
        content = pdf.render(replace(query, layout=replace(query.layout, paper=paper)), style)

        assert 1 == sum(len(page) for page in _frames(content)), example
