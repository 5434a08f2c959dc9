"""
Boxes to tick, lines to write on and places to sign > form fields, each with what it looks like.

Apart from `page`, which only says where they stand: names, groups and the form's own font belong to the file.
"""

from __future__ import annotations

from docgen.render.pdf.file.letters import write_letters
from docgen.render.pdf.file.objects import Objects, name, string
from docgen.render.pdf.file.tree import Element
from docgen.render.pdf.numbers import number, numbers

Box = tuple[float, float, float, float]
"""Left, bottom, right, top."""

_FONT = "Field"
_MULTILINE, _NO_SCROLL, _RADIO = 1 << 12, 1 << 23, 1 << 15
"""Flags of fields. No scrolling: what cannot be seen would not be printed."""

_INK = "0.09 0.098 0.11"
_OUTLINE = 1.0
_TICK = ((0.4, 1.8), (1.3, 2.7), (2.8, 0.5))
_TICK_SIDE, _TICK_WIDTH = 3.2, 0.5
"""Page design, section 5: the tick in a square of 3.2, y downward, in a box of 4; its line."""


def drawn_box(x: float, y: float, side: float, *, ticked: bool) -> bytes:
    """Draw a box as its field would look: operators for a page, with the lower left corner at x, y."""
    edge = side - _OUTLINE
    drawn = f"q {_INK} RG {number(_OUTLINE)} w {numbers(x + _OUTLINE / 2, y + _OUTLINE / 2, edge, edge)} re S"
    if ticked:
        unit = side / 4
        shift = (4 - _TICK_SIDE) / 2
        places = [(x + (shift + across) * unit, y + side - (shift + down) * unit) for across, down in _TICK]
        first, *rest = (numbers(*place) for place in places)
        drawn += f" {number(_TICK_WIDTH * unit)} w {first} m {' '.join(f'{place} l' for place in rest)} S"
    return f"{drawn} Q".encode()


class Choices:
    """A group of boxes of which one at most is ticked."""

    def __init__(self, reference: str, entries: str) -> None:
        self.reference, self._entries = reference, entries
        self._boxes: dict[str, str] = {}
        self._ticked = "/Off"

    def add(self, box_name: str, reference: str, *, ticked: bool) -> str:
        """Add a box; gives the name of its ticked state."""
        if box_name in self._boxes or name(box_name) == "/Off":
            raise ValueError(f"two boxes of a group are named {box_name}")
        self._boxes[box_name] = reference
        if ticked:
            self._ticked = name(box_name)
        return name(box_name)

    def written(self) -> str:
        """Write the field."""
        return f"{self._entries}/V{self._ticked}/Kids[{' '.join(self._boxes.values())}]>>"


class Fields:
    """The form of one file."""

    def __init__(self, objects: Objects) -> None:
        self._objects = objects
        self._names: set[str] = set()
        self._references: list[str] = []
        self._groups: list[Choices] = []
        self._looks: dict[float, tuple[str, str]] = {}
        self._letters = ""
        self._signed = False

    def choices(self, group: str, tooltip: str) -> Choices:
        """Begin a group."""
        reference = self._objects.reserve()
        made = Choices(reference, f"<</FT/Btn/Ff {_RADIO}{self._named(group, tooltip)}")
        self._groups.append(made)
        self._references.append(reference)
        return made

    def check_box(
        self,
        page: str,
        element: Element,
        box: Box,
        box_name: str,
        tooltip: str,
        *,
        ticked: bool,
        choices: Choices | None,
    ) -> str:
        """Make a box to tick, alone or in a group; gives the reference of its annotation."""
        reference = self._objects.reserve()
        if choices is None:
            state = "/Yes"
            said = f"/FT/Btn{self._named(box_name, tooltip)}/V{state if ticked else '/Off'}"
            self._references.append(reference)
        else:
            state = choices.add(box_name, reference, ticked=ticked)
            said = f"/Parent {choices.reference}/TU{string(tooltip)}"
        on, off = self._box_looks(round(box[2] - box[0], 2))
        said += f"/AS{state if ticked else '/Off'}/AP<</N<<{state} {on}/Off {off}>>>>"
        return self._widget(page, element, box, reference, said)

    def text(
        self, page: str, element: Element, box: Box, field: str, tooltip: str, *, size: float, multiline: bool
    ) -> str:
        """Make a field for text; gives the reference of its annotation."""
        self._letters = self._letters or write_letters(self._objects)
        flags = _NO_SCROLL | (_MULTILINE if multiline else 0)
        look = self._look(box[2] - box[0], box[3] - box[1], b"/Tx BMC EMC")
        said = (
            f"/FT/Tx/Ff {flags}{self._named(field, tooltip)}/DA(/{_FONT} {number(size)} Tf {_INK} rg)/AP<</N {look}>>"
        )
        return self._field(page, element, box, said)

    def signature(self, page: str, element: Element, box: Box, field: str, tooltip: str) -> str:
        """Make a place for a digital signature; gives the reference of its annotation."""
        self._signed = True
        look = self._look(box[2] - box[0], box[3] - box[1], b"")
        return self._field(page, element, box, f"/FT/Sig{self._named(field, tooltip)}/AP<</N {look}>>")

    def write(self) -> str:
        """Write groups and form; gives its reference, nothing if there is no field."""
        if not self._references:
            return ""
        for group in self._groups:
            self._objects.fill(group.reference, group.written().encode())
        entries = f"/Fields[{' '.join(self._references)}]"
        entries += "/SigFlags 1" if self._signed else ""
        if self._letters:
            entries += f"/DR<</Font<</{_FONT} {self._letters}>>>>/DA(/{_FONT} 0 Tf 0 g)"
        return self._objects.add(f"<<{entries}>>".encode())

    def _named(self, field: str, tooltip: str) -> str:
        """Name a field, once in a file; a dot would make it a part of another."""
        if not field or "." in field or field in self._names:
            raise ValueError(f"a form field cannot be named {field!r} (again)")
        self._names.add(field)
        return f"/T{string(field)}/TU{string(tooltip)}"

    def _look(self, width: float, height: float, operators: bytes) -> str:
        resources = f"/Resources<</Font<</{_FONT} {self._letters}>>>>" if b"/Tx" in operators else "/Resources<<>>"
        sized = f"/BBox[0 0 {number(width)} {number(height)}]"
        return self._objects.stream(f"/Type/XObject/Subtype/Form{sized}{resources}", operators)

    def _box_looks(self, side: float) -> tuple[str, str]:
        """Give the looks of a box, ticked and not; most boxes of a file are of one size."""
        if side not in self._looks:
            on, off = (self._look(side, side, drawn_box(0, 0, side, ticked=ticked)) for ticked in (True, False))
            self._looks[side] = on, off
        return self._looks[side]

    def _field(self, page: str, element: Element, box: Box, said: str) -> str:
        reference = self._objects.reserve()
        self._references.append(reference)
        return self._widget(page, element, box, reference, said)

    def _widget(self, page: str, element: Element, box: Box, reference: str, said: str) -> str:
        key = element.owns(page, reference)
        shared = f"<</Type/Annot/Subtype/Widget/F 4/Rect[{numbers(*box)}]/P {page}/StructParent {key}"
        self._objects.fill(reference, f"{shared}{said}>>".encode())
        return reference
