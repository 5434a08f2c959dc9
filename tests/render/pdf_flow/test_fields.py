"""What a person fills in on a screen: fields with names and tooltips, where the style wants them and a viewer can."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import Any

import pytest
from pypdf import PdfReader

from docgen.blocks import Block, Choice, Document, Section, Signature, Table, Writing
from docgen.render import pdf
from docgen.render.style import Style
from tests.render.samples import PATIENT, SAMPLES, words

ASKED = Choice(words("My copy"), (words("I took it"), words("send later")))
SIGNED = Signature(words("I agree."), words("patient"), words("Orla"), labels=(words("Signature of"), words("Date")))


def _document(*blocks: Block, base: Document = PATIENT) -> Document:
    return replace(base, sections=(Section("C12 C13", words("You agree"), blocks),))


def _form(document: Document, style: Style) -> list[Any]:
    """Give the fields of the form, in reading order."""
    form: Any = PdfReader(io.BytesIO(pdf.render(document, style))).trailer["/Root"].get("/AcroForm")
    return [field.get_object() for field in form["/Fields"]] if form else []


def _fields(document: Document, style: Style) -> list[tuple[str, str]]:
    """Give the kind and the tooltip of each field, in reading order; boxes of a question are one."""
    fields = _form(document, style)
    names = [field["/T"] for field in fields]
    assert len(names) == len(set(names))
    return [(field["/FT"], field["/TU"]) for field in fields]


def test_boxes_lines_and_places_to_sign_are_fields_with_tooltips(style: Style) -> None:
    """Each says what it asks, in the words of the page."""
    table = Table((words("Point"), words("Done")), ((words("Site marked"), ()),), boxes=(1,))
    expected = [
        ("/Btn", "My copy"),
        ("/Tx", "What has changed (1/2)"),
        ("/Tx", "What has changed (2/2)"),
        ("/Tx", "Time"),
        ("/Btn", "Site marked, Done"),
        ("/Sig", "Signature of Orla patient"),
        ("/Tx", "Date, Orla"),
    ]
    blocks = (ASKED, Writing(words("What has changed"), 2), Writing(words("Time"), 0), table, SIGNED)

    assert expected == _fields(_document(*blocks), style)


def test_fields_of_several_voices_have_names_of_their_own(style: Style) -> None:
    """Staff, patient, staff again, under one ID: each line is a field, and no two share a name."""
    line = (Writing(words("Time"), 1),)
    turns = tuple(Section("C1", words("Part"), line, voice) for voice in ("staff", "", "staff"))

    assert [("/Tx", "Time")] * 3 == _fields(replace(PATIENT, sections=turns), style)


def test_what_the_record_answers_is_no_field(style: Style) -> None:
    """A ticked box, a list gone through and a moment of signing cannot be changed on the screen."""
    chosen, complete = replace(ASKED, chosen=0), replace(ASKED, complete=True)
    signed = replace(SIGNED, moment=words("3 March 2026, 10:15"))

    assert [("/Sig", "Signature of Orla patient")] == _fields(_document(chosen, complete, signed), style)


def test_a_print_only_style_has_no_fields(style: Style) -> None:
    """The page looks the same, for the pen."""
    assert [] == _fields(_document(ASKED, SIGNED), replace(style, forms="print"))


def test_a_line_in_a_language_a_viewer_cannot_type_is_for_the_pen(style: Style) -> None:
    """Letters beyond Latin-1 cannot be typed into a field; boxes and signatures need none."""
    base = replace(PATIENT, language="ru")
    kinds = [kind for kind, _ in _fields(_document(ASKED, Writing(words("x"), 2), SIGNED, base=base), style)]

    assert ["/Btn", "/Sig"] == kinds


def test_the_boxes_of_a_question_exclude_each_other(style: Style) -> None:
    """They are radio buttons of one field, each with its own state and tooltip; a second question has its own field."""
    radio = 1 << 15
    other = replace(ASKED, label=words("Photographs"))
    first, second = _form(_document(ASKED, other), style)

    assert [True, True] == [bool(int(field["/Ff"]) & radio) for field in (first, second)]
    kids = [kid.get_object() for kid in first["/Kids"]]
    assert ["My copy I took it", "My copy send later"] == [kid["/TU"] for kid in kids]
    assert [{"/Off", "/1"}, {"/Off", "/2"}] == [set(kid["/AP"]["/N"]) for kid in kids]
    assert ("/Off", "Photographs") == (first["/V"], second["/TU"])


@pytest.mark.parametrize("name", SAMPLES)
def test_fields_stand_on_the_page_and_are_large_enough(name: str, style: Style) -> None:
    """None sticks out of the text's place, and none is smaller than a box of 4 mm."""
    paper = style.paper(SAMPLES[name].layout)
    for page in PdfReader(io.BytesIO(pdf.render(SAMPLES[name], style))).pages:
        for field in page.get("/Annots", []):
            left, low, right, high = (float(value) / 72 * 25.4 for value in field.get_object()["/Rect"])
            assert paper.margin - 0.1 <= left < right <= paper.width - paper.margin + 0.1
            assert paper.height - paper.body_end - 0.1 <= low < high <= paper.height - paper.head
            assert min(right - left, high - low) >= 3.99
