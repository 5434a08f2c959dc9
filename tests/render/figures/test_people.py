"""The icon strip against the page design: 6.1 and 6.2."""

from __future__ import annotations

import math

import pytest

from docgen.render.drawing.people import LARGE, MIDDLE, SMALL, USUAL
from docgen.render.drawing.shapes import Dots
from docgen.render.figures import draw
from tests.render.figures.samples import bounds, dots, drawn, measure, paths, people


def test_the_strip_has_the_sizes_of_the_design() -> None:
    """W 75.9 and H 7.06 mm; the smallest strip is 60 wide, that of large print 149."""
    strip = drawn(people(12))

    assert (75.9, 7.06) == (pytest.approx(strip.width, abs=0.05), pytest.approx(strip.height, abs=0.01))
    assert [60.0, 68.0] == [pytest.approx(grid.width, abs=0.05) for grid in (SMALL, MIDDLE)]
    assert pytest.approx(drawn(people(12), 174, large=True).width, abs=0.2) == 149.0


def test_twelve_of_a_thousand_are_a_full_column_and_two_dots() -> None:
    """Filled column by column from the start edge; all thousand people are there."""
    strip = drawn(people(12))
    dark = dots(strip, "ink")
    first, second = USUAL.x(0), USUAL.x(1)

    assert [first] * 10 + [second] * 2 == [pytest.approx(x) for x, _ in dark]
    assert len(dots(strip, "dot")) == 988
    assert len(set(dark) | set(dots(strip, "dot"))) == 1000


@pytest.mark.parametrize(
    ("number", "columns", "rest"), [(240, 24, 0), (3, 0, 3), (0, 0, 0), (1000, 100, 0), (999, 99, 9)]
)
def test_every_number_fills_its_columns(number: int, columns: int, rest: int) -> None:
    """240 are two blocks of a hundred and four columns, 3 are three dots in the corner."""
    strip = drawn(people(number))
    by_column: dict[float, int] = {}
    for x, _ in dots(strip, "ink"):
        by_column[x] = by_column.get(x, 0) + 1

    assert [10] * columns + [rest] * (rest > 0) == [by_column[x] for x in sorted(by_column)]
    assert 1000 - number == len(dots(strip, "dot"))


def test_a_gap_follows_each_hundred() -> None:
    """Ten columns stand at one pitch, the eleventh half a millimeter farther."""
    pitches = [USUAL.x(c + 1) - USUAL.x(c) for c in range(99)]

    assert [0.715 + 0.5 * (c % 10 == 9) for c in range(99)] == [pytest.approx(pitch) for pitch in pitches]


def test_size_separates_affected_from_not_affected() -> None:
    """Discs of 0.44 and 0.2 of the pitch: told apart in black and white too."""
    sizes = {part.color: part.radius for part in drawn(people(12)).parts if isinstance(part, Dots)}

    assert {"ink": pytest.approx(0.44 * 0.715), "dot": pytest.approx(0.2 * 0.715)} == sizes


def test_a_page_from_the_right_fills_from_the_right() -> None:
    """Right to left, x is W - x."""
    left, right = drawn(people(12)), drawn(people(12), rtl=True)

    assert sorted(right.width - x for x, _ in dots(left, "ink")) == [
        pytest.approx(x) for x, _ in sorted(dots(right, "ink"))
    ]


@pytest.mark.parametrize(("number", "radius"), [(5, 0.21), (20, 0.42), (99, 0.945)])
def test_less_than_a_dot_is_a_disc_of_true_area_in_a_ring(number: int, radius: float) -> None:
    """Of 100,000 in hundreds, all affected fill less than the ringed dot."""
    strip = drawn(people(number, 100_000))
    ring, disc = paths(strip, fill="paper")[0], paths(strip, fill="ink")[0]
    wide = [(box[2] - box[0]) / 2 for box in (bounds(ring), bounds(disc))]

    assert [pytest.approx(0.95), pytest.approx(radius, abs=0.005)] == wide
    assert number / 100 == pytest.approx((wide[1] / wide[0]) ** 2)


def test_fewer_than_one_is_an_empty_ring() -> None:
    """Nothing is drawn that nobody has counted."""
    strip = drawn(people(1, 100_000, "fewer_than"))

    assert [] == paths(strip, fill="ink")
    assert 1 == len(paths(strip, stroke="ink"))


@pytest.mark.parametrize("rtl", [False, True])
def test_no_dot_touches_the_ring_and_the_ring_stays_inside(rtl: bool) -> None:
    """Dots whose center lies within 1.17 are left out; the drawing has room for the whole ring."""
    strip = drawn(people(5, 100_000), rtl=rtl)
    left, top, right, bottom = bounds(paths(strip, stroke="ink")[0])
    center = (left + right) / 2, (top + bottom) / 2

    assert min(math.dist(center, dot) for dot in dots(strip, "dot")) >= 1.17
    assert min(left - 0.15, top - 0.15, strip.width - right - 0.15) >= -1e-9


def test_a_strip_that_fits_nowhere_is_not_drawn() -> None:
    """Below 60 mm the numbers of the table stand alone; where the usual strip is too wide, the small one stands."""
    assert None is draw(people(12), rtl=False, large=False, width_mm=59, measure=measure)
    assert SMALL.width == drawn(people(12), 61).width
    assert LARGE.width > USUAL.width > SMALL.width
