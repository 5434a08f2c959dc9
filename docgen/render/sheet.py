"""
The means of the plain PDF: words as ReportLab paragraphs, and the few things it draws.

Words reach ReportLab as finished fragments, never as its markup: nothing in a value can be a tag, a link or an image.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from functools import lru_cache

from reportlab import rl_config
from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import registerFont, stringWidth
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, PageBreak, Paragraph, Spacer
from reportlab.platypus import Image as Picture
from reportlab.platypus.paraparser import ParaFrag

from docgen.blocks import Image, Words
from docgen.blocks import Mark as StateMark
from docgen.render.fonts import BOLD, REGULAR, font_file
from docgen.render.grids import grid_of
from docgen.render.style import Role
from docgen.render.words import EMPTY_BOX, TICKED_BOX, lines_of, without_format_characters

rl_config.trustedSchemes = []  # no image or link is ever fetched, whatever asks for it
rl_config.trustedHosts = []

REGULAR_FONT, BOLD_FONT = "NotoSans-Regular", "NotoSans-Bold"

Mark = Callable[[Canvas, float, float], None]
"""Draws on a canvas beside a paragraph, given its height and the base line of its first line."""


@lru_cache(maxsize=1)
def register_fonts() -> None:
    """Tell ReportLab the house font, once a process."""
    registerFont(TTFont(REGULAR_FONT, io.BytesIO(font_file(REGULAR))))
    registerFont(TTFont(BOLD_FONT, io.BytesIO(font_file(BOLD))))


class MarkedParagraph(Paragraph):  # type: ignore[misc]  # ReportLab has no types
    """A paragraph with something drawn beside it: beside its first part, or all parts if a page cuts it."""

    mark: Mark | None = None
    marks_each_part = False

    def draw(self) -> None:
        """Draw the mark first, so that a number is read before its text."""
        if self.mark:
            self.mark(self.canv, self.height, self.height - self.style.fontSize)
        super().draw()

    def split(self, available_width: float, available_height: float) -> list[Flowable]:
        """Cut at a page, as ReportLab does, and keep the mark where it belongs."""
        parts: list[Flowable] = super().split(available_width, available_height)
        for place, part in enumerate(parts):
            part.mark = self.mark if place == 0 or self.marks_each_part else None
            part.marks_each_part = self.marks_each_part
        return parts


def paragraph(
    words: Words,
    role: Role,
    *,
    indent: float = 0,
    flush_end: bool = False,
    mark: Mark | None = None,
    bold: bool = False,
) -> MarkedParagraph:
    """Set words in a role; `indent` in points, to the text column."""
    style = ParagraphStyle(
        "words",
        fontName=REGULAR_FONT,
        fontSize=role.size,
        leading=role.line,
        textColor=HexColor(role.color),
        leftIndent=indent,
        alignment=2 if flush_end else 0,
        splitLongWords=1,
        allowWidows=0,
        allowOrphans=0,
    )
    made = MarkedParagraph("", style, frags=_fragments(words, role, bold or role.bold))
    made.mark = mark
    return made


def _fragments(words: Words, role: Role, bold: bool) -> list[ParaFrag]:
    made = []
    for number, line in enumerate(lines_of(words)):
        if number:
            made.append(_fragment("", role, False))
            made[-1].lineBreak = True
        made += [_fragment(without_format_characters(span.text), role, bold or span.bold) for span in line]
    return made


def _fragment(text: str, role: Role, bold: bool) -> ParaFrag:
    return ParaFrag(
        text=text.replace("\u202f", "\u00a0"),  # both keep a number and its unit together; ReportLab knows one
        fontName=BOLD_FONT if bold else REGULAR_FONT,
        fontSize=role.size,
        textColor=HexColor(role.color),
        bold=int(bold),
        italic=0,
        rise=0,
        us_lines=[],
        link=[],
        backColor=None,
    )


def text_width(words: Paragraph) -> float:
    """Measure words as one line, in points."""
    return float(sum(stringWidth(part.text, part.fontName, part.fontSize) for part in words.frags))


class Distance(Spacer):  # type: ignore[misc]  # ReportLab has no types
    """A space between two parts of one thing: it stays where a page begins; any other space there is left out."""


def fits_in(words: MarkedParagraph, width: float) -> bool:
    """Tell whether each word of a heading fits into a width."""
    size = words.style.fontSize
    return all(stringWidth(word, BOLD_FONT, size) <= width for word in words.getPlainText().split())


class Kept(KeepTogether):  # type: ignore[misc]  # ReportLab has no types
    """Flowables on one page, unless they are more than one page; those inside another are kept by the outer one."""

    def __init__(self, flowables: Iterable[Flowable]) -> None:
        self.parts: list[Flowable] = []
        for flowable in flowables:
            if isinstance(flowable, Kept):
                self.parts += flowable.parts
            elif not isinstance(flowable, CondPageBreak | PageBreak):
                self.parts.append(flowable)
        super().__init__(self.parts)


class Beside(Flowable):  # type: ignore[misc]  # ReportLab has no types
    """A heading in the side column: takes no height, so that the text begins on its line."""

    def __init__(self, words: MarkedParagraph, side: float) -> None:
        super().__init__()
        self.words, self.side = words, side
        self.heading_height = words.wrap(side, 1e6)[1]

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Take no height."""
        self.words.wrap(self.side, 1e6)
        return available_width, 0

    def draw(self) -> None:
        """Hang the heading from the line."""
        self.words.drawOn(self.canv, 0, -self.words.height)


class Box(Flowable):  # type: ignore[misc]  # ReportLab has no types
    """An empty box to tick, alone in a cell."""

    def __init__(self, side: float) -> None:
        super().__init__()
        self.side = side

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Take a square."""
        return self.side, self.side

    def draw(self) -> None:
        """Draw the box."""
        draw_box(self.canv, 0.5, 0, self.side, ticked=False)


class Line(Flowable):  # type: ignore[misc]  # ReportLab has no types
    """Strokes in one line, each from x to x; takes no height."""

    def __init__(self, *strokes: tuple[float, float, float, str]) -> None:
        super().__init__()
        self.strokes = strokes
        """From, to, weight and color."""

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Take the whole width."""
        return available_width, 0

    def draw(self) -> None:
        """Draw the strokes, hanging from the line."""
        for start, end, weight, color in self.strokes:
            self.canv.setStrokeColor(HexColor(color))
            self.canv.setLineWidth(weight)
            self.canv.line(start, -weight / 2, end, -weight / 2)


class Tags(Flowable):  # type: ignore[misc]  # ReportLab has no types
    """State marks at the end edge, filled or outlined; a new row when one is full."""

    PAD_X, PAD_Y, GAP = 2 * mm, 0.7 * mm, 2 * mm

    def __init__(self, marks: Sequence[StateMark], role: Role) -> None:
        super().__init__()
        self.marks = [replace(mark, words=without_format_characters(mark.words)) for mark in marks]
        self.role = role
        self.spacing = 0.06 * role.size
        self.rows: list[list[tuple[StateMark, float]]] = []

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Fill rows."""
        self.width, self.rows, used = available_width, [], available_width + 1
        for mark in self.marks:
            text = self._needed(mark)
            width = min(text + 2 * self.PAD_X, available_width)
            if used + self.GAP + width > available_width:
                self.rows.append([])
                used = -self.GAP
            self.rows[-1].append((mark, width))
            used += self.GAP + width
        self.height = len(self.rows) * self._row
        return available_width, self.height

    @property
    def natural_width(self) -> float:
        """How wide all marks are in one row."""
        return float(sum(self._needed(mark) + 2 * self.PAD_X + self.GAP for mark in self.marks))

    @property
    def _row(self) -> float:
        return float(self.role.line + 2 * self.PAD_Y + 2)

    def draw(self) -> None:
        """Draw each row flush to the end edge, in the order given."""
        for number, row in enumerate(self.rows, 1):
            x = self.width - sum(width for _, width in row) - self.GAP * (len(row) - 1)
            for mark, width in row:
                self._draw(mark, x, self.height - number * self._row + 1, width)
                x += width + self.GAP

    def _needed(self, mark: StateMark) -> float:
        return float(stringWidth(mark.words, BOLD_FONT, self.role.size) + len(mark.words) * self.spacing)

    def _draw(self, mark: StateMark, x: float, y: float, width: float) -> None:
        ink = HexColor(self.role.color)
        self.canv.setStrokeColor(ink)
        self.canv.setFillColor(ink)
        self.canv.setLineWidth(1)
        height = self.role.line + 2 * self.PAD_Y
        self.canv.rect(x + 0.5, y, width - 1, height, fill=int(mark.filled))
        needed = self._needed(mark)
        text = self.canv.beginText(x + self.PAD_X, y + self.PAD_Y + 0.29 * self.role.line)
        text.setFont(BOLD_FONT, self.role.size)
        text.setCharSpace(self.spacing)
        text.setHorizScale(min(100.0, 100 * (width - 2 * self.PAD_X) / max(needed, 1)))
        text.setFillColor(HexColor("#FFFFFF") if mark.filled else ink)
        text.textOut(mark.words)
        text.setCharSpace(0)
        text.setHorizScale(100)
        self.canv.drawText(text)


def picture(image: Image, indent: float, room: float) -> Flowable:
    """Set a picture at its width, or smaller if there is no room."""
    made = Picture(io.BytesIO(image.content))
    width = min(image.width_mm * mm, room, 200 * mm * made.imageWidth / made.imageHeight)
    made.drawWidth, made.drawHeight = width, made.imageHeight * width / made.imageWidth
    return grid_of([[made]], [width + indent], [("LEFTPADDING", (0, 0), (0, 0), indent)])


def draw_box(canvas: Canvas, x: float, y: float, side: float, ticked: bool) -> None:
    """Draw a box to tick; the words "[ ]" or "[x]" lie behind it unseen, for whoever copies or listens."""
    canvas.saveState()
    text = canvas.beginText(x, y)
    text.setFont(BOLD_FONT, side * 0.7)
    text.setTextRenderMode(3)
    text.textOut(f"{TICKED_BOX if ticked else EMPTY_BOX} ")
    canvas.drawText(text)
    canvas.setLineWidth(1)
    canvas.rect(x, y, side, side)
    if ticked:
        canvas.setLineWidth(0.5 * mm)
        tick = canvas.beginPath()
        points = [(x + side * 0.1 + dx / 4 * side, y + side * 0.9 - dy / 4 * side) for dx, dy in _TICK]
        tick.moveTo(*points[0])
        for point in points[1:]:
            tick.lineTo(*point)
        canvas.drawPath(tick)
    canvas.restoreState()


_TICK = ((0.4, 1.8), (1.3, 2.7), (2.8, 0.5))
"""In a square of 3.2, y downward."""
