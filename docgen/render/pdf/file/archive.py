"""
What a file says of itself > XMP, information, color profile and attachments, as PDF/A-3a and PDF/UA-1 want them.

Apart from `file`: these are the parts that only archives and checkers read.
"""

from __future__ import annotations

from docgen.render.pdf.file.colors import srgb
from docgen.render.pdf.file.objects import Objects, name, string
from docgen.values import dataclass


@dataclass(frozen=True)
class Properties:
    """What a file says of itself; no patient's value belongs here but the title's."""

    title: str
    language: str
    """BCP 47 tag."""
    rtl: bool = False
    """Pages follow each other from right to left."""
    author: str = ""
    subject: str = ""
    keywords: str = ""
    program: str = ""
    """The program that made it, with its version."""
    day: str = "2000-01-01"
    """ISO date that stands for the moment of making."""
    identifier: str = ""
    """The number under which a register knows it."""
    source: str = ""
    """Digest of the entry of that register after which it was made."""


_RDF = '<rdf:Description rdf:about="" xmlns:{0}="{1}">{2}</rdf:Description>'
_SPACES = {
    "dc": "http://purl.org/dc/elements/1.1/",
    "pdf": "http://ns.adobe.com/pdf/1.3/",
    "pdfaid": "http://www.aiim.org/pdfa/ns/id/",
    "pdfuaid": "http://www.aiim.org/pdfua/ns/id/",
    "xmp": "http://ns.adobe.com/xap/1.0/",
}
_EXTENSION = (
    '<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/" '
    'xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">'
    '<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource"><pdfaSchema:schema>PDF/UA identification'
    "</pdfaSchema:schema><pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>"
    "<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix><pdfaSchema:property><rdf:Seq>"
    '<rdf:li rdf:parseType="Resource"><pdfaProperty:name>part</pdfaProperty:name><pdfaProperty:valueType>Integer'
    "</pdfaProperty:valueType><pdfaProperty:category>internal</pdfaProperty:category><pdfaProperty:description>"
    "Part of ISO 14289</pdfaProperty:description></rdf:li></rdf:Seq></pdfaSchema:property></rdf:li></rdf:Bag>"
    "</pdfaExtension:schemas></rdf:Description>"
)
"""PDF/A does not know PDF/UA's mark and wants it explained."""


def metadata(properties: Properties, objects: Objects) -> str:
    """Write the XMP, not compressed, so that archives find it without reading PDF; gives its reference."""
    moment = f"{properties.day}T00:00:00Z"
    core = f"<dc:format>application/pdf</dc:format><dc:title>{_alternative(properties.title)}</dc:title>"
    if properties.author:
        core += f"<dc:creator><rdf:Seq><rdf:li>{_escaped(properties.author)}</rdf:li></rdf:Seq></dc:creator>"
    if properties.subject:
        core += f"<dc:description>{_alternative(properties.subject)}</dc:description>"
    for tag, text in (("identifier", properties.identifier), ("source", properties.source)):
        core += f"<dc:{tag}>{_escaped(text)}</dc:{tag}>" if text else ""
    made = f"<xmp:CreateDate>{moment}</xmp:CreateDate><xmp:ModifyDate>{moment}</xmp:ModifyDate>"
    program = _escaped(properties.program)
    made += f"<xmp:CreatorTool>{program}</xmp:CreatorTool>" if program else ""
    words = f"<pdf:Keywords>{_escaped(properties.keywords)}</pdf:Keywords>" if properties.keywords else ""
    words += f"<pdf:Producer>{program}</pdf:Producer>" if program else ""
    parts = {
        "pdfaid": "<pdfaid:part>3</pdfaid:part><pdfaid:conformance>A</pdfaid:conformance>",
        "pdfuaid": "<pdfuaid:part>1</pdfuaid:part>",
        "dc": core,
        "xmp": made,
        "pdf": words,
    }
    described = "".join(_RDF.format(key, _SPACES[key], content) for key, content in parts.items() if content)
    packet = (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/">'
        f'<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">{described}{_EXTENSION}</rdf:RDF>'
        '</x:xmpmeta><?xpacket end="w"?>'
    )
    return objects.stream("/Type/Metadata/Subtype/XML", packet.encode(), packed=False)


def information(properties: Properties, objects: Objects) -> str:
    """Write the information dictionary, which says what the XMP says; gives its reference."""
    moment = f"(D:{properties.day.replace('-', '')}000000Z)"
    texts = {
        "Title": properties.title,
        "Author": properties.author,
        "Subject": properties.subject,
        "Keywords": properties.keywords,
        "Creator": properties.program,
        "Producer": properties.program,
    }
    said = "".join(f"/{key}{string(text)}" for key, text in texts.items() if text)
    return objects.add(f"<<{said}/CreationDate{moment}/ModDate{moment}>>".encode())


def _alternative(text: str) -> str:
    return f'<rdf:Alt><rdf:li xml:lang="x-default">{_escaped(text)}</rdf:li></rdf:Alt>'


def _escaped(text: str) -> str:
    """Write text inside XML; what XML cannot hold becomes a space."""
    clean = "".join(c if c >= " " and not "\ud800" <= c <= "\udfff" and c not in "\ufffe\uffff" else " " for c in text)
    return clean.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def output_intent(objects: Objects) -> str:
    """Write which colors the numbers mean, sRGB's; gives the dictionary."""
    profile = objects.stream("/N 3", srgb())
    told = "/OutputConditionIdentifier(sRGB IEC61966-2.1)/Info(sRGB IEC61966-2.1)"
    return f"<</Type/OutputIntent/S/GTS_PDFA1{told}/DestOutputProfile {profile}>>"


class Attachments:
    """Files inside the file."""

    def __init__(self, objects: Objects, day: str) -> None:
        self._objects, self._moment = objects, f"(D:{day.replace('-', '')}000000Z)"
        self.references: dict[str, str] = {}

    def add(self, file_name: str, mime: str, content: bytes, description: str, relationship: str) -> None:
        """Attach a file. Errors: ValueError for a name that is taken."""
        if file_name in self.references:
            raise ValueError(f"two attachments are named {file_name}")
        size = f"/Params<</Size {len(content)}/ModDate{self._moment}>>"
        held = self._objects.stream(f"/Type/EmbeddedFile/Subtype{name(mime)}{size}", content)
        named, told = string(file_name), string(description)
        entries = (
            f"<</Type/Filespec/F{named}/UF{named}/Desc{told}/AFRelationship/{relationship}/EF<</F {held}/UF {held}>>>>"
        )
        self.references[file_name] = self._objects.add(entries.encode())

    @property
    def names(self) -> str:
        """The entry of the catalog's names, or nothing."""
        pairs = sorted((string(file_name), reference) for file_name, reference in self.references.items())
        return f"/EmbeddedFiles<</Names[{''.join(key + value for key, value in pairs)}]>>" if pairs else ""
