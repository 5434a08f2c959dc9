"""What stands on every page of a Word file > its paper, heads and foot; and whose document it is, below the title."""

from __future__ import annotations

import re
from typing import Any

from docx.document import Document as WordFile
from docx.enum.text import WD_TAB_ALIGNMENT
from docx.oxml import OxmlElement
from docx.shared import Mm

from docgen.blocks import Document
from docgen.render.style import Style
from docgen.render.word_runs import add_field, add_marks, add_picture, add_words

_FIELDS = {"{page}": "PAGE", "{pages}": "NUMPAGES"}


def put_furniture(file: WordFile, document: Document, style: Style) -> None:
    """Set the paper, a head for the first page and one for the others, and the foot of both."""
    section, paper, furniture = file.sections[0], style.papers[document.layout.paper], document.furniture
    section.page_width, section.page_height = Mm(paper.width), Mm(paper.height)
    section.left_margin = section.right_margin = Mm(paper.margin)
    section.top_margin, section.bottom_margin = Mm(paper.first), Mm(paper.height - paper.body_end)
    section.header_distance, section.footer_distance = Mm(paper.head), Mm(paper.head - 2)
    section.different_first_page_header_footer = True
    if document.direction == "rtl":
        section._sectPr.append(OxmlElement("w:bidi"))
    first = section.first_page_header
    if furniture.logo:
        add_picture(_paragraph(first, "Clinic"), furniture.logo)
    add_words(_paragraph(first, "Clinic"), furniture.clinic, document.language)
    add_words(_paragraph(first, "header"), furniture.contact, document.language)
    later = section.header
    add_words(_paragraph(later, "Clinic Again"), furniture.clinic, document.language)
    add_words(_paragraph(later, "header"), document.title, document.language)
    if furniture.marks:
        add_marks(_paragraph(later, "Marks"), furniture.marks)
    put_person(later, document, style, in_lines=False)
    for foot in (section.first_page_footer, section.footer):
        _put_foot(foot, document)


def put_person(container: Any, document: Document, style: Style, in_lines: bool) -> None:
    """Write name, birth date and number: in one line between two rules, or (large print) each in a line of its own."""
    parts, content = document.furniture.person, style.lengths["content"]
    if in_lines:
        for part in parts:
            add_words(_paragraph(container, "Value"), part, document.language)
        return
    if not parts:
        return
    made = _paragraph(container, "Person")
    last = len(parts) - 1
    for place in range(1, len(parts)):
        at_end = place == last == 2
        stop = content if at_end else style.lengths["side"] if last == 2 else content * place / len(parts)
        align = WD_TAB_ALIGNMENT.RIGHT if at_end else WD_TAB_ALIGNMENT.LEFT
        made.paragraph_format.tab_stops.add_tab_stop(Mm(stop), align)
    for place, part in enumerate(parts):
        if place:
            made.add_run("\t")
        add_words(made, part, document.language)


def _put_foot(foot: Any, document: Document) -> None:  # python-docx has no types
    for line in document.furniture.foot:
        add_words(_paragraph(foot, "footer"), line, document.language)
    page = _paragraph(foot, "Page Line")
    for part in re.split(r"(\{pages?\})", document.furniture.page):
        if part in _FIELDS:
            add_field(page, _FIELDS[part])
        elif part:
            page.add_run(part)


def _paragraph(container: Any, name: str) -> Any:  # python-docx has no types
    """Add a paragraph; the empty one a head or foot begins with is taken first."""
    first = container.paragraphs[0] if container.paragraphs else None
    if first is not None and first.style.name == "Normal":
        first.style = name
        return first
    return container.add_paragraph(style=name)
