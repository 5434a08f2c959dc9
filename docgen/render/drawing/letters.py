"""
Words of one line > the outlines of their letters, in mm: for a picture that carries no font.

Apart from the text layer of PDF, which writes text that can be read: here only the shapes are wanted. Labels are short
and of one or two scripts, so runs are ordered by the direction of their letters, without the whole of UAX #9.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from functools import lru_cache
from itertools import groupby

import uharfbuzz as hb

from docgen.blocks import Words
from docgen.render.drawing.shapes import MM_PER_PT, Step, move
from docgen.render.drawing.strokes import CLOSE, mapped
from docgen.render.fonts.choice import family_of, size_of
from docgen.render.fonts.cut import font_file
from docgen.render.fonts.sources import HOUSE
from docgen.values import dataclass

REGULAR, BOLD = 400, 700

_LEFT, _RIGHT, _NUMBER = "L", "R", "EN"
_SEPARATORS = frozenset(("ES", "CS", "ET"))
"""Signs that belong to the number they stand in or at."""


@dataclass(frozen=True)
class Outline:
    """Outlines from 0, 0 on a base line at 0, y downward, in em, with their width."""

    steps: tuple[Step, ...]
    width: float


@dataclass(frozen=True)
class _Run:
    text: str
    family: str
    bold: bool
    language: str
    right_to_left: bool


def width_of(words: Words, size: float, *, bold: bool, language: str) -> float:
    """Measure one line of words in mm; size in pt."""
    return sum(_size(run) * _outline(run).width for run in _runs(words, bold, language)) * size * MM_PER_PT


def outlines_of(
    words: Words, x: float, base: float, size: float, *, bold: bool, language: str, rtl: bool
) -> tuple[Step, ...]:
    """Draw one line of words from the left end of its base line; `rtl` is the direction of the whole line."""
    found: list[Step] = []
    for run in _in_order(list(_runs(words, bold, language)), rtl):
        em = _size(run) * size * MM_PER_PT
        outline = _outline(run)
        found += mapped(outline.steps, em, x, em, base)
        x += outline.width * em
    return tuple(found)


def _size(run: _Run) -> float:
    return size_of(run.family, run.language)


def _runs(words: Words, bold: bool, language: str) -> Iterator[_Run]:
    """Cut words where font, weight or direction changes."""
    for span in words:
        tongue = span.language or language
        kinds = _directions(span.text)
        keyed = zip(span.text, kinds, _families(span.text, tongue), strict=True)
        for (kind, family), group in groupby(keyed, key=lambda one: one[1:]):
            text = "".join(one[0] for one in group)
            yield _Run(text, family, bold or span.bold, tongue, kind == _RIGHT)


def _families(text: str, language: str) -> list[str]:
    """Name the family of each character; a space or mark stays with the letter before it."""
    found: list[str] = []
    for character in text:
        stays = found and (
            character.isspace() or unicodedata.combining(character) or unicodedata.category(character) == "Mc"
        )
        found.append(found[-1] if stays else family_of(character, language) or HOUSE)
    return found


def _directions(text: str) -> list[str]:
    """Give each character the direction of its run; what has none goes with the letters around it."""
    kinds = [_kind(unicodedata.bidirectional(character)) for character in text]
    for place, kind in enumerate(kinds):
        before = kinds[place - 1] if place else ""
        after = next((later for later in kinds[place + 1 :] if later), "")
        if kind == "sign":
            kinds[place] = _NUMBER if _NUMBER in (before, after) else ""
    for place, kind in enumerate(kinds):
        if not kind:
            before = kinds[place - 1] if place else ""
            after = next((later for later in kinds[place + 1 :] if later), "")
            kinds[place] = _RIGHT if _RIGHT in (before, after) else _LEFT
    return [_LEFT if kind == _NUMBER else kind for kind in kinds]


def _kind(bidirectional: str) -> str:
    if bidirectional in ("R", "AL"):
        return _RIGHT
    if bidirectional in ("EN", "AN"):
        return _NUMBER
    if bidirectional == "L":
        return _LEFT
    return "sign" if bidirectional in _SEPARATORS else ""


def _in_order(runs: list[_Run], rtl: bool) -> list[_Run]:
    """Set runs from left to right: those of one direction follow it, those of the other keep their own."""
    if rtl:
        return list(reversed(runs))
    ordered: list[_Run] = []
    for right, group in groupby(runs, key=lambda run: run.right_to_left):
        together = list(group)
        ordered += reversed(together) if right else together
    return ordered


@lru_cache(maxsize=32)
def _font(family: str, weight: int) -> hb.Font:
    return hb.Font(hb.Face(font_file(family, weight)))


@lru_cache(maxsize=1024)
def _outline(run: _Run) -> Outline:
    """Shape a run and draw its glyphs."""
    font = _font(run.family, BOLD if run.bold else REGULAR)
    buffer = hb.Buffer()
    buffer.add_str(run.text)
    buffer.guess_segment_properties()
    buffer.direction = "rtl" if run.right_to_left else "ltr"
    hb.shape(font, buffer)
    traced, x = _Traced(font.face.upem), 0.0
    for info, place in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        traced.x, traced.y = x + place.x_offset, float(place.y_offset)
        font.draw_glyph(info.codepoint, _DRAWING, traced)
        x += place.x_advance
    return Outline(tuple(traced.steps), x / font.face.upem)


class _Traced:
    """Steps of the glyphs drawn so far, in em, y downward; a glyph is drawn with its origin at x, y in font units."""

    __slots__ = ("steps", "upem", "x", "y")

    def __init__(self, upem: int) -> None:
        self.upem, self.steps, self.x, self.y = upem, list[Step](), 0.0, 0.0

    def point(self, x: float, y: float) -> tuple[float, float]:
        """Place a point of the glyph."""
        return (x + self.x) / self.upem, -(y + self.y) / self.upem

    def end(self) -> tuple[float, float]:
        """Where the last step ended."""
        last = self.steps[-1]
        return (last[0], last[1]) if len(last) < 6 else (last[-2], last[-1])


def _move_to(x: float, y: float, traced: _Traced) -> None:
    traced.steps.append(move(*traced.point(x, y)))


def _line_to(x: float, y: float, traced: _Traced) -> None:
    traced.steps.append(traced.point(x, y))


def _curve_to(ax: float, ay: float, bx: float, by: float, x: float, y: float, traced: _Traced) -> None:
    traced.steps.append((*traced.point(ax, ay), *traced.point(bx, by), *traced.point(x, y)))


def _bend_to(cx: float, cy: float, x: float, y: float, traced: _Traced) -> None:
    """Add a quadratic curve as a cubic one."""
    (sx, sy), (px, py), (ex, ey) = traced.end(), traced.point(cx, cy), traced.point(x, y)
    first = (sx + 2 / 3 * (px - sx), sy + 2 / 3 * (py - sy))
    second = (ex + 2 / 3 * (px - ex), ey + 2 / 3 * (py - ey))
    traced.steps.append((*first, *second, ex, ey))


def _close(traced: _Traced) -> None:
    traced.steps.append(CLOSE)


def _drawing() -> hb.DrawFuncs:
    made = hb.DrawFuncs()
    made.set_move_to_func(_move_to)
    made.set_line_to_func(_line_to)
    made.set_cubic_to_func(_curve_to)
    made.set_quadratic_to_func(_bend_to)
    made.set_close_path_func(_close)
    return made


_DRAWING = _drawing()
"""What HarfBuzz calls for each step of an outline."""
