"""What a page must be to be seen and hit: contrast, sizes of letters, sizes and distances of what is clicked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations
from math import hypot
from typing import Any

import pytest

from docgen.blocks import Danger, Document, Layout, plain
from docgen.render import pdf
from docgen.render.style import Style
from docgen.render.words import document_words
from tests.render.composed import EXAMPLES, documents
from tests.render.samples import SAMPLES
from tests.render.specimens import LANGUAGES, all_scripts, specimen
from tests.render.tree import Tagged, fold, read_tagged
from tests.test_issued import issued, over

TEXT_CONTRAST, SHAPE_CONTRAST = 4.5, 3.0
"""Of words, and of shapes that mean something, against the paper (WCAG 2.2, 1.4.3, 1.4.11; page design, 4)."""

MEANINGLESS = {"hair", "mark", "tint", "paper"}
"""Colors of what loses nothing if it vanishes, and of the paper itself."""

FLOORS = {False: (8.5, 9.5), True: (12.0, 16.0)}
"""Smallest type in points, in large print or not: head, foot, tags and drawings; all else (section 8, rule 13)."""

NARROW_SCRIPTS = {"ta": 0.96, "zh": 0.96}
"""Scripts that look as large as Latin at less (page design, section 2)."""

BOX = 4 * 72 / 25.4
"""Side of a box to tick in points: 4 mm (page design, section 5)."""

TARGET = 18.0
"""What can be clicked is 24 px, or has as much room around its middle (WCAG 2.2, 2.5.8); in points."""


def luminance(color: tuple[float, ...]) -> float:
    """Tell how light a color is, from 0 to 1 (WCAG 2.2, relative luminance)."""
    linear = [value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4 for value in color]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first: tuple[float, ...], second: tuple[float, ...]) -> float:
    """Give the contrast of two colors, from 1 to 21."""
    high, low = sorted((luminance(first), luminance(second)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def parts(color: str) -> tuple[float, ...]:
    """Give red, green and blue of #RRGGBB, from 0 to 1."""
    return tuple(int(color[at : at + 2], 16) / 255 for at in (1, 3, 5))


def _all() -> Iterator[tuple[str, Document]]:
    """Give a document of every kind, voice, script and size."""
    yield from SAMPLES.items()
    yield from ((f"{name} withdrawn", over(issued(document))) for name, document in SAMPLES.items())
    yield "all scripts", all_scripts()
    for language in LANGUAGES:
        yield language, specimen(language)
        yield f"{language} large", specimen(language, Layout(large_print=True))
    for name, document in documents(EXAMPLES[2]).items():
        yield name, document
        yield f"{name} large", replace(document, layout=replace(document.layout, large_print=True))


@pytest.fixture(scope="module")
def printed(style: Style) -> dict[str, tuple[Document, Tagged]]:
    """Print and read them all."""
    return {name: (document, read_tagged(pdf.render(document, style))) for name, document in _all()}


def test_the_colors_of_the_house_can_be_read(style: Style) -> None:
    """Every role's color on paper, and paper on the bands, has 4.5; lines and dots have 3 (page design, section 4)."""
    paper = parts(style.colors["paper"])
    words = {role.color for voice in style.voices.values() for role in voice.values()} - {style.colors["paper"]}
    words |= {style.colors["ink"], style.colors["danger"]}
    faint = {color for color in words if contrast(parts(color), paper) < TEXT_CONTRAST}
    shapes = {name for name in style.colors if name not in MEANINGLESS}
    weak = {name for name in shapes if contrast(parts(style.colors[name]), paper) < SHAPE_CONTRAST}
    assert set() == faint
    assert set() == weak


def test_the_contrast_of_known_colors_is_as_published() -> None:
    """Black on white has 21; the grays on either side of the limit are those of WCAG's own understanding of it."""
    assert contrast(parts("#000000"), parts("#FFFFFF")) == pytest.approx(21)
    assert contrast(parts("#767676"), parts("#FFFFFF")) == pytest.approx(4.54, abs=0.01)
    assert contrast(parts("#777777"), parts("#FFFFFF")) < TEXT_CONTRAST


def test_every_word_on_a_page_has_the_contrast(printed: dict[str, tuple[Document, Tagged]]) -> None:
    """As painted, not as wished: only filled marks and the band of a danger box have white words."""
    white = (1.0, 1.0, 1.0)
    for name, (document, read) in printed.items():
        bands = [fold(mark.words) for mark in document.furniture.marks if mark.filled]
        bands += [fold(plain(block.title)) for block in document.blocks if isinstance(block, Danger)]
        for one in (one for page in read.shown for one in page if one.text.strip() and not one.hidden):
            if one.color == white:
                assert any(fold(one.text) in band for band in bands), (name, one.text)
            else:
                assert contrast(one.color, white) >= TEXT_CONTRAST, (name, one)


def test_no_word_on_a_page_is_too_small(printed: dict[str, tuple[Document, Tagged]]) -> None:
    """As painted; head, foot, tags, drawings and staff sections may be smaller than what is read, but not small."""
    for name, (document, read) in printed.items():
        for_staff = replace(document, sections=tuple(one for one in document.sections if one.voice))
        staff = fold(" ".join(document_words(for_staff).body)) if for_staff.sections else ""
        small, usual = (
            floor * NARROW_SCRIPTS.get(document.language, 1) for floor in FLOORS[document.layout.large_print]
        )
        furniture = document.furniture
        head = fold(" ".join([plain(furniture.clinic), plain(furniture.contact), *(m.words for m in furniture.marks)]))
        head += fold(" ".join(plain(line) for line in furniture.issue.said)) if furniture.issue else ""
        for number, page in enumerate(read.shown, 1):
            for one in (one for one in page if one.text.strip() and not one.hidden):
                elem = read.elements.get((number, one.owner)) if isinstance(one.owner, int) else None
                of_staff = elem is not None and fold(elem.text) in staff
                assert one.size >= (FLOORS[False][0] if of_staff else small) - 0.01, (name, one)
                if elem and elem.kind != "Figure" and fold(elem.text) not in head:
                    narrow = NARROW_SCRIPTS.get(str(elem.language), 1) if document.language == "en" else 1
                    least = FLOORS[False][1] if of_staff else usual
                    assert one.size >= least * narrow - 0.01, (name, one)


def _fields(read: Tagged) -> Iterator[tuple[int, str, list[float]]]:
    """Give page, sort and rectangle of every field."""
    for number, page in enumerate(read.reader.pages, 1):
        for note in (held.get_object() for held in page.get("/Annots", [])):
            if note["/Subtype"] == "/Widget":
                x1, y1, x2, y2 = map(float, note["/Rect"])
                yield number, str(note.get("/FT") or note["/Parent"]["/FT"]), [*sorted((x1, x2)), *sorted((y1, y2))]


def _gap(middle: tuple[float, float], rect: list[float]) -> float:
    """Measure how far a point is from a rectangle."""
    x, y = middle
    return hypot(max(rect[0] - x, 0, x - rect[1]), max(rect[2] - y, 0, y - rect[3]))


def test_what_can_be_clicked_can_be_hit(printed: dict[str, tuple[Document, Tagged]]) -> None:
    """Boxes of 4 mm with room around them, lines as high as a box at least; all on the page, none over another."""
    seen: set[str] = set()
    for name, (_, read) in printed.items():
        fields = list(_fields(read))
        seen |= {sort for _, sort, _ in fields}
        width, height = (float(side) for side in (read.reader.pages[0].mediabox[2:]))
        for _, sort, (left, right, low, high) in fields:
            assert right - left >= BOX - 0.01, (name, sort)
            assert high - low >= BOX - 0.01, (name, sort)
            assert left >= 0
            assert low >= 0
            assert right <= width
            assert high <= height
        for (page, _, first), (other, _, second) in combinations(fields, 2):
            if page == other:
                assert _apart(first, second), (name, first, second)
    assert {"/Btn", "/Tx", "/Sig"} == seen


def _apart(first: list[float], second: list[float]) -> bool:
    for one, other in ((first, second), (second, first)):
        middle = ((one[0] + one[1]) / 2, (one[2] + one[3]) / 2)
        if min(one[1] - one[0], one[3] - one[2]) < TARGET and _gap(middle, other) < TARGET / 2:
            return False
    return first[1] <= second[0] or second[1] <= first[0] or first[3] <= second[2] or second[3] <= first[2]


def test_a_page_for_the_pen_has_no_fields(style: Style) -> None:
    """The setting of the house that prints without fields leaves boxes and lines, and nothing to click."""
    held: Any = replace(style, forms="print")
    for document in SAMPLES.values():
        assert [] == list(_fields(read_tagged(pdf.render(document, held))))
