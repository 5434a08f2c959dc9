"""
A figure > a picture for DOCX: an enhanced metafile (EMF), which Word and LibreOffice show as vectors.

EMF, not SVG: Word wants a bitmap beside every SVG. Labels are outlines of their letters, not text: a computer
need not have our fonts, and shapes and places stay as drawn in every script; who cannot see has the alternative text.
The same figure gives the same bytes.
"""

from __future__ import annotations

import math
import struct
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from itertools import pairwise

from docgen.blocks import Figure, Words
from docgen.render.drawing.letters import outlines_of, width_of
from docgen.render.drawing.shapes import HALO_MM, Dots, Drawing, Label, Path, Step
from docgen.render.figures import AS_PICTURES, draw
from docgen.values import dataclass

ENDING, MIME = "emf", "image/x-emf"

UNIT = 100
"""Units of the metafile in a millimeter: 0.01 mm, finer than any printer's dot; 16 bits reach 327 mm."""

_HEADER, _EOF = 1, 14
_FILL_MODE, _BACK_MODE, _MITER_LIMIT = 19, 18, 58
_SELECT, _BRUSH, _DELETE, _PEN = 37, 39, 40, 95
_ELLIPSE = 42
_BEGIN, _END, _CLOSE, _FILL, _BOTH, _STROKE = 59, 60, 61, 62, 63, 64
_MOVE, _LINES, _CURVES = 27, 89, 88
"""Kinds of records [MS-EMF 2.1.1]."""

_NO_BRUSH, _NO_PEN = 0x80000005, 0x80000008
"""Stock objects."""

_GEOMETRIC, _FLAT, _MITER = 0x10000, 0x200, 0x2000
"""Style of a pen; round caps and joins are 0."""

_WINDING, _TRANSPARENT = 2, 1

_DEVICE_MM = 320, 240
"""A device of such a size, one of its pixels a unit: then no mapping is needed."""


@dataclass(frozen=True)
class Picture:
    """A finished picture: EMF bytes, lengths in mm, and the caption to set below it."""

    content: bytes
    width: float
    height: float
    caption: Words


def picture(
    figure: Figure, *, language: str, rtl: bool, large: bool, width_mm: float, colors: Mapping[str, str]
) -> Picture | None:
    """
    Draw a figure; None: its words are printed instead (`words.figure_lines`).

    `colors` gives the house style's colors by name, as #RRGGBB.
    """
    if figure.name not in AS_PICTURES:
        return None

    def measure(words: Words, size: float, bold: bool) -> float:
        return width_of(words, size, bold=bold, language=language)

    drawing = draw(figure, rtl=rtl, large=large, width_mm=width_mm, measure=measure)
    if drawing is None:
        return None
    content = metafile(drawing, language, rtl, tuple(sorted(colors.items())))
    return Picture(content, drawing.width, drawing.height, drawing.caption)


@lru_cache(maxsize=128)
def metafile(drawing: Drawing, language: str, rtl: bool, colors: tuple[tuple[str, str], ...]) -> bytes:
    """Write a drawing as EMF; equal ones, such as the strips of common numbers, are written once a process."""
    records = _Records({name: _color(value) for name, value in colors})
    records.add(_FILL_MODE, struct.pack("<I", _WINDING))
    records.add(_BACK_MODE, struct.pack("<I", _TRANSPARENT))
    records.add(_MITER_LIMIT, struct.pack("<I", 10))
    for part in drawing.parts:
        if isinstance(part, Path):
            records.path(part)
        elif isinstance(part, Dots):
            records.dots(part)
        else:
            for path in _letters(part, language, rtl):
                records.path(path)
    return records.content(drawing.width, drawing.height)


def _color(value: str) -> int:
    """Turn #RRGGBB into a COLORREF: 0x00BBGGRR."""
    return int.from_bytes(bytes.fromhex(value.removeprefix("#")), "little")


def _letters(label: Label, language: str, rtl: bool) -> Iterator[Path]:
    """Draw a label, its white edge first."""
    if not label.words:
        return
    width = width_of(label.words, label.size, bold=label.bold, language=language)
    x = label.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[label.anchor] * width
    right = rtl if label.words[0].language is None else label.words[0].language.split("-")[0] in RIGHT_TO_LEFT
    steps = outlines_of(label.words, x, label.y, label.size, bold=label.bold, language=language, rtl=right)
    if label.halo:
        yield Path(steps, stroke="paper", width=2 * HALO_MM, round_ends=True)
    yield Path(steps, fill=label.color)


RIGHT_TO_LEFT = frozenset({"ar", "fa", "he", "ps", "ur", "yi"})
"""Languages whose labels run from the right; the document's own direction is told by its caller."""


_DISC = struct.Struct("<II4i")


class _Records:
    """Gathers the records of one metafile; pens and brushes are made once."""

    def __init__(self, colors: Mapping[str, int]) -> None:
        self._colors, self._records = colors, list[bytes]()
        self._objects: dict[tuple[object, ...], int] = {}
        self._pen = self._brush = -1

    def add(self, kind: int, data: bytes = b"") -> None:
        """Add a record."""
        self._records.append(struct.pack("<II", kind, 8 + len(data)) + data)

    def path(self, path: Path) -> None:
        """Fill and stroke a path; a dashed line is cut into its dashes."""
        steps = tuple(_dashes(path.steps, path.dash)) if path.dash else path.steps
        self._select(path)
        self.add(_BEGIN)
        self._steps(steps)
        self.add(_END)
        kind = _BOTH if path.fill and path.stroke else _FILL if path.fill else _STROKE
        self.add(kind, struct.pack("<4i", 0, 0, -1, -1))

    def dots(self, dots: Dots) -> None:
        """Draw discs."""
        self._select(Path((), fill=dots.color))
        edges: dict[float, tuple[int, int]] = {}  # a thousand discs stand in a few rows and columns
        for x, y in dots.centers():
            for center in (x, y):
                if center not in edges:
                    edges[center] = _unit(center - dots.radius), _unit(center + dots.radius)
            (left, right), (top, bottom) = edges[x], edges[y]
            self._records.append(_DISC.pack(_ELLIPSE, _DISC.size, left, top, right, bottom))

    def _steps(self, steps: Iterable[Step]) -> None:
        """Write steps; those of one sort that follow each other are one record."""
        waiting: list[tuple[int, int]] = []
        kind = 0
        for step in steps:
            sort = {0: _CLOSE, 2: _LINES, 3: _MOVE, 6: _CURVES}[len(step)]
            if sort != kind or sort in (_CLOSE, _MOVE):
                self._points(kind, waiting)
                kind, waiting = sort, []
            if sort == _CLOSE:
                self.add(_CLOSE)
            elif sort == _MOVE:
                self.add(_MOVE, struct.pack("<2i", _unit(step[0]), _unit(step[1])))
            else:
                waiting += [(_unit(step[n]), _unit(step[n + 1])) for n in range(0, len(step), 2)]
        self._points(kind, waiting)

    def _points(self, kind: int, points: list[tuple[int, int]]) -> None:
        if points:
            packed = b"".join(struct.pack("<2h", *point) for point in points)
            self.add(kind, struct.pack("<4iI", 0, 0, -1, -1, len(points)) + packed)

    def _select(self, path: Path) -> None:
        brush = self._object(("brush", path.fill)) if path.fill else _NO_BRUSH
        pen = self._object(("pen", path.stroke, path.width, path.round_ends)) if path.stroke else _NO_PEN
        if brush != self._brush:
            self.add(_SELECT, struct.pack("<I", brush))
        if pen != self._pen:
            self.add(_SELECT, struct.pack("<I", pen))
        self._brush, self._pen = brush, pen

    def _object(self, key: tuple[object, ...]) -> int:
        """Give the number of a pen or brush, made at its first use."""
        number = self._objects.get(key)
        if number is not None:
            return number
        number = self._objects[key] = len(self._objects) + 1
        color = self._colors[str(key[1])]
        if key[0] == "brush":
            self.add(_BRUSH, struct.pack("<IIII", number, 0, color, 0))
        else:
            style = _GEOMETRIC | (0 if key[3] else _FLAT | _MITER)
            width = max(1, round(float(str(key[2])) * UNIT))
            self.add(_PEN, struct.pack("<I4I6I", number, 0, 0, 0, 0, style, width, 0, color, 0, 0))
        return number

    def content(self, width: float, height: float) -> bytes:
        """Put the header before the records and the end behind them."""
        end = struct.pack("<5I", _EOF, 20, 0, 0, 20)
        body = b"".join(self._records) + end
        right, bottom = math.ceil(width * UNIT), math.ceil(height * UNIT)
        header = struct.pack("<II4i4i", _HEADER, 108, 0, 0, right - 1, bottom - 1, 0, 0, right, bottom)
        header += struct.pack(
            "<4sIIIHHIII", b" EMF", 0x10000, 108 + len(body), len(self._records) + 2, len(self._objects) + 1, 0, 0, 0, 0
        )
        header += struct.pack("<2i2i", *(n * UNIT for n in _DEVICE_MM), *_DEVICE_MM)
        header += struct.pack("<III2I", 0, 0, 0, *(n * 1000 for n in _DEVICE_MM))
        return header + body


def _unit(length: float) -> int:
    return math.floor(length * UNIT + 0.5)


def _dashes(steps: Iterable[Step], dash: tuple[float, ...]) -> Iterator[Step]:
    """Cut straight lines into dashes; each line begins with one."""
    points: list[tuple[float, float]] = []
    lines: list[list[tuple[float, float]]] = []
    for step in steps:
        if len(step) == 3:
            points = [(step[0], step[1])]
            lines.append(points)
        elif len(step) == 2:
            points.append((step[0], step[1]))
    for line in lines:
        for one, other in pairwise(line):
            yield from _cut(one, other, dash)


def _cut(one: tuple[float, float], other: tuple[float, float], dash: tuple[float, ...]) -> Iterator[Step]:
    length = math.dist(one, other)
    at, place = 0.0, 0
    while at < length:
        until = min(at + dash[place % len(dash)], length)
        if place % 2 == 0:
            for n, share in enumerate((at / length, until / length)):
                x, y = one[0] + (other[0] - one[0]) * share, one[1] + (other[1] - one[1]) * share
                yield (x, y) if n else (x, y, 0.0)
        at, place = until, place + 1
