"""
Marked content, fields, links and pictures > one page. Everything painted is some element's, or is called an artifact.

Apart from `file`, which knows what all pages share.
"""

from __future__ import annotations

from collections.abc import Iterable
from types import TracebackType
from typing import Self

from docgen.render.pdf.file.fields import Box, Choices, Fields
from docgen.render.pdf.file.objects import Objects, string
from docgen.render.pdf.file.pictures import Pictures
from docgen.render.pdf.file.tree import Element, Tree
from docgen.render.pdf.numbers import number, numbers

_END = b"EMC"
_ADDRESS = frozenset(byte for byte in range(0x21, 0x7F) if byte not in b'"<>\\^`{|}')
"""What an address may hold as it is; the rest is written in codes, as PDF wants seven-bit addresses."""


class Page:
    """One page; lengths in points, y upward from the lower edge. Made by `File.page`."""

    def __init__(
        self, objects: Objects, tree: Tree, fields: Fields, pictures: Pictures, width: float, height: float
    ) -> None:
        self.width, self.height = width, height
        self.reference = objects.reserve()
        self._objects, self._tree, self._fields, self._pictures = objects, tree, fields, pictures
        self._parts: list[bytes] = []
        self._owners: list[str] = []
        self._key: int | None = None
        self._annotations: list[str] = []
        self._open: object = None
        self._last: object = None
        self._see_through = False

    def tagged(self, element: Element) -> Self:
        """
        Paint content of an element, inside `with`; again on this or another page, it continues the element.

        What follows at once for the same element joins the same marked content.
        Errors: ValueError inside another `with` of this page: marked content is never nested.
        """
        if not self._joins(element):
            if self._key is None:
                self._key = self._tree.key(self._owners)
            mark = len(self._owners)
            self._owners.append(element.reference)
            element.holds(self.reference, mark)
            self._parts.append(f"/{element.kind} <</MCID {mark}>>BDC".encode())
        return self

    def artifact(self, kind: str = "Layout", edge: str = "") -> Self:
        """
        Paint, inside `with`, what nobody needs to hear: kind Layout, Background or Pagination.

        The last has an edge: Header or Footer. Errors: ValueError as for `tagged`.
        """
        if not self._joins((kind, edge)):
            side = {"Header": "Top", "Footer": "Bottom"}.get(edge)
            attached = f"/Attached[/{side}]/Subtype/{edge}" if side else ""
            self._parts.append(f"/Artifact <</Type/{kind}{attached}>>BDC".encode())
        return self

    def _joins(self, section: object) -> bool:
        """Open marked content; tell whether it goes on with what was just closed."""
        if self._open is not None:
            raise ValueError("marked content stands inside other marked content")
        joins = section == self._last
        if joins:
            self._parts.pop()
        self._open = self._last = section
        return joins

    def __enter__(self) -> None:
        """Begin the inside of `with page.tagged(...)`."""

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._open = None
        self._parts.append(_END)

    def paint(self, operators: bytes) -> None:
        """
        Add operators of a content stream to the marked content that is open.

        Colors, widths and the like stay in force for what follows; what `q` saves is to be restored by `Q`.
        Errors: ValueError outside `tagged` and `artifact`.
        """
        if self._open is None:
            raise ValueError("what is painted belongs to no element and is no artifact")
        self._parts.append(operators)

    def image(self, content: bytes, x: float, y: float, width: float, height: float) -> None:
        """
        Paint a picture, PNG or JPEG, with its lower left corner at x, y.

        Errors: UnusablePicture, before anything is written; ValueError as for `paint`.
        """
        resource, see_through = self._pictures.resource(content)
        self._see_through |= see_through
        self.paint(f"q {numbers(width, 0, 0, height, x, y)} cm {resource} Do Q".encode())

    def check_box(
        self,
        element: Element,
        x: float,
        y: float,
        side: float,
        *,
        name: str,
        tooltip: str,
        ticked: bool = False,
        choices: Choices | None = None,
    ) -> None:
        """
        Put a box to tick, drawn by its field; the element is its own, of kind Form.

        With `choices` (of `File.choices`) it is one of several, of which one at most is ticked; `name` is then unique
        among them only. Errors: ValueError for a name that is taken.
        """
        box = (x, y, x + side, y + side)
        self._annotations.append(
            self._fields.check_box(self.reference, element, box, name, tooltip, ticked=ticked, choices=choices)
        )

    def text_field(
        self,
        element: Element,
        x: float,
        y: float,
        width: float,
        height: float,
        *,
        name: str,
        tooltip: str,
        size: float,
        multiline: bool = False,
    ) -> None:
        """
        Put a field for text of Latin-1, empty and without a frame; the element is its own, of kind Form.

        `size` of the letters in points. It takes no more text than fits: the rest would not be printed.
        Errors: ValueError for a name that is taken.
        """
        box = (x, y, x + width, y + height)
        self._annotations.append(
            self._fields.text(self.reference, element, box, name, tooltip, size=size, multiline=multiline)
        )

    def signature_field(
        self, element: Element, x: float, y: float, width: float, height: float, *, name: str, tooltip: str
    ) -> None:
        """
        Put a field for a digital signature, empty and without a frame; the element is its own, of kind Form.

        Errors: ValueError for a name that is taken.
        """
        box = (x, y, x + width, y + height)
        self._annotations.append(self._fields.signature(self.reference, element, box, name, tooltip))

    def link(self, element: Element, boxes: Iterable[Box], address: str, contents: str) -> None:
        """
        Lead from boxes (left, bottom, right, top) to an address: tel:, mailto: or https:; the element is of kind Link.

        `contents` says where it leads. A box each, as many viewers know only the rectangle around all.
        """
        action = f"<</S/URI/URI({_bare(address)})>>"
        for box in boxes:
            reference = self._objects.reserve()
            key = element.owns(self.reference, reference)
            said = f"/Contents{string(contents)}/StructParent {key}/A{action}"
            whole = f"<</Type/Annot/Subtype/Link/F 4/Border[0 0 0]/Rect[{numbers(*box)}]/P {self.reference}{said}>>"
            self._objects.fill(reference, whole.encode())
            self._annotations.append(reference)

    def write(self, parent: str, resources: str) -> None:
        """Write the page below the list of pages, with the resources that all pages share."""
        if self._open is not None:
            raise ValueError("marked content was not ended")
        content = self._objects.stream("", b"\n".join(self._parts))
        entries = f"<</Type/Page/Parent {parent}/MediaBox[0 0 {number(self.width)} {number(self.height)}]"
        entries += f"/Resources {resources}/Contents {content}/Tabs/S"
        if self._key is not None:
            entries += f"/StructParents {self._key}"
        if self._annotations:
            entries += f"/Annots[{' '.join(self._annotations)}]"
        if self._see_through:  # says in which colors what lies over each other is mixed
            entries += "/Group<</S/Transparency/CS/DeviceRGB>>"
        self._objects.fill(self.reference, f"{entries}>>".encode())


def _bare(address: str) -> str:
    """Write an address inside a string of PDF."""
    coded = "".join(chr(byte) if byte in _ADDRESS else f"%{byte:02X}" for byte in address.encode())
    return coded.replace("(", r"\(").replace(")", r"\)")
