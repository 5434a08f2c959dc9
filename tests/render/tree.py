"""
A PDF > its structure tree with the text of each element, as a screen reader gets it: by marks, not by places.

Apart from `reading`, which reads a page's words in the order of its content. Decodes glyph codes by /ToUnicode, heeds
/ActualText, and turns the glyphs of right-to-left words, which stand as they are seen, into the order they are spoken.
"""

from __future__ import annotations

import io
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from itertools import groupby
from operator import itemgetter
from typing import Any

from pypdf import PdfReader
from pypdf.generic import ContentStream, DictionaryObject

from docgen.render.words import split_words


@dataclass
class Elem:
    """A structure element."""

    kind: str
    text: str = ""
    """Of its own marks, not of the elements below it."""
    alt: str | None = None
    lang: str | None = None
    title: str | None = None
    attributes: dict[str, Any] = field(default_factory=dict)
    """Of all its owners: Scope, BBox, ListNumbering and so on."""
    kids: list[Elem] = field(default_factory=list)
    annotations: list[DictionaryObject] = field(default_factory=list)
    pages: list[int] = field(default_factory=list)
    """Numbers of the pages that hold marks of it, from 1."""
    language: str | None = None
    """Its own, or that of what it stands in."""
    pieces: list[str] = field(default_factory=list)
    """The text, object by object: the labels of a drawing."""

    def walk(self) -> Iterator[Elem]:
        """Give it and all below it, in reading order."""
        yield self
        for kid in self.kids:
            yield from kid.walk()

    def below(self, *kinds: str) -> list[Elem]:
        """Give the elements of some kinds below it."""
        return [elem for elem in self.walk() if elem.kind in kinds and elem is not self]

    @property
    def spoken(self) -> str:
        """The text of it and of all below it, folded."""
        return fold(" ".join(elem.text for elem in self.walk()))


@dataclass(frozen=True)
class Shown:
    """One string that a page shows."""

    text: str
    size: float
    """In points, as it stands on the page."""
    color: tuple[float, ...]
    """Red, green and blue from 0 to 1."""
    hidden: bool
    owner: int | str | None
    """The number of its marks; "Artifact", with the sort of artifact; None if it belongs to nothing."""
    x: float
    y: float
    """Where its base line begins, in points from the lower left corner of the page."""
    lang: str | None
    """Of the innermost marks around it that name one."""


@dataclass(frozen=True)
class Tagged:
    """A PDF, read by its tags."""

    reader: PdfReader
    root: Elem
    shown: tuple[tuple[Shown, ...], ...]
    """For each page what it shows, in the order of its content."""
    elements: dict[tuple[int, int], Elem]
    """By page, from 1, and number of marks."""
    texts: tuple[dict[int | str, str], ...]
    """For each page what each mark, and each sort of artifact, says."""

    def language(self, page: int, one: Shown) -> str:
        """Tell in which language a string would be read out."""
        elem = self.elements.get((page, one.owner)) if isinstance(one.owner, int) else None
        return str(one.lang or (elem.language if elem else None) or self.reader.trailer["/Root"]["/Lang"])

    def artifacts(self, sort: str) -> list[str]:
        """Give for each page the folded text of its artifacts of a sort, such as Header."""
        return [fold(texts.get(f"Artifact {sort}", "")) for texts in self.texts]


def fold(text: str) -> str:
    """Leave out what prints nothing, and write each white space as one blank."""
    return " ".join(split_words([text]))


def read_tagged(pdf: bytes) -> Tagged:
    """Read a PDF by its structure tree."""
    reader = PdfReader(io.BytesIO(pdf))
    pages = [_Page(page, reader) for page in reader.pages]
    for page in pages:
        page.read()
    numbers = {page.reference: number for number, page in enumerate(pages, 1)}
    walker = _Walker(numbers, pages)
    top = reader.trailer["/Root"]["/StructTreeRoot"]
    root = Elem("Root")
    walker.add(root, top.get("/K"), None)
    return Tagged(
        reader, root, tuple(tuple(page.shown) for page in pages), walker.elements, tuple(page.texts for page in pages)
    )


class _Walker:
    """Follows /K from the root, and fetches the text of each mark."""

    def __init__(self, numbers: dict[int, int], pages: list[_Page]) -> None:
        self.numbers, self.pages = numbers, pages
        self.elements: dict[tuple[int, int], Elem] = {}

    def add(self, parent: Elem, kid: Any, page: int | None) -> None:
        """Add a kid, or several, to an element; `page` is where a bare number belongs."""
        kid = kid.get_object() if hasattr(kid, "get_object") else kid
        if isinstance(kid, list):
            for one in kid:
                self.add(parent, one, page)
        elif isinstance(kid, int):
            assert page is not None, f"a mark of {parent.kind} has no page"
            parent.pages.append(page)
            parent.text += self.pages[page - 1].texts[kid]
            parent.pieces += self.pages[page - 1].pieces.get(kid, [])
            assert (page, kid) not in self.elements, "marks belong to two elements"
            self.elements[page, kid] = parent
        elif isinstance(kid, dict):
            self._dictionary(parent, kid, page)

    def _dictionary(self, parent: Elem, kid: Any, page: int | None) -> None:
        page = self.numbers[kid.raw_get("/Pg").idnum] if "/Pg" in kid else page
        if kid.get("/Type") == "/MCR":
            self.add(parent, kid["/MCID"], page)
        elif kid.get("/Type") == "/OBJR":
            parent.annotations.append(kid["/Obj"].get_object())
        else:
            made = Elem(str(kid["/S"])[1:], "", kid.get("/Alt"), kid.get("/Lang"), kid.get("/T"), _attributes(kid))
            made.language = made.lang or parent.language
            parent.kids.append(made)
            self.add(made, kid.get("/K"), page)


def _attributes(element: Any) -> dict[str, Any]:
    held = element.get("/A", [])
    held = held.get_object() if hasattr(held, "get_object") else held
    several = held if isinstance(held, list) else [held]
    return {key[1:]: value for one in several for key, value in one.get_object().items()}


@dataclass(frozen=True)
class _Mark:
    """What is open: whose it is, whether other text stands for what it shows, and its language."""

    owner: int | str | None
    replaced: bool
    lang: str | None


class _Page:
    """Reads the content of a page: which text belongs to which mark."""

    def __init__(self, page: Any, reader: PdfReader) -> None:
        self.page, self.reader = page, reader
        self.reference = page.indirect_reference.idnum
        self.texts: dict[int | str, str] = {}
        self.pieces: dict[int | str, list[str]] = {}
        self.shown: list[Shown] = []
        self.marks: list[_Mark] = []
        self.state: dict[str, Any] = {"size": 0.0, "color": (0.0, 0.0, 0.0), "mode": 0, "font": None, "cm": _SAME}
        self.line = self.place = _SAME
        self.leading = 0.0
        self.pending: list[tuple[int | str, list[str]]] = []
        """Since BT: marks, and the texts of the codes shown, or the one that stands for them."""
        self.is_within_text = False
        self.kept: list[dict[str, Any]] = []

    def read(self) -> None:
        """Run through the operators."""
        resources = self.page["/Resources"]
        fonts = resources.get("/Font", {})
        content = self.page.get_contents()
        if content is None:
            return
        for operands, operator in ContentStream(content, self.reader).operations:
            name = operator.decode()
            if name in ("BDC", "BMC"):
                self._open(operands, resources)
            elif name == "EMC":
                self.marks.pop()
            elif name in ("Tj", "TJ", "'", '"'):
                self._show(operands[-1], fonts)
            else:
                self._set(name, operands)

    def _open(self, operands: list[Any], resources: Any) -> None:
        traits = operands[1] if len(operands) > 1 else {}
        if isinstance(traits, str):
            traits = resources["/Properties"][traits].get_object()
        around = self.marks[-1] if self.marks else _Mark(None, False, None)
        owner = around.owner
        if operands[0] == "/Artifact":
            owner = "Artifact " + str(traits.get("/Subtype", traits.get("/Type", "/")))[1:]
        elif "/MCID" in traits:
            assert owner is None, "marks are nested"
            owner = int(traits["/MCID"])
            assert owner not in self.texts, "a mark stands twice on a page"
            self.texts[owner] = ""
        actual = traits.get("/ActualText")
        if actual is not None and not around.replaced and owner is not None:
            self.pending.append((owner, [str(actual)]))
            if not self.is_within_text:
                self._end()
        self.marks.append(_Mark(owner, around.replaced or actual is not None, traits.get("/Lang", around.lang)))

    def _set(self, name: str, operands: list[Any]) -> None:
        state = self.state
        if name == "q":
            self.kept.append(dict(state))
        elif name == "Q":
            self.state = self.kept.pop()
        elif name == "Tf":
            state["font"], state["size"] = operands[0], float(operands[1])
        elif name == "Tr":
            state["mode"] = int(operands[0])
        elif name in ("rg", "g"):
            values = tuple(map(float, operands))
            state["color"] = values if name == "rg" else values * 3
        else:
            self._move(name, [float(one) for one in operands if isinstance(one, int | float)])

    def _move(self, name: str, told: list[float]) -> None:
        if name == "cm":
            self.state["cm"] = _times(told, self.state["cm"])
        elif name == "BT":
            self.line, self.is_within_text = _SAME, True
        elif name == "ET":
            self.is_within_text = False
            self._end()
        elif name == "Tm":
            self.line = told
        elif name == "TL":
            self.leading = told[0]
        elif name in ("Td", "TD", "T*"):
            self.leading = -told[1] if name == "TD" else self.leading
            self.line = _times([1, 0, 0, 1, *(told or (0, -self.leading))], self.line)

    def _show(self, operand: Any, fonts: Any) -> None:
        codes, state = _codes(fonts[self.state["font"]].get_object()), self.state
        parts = operand if isinstance(operand, list) else [operand]
        found = [text for part in parts if not isinstance(part, int | float) for text in codes(part)]
        mark = self.marks[-1] if self.marks else _Mark(None, False, None)
        place = _times(self.line, state["cm"])
        size, text = state["size"] * abs(place[3]), "".join(in_spoken_order(found))
        shown = Shown(text, size, state["color"], state["mode"] == 3, mark.owner, place[4], place[5], mark.lang)
        self.shown.append(shown)
        if mark.owner is not None and not mark.replaced:
            self.pending.append((mark.owner, found))

    def _end(self) -> None:
        """Say what stood between BT and ET: a word, if it runs to the left, or a piece of a line."""
        for owner, group in groupby(self.pending, key=itemgetter(0)):
            said = "".join(in_spoken_order([text for _, found in group for text in found]))
            self.texts[owner] = self.texts.get(owner, "") + said
            self.pieces.setdefault(owner, []).append(said)
        self.pending = []


_SAME = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0]


def _times(inner: list[float], outer: list[float]) -> list[float]:
    a, b, c, d, e, f = inner
    p, q, r, s, t, u = outer
    return [a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, e * p + f * r + t, e * q + f * s + u]


def in_spoken_order(texts: list[str]) -> list[str]:
    """Turn the texts of a word's glyphs, as seen from left to right, into the order of its letters."""
    turned = any(unicodedata.bidirectional(character) in ("R", "AL") for text in texts for character in text)
    return texts[::-1] if turned else texts


def _codes(font: Any) -> Any:
    """Give a function from a shown string to the texts of its codes."""
    assert font["/Subtype"] == "/Type0", "the words of a page stand in composite fonts"
    known = _unicode_map(font["/ToUnicode"].get_data())

    def texts(shown: Any) -> list[str]:
        raw = shown if isinstance(shown, bytes) else shown.original_bytes
        assert len(raw) % 2 == 0
        return [known[int.from_bytes(raw[at : at + 2], "big")] for at in range(0, len(raw), 2)]

    return texts


@cache
def _unicode_map(stream: bytes) -> dict[int, str]:
    """Read a /ToUnicode map."""
    known: dict[int, str] = {}
    content = stream.decode("latin-1")
    for block in re.findall(r"beginbfchar(.*?)endbfchar", content, re.DOTALL):
        for code, text in re.findall(r"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]*)>", block):
            known[int(code, 16)] = bytes.fromhex(text).decode("utf-16-be")
    for block in re.findall(r"beginbfrange(.*?)endbfrange", content, re.DOTALL):
        for first, last, text in re.findall(r"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>", block):
            begin = bytes.fromhex(text).decode("utf-16-be")
            for step in range(int(last, 16) - int(first, 16) + 1):
                known[int(first, 16) + step] = begin[:-1] + chr(ord(begin[-1]) + step)
        for first, texts in re.findall(r"<([0-9A-Fa-f]+)>\s*<[0-9A-Fa-f]+>\s*\[(.*?)\]", block, re.DOTALL):
            for step, text in enumerate(re.findall(r"<([0-9A-Fa-f]*)>", texts)):
                known[int(first, 16) + step] = bytes.fromhex(text).decode("utf-16-be")
    return known
