"""What a person fills in: content controls that are told apart, add no words, and can be left out."""

from dataclasses import replace

import pytest

from docgen.blocks import Choice, Signature, Table, Writing
from docgen.render import docx
from docgen.render.style import Style
from docgen.render.words import document_words
from tests.render.docx.reading_parts import W, main_part, styled, text, values, with_blocks
from tests.render.reading import docx_words
from tests.render.samples import PATIENT, SAMPLES, words

W14 = "{http://schemas.microsoft.com/office/word/2010/wordml}"
LABELS = (words("Signature of"), words("Date and time"))
FORM = with_blocks(
    Choice(words("Copy"), (words("I took it"), words("send later")), chosen=0),
    Writing(words("What has changed"), 2),
    Writing(words("Given by"), 0),
    Signature(words("I agree."), words("patient"), words("Orla Fenwright"), labels=LABELS),
    Signature(words("I told."), words("surgeon"), words("Maren Holt"), moment=words("3 March, 10:15"), labels=LABELS),
    Table((words("Point"), words("Done")), ((words("Site marked"), ()),), boxes=(1,)),
)


def test_each_control_says_what_it_is_for(style: Style) -> None:
    """Boxes, writing lines, signatures and an open date have a title that is read out; a recorded date is text."""
    assert [
        "I took it",
        "send later",
        "What has changed",
        "Given by",
        "Signature of Orla Fenwright, patient",
        "Date and time, patient",
        "Signature of Maren Holt, surgeon",
        "Site marked",
    ] == values(main_part(FORM, style), "alias")


def test_boxes_and_places_are_of_their_kind(style: Style) -> None:
    """A box can be ticked, a line takes text, several lines take several, a signature takes a picture too."""
    main = main_part(FORM, style)
    kinds = [control[-1].tag.partition("}")[2] for control in main.iter(f"{W}sdtPr")]
    assert ["checkbox", "checkbox", "text", "text", "richText", "text", "richText", "checkbox"] == kinds
    assert ["1", "0", "0"] == [box.get(f"{W14}val") for box in main.iter(f"{W14}checked")]
    assert ["1", None] == [found.get(f"{W}multiLine") for found in list(main.iter(f"{W}text"))[:2]]


@pytest.mark.parametrize("name", SAMPLES)
def test_numbers_of_controls_and_pictures_are_unique(name: str, style: Style) -> None:
    """Word repairs a file in which two controls have one number."""
    main = main_part(SAMPLES[name], style)
    numbers = [found.get(f"{W}val") for found in main.iter(f"{W}id")]
    assert len(set(numbers)) == len(numbers)
    assert numbers or name in ("staff", "letter")


def test_an_empty_place_holds_no_word(style: Style) -> None:
    """Placeholders are spaces: the file says what the document says, nothing more."""
    assert document_words(FORM) == docx_words(docx.render(FORM, style))
    shown = [
        text(control)
        for control in main_part(FORM, style).iter(f"{W}sdt")
        if control.find(f".//{W}showingPlcHdr") is not None
    ]
    assert {""} == {one.strip("\u2002") for one in shown}


def test_for_the_pen_alone_there_are_no_controls(style: Style) -> None:
    """`forms: print` keeps words, boxes and lines, and nothing to click."""
    printed = replace(style, forms="print")
    main = main_part(FORM, printed)
    assert [] == list(main.iter(f"{W}sdt"))
    assert document_words(FORM) == docx_words(docx.render(FORM, printed))
    assert len(styled(main_part(FORM, style), "WritingLine")) == len(styled(main, "WritingLine")) == 2
    assert "☒☐☐" == "".join(c for c in "".join(main.itertext(f"{W}t")) if c in "☐☒")


def test_a_title_is_cut_to_what_word_takes(style: Style) -> None:
    """Longer titles would make the file faulty."""
    long = with_blocks(Writing(words("word " * 40), 1), base=PATIENT)
    (title,) = values(main_part(long, style), "alias")
    assert 64 >= len(title)
