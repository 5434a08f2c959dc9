"""
A composed document > a Word file with real headings, lists, tables and form controls; looks come from styles.

Written as text over parts of our own, of which those alike in all files are kept compressed.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from functools import lru_cache
from itertools import groupby

from docgen.blocks import Document, Layout
from docgen.render.docx.body import Body
from docgen.render.docx.controls import Controls
from docgen.render.docx.furniture import Furniture, section
from docgen.render.docx.ledger import Ledger, Relations
from docgen.render.docx.markup import HEAD, ROOT
from docgen.render.docx.package import Packed, archive, pack
from docgen.render.docx.paragraphs import Para, Part
from docgen.render.docx.parts import (
    APPLICATION,
    FIXED_RELATIONS,
    FONT_TABLE,
    PACKAGE_RELATIONS,
    properties_part,
    settings_part,
    types_part,
)
from docgen.render.docx.pictures import Pictures
from docgen.render.docx.runs import Runs
from docgen.render.docx.styles import Tongue, numbering_part, styles_part, theme_part, tongue
from docgen.render.docx.tables import Tables
from docgen.render.style import Style
from docgen.values import dataclass

_FURNITURE = {
    ("header", "first"): "header1.xml",
    ("header", "default"): "header2.xml",
    ("footer", "first"): "footer1.xml",
    ("footer", "default"): "footer2.xml",
}
"""Heads and feet by kind and page, each a part of its own."""

_ROOTS = {"header": "hdr", "footer": "ftr"}

_KEPT = 32
"""Styles, layouts and languages whose compressed parts are kept."""


def render(document: Document, style: Style) -> bytes:
    """Write a Word file; the same document and style give the same bytes."""
    return _Writer(document, style).file()


@dataclass(frozen=True)
class _Looks:
    """What the styles of a file depend on."""

    style: Style
    layout: Layout
    spoken: Tongue
    staff: Layout | None
    parts: dict[str, Packed]


_looks: list[_Looks] = []


def _styles(style: Style, layout: Layout, spoken: Tongue, staff: Layout | None) -> dict[str, Packed]:
    """Give the parts that hold the looks. Kept by value: a style cannot be hashed, and is nearly always the last."""
    for known in _looks:
        same_style = known.style is style or known.style == style
        if (known.layout, known.spoken, known.staff) == (layout, spoken, staff) and same_style:
            return known.parts
    parts = {
        "word/styles.xml": pack(styles_part(style, layout, spoken, staff)),
        "word/theme/theme1.xml": pack(theme_part(style)),
    }
    _looks.insert(0, _Looks(style, layout, spoken, staff, parts))
    del _looks[_KEPT:]
    return parts


@lru_cache(maxsize=64)
def _packed(content: str | bytes) -> Packed:
    """Compress a part that is alike in many files."""
    return pack(content)


class _Writer:
    """Writes the parts of one file; the ledger counts over all of them."""

    def __init__(self, document: Document, style: Style) -> None:
        self.document, self.style = document, style
        self.ledger = Ledger()
        self.pictures = Pictures(document, style, self.ledger)

    def file(self) -> bytes:
        """Put the file together; parts stand in a fixed order."""
        document, ledger = self.document, self.ledger
        written = {**self._body(), **self._furniture()}
        spoken = tongue(document.language, document.direction, ledger.languages)
        parts = {
            "_rels/.rels": _packed(PACKAGE_RELATIONS),
            "docProps/app.xml": _packed(APPLICATION),
            "docProps/core.xml": pack(properties_part(document)),
            **written,
            "word/fontTable.xml": _packed(FONT_TABLE),
            "word/numbering.xml": _packed(numbering_part(ledger.numberings)),
            "word/settings.xml": _packed(settings_part(document.language)),
            **_styles(self.style, document.layout, spoken, self._staff()),
            **{f"word/{name}": _packed(content) for name, content in ledger.media.items()},
        }
        types = {"[Content_Types].xml": _packed(types_part(parts))}
        return archive({**types, **parts}, date.fromisoformat(document.origin.issued_on))

    def _staff(self) -> Layout | None:
        """Find the layout of sections in another voice than the document's; there is one such voice."""
        voices = sorted({section.voice for section in self.document.sections if section.voice})
        return self.document.in_voice(voices[0]).layout if voices else None

    def _body(self) -> dict[str, Packed]:
        """Write the text: state marks, issue, title and person first, then the blocks."""
        document, relations = self.document, Relations()
        for kind, name in FIXED_RELATIONS.items():
            relations.add(kind, name)
        runs, fill = self._runs(relations), self.style.forms == "fill"
        controls = Controls(self.ledger, fill)
        body = self._spoken("", runs, controls)
        if document.furniture.marks:
            body.put(Para("Marks", runs.marks(document.furniture.marks)))
        for line in document.furniture.issue.said if document.furniture.issue else ():
            body.add("Issue", line)
        body.add("Title", document.title)
        body.parts += Furniture(document, self.style, runs, self.pictures).first_person()
        for voice, sections in groupby(document.sections, lambda one: one.voice):
            spoken = self._spoken(voice, runs, controls)
            spoken.begins_page = body.begins_page
            spoken.write(block for one in sections for block in one.headed_blocks)
            spoken.hold_remark()
            body.parts, body.begins_page = body.parts + spoken.parts, spoken.begins_page
        paper = section(document, self.style, relations, _FURNITURE)
        return _part("document", f"<w:body>{_xml(body.parts)}{paper}</w:body>", relations)

    def _spoken(self, voice: str, runs: Runs, controls: Controls) -> Body:
        """Begin a part of the body in a voice; that of the document if none is named."""
        document = self.document.in_voice(voice)
        pictures = Pictures(document, self.style, self.ledger)
        tables = Tables(document, self.style, runs, controls, pictures, bool(voice))
        return Body(document, self.style, runs, controls, tables, pictures, bool(voice))

    def _furniture(self) -> dict[str, Packed]:
        """Write heads and feet; those of the first page are parts of their own."""
        parts: dict[str, Packed] = {}
        for (kind, page), name in _FURNITURE.items():
            relations = Relations()
            furniture = Furniture(self.document, self.style, self._runs(relations), self.pictures)
            if kind == "footer":
                lines = furniture.foot()
            else:
                lines = furniture.first_head() if page == "first" else furniture.later_head()
            parts |= _part(name.removesuffix(".xml"), _xml(lines), relations, _ROOTS[kind])
        return parts

    def _runs(self, relations: Relations) -> Runs:
        return Runs(self.document.language, self.document.direction == "rtl", self.ledger, relations)


def _xml(parts: Iterable[Part]) -> str:
    return "".join([part.xml() for part in parts])


def _part(name: str, content: str, relations: Relations, root: str = "document") -> dict[str, Packed]:
    """Write a part and, if it refers to anything, what it refers to."""
    made = {f"word/{name}.xml": pack(f"{HEAD}<w:{root} {ROOT}>{content}</w:{root}>")}
    if relations.known:
        made[f"word/_rels/{name}.xml.rels"] = _packed(relations.part())
    return made
