"""Boxes, lines and places to sign: found by name, filled by programs, looking the same as on paper."""

import io
from typing import Any

import pytest
from pypdf import PdfWriter

from docgen.render.pdf.file import drawn_box
from docgen.render.pdf.file.letters import write_letters
from docgen.render.pdf.file.objects import Objects
from tests.render.file.making import catalog, faults, new_file, read, write
from tests.render.file.test_file import everything


def widgets(content: bytes) -> list[Any]:
    """Give the widgets of the first page, in their order."""
    annotations: Any = read(content).pages[0]["/Annots"]
    return [each.get_object() for each in annotations if each.get_object()["/Subtype"] == "/Widget"]


def test_fields_are_found_by_their_names() -> None:
    """A group is one field; its boxes are its states."""
    fields: Any = read(everything()).get_fields()
    assert {"agreed": "/Btn", "side": "/Btn", "words": "/Tx", "patient": "/Sig"} == {
        key: field["/FT"] for key, field in fields.items()
    }
    assert ["/Off", "/left", "/right"] == sorted(fields["side"]["/_States_"])


def test_every_widget_is_printed_named_and_looks_like_something() -> None:
    """What PDF/A and PDF/UA want of each."""
    for widget in widgets(everything()):
        assert 4 == widget["/F"]
        assert widget["/TU"]
        assert "/N" in widget["/AP"]
        assert "/StructParent" in widget


def test_programs_fill_the_fields_and_the_file_keeps_both_standards() -> None:
    """Text of Western Europe, a box, and one of a group."""
    writer = PdfWriter(clone_from=io.BytesIO(everything()))
    answers = {"words": "Zoë’s crown – 3 €", "agreed": "/Yes", "side": "/right"}
    writer.update_page_form_field_values(writer.pages[0], answers, auto_regenerate=False)
    out = io.BytesIO()
    writer.write(out)
    fields: Any = read(out.getvalue()).get_fields()
    assert answers == {key: fields[key]["/V"] for key in answers}
    assert [] == faults(out.getvalue())


def test_what_is_ticked_is_ticked_at_once() -> None:
    """Alone and in a group, in value and in look."""
    file, page = new_file()
    write(page, file.root.child("H1"), "Title")
    group = file.choices("group", "One of two")
    page.check_box(file.root.child("Form"), 50, 600, 11, name="alone", tooltip="Alone", ticked=True)
    page.check_box(file.root.child("Form"), 50, 580, 11, name="a", tooltip="A", choices=group)
    page.check_box(file.root.child("Form"), 50, 560, 11, name="b", tooltip="B", choices=group, ticked=True)
    content = file.content()
    fields: Any = read(content).get_fields()
    assert ("/Yes", "/b") == (fields["alone"]["/V"], fields["group"]["/V"])
    assert ["/Yes", "/Off", "/b"] == [widget["/AS"] for widget in widgets(content)]
    assert [] == faults(content)


def test_a_box_on_the_page_looks_as_its_field_does() -> None:
    """The same operators, moved."""
    file, page = new_file()
    page.check_box(file.root.child("Form"), 50, 600, 12, name="box", tooltip="Box")
    looks = widgets(file.content())[0]["/AP"]["/N"]
    for state, ticked in (("/Yes", True), ("/Off", False)):
        assert drawn_box(0, 0, 12, ticked=ticked) == looks[state].get_object().get_data()
    assert b"0.5 0.5 11 11 re" in drawn_box(0, 0, 12, ticked=False)
    assert b"10.5 20.5 11 11 re" in drawn_box(10, 20, 12, ticked=False)


def test_boxes_of_one_size_share_their_looks() -> None:
    """A check list of fifty boxes carries two drawings."""
    file, page = new_file()
    for place in range(50):
        page.check_box(file.root.child("Form"), 50, 800 - 12 * place, 10, name=f"box {place}", tooltip="Box")
    looks = {(look["/Yes"].idnum, look["/Off"].idnum) for look in (w["/AP"]["/N"] for w in widgets_raw(file.content()))}
    assert 1 == len(looks)


def widgets_raw(content: bytes) -> list[Any]:
    """Give widgets whose looks are still references."""
    return [{"/AP": {"/N": {key: w["/AP"]["/N"].raw_get(key) for key in ("/Yes", "/Off")}}} for w in widgets(content)]


@pytest.mark.parametrize("name", ["", "a.b", "agreed"])
def test_a_name_is_given_once_and_has_no_parts(name: str) -> None:
    """Two fields of one name would be filled as one; a dot makes one the part of another."""
    file, page = new_file()
    page.check_box(file.root.child("Form"), 50, 600, 11, name="agreed", tooltip="I agree")
    with pytest.raises(ValueError, match="cannot be named"):
        page.text_field(file.root.child("Form"), 50, 500, 300, 18, name=name, tooltip="Words", size=10.5)


def test_a_box_is_named_once_in_its_group() -> None:
    """And is never named as the state of all that are empty."""
    file, page = new_file()
    group = file.choices("group", "One of two")
    page.check_box(file.root.child("Form"), 50, 600, 11, name="a", tooltip="A", choices=group)
    for name in ("a", "Off"):
        with pytest.raises(ValueError, match="two boxes of a group"):
            page.check_box(file.root.child("Form"), 50, 580, 11, name=name, tooltip="A", choices=group)


def test_only_a_file_with_lines_to_type_on_carries_letters_for_them() -> None:
    """The font for typing weighs eleven kilobytes."""
    file, page = new_file()
    page.signature_field(file.root.child("Form"), 50, 430, 220, 40, name="patient", tooltip="Signature")
    form: Any = catalog(file.content())["/AcroForm"]
    assert ("/DR" not in form, 1) == (True, form["/SigFlags"])


def test_the_letters_for_typing_are_those_of_windows_1252() -> None:
    """Each code has a width; a space and an e are as wide as the house font says."""
    objects = Objects()
    font = write_letters(objects)
    file, _ = new_file()
    assert font != ""
    file.page(99, 99)
    resources: Any = read(file.content()).pages[0]["/Resources"]
    written = resources["/Font"]["/F1"]
    widths = dict(enumerate(written["/Widths"], written["/FirstChar"]))
    assert (32, 255) == (min(widths), max(widths))
    assert (260, 564, 572) == (widths[ord(" ")], widths[ord("e")], widths[0x80])
