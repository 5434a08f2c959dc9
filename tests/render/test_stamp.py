"""The visible part of a signature: all its words, inside the field, in every script; and the field of the archive."""

from __future__ import annotations

import io
import subprocess
from dataclasses import replace
from pathlib import Path

import pikepdf
import pytest
from conftest import need_program
from PIL import Image
from pypdf import PdfReader

from docgen.blocks import Document, Span, Words
from docgen.render import pdf
from docgen.render.pdf.stamp import BAR, render_stamp
from docgen.render.style import Style
from tests.render.samples import SAMPLES

WIDTH, HEIGHT = 221.1, 37.69
"""Points: the field of the operative note."""

STAMPS = {
    "en": ("Amos Tindlewick", "20 January 2026, 10:05 (UTC+00:00)", "Operator: performed, read and corrected"),
    "es": ("María Ángeles Núñez", "20 de enero de 2026, 10:05", "Realicé esta operación."),
    "vi": ("Nguyễn Thị Ngọc Ẩn", "Số đăng ký 248113", "Tôi đã thực hiện phẫu thuật này."),
    "ar": ("سمير الحداد", "20 يناير 2026 10:05", "أجريت هذه العملية"),
    "ur": ("احمد علی", "20 جنوری 2026", "میں نے یہ آپریشن کیا"),
    "he": ("דוד כהן", "20 בינואר 2026 10:05", "ביצעתי את הניתוח"),
    "hi": ("अमोस टिंडलविक", "20 जनवरी 2026, 10:05", "मैंने यह ऑपरेशन किया।"),
    "ta": ("அமோஸ்", "20 ஜனவரி 2026", "நான் இந்த அறுவை சிகிச்சையைச் செய்தேன்."),
    "zh": ("王小明", "2026年1月20日 10:05", "我做了这次手术。"),
    "el": ("Νίκος Παπαδάκης", "20 Ιανουαρίου 2026", "Έκανα αυτή την επέμβαση."),
}


def _words(*lines: str) -> list[Words]:
    return [(Span(line),) for line in lines]


def _picture(content: bytes, folder: Path) -> Image.Image:
    """Look at a stamp, in gray, four dots to the point."""
    (folder / "stamp.pdf").write_bytes(content)
    call = [need_program("pdftoppm"), "-r", "288", "-gray", "-singlefile", str(folder / "stamp.pdf"), str(folder / "s")]
    subprocess.run(call, check=True)
    return Image.open(folder / "s.pgm")


def _inked(image: Image.Image) -> tuple[int, int, int, int]:
    return image.point(lambda light: 255 if light < 160 else 0).getbbox() or (0, 0, 0, 0)


@pytest.mark.parametrize("language", STAMPS)
def test_a_stamp_says_its_words_inside_the_field(language: str, style: Style, tmp_path: Path) -> None:
    """Nothing is cut at an edge, and no letter is lost, in any script."""
    content = render_stamp(_words(*STAMPS[language]), language, style, WIDTH, HEIGHT)
    image = _picture(content, tmp_path)
    words = image.crop((round(BAR * 4) + 1, 0, image.width - round(BAR * 4) - 1, image.height))
    left, top, right, bottom = _inked(words)
    text = PdfReader(io.BytesIO(content)).pages[0].extract_text()

    assert left > 0
    assert top > 0
    assert right < words.width
    assert bottom < words.height
    assert {c for line in STAMPS[language] for c in line if c.isalnum()} <= set(text)


@pytest.mark.parametrize("language", ["en", "ar"])
def test_the_bar_stands_where_the_words_begin(language: str, style: Style, tmp_path: Path) -> None:
    """At the left, or at the right of words that run to the left."""
    image = _picture(render_stamp(_words(*STAMPS[language]), language, style, WIDTH, HEIGHT), tmp_path)
    left, _, right, _ = _inked(image)

    assert (left < 3, right > image.width - 4) == (language == "en", language == "ar")


def test_four_short_lines_are_as_large_as_any_page_of_the_house(style: Style) -> None:
    """The name in 9.5 points, the rest in 8.5: what the house allows at least."""
    four = _words("Amos Tindlewick", "registration number 000040", "20 January 2026, 10:05 (UTC+00:00)", "Operator")
    sizes: list[float] = []
    page = PdfReader(io.BytesIO(render_stamp(four, "en", style, WIDTH, HEIGHT))).pages[0]
    page.extract_text(visitor_text=lambda text, _cm, tm, _font, size: sizes.append(size * tm[3]) if text.strip() else 0)

    assert {9.5, 8.5} == {round(size, 2) for size in sizes}


@pytest.mark.parametrize(
    "lines",
    [
        ("Amos Tindlewick",) * 12,
        (
            "Wolfeschlegelsteinhausenbergerdorff-Featherstonehaugh " * 4,
            "registration number " * 9,
            "10:05",
            "read " * 60,
        ),
        ("W" * 300, "9" * 300),
        ("", "  "),
        (),
    ],
)
def test_whatever_it_says_it_stays_inside(lines: tuple[str, ...], style: Style, tmp_path: Path) -> None:
    """More lines than there is room for, endless words, and none at all."""
    image = _picture(render_stamp(_words(*lines), "en", style, WIDTH, HEIGHT), tmp_path)
    _, top, right, bottom = _inked(image.crop((round(BAR * 4) + 1, 0, image.width, image.height)))

    assert (not any(line.strip() for line in lines)) == (bottom == 0)
    assert bottom < image.height
    assert right < image.width
    assert top > 0 or bottom == 0


def test_the_same_words_give_the_same_bytes(style: Style) -> None:
    """No clock, no chance; and another color of the house is another stamp."""
    words = _words(*STAMPS["en"])
    other = replace(style, colors={**style.colors, "deep": "#102030"})

    assert render_stamp(words, "en", style, WIDTH, HEIGHT) == render_stamp(words, "en", style, WIDTH, HEIGHT)
    assert render_stamp(words, "en", style, WIDTH, HEIGHT) != render_stamp(words, "en", other, WIDTH, HEIGHT)


@pytest.mark.parametrize("document", SAMPLES.values(), ids=SAMPLES)
def test_the_field_of_the_archive_is_made_when_asked(document: Document, style: Style) -> None:
    """Nobody sees it, it has its words and its place in the structure; without asking there is none."""
    words = "Time stamp of the archive"
    (field,) = [one for one in _fields(pdf.render(document, style, archive=(words,))) if one[0] == "ArchiveTS"]

    assert ("ArchiveTS", "/Sig", words, [0.0] * 4, True) == field
    assert "ArchiveTS" not in {one[0] for one in _fields(pdf.render(document, style))}


def _fields(content: bytes) -> list[tuple[str, str, str, list[float], bool]]:
    with pikepdf.open(io.BytesIO(content)) as file:
        return [
            (
                str(one.T),
                str(one.FT),
                str(one.TU),
                [float(edge) for edge in one.get("/Rect", ())],
                "/StructParent" in one,
            )
            for one in file.Root.get("/AcroForm", {}).get("/Fields", [])
        ]
