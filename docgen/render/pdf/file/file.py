"""
Pages, structure, fields and what stands behind them > the bytes of one file, PDF/UA-1 and PDF/A-3a.

Nothing of it depends on the clock, on hash order or on what was written before.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from docgen.render.pdf.file.archive import Attachments, Properties, information, metadata, output_intent
from docgen.render.pdf.file.fields import Choices, Fields
from docgen.render.pdf.file.objects import Objects, string
from docgen.render.pdf.file.outline import Bookmark, page_labels, write_outline
from docgen.render.pdf.file.page import Page
from docgen.render.pdf.file.pictures import Pictures
from docgen.render.pdf.file.tree import Tree

__all__ = ["File", "Fonts", "Properties"]


ARCHIVE_FIELD = "ArchiveTS"
"""The name signers ask for."""


class Fonts(Protocol):
    """The fonts of one file, which know the glyphs they have to hold once all is painted."""

    def write(self, file: File) -> None:
        """Add the fonts to the file by `add` and `stream`."""

    def resources(self) -> Mapping[str, str]:
        """Give the reference of each font by its resource name ("F1"), after `write`."""


class File:
    """One PDF file: make pages, paint them, take `content`."""

    def __init__(self, properties: Properties, fonts: Fonts | None = None) -> None:
        self.properties, self.fonts = properties, fonts
        self.objects = Objects()
        self._tree = Tree(self.objects)
        self.root = self._tree.begin()
        """The element of kind Document that holds all; a pack gives it a Part for each document."""
        self._fields, self._pictures = Fields(self.objects), Pictures(self.objects)
        self._attachments = Attachments(self.objects, properties.day)
        self._pages: list[Page] = []
        self._labels: list[str | None] = []
        self._bookmarks: list[Bookmark] = []

    def add(self, raw: bytes) -> str:
        """Add an object that is no stream; gives its reference, such as "12 0 R"."""
        return self.objects.add(raw)

    def stream(self, entries: str, content: bytes, *, packed: bool = True) -> str:
        """
        Add a stream, compressed here; gives its reference. Equal streams are written once.

        `entries` of its dictionary without << >>, /Length and /Filter. `packed=False` takes content as it is to stand
        in the file, such as bytes compressed once for many files, with its /Filter among the entries.
        """
        return self.objects.stream(entries, content, packed=packed)

    def page(self, width: float, height: float, label: str | None = None) -> Page:
        """Begin a page after those there are; `label` is what viewers call it, its number in the file if None."""
        page = Page(self.objects, self._tree, self._fields, self._pictures, width, height)
        self._pages.append(page)
        self._labels.append(label)
        return page

    def bookmark(self, title: str, level: int, page: Page, top: float) -> None:
        """Add a line to the outline, in reading order; level 1 is its top, `top` a height on the page."""
        self._bookmarks.append(Bookmark(title, level, page.reference, top))

    def choices(self, name: str, tooltip: str) -> Choices:
        """Begin a group of boxes of which one at most is ticked. Errors: ValueError for a name that is taken."""
        return self._fields.choices(name, tooltip)

    def archive_field(self, tooltip: str, place: int = 1) -> None:
        """
        Put a field nobody sees on the last page, for the time stamp of an archive (PAdES B-LTA).

        Made by us and not by the signer, so that it has its place in the structure. `place`: which one it is, from 1.
        Errors: ValueError for a place that is taken.
        """
        name = ARCHIVE_FIELD if place == 1 else f"{ARCHIVE_FIELD}{place}"
        self._pages[-1].signature_field(self.root.child("Form"), 0, 0, 0, 0, name=name, tooltip=tooltip)

    def attach(self, name: str, mime: str, content: bytes, description: str, relationship: str = "Data") -> None:
        """
        Put a file inside the file, as PDF/A-3 allows.

        `relationship` to the document: Source, Data, Alternative, Supplement or Unspecified.
        Errors: ValueError for a name that is taken.
        """
        self._attachments.add(name, mime, content, description, relationship)

    def content(self) -> bytes:
        """Write the file; once only. Errors: ValueError if it has no page, or an object was never filled."""
        if not self._pages:
            raise ValueError("a file needs a page")
        pages, resources = self.objects.reserve(), self.objects.reserve()
        for page in self._pages:
            page.write(pages, resources)
        kids = " ".join(page.reference for page in self._pages)
        self.objects.fill(pages, f"<</Type/Pages/Kids[{kids}]/Count {len(self._pages)}>>".encode())
        self.objects.fill(resources, self._resources().encode())
        form = self._fields.write()
        self._tree.write()
        catalog = self.objects.add(self._catalog(pages, form).encode())
        return self.objects.written(catalog, information(self.properties, self.objects))

    def _resources(self) -> str:
        fonts: Mapping[str, str] = {}
        if self.fonts is not None:
            self.fonts.write(self)
            fonts = self.fonts.resources()
        groups = {"Font": fonts, "XObject": self._pictures.resources}
        written = {kind: "".join(f"/{key} {value}" for key, value in group.items()) for kind, group in groups.items()}
        return f"<<{''.join(f'/{kind}<<{entries}>>' for kind, entries in written.items() if entries)}>>"

    def _catalog(self, pages: str, form: str) -> str:
        properties = self.properties
        shown = "/DisplayDocTitle true" + ("/Direction/R2L" if properties.rtl else "")
        entries = f"/Type/Catalog/Pages {pages}/StructTreeRoot {self._tree.reference}/MarkInfo<</Marked true>>"
        entries += f"/Lang{string(properties.language)}/ViewerPreferences<<{shown}>>"
        entries += f"/Metadata {metadata(properties, self.objects)}/OutputIntents[{output_intent(self.objects)}]"
        entries += f"/AcroForm {form}" if form else ""
        if self._bookmarks:
            entries += f"/Outlines {write_outline(self._bookmarks, self.objects)}/PageMode/UseOutlines"
        labels = page_labels(self._labels)
        entries += f"/PageLabels {labels}" if labels else ""
        names = self._attachments.names
        if names:
            entries += f"/Names<<{names}>>/AF[{' '.join(self._attachments.references.values())}]"
        return f"<<{entries}>>"
