"""Words on the sketches of all examples, in one language and in two: none on another, on a tooth, a ring or a line."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import cache

import pytest
from conftest import ISSUED_ON, LANGUAGES, example_files

from docgen.blocks import BELOW, Danger, Document, Figure, Span, Together, Words, plain
from docgen.generate import Made
from docgen.render.drawing.letters import width_of
from docgen.render.drawing.shapes import Drawing, Label, Path, Step
from docgen.render.figures import draw
from tests.render.figures.samples import TEXT_COLUMN, jaw, label_box, overlap, tilt

WORDS = {
    "es": {
        "your right": "su derecha",
        "your left": "su izquierda",
        "upper jaw": "maxilar superior",
        "lower jaw": "mandíbula (de abajo)",
        "taken out": "se saca",
        "root stays": "la raíz se queda",
        "front of the mouth": "parte de delante de la boca",
        "second molar": "segundo molar",
        "wisdom tooth": "muela del juicio",
        "nerve canal": "canal del nervio",
        "floor of the sinus": "suelo del seno maxilar",
    },
    "ar": {
        "your right": "يمينك",
        "your left": "يسارك",
        "upper jaw": "الفك العلوي",
        "lower jaw": "الفك السفلي",
        "taken out": "خلع",
        "root stays": "يبقى الجذر",
        "front of the mouth": "مقدمة الفم",
        "second molar": "الضرس الكبير الثاني",
        "wisdom tooth": "ضرس العقل",
        "nerve canal": "قناة العصب",
        "floor of the sinus": "أرضية الجيب الفكي",
    },
}
"""Words on drawings as a translator may write them; of others there is the English, longer."""

LONGER = 1.4

LANGUAGES_OF_A_SKETCH = ("en", "es", "ar", "en+es", "en+ar", "longer", "en+longer")


def said(words: Words, language: str) -> Words:
    """Say words in a language, or with more letters."""
    text = plain(words)
    if language == "en" or not any(map(str.isalpha, text)):
        return words
    if language == "longer":
        parts = text.split(" ")
        return (Span(" ".join(part + part[-1] * math.ceil((LONGER - 1) * len(part)) for part in parts)),)
    return (Span(WORDS[language].get(text, text), language=language),)


def spoken(figure: Figure, languages: str) -> Figure:
    """Give a figure with its words in one language, or in two below each other."""
    first, *others = languages.split("+")
    told = []
    for words in figure.words:
        one = said(words, first)
        below = [said(words, other) for other in others]
        told.append((*one, *(span for other in below if other != one for span in (BELOW, *other))))
    return replace(figure, words=tuple(told))


def sketches_of(document: Document) -> Iterator[Figure]:
    """Give the sketches of a document."""
    blocks = list(document.blocks)
    while blocks:
        block = blocks.pop()
        if isinstance(block, Danger | Together):
            blocks += block.blocks
        elif isinstance(block, Figure) and block.name in ("jaw", "tilt"):
            yield block


def flat(steps: Sequence[Step]) -> Iterator[tuple[float, float]]:
    """Give points along lines and curves, close to each other."""
    x = y = first_x = first_y = 0.0
    for step in steps:
        if len(step) == 3:
            x, y = first_x, first_y = step[:2]
        elif len(step) == 6:
            for t in (n / 12 for n in range(13)):
                a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
                yield a * x + b * step[0] + c * step[2] + d * step[4], a * y + b * step[1] + c * step[3] + d * step[5]
            x, y = step[4:]
        else:
            to_x, to_y = step or (first_x, first_y)
            count = max(1, math.ceil(math.hypot(to_x - x, to_y - y) / 0.3))
            yield from ((x + (to_x - x) * n / count, y + (to_y - y) * n / count) for n in range(count + 1))
            x, y = to_x, to_y


@cache
def measured(words: Words, size: float, bold: bool) -> float:
    """Measure words with the fonts of the house."""
    return width_of(words, size, bold=bold, language="en")


def sketched(figure: Figure, large: bool = False) -> Drawing | None:
    """Draw a sketch in the column of a page."""
    return draw(figure, rtl=False, large=large, width_mm=174.0 if large else TEXT_COLUMN, measure=measured)


def faults(drawing: Drawing) -> list[str]:
    """Name labels that meet each other, leave the drawing, or lie on a line or tooth."""
    labels = [part for part in drawing.parts if isinstance(part, Label)]
    boxes = [(label.text, label_box(label)) for label in labels]
    found = [
        f"{one} / {other}"
        for n, (one, first) in enumerate(boxes)
        for other, second in boxes[n + 1 :]
        if overlap(first, second)
    ]
    for text, (left, top, right, bottom) in boxes:
        if left < -0.05 or top < -0.05 or right > drawing.width + 0.05 or bottom > drawing.height + 0.05:
            found.append(f"{text} beyond the edge")
        for path in (part for part in drawing.parts if isinstance(part, Path)):
            half = path.width / 2 if path.stroke != "paper" else 0.0
            if any(left - half < x < right + half and top - half < y < bottom + half for x, y in flat(path.steps)):
                found.append(f"{text} on a line of {path.stroke or path.fill} {path.width}")
    return found


@pytest.mark.parametrize("name", sorted(ISSUED_ON))
def test_no_word_of_any_example_meets_another_or_a_stroke(name: str, made: Callable[..., Made]) -> None:
    """In English, Spanish and Arabic, in pairs of them, with words 1.4 times as long, and in large print."""
    pack = made(example_files(name), on=ISSUED_ON[name], language=LANGUAGES.get(name, ""), formats=())
    found = [figure for document in pack.documents.values() for figure in sketches_of(document)]
    figures = {repr((figure.data, figure.words)): figure for figure in found}
    for figure in figures.values():
        for languages in LANGUAGES_OF_A_SKETCH:
            for large in (False, True):
                drawing = sketched(spoken(figure, languages), large)
                assert drawing is None or [] == faults(drawing), (figure.name, languages, large)


MARKED = [
    ["38"], ["48"], ["18"], ["28"], ["11"], ["31"], ["13"], ["43"], ["36"], ["14"], ["23"], ["34"],
    ["18", "28", "38", "48"], ["11", "12", "21", "22"], ["31", "32", "41", "42"], ["34", "35", "36", "37", "38"],
    ["11", "13", "31", "33", "43", "48"], ["55"], ["75", "85"], ["51", "61", "71"],
]  # fmt: skip
"""Teeth marked together: single ones of all sorts, neighbors, front teeth, milk teeth."""


@pytest.mark.parametrize("teeth", MARKED, ids="-".join)
@pytest.mark.parametrize("languages", LANGUAGES_OF_A_SKETCH)
def test_no_word_around_the_arches_meets_another_or_a_stroke(teeth: list[str], languages: str) -> None:
    """Whatever teeth are marked."""
    figure = jaw(*((tooth, "coronectomy", "root stays") for tooth in teeth))
    drawing = draw(spoken(figure, languages), rtl=False, large=False, width_mm=174.0, measure=measured)

    assert drawing is not None
    assert [] == faults(drawing)


@pytest.mark.parametrize("angle", [-25, -10, 0, 11, 35, 60, 79, 90])
@pytest.mark.parametrize("depth", ["A", "B", "C"])
@pytest.mark.parametrize("languages", LANGUAGES_OF_A_SKETCH)
def test_no_word_beside_a_tipped_tooth_meets_another_or_a_stroke(angle: float, depth: str, languages: str) -> None:
    """At every angle and depth, above, on and over the canal and the floor of the sinus."""
    for tooth, relations in (("38", ("clear", "touching", "overlapping", None)), ("18", ("tips_on_floor", None))):
        for relation in relations:
            drawing = sketched(spoken(tilt(angle, depth, relation, tooth), languages))
            assert drawing is not None
            assert [] == faults(drawing), (tooth, relation)
