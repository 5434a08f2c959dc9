"""The dose bar and the calendar against the page design: 6.5 and 6.6."""

from __future__ import annotations

import pytest

from docgen.render.drawing.shapes import Path
from docgen.render.figures import draw
from tests.render.figures.samples import CONTENT, bounds, calendar, dose, drawn, label_box, measure, paths

NUMBERS = "92.0 of 272.8\u00a0mg ·\u00a033.8\u00a0%"


@pytest.mark.parametrize(("percent", "end"), [(33.8, 24 + 48 * 0.338), (0.0, None), (100.0, 72.0), (100.1, 72.0)])
def test_the_bar_ends_at_its_share_of_the_track(percent: float, end: float | None) -> None:
    """24 mm label, 48 mm track; full at the limit and never beyond in the color of a dose within it."""
    bars = paths(drawn(dose(("lidocaine", NUMBERS, percent))), fill="deep")

    assert ([] if end is None else [pytest.approx(end)]) == [bounds(bar)[2] for bar in bars]


def test_the_limit_is_a_line_with_its_word() -> None:
    """At 72 mm, 1.1 beyond the bar at both ends, in ink."""
    drawing = drawn(dose(("lidocaine", NUMBERS, 33.8)))
    left, top, right, bottom = bounds(paths(drawing, stroke="ink")[0])
    limit = next(label for label in drawing.labels if label.text == "limit")

    assert (72, 72, pytest.approx(4.6 + 2.2)) == (left, right, bottom - top)
    assert (72, "middle", True) == (limit.x, limit.anchor, limit.bold)


def test_a_dose_over_its_limit_is_hatched_and_says_so() -> None:
    """Over the limit: hatching from the limit on, at most a quarter of the track, then an arrow; words in bold."""
    ten, many = drawn(dose(("a", NUMBERS, 110))), drawn(dose(("a", NUMBERS, 412.5)))
    lengths = [bounds(paths(one, stroke="danger", width=0.3)[0])[2] - 72 for one in (ten, many)]
    told = [label for label in many.labels if label.text == "over the limit"]

    assert [pytest.approx(4.8), pytest.approx(12)] == lengths
    assert [0, 1] == [len(paths(one, fill="danger")) for one in (ten, many)]
    assert [(True, "danger")] == [(label.bold, label.color) for label in told]
    assert [] == paths(drawn(dose(("a", NUMBERS, 100))), stroke="danger")


def test_a_long_name_shortens_the_track_from_its_start() -> None:
    """No label runs into its bar, and the limit stays where it is."""
    drawing = drawn(dose(("bupivacainhydroklorid", NUMBERS, 100.0)))
    name = next(label for label in drawing.labels if label.text.startswith("bupi"))
    left, _, right, _ = bounds(paths(drawing, fill="deep")[0])

    assert label_box(name)[2] < left
    assert pytest.approx(72) == right


def test_the_dose_bar_is_never_mirrored() -> None:
    """A page from the right prints the same bar."""
    figure = dose(("lidocaine", NUMBERS, 33.8))

    assert drawn(figure) == drawn(figure, rtl=True)


def test_a_span_covers_its_first_and_last_day() -> None:
    """Day i begins at 48 + i d; a span a..b runs from a to the end of b."""
    d = 126 / 22
    drawing = drawn(calendar((("Stitches",), {"since": 5, "sure": 7})), CONTENT)
    bar = paths(drawing, fill="deep")[-1]

    assert (pytest.approx(48 + 5 * d), pytest.approx(48 + 8 * d)) == bounds(bar)[0::2]
    assert 3.4 == pytest.approx(bounds(bar)[3] - bounds(bar)[1])
    assert 5.4 + 12.4 + 5.7 == pytest.approx(drawing.height, abs=0.4)


def test_the_possible_follows_the_expected() -> None:
    """Solid to the last expected day, hatched to the last possible one, without a gap."""
    d = 126 / 22
    drawing = drawn(calendar((("Stiff jaw",), {"sure": 7, "possible": 10})), CONTENT)
    solid, frame = paths(drawing, fill="deep")[-1], paths(drawing, fill="paper", stroke="deep")[-1]

    assert (48, pytest.approx(48 + 8 * d)) == bounds(solid)[0::2]
    assert (pytest.approx(48 + 8 * d), pytest.approx(48 + 11 * d)) == bounds(frame)[0::2]


@pytest.mark.parametrize(("day", "is_diamond"), [(0, True), (7, True), (21, True), (22, False), (56, False)])
def test_an_appointment_is_a_diamond_and_one_after_the_calendar_an_arrow(day: int, is_diamond: bool) -> None:
    """The date stands in words beside it, inside the drawing."""
    drawing = drawn(calendar((("Next visit", "24 March 2026, 16:00"), {"at": day})), CONTENT)
    diamonds, arrows = (
        paths(drawing, fill="ink"),
        [path for path in paths(drawing, fill="deep") if len(path.steps) == 4],
    )

    assert (int(is_diamond), int(not is_diamond)) == (len(diamonds), len(arrows))
    assert (drawing.labels[-1].text, True) == ("24 March 2026, 16:00", label_box(drawing.labels[-1])[2] <= CONTENT)


def test_the_line_between_two_months_leaves_out_words() -> None:
    """It stands in the rows whose words end before it, and not where it would run through them."""
    rows = (("Bruises",), {"sure": 14}), (("Next visit", "24 March 2026, 16:00"), {"at": 9})
    lines = [bounds(path) for path in paths(drawn(calendar(*rows), CONTENT), stroke="line", width=0.3)]
    edges = [(top, low) for left, top, right, low in lines if left == right == pytest.approx(48 + 15 * 126 / 22)]

    assert [(pytest.approx(5.4), pytest.approx(17.8)), (pytest.approx(17.8), pytest.approx(23.5))] == edges


def test_a_span_that_goes_on_ends_in_an_arrow_before_its_words() -> None:
    """Soft food for four weeks: neither bar nor arrow lies under the date."""
    drawing = drawn(calendar((("Soft food", "until 14 April 2026"), {"sure": 28})), CONTENT)
    bar, arrow = paths(drawing, fill="deep")[-2:]
    left = label_box(drawing.labels[-1])[0]

    assert bounds(bar)[2] == pytest.approx(bounds(arrow)[0])
    assert bounds(arrow)[2] < left


def test_the_calendar_is_mirrored_in_a_page_from_the_right() -> None:
    """Names at the right, days from right to left."""
    figure = calendar((("Bruises",), {"sure": 14}))
    left, right = drawn(figure, CONTENT), drawn(figure, CONTENT, rtl=True)
    boxes = [bounds(paths(one, fill="deep")[-1]) for one in (left, right)]

    assert (pytest.approx(174 - boxes[0][2]), pytest.approx(174 - boxes[0][0])) == boxes[1][0::2]
    assert (174, "end") == next((label.x, label.anchor) for label in right.labels if label.text == "Bruises")


def test_days_off_are_tinted_with_no_meaning_alone() -> None:
    """Six days of three weeks, each a day wide, under everything else."""
    drawing = drawn(calendar((("Bruises",), {"sure": 14})), CONTENT)
    tints = paths(drawing, fill="tint")

    assert [4, 5, 11, 12, 18, 19] == [round((bounds(path)[0] - 48) / (126 / 22)) for path in tints]
    assert all(isinstance(part, Path) and part.fill == "tint" for part in drawing.parts[:6])


@pytest.mark.parametrize(("first", "second"), [(0, 1), (0, 2), (0, 21), (0, 20)])
def test_names_of_months_stay_inside_and_apart(first: int, second: int) -> None:
    """A month of one day at either end of the calendar has its whole name."""
    figure = calendar((("Bruises",), {"sure": 14}))
    moved = type(figure)(figure.name, {**figure.data, "months": (first, second)}, figure.alt, figure.words)
    boxes = [label_box(label) for label in drawn(moved, CONTENT).labels if label.text in ("March 2026", "April")]

    assert boxes[0][2] <= boxes[1][0] or boxes[0][3] <= boxes[1][1]
    assert boxes[1][2] <= CONTENT + 0.01


def test_large_print_and_a_narrow_column_print_sentences() -> None:
    """No calendar in large print, none where it does not fit."""
    figure = calendar((("Bruises",), {"sure": 14}))

    assert None is draw(figure, rtl=False, large=True, width_mm=CONTENT, measure=measure)
    assert None is draw(figure, rtl=False, large=False, width_mm=126, measure=measure)
    assert None is draw(dose(("a", NUMBERS, 5)), rtl=False, large=False, width_mm=100, measure=measure)
