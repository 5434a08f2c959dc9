"""Figures as compose makes them, with words of the project's own, and what tests measure on their drawings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from docgen.blocks import Figure, Span, Words
from docgen.render.drawing.letters import width_of
from docgen.render.drawing.shapes import MM_PER_PT, Dots, Drawing, Label, Path, Step
from docgen.render.figures import draw

TEXT_COLUMN, CONTENT = 126.0, 174.0
"""Widths a page gives a figure, mm."""

ALL_TEETH = [f"{q}{n}" for q in range(1, 9) for n in range(1, 9 if q <= 4 else 6)]


def words(text: str, language: str | None = None) -> Words:
    """Give words of one span."""
    return (Span(text, language=language),)


def measure(line: Words, size: float, bold: bool) -> float:
    """Measure with the fonts of the house, in mm."""
    return width_of(line, size, bold=bold, language="en")


def drawn(figure: Figure, width: float = TEXT_COLUMN, *, rtl: bool = False, large: bool = False) -> Drawing:
    """Draw a figure that fits."""
    drawing = draw(figure, rtl=rtl, large=large, width_mm=width, measure=measure)
    assert drawing is not None
    return drawing


def people(affected: int, denominator: int = 1000, frame: str = "about") -> Figure:
    """Give the strip of one risk."""
    name = "people-1000" if denominator == 1000 else "people-100000"
    data = {"affected": affected, "denominator": denominator, "frame": frame}
    return Figure(name, data, words("About so many people are affected."))


def jaw(*marks: tuple[str, str, str], side: tuple[str, str] = ("your right", "your left")) -> Figure:
    """Give the sketch of the jaws; each mark is a tooth, its treatment and its word."""
    labels = (*side, "upper jaw", "lower jaw", *(word for _, _, word in marks), "Drawn as we see you.")
    parts = tuple({"tooth": tooth, "treatment": how, "labels": 1} for tooth, how, _ in marks)
    return Figure("jaw", {"parts": parts}, words("Sketch of both jaws."), tuple(map(words, labels)))


def tilt(angle: float, depth: str = "B", relation: str | None = "touching", tooth: str = "38") -> Figure:
    """Give the sketch of a tipped third molar."""
    below = ["nerve canal" if tooth[0] in "34" else "floor of the sinus"] if relation else []
    labels = [
        "front of the mouth",
        f"{abs(angle)}°",
        "second molar",
        "wisdom tooth",
        *below,
        "Only the tilt is to scale.",
    ]
    data = {"tooth": tooth, "angle": angle, "depth": depth, "relation": relation}
    return Figure("tilt", data, words("Side sketch."), tuple(map(words, labels)))


def dose(*terms: tuple[str, str, float]) -> Figure:
    """Give the bars of doses; each term is a name, its numbers and its share of the limit in per cent."""
    labels, parts = ["0", "half", "limit"], []
    for name, numbers, percent in terms:
        mine = [name, *(["over the limit"] if percent > 100 else []), numbers]
        labels += mine
        parts.append({"percent": percent, "labels": len(mine)})
    return Figure("dose", {"parts": tuple(parts)}, words("Doses as bars."), tuple(map(words, labels)))


def calendar(*rows: tuple[Sequence[str], dict[str, Any]], dated: bool = True) -> Figure:
    """Give a calendar from Tuesday 17 March 2026, or of counted days; a row is its labels and its numbers."""
    head = ["March 2026", "April", *"TWTFSSMTWTFSSMTWTFSSMT", *map(str, [*range(17, 32), *range(1, 8)])]
    data: dict[str, Any] = {"days": 22, "months": (0, 15), "weekdays": 22, "off": (4, 5, 11, 12, 18, 19)}
    if not dated:
        head, data = ["Day", *map(str, range(22))], {"days": 22, "months": (0,), "weekdays": 0, "off": ()}
    labels = ["expected, or to do", "possible, or until then", *head, *(one for mine, _ in rows for one in mine)]
    parts = tuple({**numbers, "labels": len(mine)} for mine, numbers in rows)
    return Figure("calendar", {**data, "parts": parts}, words("Calendar."), tuple(map(words, labels)))


def paths(drawing: Drawing, **wanted: Any) -> list[Path]:
    """Find the paths of a fill, stroke or width."""
    found = [part for part in drawing.parts if isinstance(part, Path)]
    return [path for path in found if all(getattr(path, name) == value for name, value in wanted.items())]


def dots(drawing: Drawing, color: str) -> list[tuple[float, float]]:
    """Give the centers of all dots of a color, in reading order of their columns."""
    return [
        center for part in drawing.parts if isinstance(part, Dots) and part.color == color for center in part.centers()
    ]


def points(steps: Sequence[Step]) -> Iterator[tuple[float, float]]:
    """Give every point of a path, controls among them."""
    for step in steps:
        pairs = step[:2] if len(step) == 3 else step
        yield from ((pairs[n], pairs[n + 1]) for n in range(0, len(pairs), 2))


def bounds(path: Path) -> tuple[float, float, float, float]:
    """Give left, top, right and bottom of all points of a path."""
    xs, ys = zip(*points(path.steps), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def label_box(label: Label) -> tuple[float, float, float, float]:
    """Give left, top, right and bottom of a label: capitals above its base line, a quarter of the size below."""
    wide = width_of(label.words, label.size, bold=label.bold, language="en")
    left = label.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[label.anchor] * wide
    em = label.size * MM_PER_PT
    return left, label.y - 0.72 * em, left + wide, label.y + 0.24 * em


def overlap(one: tuple[float, float, float, float], other: tuple[float, float, float, float]) -> bool:
    """Tell whether two boxes share more than their edges."""
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


SOME = [
    people(12),
    people(5, 100_000),
    jaw(("38", "removal", "taken out")),
    jaw(("48", "coronectomy", "root stays"), ("11", "removal", "taken out"), ("28", "removal", "root taken out")),
    jaw(("55", "removal", "taken out"), ("84", "watched", "treated")),
    tilt(35),
    tilt(-12.5, "A", None, "48"),
    tilt(20, "C", "tips_on_floor", "18"),
    dose(
        ("lidocaine", "92.0 of 272.8\u00a0mg ·\u00a033.8\u00a0%", 33.8), ("All drugs together", "412.5\u00a0%", 412.5)
    ),
    calendar(
        (("Swelling", "growing later? call us"), {"sure": 3}),
        (("Stiff jaw",), {"sure": 7, "possible": 10}),
        (("Dry socket may start",), {"since": 1, "possible": 7}),
        (("Soft food", "until 14 April 2026"), {"sure": 28}),
        (("Next visit", "24 March 2026, 16:00"), {"at": 7}),
        (("Next visit", "7 April 2026, 16:00"), {"at": 21}),
        (("Next visit", "12 May 2026, 16:00"), {"at": 56}),
    ),
    calendar((("Bruises",), {"sure": 14}), dated=False),
]
"""A figure of each kind, in easy and hard cases."""
