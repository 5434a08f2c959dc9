"""What a Word file is built of: styles, real structure, pictures with words, no trace of another program."""

import io
import re
import subprocess
import sys
from dataclasses import replace

import docx as word
import pytest
from lxml import etree

from docgen.blocks import Block, Document, Figure, Image, Items, Pairs, Paragraph, Span, Table, Together
from docgen.render import docx
from docgen.render.png import UnusablePicture
from docgen.render.style import Style
from tests.render.docx.reading_parts import W, main_part, parts, styled, text, values, with_blocks
from tests.render.samples import LARGE, PATIENT, SAMPLES, words
from tests.render.test_files import png

MAY_BE_DIRECT = {
    *("pStyle", "keepNext", "pageBreakBefore", "numPr", "tabs", "bidi", "spacing"),
    *("rStyle", "rtl", "lang", "rPr"),
}
"""What depends on the place of a paragraph, or on the language of a run; all looks come from styles."""

LIST = Items((words("one"), words("two")), ordered=True)


@pytest.mark.parametrize("name", SAMPLES)
def test_looks_come_from_styles(name: str, style: Style) -> None:
    """No font, size, color, indent or alignment stands at a paragraph or run; every style that is named exists."""
    made = parts(SAMPLES[name], style)
    known = set(values(etree.fromstring(made["word/styles.xml"]), "style", "styleId"))
    for part in ("document", "header1", "header2", "footer1", "footer2"):
        root = etree.fromstring(made[f"word/{part}.xml"])
        looks = [*root.iter(f"{W}pPr"), *root.iter(f"{W}rPr")]
        assert {child.tag.removeprefix(W) for look in looks for child in look} <= MAY_BE_DIRECT
        assert {*values(root, "pStyle"), *values(root, "rStyle"), *values(root, "tblStyle")} <= known


def test_each_ordered_list_begins_at_one(style: Style) -> None:
    """Two lists have two numberings, each of which starts again."""
    made = parts(with_blocks(LIST, Paragraph(words("between")), LIST), style)
    used = values(etree.fromstring(made["word/document.xml"]), "numId")
    assert ["3", "3", "4", "4"] == used
    numbering = etree.fromstring(made["word/numbering.xml"])
    starts = {one.get(f"{W}numId"): one.find(f".//{W}startOverride") for one in numbering.iter(f"{W}num")}
    assert ["1", "1"] == [starts[number].get(f"{W}val") for number in ("3", "4")]


def test_title_and_headings_are_an_outline(style: Style) -> None:
    """The title is the first level, sections and the danger box the second: a reader can leap from one to the next."""
    styles = etree.fromstring(parts(PATIENT, style)["word/styles.xml"])
    levels = {
        one.get(f"{W}styleId"): level.get(f"{W}val")
        for one in styles.iter(f"{W}style")
        if (level := one.find(f"{W}pPr/{W}outlineLvl")) is not None and "Framed" not in one.get(f"{W}styleId")
    }
    expected = {"Title": "0", "heading1": "0", "heading2": "1", "DangerHeading": "1", "heading3": "2", "heading4": "3"}
    assert expected == levels


def test_a_table_says_its_title_and_a_danger_box_too(style: Style) -> None:
    """Word reads the title out; it is the caption, or what the frame begins with."""
    assert ["Call us at once for", "Times are those of the clinic."] == values(main_part(PATIENT, style), "tblCaption")


def test_a_logo_stands_in_the_head_with_its_words_and_shape(style: Style) -> None:
    """As wide as asked for, as high as its shape wants, embedded once, told in words."""
    logo = Image(png(), "Logo of the clinic", 30)
    made = parts(replace(PATIENT, furniture=replace(PATIENT.furniture, logo=logo)), style)
    head = etree.fromstring(made["word/header1.xml"])
    (told,) = [found.get("descr") for found in head.iter("{*}docPr")]
    (size,) = [(found.get("cx"), found.get("cy")) for found in head.iter("{*}extent")]
    assert ("Logo of the clinic", ("1080000", "1080000")) == (told, size)
    assert [png()] == [content for name, content in made.items() if name.startswith("word/media/")]
    assert b"media/" in made["word/_rels/header1.xml.rels"]


@pytest.mark.parametrize("content", [b"", b"GIF89a", b"\xff\xd8\xff\xe0\x00\x04ab", b"\x89PNG\r\n\x1a\n"])
def test_what_is_no_picture_is_refused_by_the_word_file_too(content: bytes, style: Style) -> None:
    """Both renderers read a picture with one reader; nothing is written with one that is cut off."""
    with pytest.raises(UnusablePicture):
        docx.render(with_blocks(Image(content, "logo", 20)), style)


STRIP = Figure("people-1000", {"affected": 12, "denominator": 1000, "frame": ()}, words("About 12 of 1,000."))


@pytest.mark.parametrize("base", [PATIENT, LARGE])
def test_the_drawing_of_a_row_stands_below_its_name(base: Document, style: Style) -> None:
    """A vector picture with the sentence of the row as its words; the numbers stay text."""
    table = Table((words("What"), words("Affected")), ((words("numb lip"), words("12")),), drawings=(STRIP,))
    document = with_blocks(table, base=base)
    made = parts(document, style)
    main = etree.fromstring(made["word/document.xml"])
    assert ["About 12 of 1,000."] == [found.get("descr") for found in main.iter("{*}docPr")]
    order = re.findall("numb lip|<w:drawing>|>12<", made["word/document.xml"].decode())
    assert ["numb lip", "<w:drawing>", ">12<"] == order
    assert [name for name in made if name.endswith(".emf")]
    assert b'Extension="emf"' in made["[Content_Types].xml"]


def test_a_figure_that_is_not_drawn_is_said_in_words(style: Style) -> None:
    """A figure of an unknown name prints its sentences."""
    figure = Figure("unknown", {}, words("What it shows."), instead=(words("First."), words("Second.")))
    main = main_part(with_blocks(figure), style)
    assert ["First.", "Second."] == [text(found) for found in styled(main, "Small")]


def test_what_stays_together_includes_tables(style: Style) -> None:
    """Every paragraph but the last stays with the next, those in cells too."""
    held: tuple[Block, ...] = (
        Paragraph(words("a")),
        Table((words("b"),), ((words("c"),),)),
        Pairs(((words("d"), ()),)),
    )
    main = main_part(with_blocks(Together(held)), style)
    kept = [(text(found), found.find(f"{W}pPr/{W}keepNext") is not None) for found in main.iter(f"{W}p") if text(found)]
    assert [("a", True), ("b", True), ("c", True), ("d", False)] == kept[-4:]


def test_only_known_addresses_become_links(style: Style) -> None:
    """A telephone number can be dialed; an address of another kind is only words."""
    spans = (Span("0100 555", link="tel:0100555"), Span(" "), Span("odd", link="javascript:alert(1)"))
    made = parts(with_blocks(Paragraph(spans)), style)
    assert 1 == made["word/document.xml"].count(b"<w:hyperlink ")
    assert b'Target="tel:0100555" TargetMode="External"' in made["word/_rels/document.xml.rels"]
    assert b"javascript" not in b"".join(made.values())


def test_settings_hold_nothing_of_an_author_or_a_machine(style: Style) -> None:
    """No edit sessions, template, printer or path; and python-docx is not needed to write the file."""
    made = parts(PATIENT, style)
    for trace in (b"rsid", b"attachedTemplate", b"printerSettings", b"docVars", b"Normal.dotm", b"Microsoft Office"):
        assert trace not in b"".join(made.values())
    program = "import sys, docgen.render.docx; print({'docx', 'lxml', 'reportlab'} & set(sys.modules))"
    assert (
        "set()"
        == subprocess.run([sys.executable, "-c", program], check=True, capture_output=True, text=True).stdout.strip()
    )


def test_parts_kept_for_one_style_are_not_used_for_another(style: Style) -> None:
    """Colors changed between two files change the second, and going back gives the first again."""
    other = replace(style, colors={**style.colors, "danger": "#123456"})
    first, second, third = (docx.render(PATIENT, one) for one in (style, other, replace(style)))
    assert first == third != second
    assert word.Document(io.BytesIO(second)).styles["Danger Heading"] is not None
