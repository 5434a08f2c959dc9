"""Whole files: both standards, properties, outline, labels, attachments, several documents in one."""

import gc
import os
import subprocess
import sys
import weakref
from pathlib import Path
from typing import Any

import pytest

from docgen.render.pdf.file import File, Properties
from docgen.render.pdf.file.outline import page_labels
from tests.conftest import ROOT
from tests.render.file.making import OneFont, catalog, faults, kids, new_file, read, syntax_faults, tree_of, write


def everything() -> bytes:
    """Make a file with all a file can have."""
    file, page = new_file()
    page.furnish(b"0 820 595 0.5 re f", "Pagination", "Header")
    write(page, file.root.child("H1"), "Title")
    file.bookmark("Title", 1, page, 712)
    paragraph = write(page, file.root.child("P"), "Call us: ", 680)
    link = write(page, paragraph.child("Link"), "555 0142", 660)
    page.link(link, [(50, 658, 110, 672), (50, 640, 60, 650)], "tel:+44 555 0142", "telephone")
    page.check_box(file.root.child("Form"), 50, 600, 11.34, name="agreed", tooltip="I agree")
    either = file.choices("side", "Which side")
    for place, side in enumerate(("left", "right")):
        page.check_box(file.root.child("Form"), 50, 560 - 20 * place, 11.34, name=side, tooltip=side, choices=either)
    page.text_field(file.root.child("Form"), 50, 500, 300, 18, name="words", tooltip="In your words", size=10.5)
    page.signature_field(file.root.child("Form"), 50, 430, 220, 40, name="patient", tooltip="Signature of the patient")
    file.attach("record.json", "application/json", b'{"a": 1}', "The record", "Source")
    second = file.page(612, 792)
    write(second, file.root.child("P"), "The end.")
    second.furnish(b"0 20 595 0.5 re f", "Pagination", "Footer")
    return file.content()


def test_a_file_with_everything_keeps_both_standards(tmp_path: Path) -> None:
    """PDF/UA-1, PDF/A-3a, and no fault of syntax."""
    content = everything()
    assert [] == faults(content)
    assert "" == syntax_faults(content, tmp_path)


def test_a_file_with_nothing_but_a_title_keeps_both_standards(tmp_path: Path) -> None:
    """What is not asked for leaves no empty form, outline or list of names."""
    file, page = new_file()
    write(page, file.root.child("H1"), "Title")
    content = file.content()
    assert [] == faults(content)
    assert "" == syntax_faults(content, tmp_path)
    assert not {"/AcroForm", "/Outlines", "/PageLabels", "/Names", "/AF"} & set(catalog(content))


def test_bytes_are_the_same_in_every_process() -> None:
    """Hash seeds, time zones and what was written before change nothing."""
    everything()
    command = [sys.executable, "-c", "from tests.render.file.test_file import everything as e; print(e().hex())"]
    for seed, zone in (("0", "UTC"), ("77", "Asia/Kolkata")):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone}
        made = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, check=True, text=True)
        assert everything().hex() == made.stdout.strip()


def test_properties_are_told_to_viewers_and_archives() -> None:
    """The same in the information dictionary and in XMP; markup in a title stays words."""
    file, page = new_file(Properties("Crowns < bridges & “more”", "ar", True, "A & B", "kind 1", "word", "docgen 1"))
    write(page, file.root.child("H1"), "Title")
    content = file.content()
    reader = read(content)
    told: Any = reader.metadata
    assert ("Crowns < bridges & “more”", "A & B") == (told.title, told.author)
    xmp: Any = reader.xmp_metadata
    assert {"x-default": "Crowns < bridges & “more”"} == xmp.dc_title
    assert (["A & B"], "word", "docgen 1") == (xmp.dc_creator, xmp.pdf_keywords, xmp.pdf_producer)
    shown: Any = reader.root_object["/ViewerPreferences"]
    assert ("ar", True, "/R2L") == (reader.root_object["/Lang"], shown["/DisplayDocTitle"], shown["/Direction"])
    assert [] == faults(content)


def test_bookmarks_are_nested_by_their_level() -> None:
    """A level that is left out on the way down does not break the tree."""
    file, page = new_file()
    write(page, file.root.child("H1"), "Title")
    for title, level in (("A", 1), ("A a", 2), ("A b", 2), ("A b 1", 4), ("Б", 1)):
        file.bookmark(title, level, page, 700)
    content = file.content()

    def titles(entries: list[Any]) -> list[Any]:
        return [titles(entry) if isinstance(entry, list) else str(entry.title) for entry in entries]

    assert ["A", ["A a", "A b", ["A b 1"]], "Б"] == titles(read(content).outline)
    assert [] == faults(content)


@pytest.mark.parametrize(
    ("labels", "written"),
    [
        ((None, None), ""),
        (("1", "2", "3"), "<</Nums[0<</S/D/St 1>>]>>"),
        ((None, "2"), "<</Nums[0<</S/D/St 1>>]>>"),
        (("A-1", "A-2", "B-1"), "<</Nums[0<</P(A-)/S/D/St 1>> 2<</P(B-)/S/D/St 1>>]>>"),
        (("cover", "1"), "<</Nums[0<</P(cover)>> 1<</S/D/St 1>>]>>"),
        (("9", "10"), "<</Nums[0<</S/D/St 9>>]>>"),
        (("07", "x", "x"), "<</Nums[0<</P(07)>> 1<</P(x)>> 2<</P(x)>>]>>"),
    ],
)
def test_labels_that_count_up_are_one_run(labels: tuple[str | None, ...], written: str) -> None:
    """Viewers count; what does not count is told page by page."""
    assert written == page_labels(labels)


def test_labels_are_read_back_as_they_were_given() -> None:
    """Several documents in one file keep their own page names."""
    file = File(Properties("Pack", "en"), OneFont())
    wished = ["Consent 1", "Consent 2", "Note 1", "i"]
    for label in wished:
        write(file.page(100, 100, label), file.root.child("P"), "x")
    assert wished == read(file.content()).page_labels


def test_an_attachment_comes_out_as_it_went_in() -> None:
    """It is listed by name and tied to the document."""
    file, page = new_file()
    write(page, file.root.child("H1"), "Title")
    record = b'{"b": "' + bytes(range(256)) + b'"}'
    file.attach("b.json", "application/json", record, "The record", "Source")
    file.attach("a ü.txt", "text/plain", b"words", "Words")
    content = file.content()
    assert {"b.json": [record], "a ü.txt": [b"words"]} == dict(read(content).attachments)
    linked: Any = catalog(content)["/AF"]
    assert ["/Source", "/Data"] == [each.get_object()["/AFRelationship"] for each in linked]
    assert [] == faults(content)
    with pytest.raises(ValueError, match=r"two attachments are named b\.json"):
        file.attach("b.json", "application/json", b"", "again")


def test_several_documents_stand_in_parts(tmp_path: Path) -> None:
    """Each part has its title and language, its pages and its bookmarks."""
    file = File(Properties("Pack", "en"), OneFont())
    for number, language in enumerate(("en", "de"), 1):
        part = file.root.child("Part", title=f"Document {number}", lang=language)
        page = file.page(595.28, 841.89, f"{number}-1")
        write(page, part.child("H1"), f"Document {number}")
        file.bookmark(f"Document {number}", 1, page, 712)
    content = file.content()
    assert [("/Part", "en"), ("/Part", "de")] == [(part["/S"], part["/Lang"]) for part in kids(tree_of(content))]
    assert [] == faults(content)
    assert "" == syntax_faults(content, tmp_path)


def test_addresses_hold_seven_bits() -> None:
    """Spaces and other letters become codes, parentheses stay what they are."""
    file, page = new_file()
    write(page, file.root.child("H1"), "Title")
    page.link(write(page, file.root.child("P").child("Link"), "x"), [(0, 0, 9, 9)], "https://a.test/(ü) x%20", "x")
    only: Any = read(file.content()).pages[0]
    (annotation,) = only["/Annots"]
    assert "https://a.test/(%C3%BC)%20x%20" == annotation.get_object()["/A"]["/URI"]


def test_words_are_read_back() -> None:
    """Plain text in the one font of this file."""
    assert "The end." == read(everything()).pages[1].extract_text()


def test_a_file_needs_a_page() -> None:
    """What would not open is not written."""
    with pytest.raises(ValueError, match="needs a page"):
        File(Properties("", "en")).content()


def test_a_file_is_gone_when_nobody_needs_it() -> None:
    """Nothing in it leads around in a circle: a thousand documents need no more memory than one."""
    gc.collect()
    gc.disable()
    try:
        file, page = new_file()
        write(page, file.root.child("H1"), "Title").child("Span")
        page.check_box(file.root.child("Form"), 50, 600, 11.34, name="agreed", tooltip="I agree")
        file.content()
        gone = weakref.ref(file.objects)
        del file, page
        assert gone() is None
    finally:
        gc.enable()
