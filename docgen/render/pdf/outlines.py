"""
Words > the outlines of their letters as operators: what is drawn and not read.

For the diagonal word behind a page, and the white edge around a label: as text they would be read out and found twice.
"""

from __future__ import annotations

from functools import lru_cache
from math import atan2, cos, hypot, sin

import uharfbuzz as hb

from docgen.blocks import Words
from docgen.render.fonts.choice import family_of
from docgen.render.fonts.cut import font_file
from docgen.render.pdf.setting import CAPITAL, MM
from docgen.render.pdf.strokes import color, number, numbers

REGULAR, BOLD = 400, 700

CAPITAL_HEIGHT, WEIGHT = 27 * MM, 0.35 * MM
"""Of the diagonal word (page design, section 5)."""

LONGEST = 0.62
"""Share of the page's diagonal that a long word may take."""


@lru_cache(maxsize=16)
def _font(family: str, weight: int) -> hb.Font:
    return hb.Font(hb.Face(font_file(family, weight)))


@lru_cache(maxsize=512)
def outlines(text: str, language: str, bold: bool) -> tuple[str, float]:
    """Give the outlines of a text from 0, 0 as operators, in em, and its width."""
    first = next((c for c in text if c.isalpha()), "A")
    font = _font(family_of(first, language) or "Noto Sans", BOLD if bold else REGULAR)
    buffer = hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    hb.shape(font, buffer)
    pen, x = _Pen(font.face.upem), 0.0
    for info, place in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        pen.x, pen.y = x + place.x_offset, float(place.y_offset)
        font.draw_glyph_with_pen(info.codepoint, pen)
        x += place.x_advance
    return " ".join(pen.operators), x / font.face.upem


class _Pen:
    """Notes what HarfBuzz draws; quadratic curves become cubic ones."""

    def __init__(self, upem: int) -> None:
        self.upem, self.operators, self.x, self.y = upem, list[str](), 0.0, 0.0
        self._at = (0.0, 0.0)

    def _points(self, *points: tuple[float, float]) -> str:
        found = [((x + self.x) / self.upem, (y + self.y) / self.upem) for x, y in points]
        return " ".join(f"{round(value, 4):.10g}" for point in found for value in point)

    def moveTo(self, point: tuple[float, float]) -> None:  # noqa: N802  # the pen protocol's names
        self._at = point
        self.operators.append(f"{self._points(point)} m")

    def lineTo(self, point: tuple[float, float]) -> None:  # noqa: N802
        self._at = point
        self.operators.append(f"{self._points(point)} l")

    def curveTo(self, *points: tuple[float, float]) -> None:  # noqa: N802
        self._at = points[-1]
        self.operators.append(f"{self._points(*points)} c")

    def qCurveTo(self, control: tuple[float, float], end: tuple[float, float]) -> None:  # noqa: N802
        (x, y), (cx, cy), (ex, ey) = self._at, control, end
        first = (x + 2 / 3 * (cx - x), y + 2 / 3 * (cy - y))
        second = (ex + 2 / 3 * (cx - ex), ey + 2 / 3 * (cy - ey))
        self.curveTo(first, second, end)

    def closePath(self) -> None:  # noqa: N802
        self.operators.append("h")

    def endPath(self) -> None:  # noqa: N802
        self.operators.append("n")


@lru_cache(maxsize=16)
def diagonal(word: str, language: str, width: float, height: float, ink: str) -> bytes:
    """Draw a word in outline across a page, up from the lower left; never mirrored."""
    drawn, length = outlines(word, language, True)
    size = min(CAPITAL_HEIGHT / CAPITAL, LONGEST * hypot(width, height) / max(length, 0.1))
    angle = atan2(height, width)
    along, across = -length * size / 2, -CAPITAL * size / 2
    x = width / 2 + along * cos(angle) - across * sin(angle)
    y = height / 2 + along * sin(angle) + across * cos(angle)
    a, b = round(size * cos(angle), 4), round(size * sin(angle), 4)
    matrix = f"{a:.10g} {b:.10g} {-b:.10g} {a:.10g} {numbers(x, y)} cm"
    weight = f"{round(WEIGHT / size, 6):.10g} w"
    return f"q {color(ink, True)} {matrix} {weight} 1 j {drawn} S Q\n".encode()


def halo(words: Words, language: str, bold: bool, place: tuple[float, float], size: float, weight: float) -> bytes:
    """Draw a white edge around one line of words that is then written at a place; words of one direction only."""
    x, y = place
    made = []
    for span in words:
        drawn, length = outlines(span.text, span.language or language, bold or span.bold)
        made.append(f"q {number(size)} 0 0 {number(size)} {numbers(x, y)} cm {drawn} S Q\n")
        x += length * size
    return f"q 1 1 1 RG {round(2 * weight / size, 4):.10g} w 1 j {''.join(made)}Q\n".encode()
