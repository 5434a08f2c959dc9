"""House style > the list of paragraph styles of a Word file, each with its role, indents, spaces and rules."""

from __future__ import annotations

from dataclasses import replace

from docgen.blocks import Layout
from docgen.render.columns import CLOSER
from docgen.render.docx.markup import twips
from docgen.render.style import Style
from docgen.values import dataclass

BULLETS, NUMBERS = 1, 2
"""Numbering of a list; an ordered list gets a numbering of its own after these, to begin at 1."""

FRAMED = "Framed "
"""Before the name of a style: the same inside the danger box, where the side column ends."""

STAFF = "Staff "
"""Before the name of a style: the same in a section for staff of a document that speaks in another voice."""

TELEPHONE = "telephone"
"""A role beside those of the house: the number that somebody dials in need."""

TURNED = "From Right "
"""Before the name of a style: the same for words that run from right to left in a document that does not."""

_NUMBER = 8
"""Room for the number of an item, or a box to tick, in mm."""

_CELLS = ("Column Head", "Cell")
_SIGNATURE = ("Signature Line", "Moment Line", "Signature Label", "Signature End")

_DANGER_LABEL = 60
"""Label column of the danger box, in mm: "From 18:00 to 08:00" stands in one line."""


@dataclass(frozen=True)
class Look:
    """One paragraph style; lengths in mm, spaces in pt."""

    name: str
    role: str
    parent: str = "Normal"
    indent: float = 0
    hanging: float = 0
    end: float = 0
    before: float = 0
    after: float = 0
    keep_next: bool | None = False
    """Whether it stays with the next paragraph; None: not even if its parent does."""
    keep_lines: bool = False
    level: int | None = None
    """Place in the outline, from 0."""
    numbering: int | None = None
    flush_end: bool = False
    border: str = ""
    fill: str = ""
    color: str = ""
    """Of the words, as #RRGGBB, if other than that of the role."""
    exactly: float = 0
    """Line height that what stands in it cannot change; 0: that of the role, or more."""
    fixed: bool = False
    """True if the line height of the role cannot be changed by what stands in it either (the box of another font)."""
    closer: float = 1
    """Line height against that of the role."""
    grows: bool = False
    """True if a picture stands in it."""
    turned: bool = False
    """True if it runs from right to left in a document that does not."""
    following: str = ""
    """Style of the paragraph that a writer begins below it; empty: the same."""


def border(edge: str, eighths: int, color: str, space: int = 1) -> str:
    """Write one edge of a frame; its depth in eighths of a point, its distance in points."""
    return f'<w:{edge} w:val="single" w:sz="{eighths}" w:space="{space}" w:color="{color[1:]}"/>'


def text_indent(style: Style, layout: Layout) -> float:
    """Give where the text begins, in mm from the edge of the content: below the headings, or beside them."""
    return 0.0 if layout.large_print else style.lengths["side"]


def looks(style: Style, layout: Layout, from_right: bool) -> list[Look]:
    """List the paragraph styles of a layout."""
    text = text_indent(style, layout)
    found = [
        *_headings(style, layout, text),
        *_running(style, text, "right" if from_right else "left"),
        *_forms(style, text),
        *_signature(style, text, style.lengths["content"] - text),
        *_cells(style),
        *_frame(style, layout.large_print),
        *_furniture(style, from_right),
    ]
    return found + [_framed(look, layout) for look in found if look.name in framed_names()]


def staff_looks(style: Style, layout: Layout, from_right: bool) -> list[Look]:
    """List the styles of a staff section beside those of its document; `layout` is that of the section."""
    return [
        replace(look, name=STAFF + look.name, parent=look.name, following=look.following and STAFF + look.following)
        for look in looks(style, layout, from_right)
        if look.name in staff_names()
    ]


def turned_looks(style: Style, layout: Layout) -> list[Look]:
    """List the styles of what runs from right to left in a document that does not: in the same column, from its end."""
    text = text_indent(style, layout)
    return [
        replace(
            look,
            name=TURNED + look.name,
            parent=look.name,
            indent=max(look.indent - text, 0),
            end=look.end + text,
            border=look.border.replace("<w:left ", "<w:right "),
            turned=True,
            following=TURNED + look.name,
        )
        for look in looks(style, layout, False)
        if look.name in framed_names()
    ]


def staff_names() -> frozenset[str]:
    """Name the styles that have a twin for staff sections: those of the body, outside the danger box."""
    cells = [f"{prefix}{name}{end}" for prefix in ("", "Box ") for name in _CELLS for end in ("", " End")]
    return framed_names() | {"heading 2", "Urgency Frame", "Urgency Band", "Strip", *_SIGNATURE, *cells}


def framed_names() -> frozenset[str]:
    """Name the styles that have a twin inside the danger box."""
    running = ("heading 3", "heading 4", "Body Text", "Lead", "Small", "List Bullet", "List Number", "Note", "caption")
    pen = ("Caution", "Label", "Value", "Question", "Choice", "Line Beside", "Writing Line", "Statement", "Pair")
    return frozenset((*running, *pen, "Figure", "Figure Caption"))


def _framed(look: Look, layout: Layout) -> Look:
    """Write the twin; in large print signs stand close, so that the box finds room on the first page."""
    room = _DANGER_LABEL if look.name == "Pair" else look.hanging
    after = 0 if layout.large_print and look.name.startswith("List") else look.after
    return replace(
        look, name=FRAMED + look.name, parent=look.name, indent=room, hanging=room, after=after, following=""
    )


def _headings(style: Style, layout: Layout, text: float) -> list[Look]:
    section, gap, body = style.section_space(layout), style.spaces["paragraph"], "Body Text"
    rule = border("top", 12, style.colors["deep"], 5)
    return [
        Look("Title", "title", after=style.spaces["title"], keep_lines=True, level=0, following=body),
        Look("heading 1", "title", before=section, after=gap, keep_next=True, level=0, following=body),
        Look("heading 2", "heading", before=section, after=3, keep_next=True, level=1, border=rule, following=body),
        Look("heading 3", "subheading", indent=text, before=gap, after=3, keep_next=True, level=2, following=body),
        Look("heading 4", "subheading", indent=text, before=gap, after=3, keep_next=True, level=3, following=body),
    ]  # fmt: skip


def _running(style: Style, text: float, start: str) -> list[Look]:
    length, gap, item = style.lengths, style.spaces["paragraph"], style.spaces["item"]
    bullet = length["item"]
    bar = border(start, 18, style.colors["ink"], 7)
    return [
        Look("Body Text", "body", indent=text, after=gap),
        Look("Lead", "lead", "Body Text", text, after=gap, following="Body Text"),
        Look("Small", "small", "Body Text", text, after=gap, keep_lines=True),
        Look("List Bullet", "body", indent=text + bullet, hanging=bullet, after=item, numbering=BULLETS),
        Look("List Number", "body", indent=text + _NUMBER, hanging=_NUMBER, after=item, numbering=NUMBERS),
        Look("caption", "caption", indent=text, after=3, keep_next=True),
        Look("Figure Caption", "caption", indent=text, after=gap, keep_lines=True, following="Body Text"),
        Look("Note", "note", indent=text, after=gap, keep_lines=True),
        Look("Caution", "body", indent=text + 3.3, after=gap, border=bar, following="Body Text"),
        *_urgency(style),
        Look("Pair", "body", indent=text + length["label"], hanging=length["label"], after=1.5),
        Look("Label", "column", indent=text, keep_next=True, following="Value"),
        Look("Value", "body", indent=text, after=gap, following="Label"),
        Look("Figure", "body", indent=text, after=gap, grows=True, following="Body Text"),
    ]  # fmt: skip


def _urgency(style: Style) -> list[Look]:
    """Write what stands over the whole width of a letter: a frame, or the same filled (page design, section 5)."""
    ink, gap = style.colors["ink"], style.spaces["paragraph"]
    edges = (("top", 4), ("left", 7), ("bottom", 4), ("right", 7))
    frame = "".join(border(edge, 8, ink, space) for edge, space in edges)
    framed = Look("Urgency Frame", "lead", indent=2.8, end=2.8, before=gap, after=gap * 1.5, border=frame)
    return [framed, replace(framed, name="Urgency Band", parent="Urgency Frame", fill=ink, color=style.colors["paper"])]


def _forms(style: Style, text: float) -> list[Look]:
    """Write what stands round the pen."""
    pen = "".join(border(edge, 6, style.colors["ink"]) for edge in ("bottom", "between"))
    return [
        Look("Question", "body", indent=text, after=3, keep_next=True, keep_lines=True, following="Choice"),
        Look("Choice", "body", indent=text + _NUMBER, hanging=_NUMBER, after=3, keep_lines=True),
        Look("Line Beside", "cell", indent=text, keep_next=True, keep_lines=True),
        Look("Writing Line", "body", indent=text, before=8, border=pen),
        Look("Statement", "body", indent=text, before=style.spaces["paragraph"], keep_next=True, keep_lines=True),
    ]  # fmt: skip


def _signature(style: Style, text: float, width: float) -> list[Look]:
    length, line = style.lengths, border("bottom", 6, style.colors["ink"])
    free = length["signature_height"] / 25.4 * 72
    rest = max(width - length["signature"], 0)
    return [
        Look("Signature Line", "body", "Normal", text, end=rest, before=free - 18, keep_next=True, border=line),
        Look("Moment Line", "small", "Normal", text, end=rest, before=9, keep_next=True, border=line),
        Look("Signature Label", "note", "Normal", text, keep_next=True, keep_lines=True),
        Look("Signature End", "note", "Normal", text, after=15, keep_lines=True, following="Body Text"),
    ]


def _cells(style: Style) -> list[Look]:
    """Write what stands in tables; a box takes rows that are less high, so that a check list is one page."""
    row = style.spaces["row"] - 1
    found = []
    for prefix, head_space, space in (("", row, row), ("Box ", 0.5, 0.25)):
        fixed, closer = bool(prefix), CLOSER if prefix else 1
        cell = Look(f"{prefix}Cell", "cell", before=space, after=space, fixed=fixed, closer=closer)
        head = replace(cell, name=f"{prefix}Column Head", role="column", before=head_space, after=head_space)
        head = replace(head, keep_next=True)
        ends = [replace(look, name=f"{look.name} End", parent=look.name, flush_end=True) for look in (head, cell)]
        found += [head, cell, *ends]
    strip = Look("Strip", "cell", after=row, grows=True)
    below = Look("After Table", "furniture", exactly=1, after=3, following="Body Text")
    return [*found, strip, below, replace(below, name="After Box Table", parent="After Table", after=0)]


def _frame(style: Style, large_print: bool) -> list[Look]:
    """Write the heading of the danger box, whose shading reaches to its borders, and they to the frame; and its end."""
    red, after, before = style.colors["danger"], *((3, 0) if large_print else (6, 2))
    sides = (("top", 4), ("left", 11), ("bottom", 4), ("right", 11))
    band = "".join(border(edge, 4, red, space) for edge, space in sides)
    return [
        Look("Danger Heading", "danger", "heading 2", after=after, keep_next=None, level=1, border=band, fill=red),
        Look("Telephone Label", "column", before=before, keep_lines=True, following="Telephone"),
        Look("Telephone", TELEPHONE, keep_lines=True, fixed=True, following="Telephone Hours"),
        Look("Telephone Hours", "small", keep_lines=True),
    ]


def _furniture(style: Style, from_right: bool) -> list[Look]:
    """Write head and foot; a band of words from the right is higher than its line, and gets room to what is below."""
    above, below = (border(edge, 4, style.colors["line"], 3) for edge in ("top", "bottom"))
    gap, room = style.spaces["paragraph"], 3 if from_right else 0
    return [
        Look("header", "furniture"),
        Look("Logo", "clinic", "header", after=3, grows=True),
        Look("Clinic", "clinic", "header"),
        Look("Clinic Again", "tag", "header"),
        Look("Marks", "tag", after=room, flush_end=True),
        Look("Issue", "furniture"),
        Look("Person", "person", before=3, after=gap, border=above + below),
        Look("Person Again", "person", before=3 + room, after=2 * gap, border=above + below),
        Look("footer", "furniture", border=above),
        Look("Page Line", "page", "footer", flush_end=True, border='<w:top w:val="nil"/>'),
    ]


def indent_twips(look: Look) -> str:
    """Write the indents of a style, measured from the edge where a line begins."""
    hanging = f' w:hanging="{twips(look.hanging)}"' if look.hanging else ""
    return f'<w:ind w:left="{twips(look.indent)}" w:right="{twips(look.end)}"{hanging}/>'
