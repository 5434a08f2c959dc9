"""
Words > the outlines of their letters as operators: what is drawn and not read.

For the diagonal word behind a page, and the white edge around a label: as text they would be read out and found twice.
"""

from __future__ import annotations

from functools import lru_cache
from math import atan2, cos, hypot, sin

from docgen.blocks import Span, Words
from docgen.render.drawing.letters import outlines_of, width_of
from docgen.render.drawing.shapes import MM_PER_PT
from docgen.render.pdf.numbers import color, number, numbers
from docgen.render.pdf.setting import CAPITAL, MM
from docgen.render.pdf.strokes import track

CAPITAL_HEIGHT, WEIGHT = 27 * MM, 0.35 * MM
"""Of the diagonal word (page design, section 5)."""

LONGEST = 0.62
"""Share of the page's diagonal that a long word may take."""


_EM = 1 / MM_PER_PT
"""A size whose em is 1 mm: outlines in em."""


@lru_cache(maxsize=512)
def outlines(words: Words, language: str, bold: bool, rtl: bool) -> tuple[str, float]:
    """Give the outlines of words from 0, 0 as operators, in em and y downward, and their width."""
    steps = outlines_of(words, 0.0, 0.0, _EM, bold=bold, language=language, rtl=rtl)
    return track(steps, lambda value: number(value, 4)), width_of(words, _EM, bold=bold, language=language)


@lru_cache(maxsize=16)
def diagonal(word: str, language: str, width: float, height: float, ink: str) -> bytes:
    """Draw a word in outline across a page, up from the lower left; never mirrored."""
    drawn, length = outlines((Span(word),), language, True, False)
    size = min(CAPITAL_HEIGHT / CAPITAL, LONGEST * hypot(width, height) / max(length, 0.1))
    angle = atan2(height, width)
    along, across = -length * size / 2, -CAPITAL * size / 2
    x = width / 2 + along * cos(angle) - across * sin(angle)
    y = height / 2 + along * sin(angle) + across * cos(angle)
    a, b = round(size * cos(angle), 4), round(size * sin(angle), 4)
    matrix = f"{a:.10g} {b:.10g} {b:.10g} {-a:.10g} {numbers(x, y)} cm"
    weight = f"{round(WEIGHT / size, 6):.10g} w"
    return f"q {color(ink, True)} {matrix} {weight} 1 j {drawn} S Q\n".encode()


def halo(
    words: Words, language: str, bold: bool, rtl: bool, place: tuple[float, float], size: float, weight: float
) -> bytes:
    """Draw a white edge around one line of words that is then written at a place."""
    drawn, _ = outlines(words, language, bold, rtl)
    matrix = f"{number(size)} 0 0 {number(-size)} {numbers(*place)} cm"
    return f"q 1 1 1 RG {matrix} {round(2 * weight / size, 4):.10g} w 1 j {drawn} S Q\n".encode()
