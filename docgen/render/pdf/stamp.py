"""
What a signature says > a page as large as its field, which a signer lays into it.

Apart from `signatures`, because it is set later than the document: when somebody signs. Nobody reads it but with the
eyes; a reader hears the same words as the tooltip of the field.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

from docgen.blocks import Words, plain
from docgen.render.pdf.file import File, Properties
from docgen.render.pdf.glyphs import FontsOfFile
from docgen.render.pdf.line.words import Line, prepared_in, way_of
from docgen.render.pdf.setting import CAPITAL, MM, RTL_LANGUAGES
from docgen.render.pdf.strokes import filled
from docgen.render.style import Role, Style

BAR, GAP = 0.5 * MM, 1.8 * MM
"""The bar at the start edge, and the room between it and the words."""

EDGE = 0.8
"""Points kept free above and below."""

LEADINGS = (1.2, 1.15, 1.1, 1.06, 1.02)
"""From base line to base line in sizes: first the lines close up, then the letters shrink."""

SCALES = (*(percent / 100 for percent in range(100, 50, -2)), 0.5, 0.4, 0.3, 0.2, 0.1)
"""Tried in turn until all stands inside the field; four short lines fit the field of a note at full size."""


def render_stamp(lines: Sequence[Words], language: str, style: Style, width: float, height: float) -> bytes:
    """
    Set the visible part of a signature: the first line is the name, the others say what it means.

    One page, width and height in points; the same words and style give the same bytes.
    Errors: MissingGlyph for a character no font prints.
    """
    rtl = language.split("-")[0] in RTL_LANGUAGES
    room = max(width - BAR - GAP, 1.0)
    said = [words for words in lines if plain(words).strip()]
    for scale, leading in product(SCALES, LEADINGS):
        rows = _rows(said, language, style, room, scale, leading)
        tall = sum(step for _, step, _ in rows)
        if tall <= height - 2 * EDGE:
            break
    fonts = FontsOfFile()
    file = File(Properties(title="", language=language, rtl=rtl), fonts)
    page = file.page(width, height)
    bar = min(max(tall, 0.0), height)
    top = (height + tall) / 2
    page.furnish(filled(width - BAR if rtl else 0.0, top - bar, BAR, bar, style.colors["deep"]))
    for line, step, size in rows:
        left = width - BAR - GAP - line.width if rtl else BAR + GAP
        page.furnish(line.paint(left, top - step / 2 - CAPITAL / 2 * size, fonts))
        top -= step
    return file.content()


def _rows(
    lines: Sequence[Words], language: str, style: Style, width: float, scale: float, leading: float
) -> list[tuple[Line, float, float]]:
    """Break the lines into a width: each with its height and the size of its letters."""
    rtl, voice = language.split("-")[0] in RTL_LANGUAGES, style.voices["staff"]
    rows = []
    for number, words in enumerate(lines):
        size = round(voice["furniture" if number else "person"].size * scale, 2)
        role = Role(size, size * leading, style.colors["ink"], number == 0, voice["body"].family)
        way = way_of(role, language, rtl, role.bold)
        rows += [(line, way.step, size) for line in prepared_in(words, way).lines(width)]
    return rows
