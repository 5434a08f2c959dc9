import io
import re
import zipfile
import zlib
from dataclasses import replace

import docx as word
import pytest
from lxml import etree
from pypdf import PdfReader

from docgen.blocks import Choice, Document, Image, Paragraph, Section, Signature, Table
from docgen.render import docx, pdf
from docgen.render.style import Style
from tests.render.reading import W, page_words
from tests.render.samples import LARGE, LETTER, PATIENT, SAMPLES, STAFF, words
from tests.render.test_same_words import HOSTILE, places


def png() -> bytes:
    """Make a picture of one gray point."""
    chunks = (
        (b"IHDR", bytes((0, 0, 0, 1, 0, 0, 0, 1, 8, 0, 0, 0, 0))),
        (b"IDAT", zlib.compress(b"\0\x80")),
        (b"IEND", b""),
    )
    body = (len(data).to_bytes(4) + name + data + zlib.crc32(name + data).to_bytes(4) for name, data in chunks)
    return b"\x89PNG\r\n\x1a\n" + b"".join(body)


def part(content: bytes, name: str) -> etree._Element:
    """Read one part of a Word file."""
    with zipfile.ZipFile(io.BytesIO(content)) as package:
        return etree.fromstring(package.read(name))


@pytest.mark.parametrize("name", SAMPLES)
def test_marks_and_person_stand_on_every_page(name: str, style: Style) -> None:
    """SAMPLE, DRAFT and UNSIGNED COPY, and whose document it is, are on each page (page design, section 8, rule 11)."""
    document = SAMPLES[name]
    for page in page_words(pdf.render(document, style)):
        text = " ".join(page)
        assert all(
            mark in text for mark in (*(mark.words for mark in document.furniture.marks), "Orla Fenwright", "P-20417")
        )


def test_pages_have_the_size_of_the_paper(style: Style) -> None:
    """A4 and US Letter (page design, section 1), to a tenth of a millimeter."""
    for document, expected in ((STAFF, (210.0, 297.0)), (LETTER, (215.9, 279.4))):
        box = PdfReader(io.BytesIO(pdf.render(document, style))).pages[0].mediabox
        assert expected == tuple(round(float(side) / 72 * 25.4, 1) for side in (box.width, box.height))
        section = word.Document(io.BytesIO(docx.render(document, style))).sections[0]
        assert expected == (round(section.page_width.mm, 1), round(section.page_height.mm, 1))


def test_files_carry_title_language_and_issue_date_and_nothing_foreign(style: Style) -> None:
    """Properties are those of the document; neither library leaves its own name, date or picture."""
    reader = PdfReader(io.BytesIO(pdf.render(PATIENT, style)))
    assert reader.trailer["/Root"]["/Lang"] == "en"
    expected = {
        "/Title": "Looking after yourself after surgery",
        "/Author": "Harrowmere Dental Surgery",
        "/CreationDate": "D:20260303000000Z",
        "/ModDate": "D:20260303000000Z",
    }
    assert expected == {name: reader.metadata[name] for name in expected}
    content = docx.render(PATIENT, style)
    known = word.Document(io.BytesIO(content)).core_properties
    assert (*(known.title, known.author, known.language),) == (
        "Looking after yourself after surgery",
        "Harrowmere Dental Surgery",
        "en",
    )
    assert {"2026-03-03"} == {known.created.date().isoformat(), known.modified.date().isoformat()}
    with zipfile.ZipFile(io.BytesIO(content)) as package:
        assert {(2026, 3, 3, 0, 0, 0)} == {entry.date_time for entry in package.infolist()}
        assert not [name for name in package.namelist() if "thumbnail" in name or "customXml" in name]
        assert b"python-docx" not in b"".join(map(package.read, package.namelist()))


def test_both_weights_are_embedded(style: Style) -> None:
    """The PDF holds the Noto fonts it prints with."""
    fonts = PdfReader(io.BytesIO(pdf.render(PATIENT, style))).pages[0]["/Resources"]["/Font"].get_object().values()
    names = {re.sub(r"^/[A-Z]+\+", "", font.get_object()["/BaseFont"]) for font in fonts}
    assert {"NotoSans-Regular", "NotoSans-Bold"} <= names


@pytest.mark.parametrize("name", ["image", "link", "color", "markup"])
def test_no_value_becomes_an_action_or_a_picture(name: str, style: Style) -> None:
    """Neither file links, runs, embeds or fetches anything (ecosystem, section 5, S1 to S3)."""
    for document in places(HOSTILE[name]).values():
        reader = PdfReader(io.BytesIO(pdf.render(document, replace(style, forms="print"))))
        assert not any("/Annots" in page or page.images for page in reader.pages)
        assert not [key for key in ("/OpenAction", "/AA", "/Names", "/AcroForm") if key in reader.trailer["/Root"]]
        fields = PdfReader(io.BytesIO(pdf.render(document, style)))
        annotations = [one.get_object() for page in fields.pages for one in page.get("/Annots", [])]
        assert {"/Widget"} >= {one["/Subtype"] for one in annotations}
        assert not [one for one in annotations if {"/A", "/AA"} & one.keys()]
        assert not [key for key in ("/OpenAction", "/AA", "/Names") if key in fields.trailer["/Root"]]
        with zipfile.ZipFile(io.BytesIO(docx.render(document, style))) as package:
            links = b"".join(package.read(name) for name in package.namelist() if name.endswith(".rels"))
        assert b"External" not in links


def test_a_signature_is_on_one_page(style: Style) -> None:
    """However much stands above it, statement, line and name are not parted; in Word they are kept together."""
    held = Signature(
        words("I agree statement"), words("patient"), words("Orla Name"), labels=(words("by"), words("at"))
    )
    for count in range(20, 45):
        blocks = (*(Paragraph(words("line")),) * count, held)
        document = replace(PATIENT, sections=(Section("C1", (), blocks),))
        on = [
            [word in page for page in page_words(pdf.render(document, style))] for word in ("statement", "Name", "at")
        ]
        assert on[0] == on[1] == on[2]
    body = word.Document(io.BytesIO(docx.render(replace(PATIENT, sections=(Section("C1", (), (held,)),)), style)))
    kept = [bool(p.style.paragraph_format.keep_with_next) for p in body.paragraphs[-6:]]
    assert kept == [True, True, True, True, True, False]


def test_a_row_is_never_cut(style: Style) -> None:
    """A row that reaches the end of a page moves to the next whole, with the head repeated above it."""
    cell = words("first " + "w " * 60 + "last")
    for count in range(24, 36):
        table = Table((words("headone"), words("headtwo")), ((words("1"), cell), (words("2"), cell)))
        document = replace(PATIENT, sections=(Section("C1", (), (*(Paragraph(words("x")),) * count, table)),))
        for page in page_words(pdf.render(document, style)):
            assert page.count("first") == page.count("last")
            assert ("first" in page) == ("headone" in page)


def test_word_file_has_real_structure(style: Style) -> None:
    """Headings, lists, a repeated table head, uncut rows, fields for the page, boxes that can be ticked."""
    content = docx.render(PATIENT, style)
    body = word.Document(io.BytesIO(content))
    styles = [paragraph.style.name for paragraph in body.paragraphs]
    assert styles.count("Heading 2") == 4
    assert styles.count("Heading 3") == 1
    assert styles.count("List Number") == 3
    main = part(content, "word/document.xml")
    assert len(list(main.iter(f"{W}tblHeader"))) == 2
    assert len(list(main.iter(f"{W}cantSplit"))) == 9  # rows, heads and both rows of the danger box
    boxes = [box.get("{http://schemas.microsoft.com/office/word/2010/wordml}val") for box in main.iter("{*}checked")]
    assert boxes == ["1", "0", "0", "0", "0"]
    frame = next(table for table in body.tables if table.style.name == "Danger Box")
    assert frame.cell(0, 0).paragraphs[0].style.name == "Danger Heading"
    foot = etree.tostring(body.sections[0].footer._element)
    assert b" PAGE " in foot
    assert b" NUMPAGES " in foot


def test_large_print_has_no_tables_but_the_danger_box(style: Style) -> None:
    """Tables become labels and values at 18 points (page design, section 2)."""
    body = word.Document(io.BytesIO(docx.render(LARGE, style)))
    assert [table.style.name for table in body.tables] == ["Danger Box"]
    assert body.styles["Body Text"].font.size.pt == 18


def test_a_run_in_another_language_is_marked_in_word(style: Style) -> None:
    """A name or a sentence in another language carries its tag; the rest has that of the document."""
    foreign = tuple(replace(span, language="es") for span in words("Guarde reposo"))
    document = replace(PATIENT, sections=(Section("C1", (), (Paragraph(words("Rest: ") + foreign),)),))
    content = docx.render(document, style)
    assert [tag.get(f"{W}val") for tag in part(content, "word/document.xml").iter(f"{W}lang")] == ["es"]
    assert [tag.get(f"{W}val") for tag in part(content, "word/styles.xml").iter(f"{W}lang")] == ["en"]


def test_pictures_keep_their_alternative_text(style: Style) -> None:
    """A logo and a picture print in both formats; Word keeps the words for who cannot see them."""
    image = Image(png(), "Logo of the clinic", 20)
    document = replace(
        PATIENT,
        sections=(Section("C1", (), (image,)),),
        furniture=replace(PATIENT.furniture, logo=image),
    )
    content = docx.render(document, style)
    assert [e.get("descr") for e in part(content, "word/document.xml").iter("{*}docPr")] == ["Logo of the clinic"]
    page = PdfReader(io.BytesIO(pdf.render(document, style))).pages[0]
    assert page.get_contents().get_data().count(b" Do") == 2


def test_a_ticked_box_is_read_out(style: Style) -> None:
    """The drawn boxes of the PDF carry words, so that copied or spoken text says which is ticked."""
    choice = Choice(words("Q"), (words("yes"), words("no")), 1)
    document: Document = replace(PATIENT, sections=(Section("C1", (), (choice,)),))
    (page,) = page_words(pdf.render(document, style))
    assert "Q [ ] yes [x] no" in " ".join(page)
