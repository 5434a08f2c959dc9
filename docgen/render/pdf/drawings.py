"""Figures and pictures > pieces: shapes as vectors in one Figure element with what they show in words."""

from __future__ import annotations

from functools import lru_cache, partial

from docgen.blocks import Figure, Image, Span, Words, plain
from docgen.render.drawing.shapes import HALO_MM
from docgen.render.figures import DotRow, Dots, Drawing, Label, Path, draw
from docgen.render.pdf.halves import first_role, set_both
from docgen.render.pdf.line.words import prepare
from docgen.render.pdf.numbers import FINE, color, number, numbers
from docgen.render.pdf.outlines import halo
from docgen.render.pdf.pieces import Piece, hold
from docgen.render.pdf.setting import MM, RTL_LANGUAGES, Place, Setting, Text, own_language
from docgen.render.pdf.sheet import Node, Sheet
from docgen.render.pdf.strokes import track
from docgen.render.picture_file import picture_size
from docgen.render.style import Role
from docgen.render.words import figure_lines

WHOLE_WIDTH = frozenset(("calendar",))
"""Figures that take the side column too (page design, section 1)."""

HALO = HALO_MM * MM

ANCHORS = {"start": 0.0, "middle": 0.5, "end": 1.0}
"""Share of a label's width that stands before its place."""

APART = 2 * MM
"""Between two drawings, at least."""

LABEL_LINE, NO_WIDTH = 1.2, 10_000.0
"""A label is one line, whose height matters to nobody; it is never broken."""

KEPT_DRAWINGS = 128
"""Drawings that are kept: a strip of 12 in 1,000 stands in many documents."""


class Drawn:
    """A drawing with its size in points."""

    __slots__ = ("_drawing", "_setting", "_wanted", "height", "width")

    def __init__(self, setting: Setting, wanted: _Wanted, drawing: Drawing) -> None:
        self._setting, self._wanted, self._drawing = setting, wanted, drawing
        self.width, self.height = drawing.width * MM, drawing.height * MM

    def pieces(self, x: float, node: Node, width: float) -> list[Piece]:
        """Make a Figure below the node, and its caption in a width."""
        setting = self._setting
        piece = Piece(self.height, partial(self.paint, x=x, node=self.figure(node)), above=setting.space("item"))
        piece.below = setting.space("item")
        made = [piece, *(piece for text in self.caption(node, width) for piece in text.pieces(x))]
        made[-1].below = setting.space("paragraph")
        return hold(made, setting.room)

    def figure(self, node: Node) -> Node:
        """Make its element, with what it shows in words."""
        return node.child("Figure", alt=plain(self._wanted.figure.alt))

    def caption(self, node: Node, width: float) -> list[Text]:
        """Set its caption in a width."""
        words, role, first = self._drawing.caption, self._setting.role("caption"), first_role(self._setting, "caption")
        return set_both(self._setting, words, role, node.child("P"), width, kind="Span", first=first) if words else []

    def paint(self, sheet: Sheet, top: float, *, x: float, node: Node) -> None:
        """Paint the parts in order; they are not mirrored, a drawing knows its direction."""
        left = sheet.left(x, self.width)
        node.options["bbox"] = (left, top - self.height, left + self.width, top)
        begin = f"q {number(MM)} 0 0 {number(-MM)} {numbers(left, top)} cm\n".encode()
        made = []
        for part in _stretches(self._wanted, tuple(self._setting.style.colors.items())):
            if isinstance(part, Label):
                made.append(_label(self._setting, part, left, top, sheet))
            else:
                made += (begin, part, b"Q\n")
        sheet.write(node, b"".join(made))


@lru_cache(maxsize=KEPT_DRAWINGS)
def _stretches(wanted: _Wanted, colors: tuple[tuple[str, str], ...]) -> tuple[bytes | Label, ...]:
    """Write the shapes of a drawing there is, those between two labels as one; labels are set for each place."""
    made: list[bytes | Label] = []
    drawing = _drawing(wanted)
    for part in drawing.parts if drawing else ():
        last = made[-1] if made else None
        if isinstance(part, Label):
            made.append(part)
        elif isinstance(last, bytes):
            made[-1] = last + _shapes(part, colors)
        else:
            made.append(_shapes(part, colors))
    return tuple(made)


@lru_cache(maxsize=256)
def _shapes(part: Path | Dots, colors: tuple[tuple[str, str], ...]) -> bytes:
    """Write a shape; equal ones, such as the dots of a strip, are written once a process."""
    inks = dict(colors)
    return (_path(part, inks) if isinstance(part, Path) else _dots(part, inks)).encode()


def _path(path: Path, inks: dict[str, str]) -> str:
    parts = ["q"]
    if path.fill:
        parts.append(color(inks[path.fill]))
    if path.stroke:
        parts += [color(inks[path.stroke], True), f"{_fine(path.width)} w"]
        if path.dash:
            parts.append(f"[{' '.join(map(_fine, path.dash))}] 0 d")
        if path.round_ends:
            parts.append("1 J 1 j")
    parts.append(track(path.steps, _fine))
    parts.append(
        {(True, True): "B", (True, False): "f", (False, True): "S"}.get((bool(path.fill), bool(path.stroke)), "n")
    )
    return " ".join([*parts, "Q\n"])


def _dots(dots: Dots, inks: dict[str, str]) -> str:
    """Draw each row as one line of round dots: dashes without length."""
    parts = [f"q {color(inks[dots.color], True)} {_fine(2 * dots.radius)} w 1 J"]
    gap = None
    for row in dots.rows:
        step = (row.dx**2 + row.dy**2) ** 0.5
        if row.count > 1 and step != gap:
            parts.append(f"[0.001 {_fine(step - 0.001)}] 0 d")
            gap = step
        parts.append(_row(row))
    return " ".join([*parts, "Q\n"])


def _row(row: DotRow) -> str:
    """Draw a row a little longer than to its last dot, so that no rounding loses it."""
    steps = row.count - 1 + 0.05
    dx, dy = (row.dx, row.dy) if row.dx or row.dy else (0.01, 0.0)
    ends = (row.x, row.y, row.x + steps * dx, row.y + steps * dy)
    return "{} {} m {} {} l S".format(*map(_fine, ends))


def _fine(value: float) -> str:
    return number(value, FINE)


def _label(setting: Setting, label: Label, left: float, top: float, sheet: Sheet) -> bytes:
    role = Role(label.size, label.size * LABEL_LINE, setting.color(label.color), label.bold)
    line = setting.text((*label.words, Span(" ")), role, "", NO_WIDTH).lines[0]  # the space parts it from the next
    x = left + label.x * MM - ANCHORS[label.anchor] * line.width
    base = top - label.y * MM
    edge = (
        halo(label.words, setting.language, label.bold, setting.rtl, (x, base), label.size, HALO) if label.halo else b""
    )
    return edge + line.paint(x, base, sheet.fonts)


def from_edge_figure(figure: Figure) -> bool:
    """Tell whether a figure takes the side column too."""
    return figure.name in WHOLE_WIDTH


def draw_figure(setting: Setting, figure: Figure, width: float) -> Drawn | None:
    """Draw a figure in a width in points; None: its words are printed."""
    wanted = _Wanted(figure, width, setting.language, setting.rtl, setting.large)
    drawing = _drawing(wanted)
    return Drawn(setting, wanted, drawing) if drawing else None


class _Wanted:
    """A figure to be drawn, equal to one that would be drawn alike: a strip of 12 in 1,000 is drawn once a process."""

    __slots__ = ("_key", "figure", "language", "large", "rtl", "width")

    def __init__(self, figure: Figure, width: float, language: str, rtl: bool, large: bool) -> None:
        self.figure, self.width, self.language, self.rtl, self.large = figure, width, language, rtl, large
        self._key = (figure.name, repr(figure.data), figure.words, width, language, rtl, large)

    def __hash__(self) -> int:
        return hash(self._key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Wanted) and self._key == other._key

    def measure(self, words: Words, size: float, bold: bool) -> float:
        """Measure words in mm, as `_label` sets them."""
        look, own = Role(size, size * LABEL_LINE, "#000000", bold), own_language(words)
        rtl = own.split("-")[0] in RTL_LANGUAGES if own else self.rtl
        return prepare(words, look, language=own or self.language, rtl=rtl).natural / MM


@lru_cache(maxsize=KEPT_DRAWINGS)
def _drawing(wanted: _Wanted) -> Drawing | None:
    width = wanted.width / MM
    return draw(wanted.figure, rtl=wanted.rtl, large=wanted.large, width_mm=width, measure=wanted.measure)


def set_figure(setting: Setting, place: Place, figure: Figure, beside: Figure | None = None) -> list[Piece]:
    """Set a drawing, or what is printed instead of it; `beside` another, if both fit in the column."""
    whole = from_edge_figure(figure) and not place.inside
    x, width = (0.0, setting.content) if whole else (place.x, place.width)
    drawn = draw_figure(setting, figure, width)
    other = draw_figure(setting, beside, width) if beside and drawn else None
    if drawn and other and (over := drawn.width + APART + other.width - width) <= _gutter(setting, place):
        return [_beside(setting, place, x - max(over, 0.0), width + max(over, 0.0), drawn, other)]
    made = _set_one(setting, place, figure, drawn, x)
    return [*made, *set_figure(setting, place, beside)] if beside else made


def _gutter(setting: Setting, place: Place) -> float:
    """Give how far two drawings may reach into the room beside their column."""
    free = place.x >= setting.length("side") and not place.inside
    return setting.length("side") - setting.length("side_rule") if free else 0.0


def _set_one(setting: Setting, place: Place, figure: Figure, drawn: Drawn | None, x: float) -> list[Piece]:
    if drawn and drawn.height <= setting.tallest:
        return drawn.pieces(x, place.node, place.width)
    made: list[Piece] = []
    for words in figure_lines(figure):
        text = setting.text(words, setting.role("small"), place.node.child("P"), place.width)
        made += text.pieces(place.x, below=setting.space("paragraph"))
    return made


def _beside(setting: Setting, place: Place, x: float, width: float, one: Drawn, other: Drawn) -> Piece:
    """Make one piece of two drawings beside each other, their captions below in the column of the text."""
    gap, high = setting.space("item"), max(one.height, other.height)
    parts = [(one, x), (other, x + width - other.width)]
    nodes = [drawn.figure(place.node) for drawn, _ in parts]
    captions = [drawn.caption(place.node, place.width) for drawn, _ in parts]

    def paint(sheet: Sheet, top: float) -> None:
        depth = top - high - gap
        for (drawn, left), node, texts in zip(parts, nodes, captions, strict=True):
            drawn.paint(sheet, top, x=left, node=node)
            for text in texts:
                text.paint(place.x, sheet, depth)
                depth -= text.height
            depth -= gap

    height = high + gap + sum(text.height for texts in captions for text in texts) + gap * all(captions)
    return Piece(height, paint, above=gap, below=setting.space("paragraph"))


def image_size(image: Image, room: float, highest: float) -> tuple[float, float]:
    """Give width and height of a picture in points, smaller than it wishes if there is no room."""
    across, down = picture_size(image.content)
    width = min(image.width_mm * MM, room, highest * across / down)
    return width, width * down / across


def paint_image(image: Image, x: float, width: float, height: float, node: Node, sheet: Sheet, top: float) -> None:
    """Paint a picture, its upper start corner at x, top."""
    left = sheet.left(x, width)
    node.options["bbox"] = (left, top - height, left + width, top)

    def act() -> None:
        sheet.page.image(node.element, image.content, left, top - height, width, height)

    sheet.then(act)


def set_image(setting: Setting, place: Place, image: Image) -> list[Piece]:
    """Set a picture at its width, or smaller if there is no room."""
    node = place.node.child("Figure", alt=image.alt)
    width, height = image_size(image, place.width, setting.tallest)
    paint = partial(paint_image, image, place.x, width, height, node)
    return [Piece(height, paint, below=setting.space("paragraph"))]
