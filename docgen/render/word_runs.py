"""Words, boxes, fields, marks and pictures > what stands inside a paragraph of a Word file."""

from __future__ import annotations

import io
from collections.abc import Iterable
from xml.sax.saxutils import escape

from docx.enum.text import WD_TAB_ALIGNMENT, WD_TAB_LEADER
from docx.oxml import OxmlElement, parse_xml
from docx.oxml.ns import nsdecls, qn
from docx.shared import Mm
from docx.text.paragraph import Paragraph

from docgen.blocks import Image, Mark, Words
from docgen.render.style import Style
from docgen.render.word_styles import style_id
from docgen.render.words import lines_of

EMPTY, TICKED = "\u2610", "\u2612"

_BOX_FONT = "MS Gothic"
"""What Word itself takes for the boxes of its forms; they are in no text font."""

_WORD_2010 = "http://schemas.microsoft.com/office/word/2010/wordml"


def add_words(paragraph: Paragraph, words: Words, language: str) -> None:
    """Add runs: bold by a style of characters, another language by its tag, a new line where a value has one."""
    for number, line in enumerate(lines_of(words)):
        if number:
            paragraph.add_run().add_break()
        for span in line:
            run = paragraph.add_run(span.text)
            if span.bold:
                run._r.style = style_id("Strong")
            if span.language and span.language != language:
                tag = OxmlElement("w:lang")
                for name in ("w:val", "w:eastAsia", "w:bidi"):
                    tag.set(qn(name), span.language)
                run._r.get_or_add_rPr().append(tag)


def add_box(paragraph: Paragraph, ticked: bool) -> None:
    """Add a box that can be ticked in Word."""
    fonts = f'w:ascii="{_BOX_FONT}" w:hAnsi="{_BOX_FONT}" w:eastAsia="{_BOX_FONT}" w:cs="{_BOX_FONT}"'
    control = (
        f'<w:sdt {nsdecls("w")} xmlns:w14="{_WORD_2010}"><w:sdtPr><w14:checkbox>'
        f'<w14:checked w14:val="{int(ticked)}"/>'
        f'<w14:checkedState w14:val="{ord(TICKED):04X}" w14:font="{_BOX_FONT}"/>'
        f'<w14:uncheckedState w14:val="{ord(EMPTY):04X}" w14:font="{_BOX_FONT}"/></w14:checkbox></w:sdtPr>'
        f'<w:sdtContent><w:r><w:rPr><w:rFonts {fonts} w:hint="eastAsia"/></w:rPr>'
        f"<w:t>{TICKED if ticked else EMPTY}</w:t></w:r></w:sdtContent></w:sdt>"
    )
    paragraph._p.append(parse_xml(control))


def add_line(paragraph: Paragraph, style: Style) -> None:
    """Add a line for the pen, from the words to the end edge."""
    end = Mm(style.lengths["content"])
    paragraph.paragraph_format.tab_stops.add_tab_stop(end, WD_TAB_ALIGNMENT.RIGHT, WD_TAB_LEADER.LINES)
    paragraph.add_run("\t")


def add_field(paragraph: Paragraph, code: str, style: str) -> None:
    """Add a field that Word fills in, such as PAGE, in a style of characters."""
    run = f'<w:r><w:rPr><w:rStyle w:val="{style}"/></w:rPr><w:t>1</w:t></w:r>'
    field = f'<w:fldSimple {nsdecls("w")} w:instr=" {escape(code)} ">{run}</w:fldSimple>'
    paragraph._p.append(parse_xml(field))


def add_marks(paragraph: Paragraph, marks: Iterable[Mark], bold: bool = False) -> None:
    """Add state marks, filled or outlined, with room to the frame on both sides."""
    for number, mark in enumerate(marks):
        if number:
            paragraph.add_run("\u2002")
        run = paragraph.add_run(f"\u00a0{mark.words}\u00a0", style="Mark Filled" if mark.filled else "Mark Outlined")
        run.bold = bold or None


def add_picture(paragraph: Paragraph, image: Image) -> None:
    """Add a picture with its alternative text."""
    picture = paragraph.add_run().add_picture(io.BytesIO(image.content), width=Mm(image.width_mm))
    picture._inline.docPr.set("descr", image.alt)
