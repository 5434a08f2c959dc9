"""Figures as pictures for a word processor: EMF records as [MS-EMF] has them, and LibreOffice showing them."""

from __future__ import annotations

import struct
import subprocess
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from conftest import need_program
from pypdf import PdfReader

from docgen.blocks import Figure, Span
from docgen.render.drawing.letters import outlines_of, width_of
from docgen.render.drawing.strokes import extent
from docgen.render.picture import Picture, picture
from docgen.render.style import read_style
from docgen.shipped import shipped_folder
from tests.render.figures.samples import SOME, TEXT_COLUMN, jaw, people, words

COLORS = read_style(shipped_folder("templates") / "_house").colors
PICTURES = [figure for figure in SOME if figure.name not in ("dose", "calendar")]


def pictured(figure: Figure, language: str = "en", *, rtl: bool = False) -> Picture:
    """Make the picture of a figure that has one."""
    found = picture(figure, language=language, rtl=rtl, large=False, width_mm=TEXT_COLUMN, colors=COLORS)
    assert found is not None
    return found


def records(content: bytes) -> Iterator[tuple[int, bytes]]:
    """Give the kind and the content of each record."""
    place = 0
    while place < len(content):
        kind, size = struct.unpack_from("<II", content, place)
        assert size >= 8
        assert 0 == size % 4
        yield kind, content[place + 8 : place + size]
        place += size


@pytest.mark.parametrize("figure", PICTURES, ids=lambda figure: figure.name)
def test_the_header_counts_its_records_and_tells_its_size(figure: Figure) -> None:
    """First a header, last an end; bytes, records and objects counted; the frame in hundredths of a millimeter."""
    made = pictured(figure)
    found = list(records(made.content))
    _, size, count, handles, reserved = struct.unpack_from("<IIIHH", found[0][1], 36)
    frame = struct.unpack_from("<4i", found[0][1], 16)

    assert (1, 14, b" EMF") == (found[0][0], found[-1][0], found[0][1][32:36])
    assert (len(made.content), len(found), 0) == (size, count, reserved)
    assert handles == 1 + sum(kind in (39, 95) for kind, _ in found)
    assert frame[2:] == (pytest.approx(made.width * 100, abs=1), pytest.approx(made.height * 100, abs=1))


@pytest.mark.parametrize("figure", PICTURES, ids=lambda figure: figure.name)
def test_a_picture_holds_no_text_and_the_same_bytes_each_time(figure: Figure) -> None:
    """Labels are outlines: no record of text or font; nothing depends on what was drawn before."""
    first = pictured(figure)
    pictured(people(999))

    assert first == pictured(figure)
    assert not {82, 83, 84, 96, 97} & {kind for kind, _ in records(first.content)}


def test_bars_and_calendar_are_no_pictures() -> None:
    """A word processor shows them as words."""
    others = [figure for figure in SOME if figure.name in ("dose", "calendar")]

    assert others
    assert all(
        picture(one, language="en", rtl=False, large=False, width_mm=174, colors=COLORS) is None for one in others
    )


def test_the_strip_has_a_disc_for_each_of_a_thousand_people() -> None:
    """One ellipse a dot."""
    assert 1000 == sum(kind == 42 for kind, _ in records(pictured(people(12)).content))


@pytest.mark.parametrize(
    ("text", "language", "rtl"),
    [
        ("wisdom tooth", "en", False),
        ("Зуб", "ru", False),
        ("يمينك", "ar", True),
        ("הימין", "he", True),
        ("दाँत", "hi", False),
    ],
)
def test_letters_are_drawn_from_their_left_end(text: str, language: str, rtl: bool) -> None:
    """Outlines lie within the measured width, on the base line, in every script."""
    width = width_of(words(text), 12, bold=False, language=language)
    left, top, right, bottom = extent(outlines_of(words(text), 10.0, 20.0, 12, bold=False, language=language, rtl=rtl))

    assert 9.5 < left < 11.5
    assert 8.5 + width < right < 10.6 + width
    assert top < 19
    assert bottom < 23


def test_runs_of_a_line_from_the_right_stand_in_visual_order() -> None:
    """A number in Arabic words keeps its digits in order, to the left of the words before it."""
    both = (Span("الفك 12:30"),)
    alone = width_of((Span("12:30"),), 12, bold=False, language="ar")
    number = outlines_of((Span("12:30"),), 0.0, 0.0, 12, bold=False, language="ar", rtl=True)
    line = outlines_of(both, 0.0, 0.0, 12, bold=False, language="ar", rtl=True)

    assert number == line[: len(number)]
    assert extent(line)[2] > alone


@pytest.mark.parametrize("language", ["en", "ar"])
def test_libreoffice_shows_the_pictures_as_vectors(tmp_path: Path, language: str) -> None:
    """Each is painted, at its size, and none turns into a bitmap or text."""
    office = need_program("soffice")
    right_to_left = language == "ar"
    labels = ("يمينك", "يسارك", "الفك العلوي", "الفك السفلي", "قلع", "هكذا نراك")
    sketch = jaw(("38", "removal", "taken out"))
    if right_to_left:
        sketch = Figure(sketch.name, sketch.data, sketch.alt, tuple(map(words, labels)))
    made = [pictured(one, language, rtl=right_to_left) for one in (people(12), people(5, 100_000), sketch)]
    _write_document(tmp_path / "pictures.docx", made)
    subprocess.run(
        [
            office,
            f"-env:UserInstallation=file://{tmp_path}/profile",
            "--headless",
            "--convert-to",
            "pdf",
            "--outdir",
            str(tmp_path),
            str(tmp_path / "pictures.docx"),
        ],
        check=True,
        capture_output=True,
        timeout=180,
        env={"HOME": str(tmp_path), "PATH": "/usr/bin:/bin"},
    )
    page: Any = PdfReader(tmp_path / "pictures.pdf").pages[0]

    assert "" == page.extract_text().strip()
    assert [] == list(page.images)
    assert len(page.get_contents().get_data()) > 20_000


def _write_document(path: Path, pictures: list[Picture]) -> None:
    """Write the smallest file of a word processor that shows pictures."""
    office = "http://schemas.openxmlformats.org"
    kinds, drawing = f"{office}/officeDocument/2006/relationships", f"{office}/drawingml/2006"
    runs, relations = "", ""
    for n, made in enumerate(pictures, 1):
        size = f'cx="{round(made.width * 36000)}" cy="{round(made.height * 36000)}"'
        runs += (
            f'<w:p><w:r><w:drawing><wp:inline xmlns:wp="{drawing}/wordprocessingDrawing"><wp:extent {size}/>'
            f'<wp:docPr id="{n}" name="P{n}"/><a:graphic xmlns:a="{drawing}/main"><a:graphicData'
            f' uri="{drawing}/picture"><pic:pic xmlns:pic="{drawing}/picture"><pic:nvPicPr>'
            f'<pic:cNvPr id="{n}" name="P{n}"/><pic:cNvPicPr/></pic:nvPicPr><pic:blipFill><a:blip xmlns:r="{kinds}"'
            f' r:embed="r{n}"/><a:stretch><a:fillRect/></a:stretch></pic:blipFill><pic:spPr><a:xfrm>'
            f'<a:off x="0" y="0"/><a:ext {size}/></a:xfrm><a:prstGeom prst="rect"><a:avLst/></a:prstGeom>'
            "</pic:spPr></pic:pic></a:graphicData></a:graphic></wp:inline></w:drawing></w:r></w:p>"
        )
        relations += f'<Relationship Id="r{n}" Type="{kinds}/image" Target="{n}.emf"/>'
    package, main, mime = (
        f"{office}/package/2006",
        f"{office}/wordprocessingml/2006/main",
        "application/vnd.openxmlformats",
    )
    types = (
        f'<Types xmlns="{package}/content-types"><Default Extension="rels" ContentType='
        f'"{mime}-package.relationships+xml"/><Default Extension="emf" ContentType="image/x-emf"/>'
        f'<Override PartName="/word/document.xml" ContentType="{mime}-officedocument.wordprocessingml.document'
        '.main+xml"/>'
        "</Types>"
    )
    start = f'<Relationship Id="r1" Type="{kinds}/officeDocument" Target="word/document.xml"/>'
    with zipfile.ZipFile(path, "w") as file:
        file.writestr("[Content_Types].xml", types)
        for name, found in (("_rels/.rels", start), ("word/_rels/document.xml.rels", relations)):
            file.writestr(name, f'<Relationships xmlns="{package}/relationships">{found}</Relationships>')
        file.writestr("word/document.xml", f'<w:document xmlns:w="{main}"><w:body>{runs}</w:body></w:document>')
        for n, made in enumerate(pictures, 1):
            file.writestr(f"word/{n}.emf", made.content)
