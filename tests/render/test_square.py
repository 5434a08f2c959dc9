"""The square code on the pages of an issued document: a camera reads it, a checker passes the file, nobody hears it."""

from __future__ import annotations

import io
import re
import subprocess
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import docx as word
import pikepdf
import pytest
import zxingcpp
from conftest import need_program
from lxml import etree
from openxml_audit import OpenXmlValidator
from PIL import Image, ImageFilter, ImageOps
from pypdf import PdfReader

from docgen.blocks import Document
from docgen.compose.issued import superseded
from docgen.render import docx, pdf, text
from docgen.render.pdf.outlines import diagonal
from docgen.render.square import MODULES, square_png
from docgen.render.style import Style
from docgen.render.words import document_words
from tests.render.reading import W, docx_words, pdf_letters, pdf_words, text_words
from tests.render.samples import LARGE, LETTER, PATIENT, STAFF, words
from tests.render.test_same_words import HOSTILE
from tests.render.test_standards import faults
from tests.render.tree import fold, read_tagged
from tests.test_issued import STAMP, composed, issued, languages_of, over

DOTS = 200
"""To the inch: what a common scanner makes of a page."""

MM = DOTS / 25.4
SAID = "000042 AB2D7FGH"
LEAST_MODULE = 0.33
MARGIN = 4


def _begun(example: str, tag: str, name: str) -> Document:
    """Give the first sections of a document: two pages are enough to see a foot."""
    document = composed(example, tag, "consent")[name]
    return replace(document, sections=document.sections[:6])


@pytest.fixture(scope="module")
def made() -> dict[str, Document]:
    """Issue documents of both papers, sizes and directions, and one in two languages."""
    arabic = _begun("holloway", "ar", "TE-2026-0009-consent-patient-ar")
    small = replace(arabic, layout=replace(arabic.layout, large_print=False))
    found = {
        "patient": PATIENT,
        "letter": LETTER,
        "staff": STAFF,
        "large": LARGE,
        "arabic": small,
        "arabic letter": replace(small, layout=replace(small.layout, paper="Letter")),
        "arabic large": arabic,
        "pair": _begun("solana", "", "VC-2026-0061-consent-patient-en-es"),
        "long number": PATIENT,
    }
    numbers = {"long number": 10**12}
    return {name: issued(one, replace(STAMP, number=numbers.get(name, 42))) for name, one in found.items()}


@pytest.fixture(scope="module")
def printed(made: dict[str, Document], style: Style) -> dict[str, bytes]:
    """Print them as PDF."""
    return {name: pdf.render(document, style) for name, document in made.items()}


def pictured(content: bytes, folder: Path, last: int = 2) -> Iterator[Image.Image]:
    """Give the first pages of a PDF as a scanner sees them, in gray."""
    path = folder / "page.pdf"
    path.write_bytes(content)
    wish = ["-r", str(DOTS), "-gray", "-l", str(last), str(path), str(folder / "page")]
    subprocess.run([need_program("pdftoppm"), *wish], check=True, capture_output=True)
    for found in sorted(folder.glob("page-*.pgm")):
        with Image.open(found) as image:
            yield image.copy()
        found.unlink()


def box_of(found: zxingcpp.Barcode) -> tuple[float, float, float, float]:
    """Give left, top, right and bottom of what was found."""
    place = found.position
    corners = (place.top_left, place.top_right, place.bottom_left, place.bottom_right)
    across, down = [corner.x for corner in corners], [corner.y for corner in corners]
    return min(across), min(down), max(across), max(down)


def test_a_camera_reads_the_square_on_every_page(printed: dict[str, bytes], tmp_path: Path) -> None:
    """An independent decoder finds one code on each page, upright, and it says number and check code alone."""
    for name, content in printed.items():
        pages = list(pictured(content, tmp_path))
        assert pages
        for page in pages:
            (found,) = zxingcpp.read_barcodes(page)
            said = SAID if name != "long number" else "1000000000000 AB2D7FGH"
            assert (name, said) == (name, found.text)
            assert abs(found.orientation) <= 2  # degrees, as corners are found to a dot
            assert found.ec_level in ("M", "Q", "H")


@pytest.mark.parametrize(("turn", "blur", "quality"), [(0, 0.8, 60), (4, 0.8, 40), (-11, 0.6, 40), (93, 0.8, 40)])
def test_a_poor_photograph_of_a_copy_is_read(
    turn: float, blur: float, quality: int, printed: dict[str, bytes], tmp_path: Path
) -> None:
    """Askew, not sharp, gray on gray and packed hard, as a telephone sends it."""
    for name in ("letter", "arabic"):
        page = next(pictured(printed[name], tmp_path, last=1))
        faded = page.point(lambda value: 70 + value * 130 // 255)
        photograph = faded.rotate(turn, Image.Resampling.BICUBIC, expand=True, fillcolor=200)
        photograph = photograph.filter(ImageFilter.GaussianBlur(blur))
        held = io.BytesIO()
        photograph.save(held, "JPEG", quality=quality)
        assert [SAID] == [found.text for found in zxingcpp.read_barcodes(Image.open(held))], name


def test_the_square_is_large_enough_and_stands_at_the_end_of_the_foot(
    made: dict[str, Document], printed: dict[str, bytes], style: Style, tmp_path: Path
) -> None:
    """Modules of 0.33 mm at least, at the right edge of the content, or the left one if the page is read from there."""
    for name, document in made.items():
        paper, modules = style.paper(document.layout), len(document.furniture.issue.square)
        for page in pictured(printed[name], tmp_path):
            left, top, right, bottom = box_of(zxingcpp.read_barcodes(page)[0])
            assert (right - left) / MM / modules >= LEAST_MODULE, name
            assert abs((right - left) - (bottom - top)) <= 2, name
            wanted = MODULES[document.layout.large_print] * 25.4 / 72 * modules
            assert abs((right - left) / MM - wanted) < 0.4, name
            edge = left / MM if document.direction == "rtl" else (page.width - right) / MM
            assert abs(edge - paper.margin) < 0.4, name
            assert bottom / MM <= paper.height - 6, name


def test_nothing_comes_near_the_square(printed: dict[str, bytes], tmp_path: Path) -> None:
    """Four modules of white around it, on every page, whatever the foot says."""
    for name, content in printed.items():
        for page in pictured(content, tmp_path):
            left, top, right, bottom = (round(edge) for edge in box_of(zxingcpp.read_barcodes(page)[0]))
            modules = 25 if name == "long number" else 21
            room = int((right - left) / modules * MARGIN) - 2
            around = page.crop((left - room, top - room, right + room, bottom + room))
            inner = (room - 2, room - 2, around.width - room + 2, around.height - room + 2)
            around.paste(255, inner)
            assert (name, (255, 255)) == (name, around.getextrema())


def test_the_square_is_drawn_and_nobody_hears_it(printed: dict[str, bytes], made: dict[str, Document]) -> None:
    """Rectangles, no picture; an artifact, because its words stand beside it."""
    for name, content in printed.items():
        reader = PdfReader(io.BytesIO(content))
        assert [] == [picture for page in reader.pages for picture in page.images], name
        alt = fold(made[name].furniture.issue.alt)
        assert alt not in {fold(one.alt or "") for one in read_tagged(content).root.walk()}
        drawn = reader.pages[0].get_contents().get_data().split(b"EMC")
        assert len([part for part in drawn if b"/Artifact" in part and part.count(b" re") > 100]) == 1, name


def test_words_of_issued_documents_are_the_same_in_all_formats(made: dict[str, Document], style: Style) -> None:
    """Number and check code stand in the foot of each page, of PDF, Word file and review text."""
    for name, document in made.items():
        known = document_words(document)
        read = pdf_words(pdf.render(document, style), document)
        assert (name, known) == (name, read)
        in_word, in_text = docx_words(docx.render(document, style), document), text_words(text.render(document, style))
        assert (known.running_head, known.foot) == (in_word.running_head, in_word.foot)
        assert (known.body, known.foot) == (in_text.body, in_text.foot)


def test_issued_and_marked_files_meet_their_standards(made: dict[str, Document], style: Style, tmp_path: Path) -> None:
    """PDF/UA-1, PDF/A-3a and the rules of Open XML, in every layout."""
    for name, document in made.items():
        for one in (document, over(document)):
            assert (name, []) == (name, faults(pdf.render(one, style), tmp_path))
            path = tmp_path / "checked.docx"
            path.write_bytes(docx.render(one, style))
            assert (name, []) == (name, [str(error) for error in OpenXmlValidator().validate(path).errors])


def test_files_name_their_number_and_the_register(made: dict[str, Document], style: Style) -> None:
    """In the XMP of a PDF and the properties of a Word file; a document that is not issued names none."""
    for document, number, head in ((made["patient"], "000042", "ab" * 32), (PATIENT, None, None)):
        with pikepdf.open(io.BytesIO(pdf.render(document, style))) as file, file.open_metadata() as known:
            assert (number, head) == (known.get("dc:identifier"), known.get("dc:source"))
        properties = word.Document(io.BytesIO(docx.render(document, style))).core_properties
        assert (number or "") == properties.identifier
        assert (f"register head {head}" if head else "") == properties.keywords


def test_a_pack_of_several_names_no_number(made: dict[str, Document], style: Style) -> None:
    """Each document in it has its own, on its pages."""
    content = pdf.render_pack([made["patient"], made["staff"]], style, "HM-2026-0117", "en")
    with pikepdf.open(io.BytesIO(content)) as file, file.open_metadata() as known:
        assert "dc:identifier" not in known


def test_a_word_file_shows_the_square_in_each_foot(made: dict[str, Document], style: Style) -> None:
    """A picture at the end edge, kept once, with its words for who cannot see it; no line reaches under it."""
    content = round(style.lengths["content"] * 1440 / 25.4)
    for name, document in made.items():
        issue = document.furniture.issue
        with zipfile.ZipFile(io.BytesIO(docx.render(document, style))) as package:
            for foot in ("word/footer1.xml", "word/footer2.xml"):
                part = etree.fromstring(package.read(foot))
                assert (name, [issue.alt]) == (name, [one.get("descr") for one in part.iter("{*}docPr")])
                edge = "left" if document.direction == "rtl" else "right"
                assert [edge] == [one.text for one in part.iter("{*}align")]
                stops = [int(one.get(f"{W}pos")) for one in part.iter(f"{W}tab") if one.get(f"{W}pos")]
                rooms = [int(one.get(f"{W}right") or one.get(f"{W}left")) for one in part.iter(f"{W}ind")]
                assert all(stop + max(rooms) <= content + 1 for stop in stops), name
            pictures = [package.read(one) for one in package.namelist() if one.endswith(".png")]
        assert [square_png(issue.square)] == pictures
        with Image.open(io.BytesIO(pictures[0])) as image:
            (found,) = zxingcpp.read_barcodes(ImageOps.expand(image.convert("L"), 48, 255))
        assert f"{issue.number} {issue.code}" == found.text


def test_a_camera_reads_the_square_on_the_pages_of_a_word_processor(
    made: dict[str, Document], style: Style, tmp_path: Path
) -> None:
    """LibreOffice prints it at the same edge as the PDF, with white around it."""
    office = need_program("soffice")
    names = ("patient", "letter", "large", "arabic", "arabic large", "pair")
    for name in names:
        (tmp_path / f"{name}.docx").write_bytes(docx.render(made[name], style))
    profile = f"-env:UserInstallation=file://{tmp_path}/profile"
    wish = [
        "--headless",
        "--convert-to",
        "pdf",
        "--outdir",
        str(tmp_path),
        *(f"{tmp_path}/{one}.docx" for one in names),
    ]
    subprocess.run([office, profile, *wish], check=True, capture_output=True, timeout=240)
    for name in names:
        for page in pictured((tmp_path / f"{name}.pdf").read_bytes(), tmp_path):
            (found,) = zxingcpp.read_barcodes(page)
            left, _, right, bottom = box_of(found)
            paper = style.paper(made[name].layout)
            edge = left if made[name].direction == "rtl" else page.width - right
            assert (name, SAID) == (name, found.text)
            assert abs(edge / MM - paper.margin) < 0.6, name
            assert bottom / MM <= paper.height - 6, name


def test_a_line_that_runs_the_other_way_has_a_paragraph_of_its_own(style: Style, tmp_path: Path) -> None:
    """Below an English line Arabic stands from the right: number, day, code; in Word in a paragraph from there."""
    document = issued(replace(PATIENT, second_language="ar", sections=()))
    path = tmp_path / "page.pdf"
    path.write_bytes(pdf.render(document, style))
    listed = subprocess.run([need_program("pdftotext"), "-bbox", str(path), "-"], check=True, capture_output=True)
    found = re.findall(r'xMin="([\d.]+)" yMin="([\d.]+)".*?>([^<]*)<', listed.stdout.decode())
    codes = [(float(x), round(float(y))) for x, y, text in found if "AB2D" in text]
    numbers = [(float(x), round(float(y))) for x, y, text in found if "000042" in text]

    assert [3, 3] == [len(codes), len(numbers)]  # the last stand in the foot
    assert codes[0][0] > numbers[0][0]
    assert codes[1][0] < numbers[1][0]
    with zipfile.ZipFile(io.BytesIO(docx.render(document, style))) as package:
        part = etree.fromstring(package.read("word/document.xml"))
    ways = {
        "".join(one.itertext()): [way.get(f"{W}val") for way in one.iter(f"{W}bidi")]
        for one in part.iter(f"{W}p")
        if "000042" in "".join(one.itertext())
    }
    assert [[], ["1"]] == list(ways.values())


def test_marks_of_an_end_stand_on_every_page_in_black_and_white(made: dict[str, Document], style: Style) -> None:
    """Filled bands with words, and one word across; those of the reader's language are spoken in it."""
    for name in ("staff", "arabic", "pair"):
        document = over(made[name])
        content = pdf.render(document, style)
        told = [mark for mark in document.furniture.marks if mark.code in ("superseded", "withdrawn")]
        assert {True} == {mark.filled for mark in told}
        for page in PdfReader(io.BytesIO(content)).pages:
            shown = fold(page.extract_text().replace("\n", " "))
            assert all(fold(mark.words) in shown or name == "arabic" for mark in told), name
        spoken = {(fold(one.text), one.lang) for one in read_tagged(content).root.below("P")}
        assert {(fold(mark.words), mark.language or None) for mark in told} <= spoken


def test_one_word_stands_across_the_page(made: dict[str, Document], style: Style) -> None:
    """Of several marks the last: two words across each other could not be read."""
    assert "draft" in [mark.code for mark in PATIENT.furniture.marks]
    states = {
        "DRAFT": PATIENT,
        "SUPERSEDED": superseded(PATIENT, 43, languages_of(PATIENT)),
        "WITHDRAWN": over(PATIENT),
    }
    for word_across, document in states.items():
        page = PdfReader(io.BytesIO(pdf.render(document, style))).pages[0]
        drawn = page.get_contents().get_data()
        paper = style.paper(document.layout)
        width, height = paper.width * 72 / 25.4, paper.height * 72 / 25.4
        assert 1 == drawn.count(b" 1 j ")
        assert diagonal(word_across, "en", width, height, style.colors["mark"]).strip() in drawn


@pytest.mark.parametrize("name", ["long word", "long", "lines", "marks"])
def test_however_long_a_foot_is_the_square_can_be_read(name: str, style: Style, tmp_path: Path) -> None:
    """A foot that is set small to fit, or grows up the page, keeps clear of the square, and the words are all there."""
    for document in (PATIENT, LARGE):
        hostile = replace(document, sections=(), furniture=replace(document.furniture, foot=(words(HOSTILE[name]),)))
        made = issued(hostile)
        content = pdf.render(made, style)
        for page in pictured(content, tmp_path, last=1):
            assert [SAID] == [found.text for found in zxingcpp.read_barcodes(page)]
        assert pdf_letters(content, made) == "".join(document_words(made).body)
