"""
Marked content, fields, links and pictures > one page. Everything painted is some element's, or is called an artifact.

Apart from `file`, which knows what all pages share.
"""

from __future__ import annotations

from collections.abc import Iterable

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
        self._last: object = None
        self._see_through = False

    def put(self, element: Element, operators: bytes) -> None:
        """
        Paint content of an element; again on this or another page, it continues the element.

        What follows at once for the same element joins the same marked content. Colors, widths and the like stay in
        force for what follows; what `q` saves is to be restored by `Q`.
        """
        if self._last is element:
            self._parts[-1:] = (operators, _END)
            return
        if self._key is None:
            self._key = self._tree.key(self._owners)
        mark, self._last = len(self._owners), element
        self._owners.append(element.reference)
        element.holds(self.reference, mark)
        self._parts += (b"/%b <</MCID %d>>BDC" % (element.kind.encode(), mark), operators, _END)

    def furnish(self, operators: bytes, kind: str = "Layout", edge: str = "") -> None:
        """
        Paint what nobody needs to hear, an artifact: kind Layout, Background or Pagination.

        The last has an edge: Header or Footer. What follows at once for the same artifact joins it.
        """
        if self._last == (kind, edge):
            self._parts[-1:] = (operators, _END)
            return
        self._last = kind, edge
        side = {"Header": "Top", "Footer": "Bottom"}.get(edge)
        attached = f"/Attached[/{side}]/Subtype/{edge}" if side else ""
        self._parts += (f"/Artifact <</Type/{kind}{attached}>>BDC".encode(), operators, _END)

    def image(self, element: Element, content: bytes, x: float, y: float, width: float, height: float) -> None:
        """
        Paint a picture, PNG or JPEG, with its lower left corner at x, y; the element is of kind Figure.

        Errors: UnusablePicture, before anything is written.
        """
        resource, see_through = self._pictures.resource(content)
        self._see_through |= see_through
        self.put(element, f"q {numbers(width, 0, 0, height, x, y)} cm {resource} Do Q".encode())

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
