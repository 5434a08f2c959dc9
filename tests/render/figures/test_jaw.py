"""The sketch of the jaws against the page design: 6.3."""

from __future__ import annotations

import pytest

from docgen.blocks import plain
from docgen.render.drawing.jaw import place_of
from docgen.render.figures import draw
from tests.render.figures.samples import ALL_TEETH, CONTENT, bounds, drawn, jaw, label_box, overlap, paths

AXIS = 36.0
"""From either edge to the midline, with the words of the design."""


@pytest.mark.parametrize("tooth", ALL_TEETH)
@pytest.mark.parametrize("rtl", [False, True])
def test_a_mark_stands_on_the_side_and_jaw_of_its_tooth(tooth: str, rtl: bool) -> None:
    """The patient's left is on the right of the page, in every language; the upper jaw is above."""
    drawing = drawn(jaw((tooth, "removal", "taken out")), rtl=rtl)
    left, top, right, bottom = bounds(paths(drawing, stroke="ink", width=0.6)[0])
    axis = _axis(drawing.width, tooth)

    assert (tooth[0] in "2367") == ((left + right) / 2 > axis)
    assert (tooth[0] in "1256") == ((top + bottom) / 2 < drawing.height / 2)


def _axis(width: float, tooth: str) -> float:
    """The words make room on the side of the mark, so the axis is found from the other side."""
    return AXIS if tooth[0] in "2367" else width - AXIS


def test_one_tooth_gives_the_size_of_the_design() -> None:
    """72 by 52.6 mm with English words."""
    drawing = drawn(jaw(("38", "removal", "taken out")))

    assert (72.0, 52.6) == (pytest.approx(drawing.width, abs=0.05), pytest.approx(drawing.height, abs=0.2))


@pytest.mark.parametrize("rtl", [False, True])
def test_left_and_right_are_words_on_their_sides(rtl: bool) -> None:
    """The words for right stand left of the arches, those for left on their right, in every language."""
    drawing = drawn(jaw(("38", "removal", "taken out")), rtl=rtl)
    middle = {label.text: (label_box(label)[0] + label_box(label)[2]) / 2 for label in drawing.labels}

    assert max(middle.get("your", 0), middle["right"]) < AXIS < middle["your left"]


def test_the_wisdom_tooth_stands_where_the_table_says() -> None:
    """The lower left third molar: 19.4 from the midline, 2.5 below the base of its arch, turned by -83 degrees."""
    place = place_of("38")

    assert (19.4, 31.4, -83) == (place.x, pytest.approx(place.y), place.turn)
    assert (-19.4, 83) == (place_of("48").x, place_of("48").turn)
    assert (84, -84) == (place_of("28").turn, place_of("18").turn)


def test_milk_teeth_walk_the_same_arch_in_five_places() -> None:
    """Alone they fill the arch, from the midline back; beside permanent teeth they stand where those will come."""
    places = [place_of(f"7{n}", milk=True) for n in range(1, 6)]

    assert sorted(place.x for place in places) == [place.x for place in places]
    assert all(place.x > 0 and place.y > 28.9 for place in places)
    assert place_of("35") == place_of("75")
    with pytest.raises(KeyError):
        place_of("56")


def test_treatments_differ_in_black_and_white() -> None:
    """Removed: filled; crown taken: a heavy outline; watched: a light one; each with a ring of its own."""
    looks = []
    for treatment in ("removal", "coronectomy", "watched"):
        drawing = drawn(jaw(("38", treatment, "word")))
        body = drawing.parts[3]
        looks.append((getattr(body, "fill", None), getattr(body, "width", None)))
        assert len(paths(drawing, stroke="ink", width=0.6, fill="")) == 1

    assert [("ink", 0.28), ("paper", 1.25), ("paper", 0.6)] == looks


def test_several_marks_are_numbered_and_no_word_lies_on_another_or_on_a_ring() -> None:
    """Seven teeth, four of them neighbors: each word has a place of its own outside the rings."""
    teeth = ("38", "37", "36", "35", "48", "18", "28")
    drawing = drawn(jaw(*((tooth, "removal", "taken out") for tooth in teeth)), CONTENT)
    boxes = {label.text: label_box(label) for label in drawing.labels}
    rings = [bounds(path) for path in paths(drawing, stroke="ink", width=0.6)]
    named = [box for text, box in boxes.items() if "taken out" in text]

    assert [f"{n}\u00a0taken out" for n in range(1, 8)] == [text for text in boxes if "taken out" in text]
    assert not any(overlap(one, other) for one in boxes.values() for other in boxes.values() if one != other)
    assert not any(overlap(box, _inner(ring)) for box in named for ring in rings)


def _inner(ring: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
    """The square inside a ring: its corners are not part of it."""
    inset = (ring[2] - ring[0]) * 0.146
    return ring[0] + inset, ring[1] + inset, ring[2] - inset, ring[3] - inset


@pytest.mark.parametrize("tooth", ALL_TEETH)
def test_the_word_of_a_mark_touches_no_tooth(tooth: str) -> None:
    """A label beside or above its ring, at every tooth."""
    drawing = drawn(jaw((tooth, "removal", "taken out")))
    teeth = paths(drawing, stroke="line")[0]
    corners = [step[-2:] for step in teeth.steps if step and len(step) != 3]
    boxes = [label_box(label) for label in drawing.labels if label.bold]

    inside = [(x, y) for x, y in corners for b in boxes if b[0] < x < b[2] and b[1] < y < b[3]]
    assert [] == inside


def test_long_words_make_room_and_what_does_not_fit_is_not_drawn() -> None:
    """A translation may be twice as long; a column too narrow prints the sentence instead."""
    figure = jaw(("38", "removal", "Zahnentfernung"), side=("Ihre rechte Seite", "Ihre linke Seite"))
    drawing = drawn(figure)

    assert all(0 <= label_box(label)[0] and label_box(label)[2] <= drawing.width for label in drawing.labels)
    assert None is draw(
        figure, rtl=False, large=False, width_mm=60, measure=lambda line, size, bold: len(plain(line)) * 2.0
    )
