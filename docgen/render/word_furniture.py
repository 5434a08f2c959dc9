"""What stands on every page of a Word file > its paper, heads and foot; and whose document it is, below the title."""

from __future__ import annotations

import re
from typing import Any

from docx.document import Document as WordFile
from docx.enum.text import WD_TAB_ALIGNMENT
from docx.oxml import OxmlElement
from docx.shared import Mm

from docgen.blocks import Document, plain
from docgen.render.columns import person_widths
from docgen.render.fonts import width_em
from docgen.render.style import Style
from docgen.render.word_runs import add_field, add_marks, add_picture, add_words
from docgen.render.word_styles import style_id

_FIELDS = {"{page}": "PAGE", "{pages}": "NUMPAGES"}


def put_furniture(file: WordFile, document: Document, style: Style) -> None:
    """Set the paper, a head for the first page and one for the others, and the foot of both."""
    section, paper, furniture = file.sections[0], style.paper(document.layout), document.furniture
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
    title = _paragraph(later, "header")
    add_words(title, document.title, document.language)
    if furniture.marks:
        _put_marks(later, title, document, style)
    put_person(later, document, style, in_lines=False, again=True)
    for foot in (section.first_page_footer, section.footer):
        _put_foot(foot, document, style)


def _put_marks(head: Any, title: Any, document: Document, style: Style) -> None:  # python-docx has no types
    """Set the state marks at the end of the line of the title, or below it if there is no room."""
    size, content = style.role("tag", document.layout).size, style.lengths["content"]
    marks = document.furniture.marks
    words = "   ".join((plain(document.title), *(f"   {mark.words}" for mark in marks)))
    if width_em(words) * size > content / 25.4 * 72:
        add_marks(_paragraph(head, "Marks"), marks)
        return
    title.paragraph_format.tab_stops.add_tab_stop(Mm(content), WD_TAB_ALIGNMENT.RIGHT)
    title.add_run("\t")
    add_marks(title, marks, bold=True)


def put_person(container: Any, document: Document, style: Style, in_lines: bool, again: bool = False) -> None:
    """Write name, birth date and number: in one line between two rules, or (large print) each in a line of its own."""
    parts, content = document.furniture.person, style.lengths["content"]
    if in_lines:
        for part in parts:
            add_words(_paragraph(container, "Value"), part, document.language)
        return
    if not parts:
        return
    made = _paragraph(container, "Person Again" if again else "Person")
    size = style.role("person", document.layout).size * 25.4 / 72
    widths = person_widths(parts, content, style.lengths["side"], size)
    for place in range(1, len(parts)):
        at_end = place == 2
        stop = content if at_end else sum(widths[:place])
        align = WD_TAB_ALIGNMENT.RIGHT if at_end else WD_TAB_ALIGNMENT.LEFT
        made.paragraph_format.tab_stops.add_tab_stop(Mm(stop), align)
    for place, part in enumerate(parts):
        if place:
            made.add_run("\t")
        add_words(made, part, document.language)


def _put_foot(foot: Any, document: Document, style: Style) -> None:  # python-docx has no types
    """Write the lines of the foot; the page stands at the end of the last one, or below it if that is full."""
    lines = document.furniture.foot
    for line in lines:
        page = _paragraph(foot, "footer")
        add_words(page, line, document.language)
    content, layout = style.lengths["content"], document.layout
    used = width_em(plain(lines[-1])) * style.role("furniture", layout).size if lines else 0
    used += width_em(f"{document.furniture.page} ") * style.role("page", layout).size
    if lines and used <= content / 25.4 * 72 and "\n" not in plain(lines[-1]):
        page.paragraph_format.tab_stops.add_tab_stop(Mm(content), WD_TAB_ALIGNMENT.RIGHT)
        page.add_run("\t")
    else:
        page = _paragraph(foot, "Page Line")
    for part in re.split(r"(\{pages?\})", document.furniture.page):
        if part in _FIELDS:
            add_field(page, _FIELDS[part], style_id("Page Number"))
        elif part:
            page.add_run(part, style="Page Number")


def _paragraph(container: Any, name: str) -> Any:  # python-docx has no types
    """Add a paragraph; the empty one a head or foot begins with is taken first."""
    first = container.paragraphs[0] if container.paragraphs else None
    if first is not None and first.style.name == "Normal":
        first.style = name
        return first
    return container.add_paragraph(style=name)
