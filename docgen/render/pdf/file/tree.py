"""
Elements as a page is painted > the structure tree: what each mark on a page is, in reading order.

Apart from `page`: an element can have content on several pages, and is written when all are known.
"""

from __future__ import annotations

from typing import TypedDict, Unpack

from docgen.render.pdf.file.objects import Objects, string
from docgen.render.pdf.numbers import numbers


class Traits(TypedDict, total=False):
    """What a structure element says of itself; all empty at first."""

    alt: str
    """What a figure shows, in words."""
    lang: str
    """BCP 47 tag if it differs from what is around."""
    title: str
    actual: str
    """The text that the marks stand for."""
    scope: str
    """Of a TH: Row, Column or Both."""
    headers: tuple[str, ...]
    """Of a TH or TD: the `id` of its heads, where scopes do not tell."""
    id: str
    """Unique in the file."""
    colspan: int
    rowspan: int
    bbox: tuple[float, float, float, float]
    """Of a Figure or Table: left, bottom, right, top on its page."""
    placement: str
    """Block, Inline, Before, Start or End."""
    numbering: str
    """Of an L: None, Disc, Square, Decimal..."""
    control: str
    """Of a Form without a field, for the pen: cb (a box to tick), rb (one box of several) or tv (a line)."""
    ticked: bool
    """Of a box for the pen that is printed with its tick."""


class Element:
    """A structure element; `child` makes the ones below it in reading order."""

    __slots__ = ("_kids", "_page", "_parent", "_traits", "_tree", "kind", "reference")

    def __init__(self, tree: Tree, kind: str, parent: str, traits: Traits) -> None:
        self.kind = kind
        self.reference = tree.objects.reserve()
        self._tree, self._parent, self._traits = tree, parent, traits
        self._page = ""
        """The first page that has something of it; what stands on others says so."""
        self._kids: list[str] = []
        tree.elements.append(self)

    def child(self, kind: str, **traits: Unpack[Traits]) -> Element:
        """Make an element below this one, after all it has; `kind` is a standard type of PDF, such as H1, P, TH."""
        return self.add(kind, traits)

    def add(self, kind: str, traits: Traits) -> Element:
        """Make an element as `child` does, which goes on with these traits: what is added to them later is said too."""
        made = Element(self._tree, kind, self.reference, traits)
        self._kids.append(made.reference)
        return made

    def describe(self, **traits: Unpack[Traits]) -> None:
        """Add what is known only later, such as the box of a figure once it has its place."""
        self._traits.update(traits)

    def holds(self, page: str, mark: int) -> None:
        """Add marked content of a page (its reference) to this element."""
        elsewhere = self._elsewhere(page)
        self._kids.append(f"<</Type/MCR{elsewhere}/MCID {mark}>>" if elsewhere else f"{mark}")

    def owns(self, page: str, annotation: str) -> int:
        """Add an annotation of a page to this element; gives the annotation's /StructParent."""
        self._kids.append(f"<</Type/OBJR{self._elsewhere(page)}/Obj {annotation}>>")
        return self._tree.key(self.reference)

    def _elsewhere(self, page: str) -> str:
        self._page = self._page or page
        return f"/Pg {page}" if page != self._page else ""

    def written(self) -> str:
        """Write the dictionary."""
        kids = self._kids
        below = "" if not kids else f"/K {kids[0]}" if len(kids) == 1 else f"/K[{' '.join(kids)}]"
        on_page = f"/Pg {self._page}" if self._page else ""
        return f"<</S/{self.kind}/P {self._parent}{on_page}{_said(self._traits) if self._traits else ''}{below}>>"

    @property
    def id(self) -> str:
        """The name other elements call it by, if it has one."""
        return self._traits.get("id", "")


def _said(traits: Traits) -> str:
    """Write what an element says of itself."""
    texts = {
        "Alt": traits.get("alt"),
        "Lang": traits.get("lang"),
        "T": traits.get("title"),
        "ActualText": traits.get("actual"),
        "ID": traits.get("id"),
    }
    said = "".join([f"/{key}{string(text)}" for key, text in texts.items() if text])
    attributes = [*_table(traits), *_layout(traits), *_others(traits)]
    if not attributes:
        return said
    return f"{said}/A{attributes[0] if len(attributes) == 1 else '[' + ''.join(attributes) + ']'}"


def _table(traits: Traits) -> list[str]:
    parts = [f"/Scope/{traits['scope']}"] if traits.get("scope") else []
    parts += [f"/Headers[{''.join(map(string, traits['headers']))}]"] if traits.get("headers") else []
    parts += [f"/ColSpan {traits['colspan']}"] if traits.get("colspan", 1) > 1 else []
    parts += [f"/RowSpan {traits['rowspan']}"] if traits.get("rowspan", 1) > 1 else []
    return [f"<</O/Table{''.join(parts)}>>"] if parts else []


def _layout(traits: Traits) -> list[str]:
    parts = [f"/Placement/{traits['placement']}"] if traits.get("placement") else []
    parts += [f"/BBox[{numbers(*traits['bbox'])}]"] if "bbox" in traits else []
    return [f"<</O/Layout{''.join(parts)}>>"] if parts else []


def _others(traits: Traits) -> list[str]:
    made = [f"<</O/List/ListNumbering/{traits['numbering']}>>"] if traits.get("numbering") else []
    if traits.get("control"):
        state = "/checked/on" if traits.get("ticked") else ""
        told = f"/Desc{string(traits['alt'])}" if traits.get("alt") else ""
        made.append(f"<</O/PrintField/Role/{traits['control']}{state}{told}>>")
    return made


class Tree:
    """The structure tree of one file, and its way back: from a page's marked content to the elements."""

    def __init__(self, objects: Objects) -> None:
        self.objects = objects
        self.reference = objects.reserve()
        self.elements: list[Element] = []
        self._parents: list[str | list[str]] = []
        self._root = ""

    def begin(self) -> Element:
        """Make the element that holds all; the tree keeps no way to it, so that a file is gone when nobody needs it."""
        root = Element(self, "Document", self.reference, {})
        self._root = root.reference
        return root

    def key(self, owner: str | list[str]) -> int:
        """Give the next key of the way back: to the element of an annotation, or to those of a page, by their marks."""
        self._parents.append(owner)
        return len(self._parents) - 1

    def write(self) -> None:
        """Write the elements, the way back and the root."""
        named: dict[str, str] = {}
        notes = 0
        for element in self.elements:
            own = element.id
            if element.kind == "Note" and not own:
                notes += 1  # PDF/UA wants each note named
                own = f"note {notes}"
                element.describe(id=own)
            if own in named:
                raise ValueError(f"two elements are named {own}")
            if own:
                named[own] = element.reference
            self.objects.fill(element.reference, element.written().encode())
        self.elements.clear()
        owners = (owner if isinstance(owner, str) else f"[{' '.join(owner)}]" for owner in self._parents)
        pairs = " ".join(f"{key} {owner}" for key, owner in enumerate(owners))
        parents = self.objects.add(f"<</Nums[{pairs}]>>".encode())
        names = "".join(f"{string(key)}{reference}" for key, reference in sorted(named.items()))
        limits = f"/IDTree<</Names[{names}]>>" if named else ""
        root = f"<</Type/StructTreeRoot/K {self._root}/ParentTree {parents}"
        root += f"/ParentTreeNextKey {len(self._parents)}{limits}>>"
        self.objects.fill(self.reference, root.encode())
