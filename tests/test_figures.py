"""Figures in the documents of the examples: drawn from the facts, with every word on the page said in words too."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from typing import Any

import pytest
from babel import Locale
from conftest import ISSUED_ON, LANGUAGES, example_files, put

from docgen.blocks import Block, Danger, Document, Figure, Table, Together, Words, plain
from docgen.compose.bilingual import pair
from docgen.generate import Made
from docgen.render.drawing.letters import width_of
from docgen.render.figures import draw

NAMES = sorted(ISSUED_ON)
CONTENT = 174.0


def measure(line: Words, size: float, bold: bool) -> float:
    """Measure with the fonts of the house, in mm."""
    return width_of(line, size, bold=bold, language="en")


def blocks_of(blocks: Iterable[Block]) -> Iterator[Block]:
    """Give blocks and the blocks in them."""
    for block in blocks:
        yield block
        if isinstance(block, Danger | Together):
            yield from blocks_of(block.blocks)


def tables(document: Document) -> list[Table]:
    """Give the tables with drawings."""
    return [block for block in blocks_of(document.blocks) if isinstance(block, Table) and block.drawings]


def figures(document: Document, name: str = "") -> list[Figure]:
    """Give the figures of a name that stand by themselves."""
    found = [block for block in blocks_of(document.blocks) if isinstance(block, Figure)]
    return [figure for figure in found if name in ("", figure.name)]


def document_of(made: Made, kind: str) -> Document:
    """Give the document of a kind, the patient's copy if there are two."""
    return next(one for one in made.documents.values() if one.origin.kind == kind and one.origin.copy != "clinic")


@pytest.fixture(scope="module", params=NAMES)
def pack(request: pytest.FixtureRequest, made: Callable[..., Made]) -> Made:
    """Give all documents of an example."""
    name = str(request.param)
    return made(example_files(name), on=ISSUED_ON[name], language=LANGUAGES.get(name, ""), formats=())


def test_every_figure_of_every_example_draws_with_its_words(pack: Made) -> None:
    """Each fits its page; the words on it are those the review text shows, in order; its text is a whole sentence."""
    for document in pack.documents.values():
        drawn = [(figure, CONTENT if figure.name == "calendar" else 126.0) for figure in figures(document)]
        for figure, width in drawn:
            drawing = draw(figure, rtl=False, large=False, width_mm=width, measure=measure)
            if drawing is None:
                assert figure.name == "tilt", figure
                assert not -25 <= figure.data["angle"] <= 90
                continue
            read = " ".join([*(label.text for label in drawing.labels), plain(drawing.caption)]).replace("\u00a0", " ")
            shown = " ".join(plain(one) for one in figure.words).replace("\u00a0", " ")
            numbered = figure.name == "jaw" and len(figure.data["parts"]) > 1
            assert shown.split() == [word for word in read.split() if not (numbered and word.isdigit())]
            assert plain(figure.alt)[0].isupper()
            assert plain(figure.alt).endswith((".", "over the limit"))


def test_each_row_of_numbers_has_its_strip_and_one_denominator_a_table(pack: Made) -> None:
    """Affected and not affected add up to the denominator, which the sentence names; 1,000 and 100,000 never mix."""
    for document in pack.documents.values():
        for table in tables(document):
            drawn = [
                (row, figure) for row, figure in zip(table.rows, table.drawings, strict=True) if figure is not None
            ]
            rarer = (
                "100,000" if drawn[0][1].data["denominator"] == 1000 else "nothing"
            )  # beside strips of 1,000: in words
            numbered = [row for row in table.rows if re.search("[0-9]", plain(row[1])) and rarer not in plain(row[1])]
            assert numbered == [row for row, _ in drawn]
            found = [figure for _, figure in drawn]
            assert 1 == len({figure.name for figure in found})
            assert {figure.data["denominator"] for figure in found} <= {1000, 100_000}
            for row, figure in drawn:
                number = f"{figure.data['affected']:,}"
                assert number in plain(row[1])
                assert f"{number} of {figure.data['denominator']:,}" in plain(figure.alt).replace(
                    "\u00a0", " "
                ).replace(" or more", "")


def test_numbers_on_a_drawing_stand_in_its_sentences(pack: Made) -> None:
    """Degrees, doses and clock times on a drawing are said to who cannot see it; only days of the calendar are not."""
    for document in pack.documents.values():
        for figure in figures(document):
            if figure.name == "calendar":
                continue
            said = plain(figure.alt)
            for number in re.findall(r"\d+(?:\.\d+)?", " ".join(plain(one) for one in figure.words)):
                assert number in said or (figure.name, number) == ("dose", "0")


def test_fenwright_has_the_figures_of_the_design(made: Callable[..., Made]) -> None:
    """The first example: 38 taken out, tipped forward by 35 degrees, 92 of 272.8 mg, the first visit on day 7."""
    pack = made(example_files("fenwright"), on=date(2026, 3, 24), formats=())
    consent, note = document_of(pack, "consent"), document_of(pack, "operative-note")
    leaflet = document_of(pack, "aftercare")
    (jaw,), (tilt,), (dose,) = figures(consent, "jaw"), figures(consent, "tilt"), figures(note, "dose")
    (calendar,) = figures(leaflet, "calendar")

    assert [("38", "removal")] == [(part["tooth"], part["treatment"]) for part in jaw.data["parts"]]
    assert ("38", 35, "B", "touching") == tuple(tilt.data[key] for key in ("tooth", "angle", "depth", "relation"))
    assert "left side" in plain(jaw.alt)
    assert "lidocaine: 92.0 of 272.8 mg, 33.8 per cent of the limit." in plain(dose.alt).replace("\u00a0", " ")
    assert [33.8, 31.0] == [float(part["percent"]) for part in dose.data["parts"]]
    assert {"sure": 7, "possible": 10, "labels": 1} in calendar.data["parts"]
    assert calendar.data["parts"][-1]["at"] == 7
    assert (0, 15) == calendar.data["months"]
    assert (4, 5, 11, 12, 18, 19) == calendar.data["off"]
    assert ["T", "W", "T"] == [plain(one) for one in calendar.words[4:7]]


def test_the_undated_leaflet_counts_days(made: Callable[..., Made]) -> None:
    """Before the operation there are no dates: day 0 to day 21."""
    name = "pellingrove"
    pack = made(example_files(name), on=ISSUED_ON[name], language=LANGUAGES.get(name, ""), formats=())
    leaflet = document_of(pack, "aftercare")
    (calendar,) = figures(leaflet, "calendar")

    assert ["Day", *map(str, range(22))] == [plain(one) for one in calendar.words[2:25]]
    assert not re.search(r"20\d\d", plain(calendar.alt))
    assert () == calendar.data["off"]


@pytest.mark.parametrize(
    ("angle", "word"), [("35", "forward"), ("-12.5", "backward"), ("0", "not tipped"), ("-24", "backward")]
)
def test_the_direction_of_a_tilt_is_a_word(
    made: Callable[..., Made], fenwright: dict[str, Any], angle: str, word: str
) -> None:
    """No sign is printed to a patient; the number is true."""
    put(fenwright, "teeth[0].angle_degrees", angle)
    fenwright.pop("operation", None)
    (tilt,) = figures(document_of(made(fenwright, "consent", formats=()), "consent"), "tilt")
    said = " ".join([plain(tilt.alt), *(plain(one) for one in tilt.words)])

    assert float(angle) == float(tilt.data["angle"])
    assert word in plain(tilt.words[-1])
    assert angle not in said or float(angle) >= 0
    assert f"{angle.lstrip('-')}°" == plain(tilt.words[1])


def test_a_tooth_without_a_measured_angle_has_no_sketch_of_its_tilt(
    made: Callable[..., Made], fenwright: dict[str, Any]
) -> None:
    """A class is no angle; the jaw is drawn all the same."""
    fenwright["teeth"][0].pop("angle_degrees")
    put(fenwright, "teeth[0].angle_class", "mesioangular")
    fenwright.pop("operation", None)
    consent = document_of(made(fenwright, "consent", formats=()), "consent")

    assert [] == figures(consent, "tilt")
    assert 1 == len(figures(consent, "jaw"))


def test_two_languages_draw_once_with_both_labels(made: Callable[..., Made]) -> None:
    """In a paper of two languages the figure stands once; the strips stand in the reader's table."""
    consent = document_of(made(example_files("fenwright"), on=date(2026, 3, 24), formats=()), "consent")
    other = Document(**{**vars(consent), "language": "es"})
    joined = pair(consent, other, (Locale("en"), Locale("es")), (), "consent")

    assert [figure.name for figure in figures(consent)] == [figure.name for figure in figures(joined)]
    assert len(tables(consent)) == len(tables(joined))
