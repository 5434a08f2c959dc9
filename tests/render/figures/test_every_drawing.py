"""What holds of every drawing: its words, their size and place, and that gray print tells its parts apart."""

from __future__ import annotations

from dataclasses import replace

import pytest

from docgen.blocks import BELOW, Figure, Span, plain
from docgen.render.drawing.lettering import Lettering
from docgen.render.drawing.shapes import Dots, Drawing, Label, Path
from docgen.render.figures import draw
from docgen.render.style import read_style
from docgen.shipped import shipped_folder
from tests.render.figures.samples import CONTENT, SOME, drawn, jaw, label_box, measure, points, words

EDGE = 0.36
"""Half of the widest line that runs along an edge, and what a control of a curve may pass it."""


@pytest.fixture(params=SOME, ids=lambda figure: figure.name)
def figure(request: pytest.FixtureRequest) -> Figure:
    """Give each sample."""
    found: Figure = request.param
    return found


def test_the_words_of_a_figure_are_those_on_its_drawing_in_order(figure: Figure) -> None:
    """Nothing is left out, added or moved; the caption stands below; several marks get their numbers."""
    drawing = drawn(figure, CONTENT)
    read = " ".join([*(label.text for label in drawing.labels), plain(drawing.caption)])
    numbered = len(figure.data.get("parts", ())) > 1 and figure.name == "jaw"
    found = [word for word in read.replace("\u00a0", " ").split() if not (numbered and word.isdigit())]

    assert " ".join(plain(one) for one in figure.words).replace("\u00a0", " ").split() == found


def test_no_word_is_smaller_than_the_design_allows(figure: Figure) -> None:
    """8.5 pt at least; 16 pt in large print."""
    assert all(label.size >= 8.5 for label in drawn(figure, CONTENT).labels)
    large = draw(figure, rtl=False, large=True, width_mm=CONTENT, measure=measure)
    if figure.name in ("jaw", "tilt") and large:
        assert all(label.size >= 16 - 1e-9 for label in large.labels)


@pytest.mark.parametrize("rtl", [False, True])
def test_everything_lies_inside_the_drawing(figure: Figure, rtl: bool) -> None:
    """No word and no line passes the edge, in either direction of the page."""
    drawing = drawn(figure, CONTENT, rtl=rtl)
    boxes = [label_box(label) for label in drawing.labels]
    for part in drawing.parts:
        if isinstance(part, Path):
            boxes += [(x, y, x, y) for x, y in points(part.steps)]
        elif isinstance(part, Dots):
            boxes += [(x - part.radius, y - part.radius, x + part.radius, y + part.radius) for x, y in part.centers()]

    assert min(box[0] for box in boxes) >= -EDGE
    assert min(box[1] for box in boxes) >= -EDGE
    assert max(box[2] for box in boxes) <= drawing.width + EDGE
    assert max(box[3] for box in boxes) <= drawing.height + EDGE


def test_a_drawing_is_the_same_each_time(figure: Figure) -> None:
    """Same figure, same shapes."""
    assert drawn(figure, CONTENT) == drawn(figure, CONTENT)


def test_colors_are_those_of_the_style_and_meaning_has_contrast(figure: Figure) -> None:
    """Every color is a name of the house style; what means something has 3 to 1 on white, words 4.5 to 1."""
    colors = read_style(shipped_folder("templates") / "_house").colors
    for part in drawn(figure, CONTENT).parts:
        if isinstance(part, Label):
            assert _contrast(colors[part.color]) >= 4.5
        elif isinstance(part, Dots):
            assert _contrast(colors[part.color]) >= 3
        else:
            for name in {part.fill, part.stroke} - {"", "paper", "tint", "hair"}:
                assert _contrast(colors[name]) >= 3


def _contrast(color: str) -> float:
    return 1.05 / (_luminance(color) + 0.05)


def _luminance(color: str) -> float:
    parts = [int(color[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return sum(share * value for share, value in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def test_gray_print_tells_the_parts_apart() -> None:
    """Affected by size, possible by hatching, a marked tooth by its ring: forms differ, not colors alone."""
    colors = {"ink": "g1", "deep": "g1", "danger": "g1", "line": "g2", "dot": "g2", "quiet": "g1"}

    def forms(drawing: Drawing) -> set[tuple[object, ...]]:
        found: set[tuple[object, ...]] = set()
        for part in drawing.parts:
            if isinstance(part, Dots):
                found.add(("dots", colors[part.color], round(part.radius, 3)))
            elif isinstance(part, Path):
                shape = (len(part.steps), colors.get(part.fill), colors.get(part.stroke), part.width, part.dash)
                found.add(("path", *shape))
        return found

    marked, other = forms(drawn(jaw(("38", "removal", "x")))), forms(drawn(jaw(("38", "watched", "x"))))
    assert marked != other
    assert 2 == len([form for form in forms(drawn(SOME[0])) if form[0] == "dots"])


def test_two_languages_stand_on_lines_of_their_own() -> None:
    """A label in two languages is drawn once, each language below the other, the stroke between them left out."""
    both = (Span("your right"), BELOW, Span("su derecha", language="es"))
    figure = replace(SOME[2], words=(both, *SOME[2].words[1:]))
    labels = drawn(figure).labels
    second = next(label for label in labels if label.text in ("derecha", "su derecha"))

    assert "es" == second.words[0].language
    assert "/" not in "".join(label.text for label in labels)


def test_words_break_at_spaces_and_keep_what_belongs_together() -> None:
    """A no-break space holds; bold spans stay bold; a word too long for the line stands alone."""
    lettering = Lettering(lambda line, size, bold: float(len(plain(line))))
    mixed = (Span("92.0", bold=True), Span(" of 272.8\u00a0mg tooth"))

    assert ["92.0 of", "272.8\u00a0mg", "tooth"] == [plain(line) for line in lettering.lines(mixed, 8)]
    assert (True, False) == tuple(span.bold for span in lettering.lines(mixed, 8)[0])
    assert ["a", "verylongword", "b"] == [plain(line) for line in lettering.lines(words("a verylongword b"), 5)]


def test_an_unknown_or_empty_figure_is_not_drawn() -> None:
    """Its words are printed instead."""
    for figure in (Figure("jaw", {}, words("alt")), Figure("no such figure", {"a": 1}, words("alt"))):
        assert None is draw(figure, rtl=False, large=False, width_mm=CONTENT, measure=measure)
