"""A story of flowables > the pages of the plain PDF, each with its head, its foot and "page x of y"."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import UTC, datetime
from hashlib import md5
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.lib.utils import TimeStamp
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate, Spacer

from docgen.blocks import Document, Span, plain
from docgen.render.columns import person_widths
from docgen.render.grids import fitting_grids, grid_of
from docgen.render.sheet import Distance, Line, Tags, paragraph, picture, text_width
from docgen.render.style import Paper, Role, Style

_SCALES = (1.0, 0.75, 0.5, 0.35, 0.25, 0.15, 0.1, 0.05)
"""Tried in turn until a head or foot fits: no value may push the text off the page."""


def build(document: Document, style: Style, story: list[Flowable]) -> bytes:
    """Set the story on pages of the layout's paper."""
    out = io.BytesIO()
    paper = style.paper(document.layout)
    setup = BaseDocTemplate(
        out,
        pagesize=(paper.width * mm, paper.height * mm),
        invariant=1,
        title=plain(document.title),
        author=plain(document.furniture.clinic),
        subject=f"{document.origin.kind} {document.origin.version}",
        creator=document.origin.program,
        producer=document.origin.program,
        lang=document.language,
    )
    furniture = _Furniture(document, style, paper)
    while story and isinstance(story[-1], Spacer):  # a space that no longer fits would take a page of its own
        story.pop()
    setup.addPageTemplates(furniture.templates())
    setup.build(story, canvasmaker=furniture.canvas)
    return out.getvalue()


def opening(document: Document, style: Style) -> list[Flowable]:
    """Set the head of the first page, the title and whose document it is, as part of the story: so they may be long."""
    furniture, layout, content = document.furniture, document.layout, style.lengths["content"] * mm
    clinic: list[Flowable] = [picture(furniture.logo, 0, content / 2)] if furniture.logo else []
    clinic.append(paragraph(furniture.clinic, style.role("clinic", layout)))
    clinic.append(paragraph(furniture.contact, style.role("furniture", layout)))
    tags = Tags(furniture.marks, style.role("tag", layout))
    pad = [("RIGHTPADDING", (0, 0), (0, 0), 3 * mm)]
    head = fitting_grids([[clinic, tags]], [content * 0.55, content * 0.45], lambda *_: pad)
    title = paragraph(document.title, style.role("title", layout))
    above, below = (Spacer(1, style.spaces[name]) for name in ("section_staff", "title"))
    if layout.large_print:
        person: list[Flowable] = [paragraph(part, style.role("body", layout)) for part in furniture.person]
    else:
        person = _person_row(document, style, content, 5)
    return [*head, above, title, below, *person, Spacer(1, style.spaces["paragraph"])]


def _person_row(document: Document, style: Style, width: float, pad: float) -> list[Flowable]:
    """Set name, birth date and number between two lines; the last stands at the end edge."""
    parts, role = document.furniture.person, style.role("person", document.layout)
    if not parts:
        return []
    last, side = len(parts) - 1, style.lengths["side"] / style.lengths["content"] * width
    widths = person_widths(parts, width, side, role.size)
    row = [paragraph(part, role, flush_end=place == last > 0) for place, part in enumerate(parts)]
    line = HexColor(style.colors["line"])
    rules = [("LINEABOVE", (0, 0), (-1, 0), 0.5, line), ("LINEBELOW", (0, 0), (-1, 0), 0.5, line)]
    pads = [("TOPPADDING", (0, 0), (-1, -1), pad), ("BOTTOMPADDING", (0, 0), (-1, -1), pad - 1)]
    return fitting_grids([row], widths, lambda *_: [*rules, *pads])


class _PageFrame(Frame):  # type: ignore[misc]  # ReportLab has no types
    """The place of the text on a page; a space that would stand first on it is left out."""

    def add(self, flowable: Flowable, canvas: Canvas, trySplit: int = 0) -> int:  # noqa: N803  # ReportLab's name
        """Place a flowable; 0 if there is no room."""
        if self._atTop and isinstance(flowable, Spacer) and not isinstance(flowable, Distance):
            return 1
        return int(super().add(flowable, canvas, trySplit=trySplit))


class _Furniture:
    """What stands on every page, and the frames it leaves."""

    def __init__(self, document: Document, style: Style, paper: Paper) -> None:
        self.document, self.style, self.paper = document, style, paper
        self.width = style.lengths["content"] * mm
        self.head = _Fitted(self._head, self.width, paper.height * mm * 0.3)
        self.foot = _Fitted(self._foot, self.width, paper.height * mm * 0.25)
        self.foot_top = min(paper.height - paper.foot, 20) * mm

    def _role(self, name: str) -> Role:
        return self.style.role(name, self.document.layout)

    def templates(self) -> list[PageTemplate]:
        paper = self.paper
        top, left = paper.height * mm - paper.head * mm, paper.margin * mm
        bottom = max((paper.height - paper.body_end) * mm, self._foot_line + 4 * mm)
        later = min((paper.height - paper.body) * mm, top - self.head.height - 4 * mm)
        bare = {"leftPadding": 0, "rightPadding": 0, "topPadding": 0, "bottomPadding": 0}
        first = _PageFrame(left, bottom, self.width, top - bottom, id="first", **bare)
        rest = _PageFrame(left, bottom, self.width, later - bottom, id="later", **bare)
        return [
            PageTemplate("first", [first], autoNextPageTemplate="later"),
            PageTemplate("later", [rest], onPage=lambda canvas, _: self.head.draw(canvas, left, top)),
        ]

    @property
    def _foot_line(self) -> float:
        """Height of the rule above the foot; a longer foot raises it, its last line stays."""
        return float(max(self.foot_top, self.foot_top - 10.4 * mm + self.foot.height))

    def canvas(self, file: io.BytesIO, **options: Any) -> Canvas:  # ReportLab's options
        made = _CountingCanvas(file, **options)
        made.furniture = self
        made._doc._timeStamp = _stamp(self.document.origin.issued_on)
        made._doc.signature = md5(made._doc._timeStamp.asctime.encode(), usedforsecurity=False)  # else by environment
        return made

    def draw_foot(self, canvas: Canvas, page: int, pages: int) -> None:
        x, y, role = self.paper.margin * mm, self._foot_line, self._role("page")
        canvas.saveState()
        Line((0, self.width, 0.5, self.style.colors["line"])).drawOn(canvas, x, y)
        self.foot.draw(canvas, x, y - 1 * mm)
        words = self.document.furniture.page.replace("{page}", str(page)).replace("{pages}", str(pages))
        line = paragraph((Span(words),), role, flush_end=True)
        room = self._page_width
        line.wrapOn(canvas, room, 1e6)
        line.drawOn(canvas, x + self.width - room, y - 1 * mm - line.height)
        canvas.restoreState()

    @property
    def _page_width(self) -> float:
        """How wide "Page 88 of 88" is, up to a third of the page."""
        widest = paragraph((Span(self.document.furniture.page.format(page=888, pages=888)),), self._role("page"))
        return float(min(text_width(widest), self.width / 3))

    def _head(self, width: float) -> list[Flowable]:
        furniture, role = self.document.furniture, self._role("furniture")
        bold = tuple(Span(span.text, bold=True) for span in furniture.clinic)
        names = [paragraph(bold, self._role("tag")), paragraph(self.document.title, role)]
        tags = Tags(furniture.marks, self._role("tag"))
        end = min(tags.natural_width, width * 0.5)
        first = grid_of([[names, tags]], [width - end, end], [("RIGHTPADDING", (0, 0), (0, 0), 3 * mm)])
        return [first, *_person_row(self.document, self.style, width, 4)]

    def _foot(self, width: float) -> list[Flowable]:
        end = self._page_width + 4 * mm
        return [
            grid_of([[paragraph(line, self._role("furniture")), ""]], [width - end, end], [])
            for line in self.document.furniture.foot
        ]


class _Fitted:
    """Flowables made for a width, smaller if they would be higher than the limit."""

    def __init__(self, make: Callable[[float], list[Flowable]], width: float, limit: float) -> None:
        self.make, self.width = make, width
        for scale in _SCALES:
            self.scale = scale
            self.height = scale * sum(part.wrap(width / scale, 1e6)[1] for part in make(width / scale))
            if self.height <= limit:
                break

    def draw(self, canvas: Canvas, x: float, top: float) -> None:
        canvas.saveState()
        canvas.translate(x, top)
        canvas.scale(self.scale, self.scale)
        y = 0.0
        for part in self.make(self.width / self.scale):
            y -= part.wrapOn(canvas, self.width / self.scale, 1e6)[1]
            part.drawOn(canvas, 0, y)
        canvas.restoreState()


class _CountingCanvas(Canvas):  # type: ignore[misc]  # ReportLab has no types
    """Keeps its pages until their number is known, then draws the foot of each."""

    furniture: _Furniture

    def __init__(self, file: io.BytesIO, **options: Any) -> None:  # ReportLab's options
        super().__init__(file, **options)
        self.kept: list[dict[str, Any]] = []

    def showPage(self) -> None:  # noqa: N802  # ReportLab's name
        self.kept.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        kept = self.kept
        for number, page in enumerate(kept, 1):
            self.__dict__.update(page)
            self.furniture.draw_foot(self, number, len(kept))
            super().showPage()
        super().save()


def _stamp(issued_on: str) -> TimeStamp:
    """Date the file by its issue, midnight UTC."""
    day = datetime.fromisoformat(issued_on).replace(tzinfo=UTC)
    stamp = TimeStamp(1)
    stamp.t, stamp.lt, stamp.YMDhms = day.timestamp(), day.timetuple(), tuple(day.timetuple())[:6]
    stamp.dhh = stamp.dmm = 0
    return stamp
