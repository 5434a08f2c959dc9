"""
A composed document, or all of a case > a tagged PDF: the look of the page design, PDF/UA-1 and PDF/A-3a.

No clock, no markup, nothing kept from one document for the next but what gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Sequence

from docgen.blocks import Attachment, Document, Issue, plain
from docgen.render.pdf.file import File, Properties
from docgen.render.pdf.glyphs import FontsOfFile
from docgen.render.pdf.printing import Printer
from docgen.render.style import Style
from docgen.render.words import in_a_line


def render(
    document: Document, style: Style, *, archive: Sequence[str] = (), attached: Sequence[Attachment] = ()
) -> bytes:
    """
    Print a PDF; the same document, style and files attached give the same bytes.

    `archive`: what a reader hears of each field for a time stamp of an archive.
    `attached`: files associated with the document, dated with its day. Errors: ValueError for two of one name.
    """
    printer = Printer(document, style)
    file, fonts = _file(document, in_a_line(document.title), document.language, document.furniture.issue)
    printer.paint(file, fonts, file.root, 1)
    for place, words in enumerate(archive, 1):
        file.archive_field(words, place)
    for one in attached:
        file.attach(one.name, one.mime, one.content, one.description, one.relationship)
    return file.content()


def render_pack(documents: Sequence[Document], style: Style, title: str, language: str) -> bytes:
    """
    Print all documents of a case in one PDF, a part each.

    Pages are numbered through the file in their labels, within each document at their foot. At least one document.
    """
    file, fonts = _file(documents[0], title, language)
    label = 1
    for number, document in enumerate(documents, 1):
        printer = Printer(document, style, f"{number}-")
        lang = document.language if document.language != language else ""
        part = file.root.child("Part", title=in_a_line(document.title), lang=lang)
        printer.paint(file, fonts, part, label)
        label += len(printer.pages)
    return file.content()


def _file(document: Document, title: str, language: str, issue: Issue | None = None) -> tuple[File, FontsOfFile]:
    origin, fonts = document.origin, FontsOfFile()
    properties = Properties(
        title=title,
        language=language,
        rtl=document.direction == "rtl",
        author=plain(document.furniture.clinic),
        subject=f"{origin.kind} {origin.version}",
        keywords="",
        program=origin.program,
        day=origin.issued_on,
        identifier=issue.number if issue else "",
        source=issue.head if issue else "",
    )
    return File(properties, fonts), fonts
