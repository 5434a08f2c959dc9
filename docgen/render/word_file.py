"""
The shell of a Word file: an empty package of our own before the text, fixed dates and order after it.

Our own, because the template of python-docx carries a thumbnail, a foreign author and half a megabyte of styles.
"""

from __future__ import annotations

import io
import zipfile
from datetime import datetime

import docx
from docx.document import Document as WordFile

from docgen.blocks import Document, plain
from docgen.render.fonts import FAMILY
from docgen.render.style import Style
from docgen.render.word_styles import NAMESPACE, numbering_part, styles_part

_HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>'
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_TYPE = "application/vnd.openxmlformats-officedocument.wordprocessingml"
_EXTENDED = "application/vnd.openxmlformats-officedocument.extended-properties+xml"


def empty_file(document: Document, style: Style) -> WordFile:
    """Open an empty file that has the styles of the house, the language and the properties of a document."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as package:
        for name, content in _parts(document, style).items():
            package.writestr(name, _HEAD + content.removeprefix(_HEAD))
    out.seek(0)
    file = docx.Document(out)
    _set_properties(file, document)
    return file


def packed(file: WordFile, document: Document) -> bytes:
    """Write the package again with the issue date on every part and the parts in order: the same bytes every time."""
    raw = io.BytesIO()
    file.save(raw)
    day = datetime.fromisoformat(document.origin.issued_on)
    out = io.BytesIO()
    with zipfile.ZipFile(raw) as given, zipfile.ZipFile(out, "w") as package:
        for name in sorted(given.namelist(), key=lambda name: (name != "[Content_Types].xml", name)):
            entry = zipfile.ZipInfo(name, (day.year, day.month, day.day, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 0  # the same on every system
            package.writestr(entry, given.read(name))
    return out.getvalue()


def _set_properties(file: WordFile, document: Document) -> None:
    origin, day = document.origin, datetime.fromisoformat(document.origin.issued_on)
    known = file.core_properties
    known.title = plain(document.title)[:255]
    known.author = plain(document.furniture.clinic)[:255]
    known.last_modified_by = known.author
    known.subject = f"{origin.kind} {origin.version}"
    known.comments = origin.program
    known.language = document.language
    known.created = known.modified = day
    known.revision = 1


def _parts(document: Document, style: Style) -> dict[str, str]:
    relation = f"{_OFFICE}/relationships"
    parts = {"styles": "styles", "numbering": "numbering", "settings": "settings", "fontTable": "fontTable"}
    overrides = {"document": "document.main", **parts}
    return {
        "[Content_Types].xml": f'<Types xmlns="{_PACKAGE}/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="xml" ContentType="application/xml"/>'
        f'<Override PartName="/docProps/app.xml" ContentType="{_EXTENDED}"/>'
        + "".join(f'<Override PartName="/word/{n}.xml" ContentType="{_TYPE}.{t}+xml"/>' for n, t in overrides.items())
        + "</Types>",
        "_rels/.rels": f'<Relationships xmlns="{_PACKAGE}/relationships">'
        f'<Relationship Id="rId1" Type="{relation}/officeDocument" Target="word/document.xml"/>'
        f'<Relationship Id="rId2" Type="{relation}/extended-properties" Target="docProps/app.xml"/></Relationships>',
        "docProps/app.xml": f'<Properties xmlns="{_OFFICE}/extended-properties"><Application>docgen</Application>'
        "</Properties>",
        "word/_rels/document.xml.rels": f'<Relationships xmlns="{_PACKAGE}/relationships">'
        + "".join(
            f'<Relationship Id="rId{n}" Type="{relation}/{part}" Target="{part}.xml"/>'
            for n, part in enumerate(parts, 1)
        )
        + "</Relationships>",
        "word/document.xml": f'<w:document xmlns:w="{NAMESPACE}" xmlns:r="{relation}"><w:body><w:sectPr/></w:body>'
        "</w:document>",
        "word/styles.xml": styles_part(style, document.layout, document.language, document.direction),
        "word/numbering.xml": numbering_part(),
        "word/settings.xml": f'<w:settings xmlns:w="{NAMESPACE}"><w:zoom w:percent="100"/>'
        '<w:defaultTabStop w:val="567"/><w:compat><w:compatSetting w:name="compatibilityMode" '
        'w:uri="http://schemas.microsoft.com/office/word" w:val="15"/></w:compat></w:settings>',
        "word/fontTable.xml": f'<w:fonts xmlns:w="{NAMESPACE}"><w:font w:name="{FAMILY}">'
        '<w:altName w:val="Segoe UI"/><w:family w:val="swiss"/><w:pitch w:val="variable"/></w:font></w:fonts>',
    }
