"""
A figure of the document model > shapes in mm, or None where its words are printed instead.

Apart from the renderers: PDF paints the shapes, DOCX embeds them as a picture, review text prints the words.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

from docgen.blocks import Figure
from docgen.render.drawing.people import draw_people
from docgen.render.drawing.shapes import SMALLEST_PT, DotRow, Dots, Drawing, Label, Measure, Part, Path
from docgen.render.drawing.strokes import scaled

__all__ = ["AS_PICTURES", "DotRow", "Dots", "Drawing", "Label", "Measure", "Part", "Path", "draw"]

LARGE = 16 / SMALLEST_PT
"""How much larger a sketch is in large print, where no label is under 16 pt (design 8)."""

AS_PICTURES = frozenset({"people-1000", "people-100000", "jaw", "tilt"})
"""Figures that DOCX embeds as pictures; the others it prints in words (design 6.5, 6.6)."""


def draw(figure: Figure, *, rtl: bool, large: bool, width_mm: float, measure: Measure) -> Drawing | None:
    """
    Draw a figure into a width, or give None: then its words are printed instead (`words.figure_lines`).

    `measure` gives the width of words in mm, from their size in pt and whether they are bold. A figure of another name,
    or without numbers, has no drawing.
    Errors: KeyError or ValueError for one that lacks some of its numbers or words.
    """
    if not figure.data:
        return None
    match figure.name:
        case "people-1000" | "people-100000":
            return draw_people(figure, rtl=rtl, large=large, width_mm=width_mm)
        case "jaw" | "tilt":
            factor = LARGE if large else 1.0
            drawing = _sketch(figure.name)(figure, width_mm=width_mm / factor, measure=measure)
            return scaled(drawing, factor) if drawing and large else drawing
        case "dose":
            return None if large else _sketch("dose")(figure, width_mm=width_mm, measure=measure)
        case "calendar":
            return None if large else _sketch("calendar")(figure, rtl=rtl, width_mm=width_mm, measure=measure)
        case _:
            return None


def _sketch(name: str) -> Any:
    """Find what draws a figure; most documents have none, so it is imported when one turns up."""
    return getattr(import_module(f"docgen.render.drawing.{name}"), f"draw_{name}")
