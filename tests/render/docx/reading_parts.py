"""Opens the parts of a Word file for the tests beside it."""

import io
import zipfile
from dataclasses import replace

from lxml import etree

from docgen.blocks import Block, Document, Section
from docgen.render import docx
from docgen.render.style import Style
from tests.render.samples import PATIENT

W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"


def with_blocks(*blocks: Block, base: Document = PATIENT) -> Document:
    """Make a document of one section without a heading."""
    return replace(base, sections=(Section("C1", (), blocks),))


def parts(document: Document, style: Style) -> dict[str, bytes]:
    """Give the parts of the Word file of a document by name, in their order."""
    with zipfile.ZipFile(io.BytesIO(docx.render(document, style))) as package:
        return {name: package.read(name) for name in package.namelist()}


def main_part(document: Document, style: Style) -> etree._Element:
    """Give the part that holds the text."""
    return etree.fromstring(parts(document, style)["word/document.xml"])


def values(part: etree._Element, tag: str, name: str = "val") -> list[str]:
    """List an attribute of all elements of a kind, in reading order."""
    return [element.get(f"{W}{name}") for element in part.iter(f"{W}{tag}")]


def styled(part: etree._Element, name: str) -> list[etree._Element]:
    """List the paragraphs of a style, by its ID."""
    return [found.getparent().getparent() for found in part.iter(f"{W}pStyle") if found.get(f"{W}val") == name]


def text(paragraph: etree._Element) -> str:
    """Give what a paragraph says."""
    return "".join(paragraph.itertext(f"{W}t"))
