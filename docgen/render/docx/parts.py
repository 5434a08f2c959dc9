"""
The parts of a Word file beside its text: what is in it, its properties and settings.

Our own, because a word processor's empty document carries a foreign author, a thumbnail and hundreds of styles.
"""

from __future__ import annotations

from collections.abc import Iterable

from docgen.blocks import Document, plain
from docgen.render.docx.markup import HEAD, OFFICE, PACKAGE, RELATIONS, W, escaped
from docgen.render.docx.scripts import FONTS
from docgen.render.words import in_a_line

_WORD = "application/vnd.openxmlformats-officedocument.wordprocessingml"
_TYPES = {
    "docProps/app.xml": "application/vnd.openxmlformats-officedocument.extended-properties+xml",
    "docProps/core.xml": "application/vnd.openxmlformats-package.core-properties+xml",
    "word/document.xml": f"{_WORD}.document.main+xml",
    "word/theme/theme1.xml": "application/vnd.openxmlformats-officedocument.theme+xml",
}
_PICTURES = {"png": "image/png", "jpeg": "image/jpeg", "emf": "image/x-emf"}
_LONGEST = 255
"""Characters of a property that every program shows."""

FIXED_RELATIONS = {
    "styles": "styles.xml",
    "numbering": "numbering.xml",
    "settings": "settings.xml",
    "fontTable": "fontTable.xml",
    "theme": "theme/theme1.xml",
}
"""What every document refers to, by kind."""

PACKAGE_RELATIONS = (
    f'{HEAD}<Relationships xmlns="{PACKAGE}/relationships">'
    f'<Relationship Id="rId1" Type="{RELATIONS}/officeDocument" Target="word/document.xml"/>'
    f'<Relationship Id="rId2" Type="{PACKAGE}/relationships/metadata/core-properties" Target="docProps/core.xml"/>'
    f'<Relationship Id="rId3" Type="{RELATIONS}/extended-properties" Target="docProps/app.xml"/></Relationships>'
)

APPLICATION = f'{HEAD}<Properties xmlns="{OFFICE}/extended-properties"><Application>docgen</Application></Properties>'

FONT_TABLE = (
    f'{HEAD}<w:fonts xmlns:w="{W}">'
    + "".join(
        f'<w:font w:name="{font}"><w:altName w:val="{other}"/><w:family w:val="swiss"/><w:pitch w:val="variable"/>'
        "</w:font>"
        for font, other in FONTS.items()
    )
    + "</w:fonts>"
)


def types_part(names: Iterable[str]) -> str:
    """Write `[Content_Types].xml` for the names of all parts."""
    xml = [name for name in names if name.endswith(".xml")]
    pictures = sorted({ending for name in names if (ending := name.rpartition(".")[2]) in _PICTURES})
    return (
        f'{HEAD}<Types xmlns="{PACKAGE}/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="xml" ContentType="application/xml"/>'
        + "".join(f'<Default Extension="{ending}" ContentType="{_PICTURES[ending]}"/>' for ending in pictures)
        + "".join(f'<Override PartName="/{name}" ContentType="{_type(name)}"/>' for name in xml)
        + "</Types>"
    )


def _type(name: str) -> str:
    kind = name.rpartition("/")[2].removesuffix(".xml").rstrip("0123456789")
    return _TYPES.get(name, f"{_WORD}.{kind}+xml")


def properties_part(document: Document) -> str:
    """Write `docProps/core.xml`; its dates are the day of issue."""
    origin, issue, metadata = document.origin, document.furniture.issue, f"{PACKAGE}/metadata/core-properties"
    number = f"<dc:identifier>{escaped(issue.number)}</dc:identifier>" if issue else ""
    head = f"<cp:keywords>register head {escaped(issue.head)}</cp:keywords>" if issue else ""
    clinic = escaped(plain(document.furniture.clinic)[:_LONGEST])
    day = f'xsi:type="dcterms:W3CDTF">{origin.issued_on}T00:00:00Z</dcterms'
    return (
        f'{HEAD}<cp:coreProperties xmlns:cp="{metadata}" xmlns:dc="http://purl.org/dc/elements/1.1/"'
        ' xmlns:dcterms="http://purl.org/dc/terms/" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">'
        f"<dc:title>{escaped(in_a_line(document.title)[:_LONGEST])}</dc:title>"
        f"<dc:subject>{escaped(f'{origin.kind} {origin.version}')}</dc:subject><dc:creator>{clinic}</dc:creator>"
        f"<dc:description>{escaped(origin.program)}</dc:description><cp:lastModifiedBy>{clinic}</cp:lastModifiedBy>"
        f"<cp:revision>1</cp:revision><dcterms:created {day}:created><dcterms:modified {day}:modified>"
        f"<dc:language>{escaped(document.language)}</dc:language>{number}{head}</cp:coreProperties>"
    )


def settings_part(language: str) -> str:
    """Write `word/settings.xml`."""
    tag = escaped(language)
    return (
        f'{HEAD}<w:settings xmlns:w="{W}"><w:zoom w:percent="100"/><w:defaultTabStop w:val="567"/>'
        '<w:characterSpacingControl w:val="doNotCompress"/><w:compat><w:compatSetting w:name="compatibilityMode"'
        ' w:uri="http://schemas.microsoft.com/office/word" w:val="15"/></w:compat>'
        f'<w:themeFontLang w:val="{tag}" w:eastAsia="{tag}" w:bidi="{tag}"/></w:settings>'
    )
