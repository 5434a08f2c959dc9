"""The sketch of a tipped tooth against the page design: 6.4."""

from __future__ import annotations

import math

import pytest

from docgen.render.drawing.shapes import Drawing
from docgen.render.figures import draw
from tests.render.figures.samples import bounds, drawn, label_box, measure, overlap, paths, points, tilt

ANGLES = [-25, -10, 0, 11, 35, 60, 79, 90]


def _axis(drawing: Drawing) -> tuple[tuple[float, float], tuple[float, float]]:
    """The ends of the third molar's own axis: the last dashed line, crown first."""
    dashed = next(path for path in paths(drawing, stroke="ink") if path.dash)
    *_, one, other = points(dashed.steps)
    return one, other


@pytest.mark.parametrize("angle", ANGLES)
@pytest.mark.parametrize("tooth", ["18", "28", "38", "48"])
def test_the_angle_is_true(angle: float, tooth: str) -> None:
    """The axis is tipped towards the front of the mouth by the recorded degrees, to the sign, on each side and jaw."""
    crown, root = _axis(drawn(tilt(angle, tooth=tooth, relation=None)))
    forward = (root[0] - crown[0]) * (1 if tooth[0] in "23" else -1)  # the front is at the left of the patient's left
    upright = abs(root[1] - crown[1])

    assert angle == pytest.approx(math.degrees(math.atan2(forward, upright)), abs=0.01)


@pytest.mark.parametrize("rtl", [False, True])
def test_the_sketch_is_never_mirrored(rtl: bool) -> None:
    """The front of the mouth is at the left for a tooth of the patient's left, in every language."""
    drawing = drawn(tilt(35), rtl=rtl)
    front = next(label for label in drawing.labels if label.text == "front of the mouth")

    assert label_box(front)[0] < 10


@pytest.mark.parametrize("depth", ["A", "B", "C"])
def test_depth_sets_the_highest_point(depth: str) -> None:
    """The highest point lies 0.2, 4 or 8.4 units below the biting line."""
    drawing = drawn(tilt(35, depth))
    biting = bounds(paths(drawing, stroke="line", width=0.3)[0])[1]
    third = paths(drawing, fill="tint")[0]
    highest = min(step[-1] for step in third.steps if step and len(step) != 3)

    assert {"A": 0.2, "B": 4.2, "C": 8.82}[depth] == pytest.approx(highest - biting)


@pytest.mark.parametrize("angle", ANGLES)
def test_the_teeth_stand_half_a_millimeter_apart(angle: float) -> None:
    """The mesial edge of the third molar beside the distal edge of the second, of whatever angle."""
    drawing = drawn(tilt(angle))
    second, third = paths(drawing, stroke="line", width=0.4)[0], paths(drawing, fill="tint")[0]
    right = max(step[-2] for step in second.steps if len(step) == 6)
    left = min(step[-2] for step in third.steps if len(step) == 6)

    assert 0.5 <= left - right < 1.0


@pytest.mark.parametrize(("relation", "offset"), [("clear", 2.4), ("touching", -0.2), ("overlapping", -2.2)])
def test_the_canal_runs_where_the_record_says(relation: str, offset: float) -> None:
    """Its upper line below, at or above the lowest point of the roots; 3.4 deep."""
    drawing = drawn(tilt(35, relation=relation))
    third, walls = paths(drawing, fill="tint")[0], list(points(paths(drawing, stroke="line", width=0.4)[1].steps))
    lowest = max(step[-1] for step in third.steps if step and len(step) != 3)

    assert offset == pytest.approx(walls[0][1] - lowest)
    assert pytest.approx(walls[2][1] - walls[0][1]) == 3.4


def test_an_unknown_canal_is_not_drawn() -> None:
    """What nobody recorded is neither a line nor a word."""
    drawing = drawn(tilt(35, relation=None))

    assert 1 == len(paths(drawing, stroke="line", width=0.4))
    assert "nerve canal" not in [label.text for label in drawing.labels]


@pytest.mark.parametrize("angle", [-26, 91, 180, -180])
def test_beyond_the_construction_the_words_stand_alone(angle: float) -> None:
    """The construction is checked from -25 to 90 degrees."""
    assert None is draw(tilt(angle), rtl=False, large=False, width_mm=126, measure=measure)


@pytest.mark.parametrize("angle", ANGLES)
@pytest.mark.parametrize("depth", ["A", "B", "C"])
@pytest.mark.parametrize("relation", ["clear", "touching", "overlapping", None])
@pytest.mark.parametrize("tooth", ["18", "28", "38", "48"])
def test_words_keep_clear_of_each_other_and_of_the_third_molar(
    angle: float, depth: str, relation: str | None, tooth: str
) -> None:
    """At every angle and depth; degrees and the tooth's name may lie on the biting line, with their white edge."""
    upper = {"clear": "clear", "touching": "tips_on_floor", "overlapping": "all_roots_overlap", None: None}
    drawing = drawn(tilt(angle, depth, upper[relation] if tooth[0] in "12" else relation, tooth))
    boxes = [label_box(label) for label in drawing.labels]
    outline = [step[-2:] for step in paths(drawing, fill="tint")[0].steps if len(step) == 6]

    assert not any(overlap(one, other) for n, one in enumerate(boxes) for other in boxes[n + 1 :])
    assert [] == [(x, y) for x, y in outline for b in boxes if b[0] < x < b[2] and b[1] < y < b[3]]
    assert 50 < drawing.width < 62
