"""Which way words run in a Word file: each run, each paragraph, each table and the section."""

from dataclasses import replace

import pytest
from lxml import etree

from docgen.blocks import Mark, Pairs, Paragraph, Span, Table
from docgen.render.docx.scripts import first_direction, pieces
from docgen.render.style import Style
from tests.render.docx.reading_parts import W, main_part, parts, styled, text, values, with_blocks
from tests.render.samples import PATIENT, words

ARABIC = replace(PATIENT, language="ar", direction="rtl")


@pytest.mark.parametrize(
    ("text", "from_right", "expected"),
    [
        ("plain words", False, [("plain words", False)]),
        ("see سن 3, now", False, [("see ", False), ("سن", True), (" 3, now", False)]),
        ("سن 38 FDI هنا", True, [("سن 38 ", True), ("FDI", False), (" هنا", True)]),
        ("قال Maren Holt، ثم", True, [("قال ", True), ("Maren Holt", False), ("، ثم", True)]),
        ("غرفة B12.", True, [("غرفة ", True), ("B12", False), (".", True)]),
        ("مُعَلَّم", False, [("مُعَلَّم", True)]),
        ("0100 555 0142", True, [("0100 555 0142", True)]),
    ],
)
def test_a_text_is_cut_where_its_direction_changes(text: str, from_right: bool, expected: list[object]) -> None:
    """Letters decide; digits and punctuation go with the line unless they stand between letters of the other way."""
    assert expected == pieces(text, from_right)


def test_the_first_letter_gives_the_direction() -> None:
    """A number has none of its own."""
    assert [False, True, None] == [first_direction(text) for text in ("(a) س", "(س) a", "38.5")]


def test_runs_from_the_right_are_marked_and_latin_ones_are_not(style: Style) -> None:
    """Word takes the order of a run from its mark, so Latin words in an Arabic line carry none."""
    main = main_part(with_blocks(Paragraph(words("سن 38 FDI هنا")), base=ARABIC), style)
    (body,) = styled(main, "BodyText")
    found = [(run.find(f"{W}rPr/{W}rtl") is not None, run.findtext(f"{W}t")) for run in body.iter(f"{W}r")]
    assert [(True, "سن 38 "), (False, "FDI"), (True, " هنا")] == found


def test_a_name_or_number_keeps_its_own_direction(style: Style) -> None:
    """An isolated telephone number in an Arabic line stands in an embedding from left to right."""
    number = Span("0100 555 0142", isolated=True)
    main = main_part(with_blocks(Paragraph((*words("اتصل "), number)), base=ARABIC), style)
    assert ["ltr"] == values(main, "dir")
    assert "\u200e0100 555 0142\u200e" == text(next(main.iter(f"{W}dir")))  # LRM: for LibreOffice


def test_a_sentence_keeps_its_point_at_its_own_end(style: Style) -> None:
    """A word processor without embeddings takes the direction of a point from what stands on both sides of it."""
    sentence = (Span("It hurts (left).", language="en"),)
    typed = (Span("Orla said: it hurts.", isolated=True),)
    main = main_part(with_blocks(Paragraph(sentence), Pairs(((words("قالت"), typed),)), base=ARABIC), style)
    assert ["It hurts (left).\u200e", "Orla said: it hurts.\u200e"] == [text(one) for one in main.iter(f"{W}dir")][-2:]


def test_english_words_of_an_arabic_page_stand_in_its_column(style: Style) -> None:
    """Their lines begin where the others do, as in the PDF; a paragraph from the left would leave the column."""
    main = main_part(with_blocks(Paragraph((Span("It hurts.", language="en"),)), base=ARABIC), style)
    (body,) = styled(main, "BodyText")
    assert [] == values(body, "bidi")
    assert ["ltr"] == values(body, "dir")


def test_paragraphs_section_and_tables_of_an_arabic_document_run_from_the_right(style: Style) -> None:
    """Paragraphs by the styles all are built on; columns of a table and the section by marks of their own."""
    table = Table((words("ا"), words("ب")), ((words("1"), words("2")),))
    made = parts(with_blocks(table, base=ARABIC), style)
    main = made["word/document.xml"]
    assert b"<w:bidiVisual/>" in main
    assert b"<w:titlePg/><w:bidi/></w:sectPr>" in main
    assert b'w:styleId="Normal"><w:name w:val="Normal"/><w:qFormat/><w:pPr><w:bidi/></w:pPr>' in made["word/styles.xml"]
    assert b"bidi/" not in main_without(main, b"<w:bidi/></w:sectPr>")


def main_without(content: bytes, part: bytes) -> bytes:
    """Leave out what is expected."""
    return content.replace(part, b"").replace(b"<w:bidiVisual/>", b"")


def test_a_paragraph_in_the_other_language_runs_its_own_way(style: Style) -> None:
    """The Arabic half of a pair is set from the right in an English document, in the same column, its number too."""
    arabic = (Span("1\u2002"), Span("لا تغسل الفم", language="ar"))
    mixed = (Span("The word "), Span("سن", language="ar"))
    made = parts(with_blocks(Paragraph(arabic), Paragraph(mixed)), style)
    main, sheet = (etree.fromstring(made[f"word/{name}.xml"]) for name in ("document", "styles"))
    assert ["1\u2002لا تغسل الفم"] == [text(one) for one in styled(main, "FromRightBodyText")]
    assert 1 == len(styled(main, "BodyText"))
    own, other = (sheet.find(f"{W}style[@{W}styleId='{name}BodyText']/{W}pPr") for name in ("", "FromRight"))
    assert [True, False] == [one.find(f"{W}bidi") is None for one in (own, other)]
    assert [values(own, "ind", "left"), values(own, "ind", "right")] == [
        values(other, "ind", "right"),
        values(other, "ind", "left"),
    ]


def test_a_document_in_one_direction_has_no_styles_for_another(style: Style) -> None:
    """A secretary sees no styles that nothing needs."""
    made = [parts(base, style)["word/styles.xml"] for base in (PATIENT, ARABIC)]
    assert [0, 0] == [one.count(b"From Right") for one in made]


def test_the_band_of_a_mark_is_whole(style: Style) -> None:
    """LibreOffice shows a stray edge where words follow a no-break space, and where a space ends a line."""
    marks = (Mark("draft", "مسودة"), Mark("sample", "SAMPLE", language="en"))
    main = main_part(replace(ARABIC, furniture=replace(PATIENT.furniture, marks=marks)), style)
    (line,) = styled(main, "Marks")
    found = [text(run) for run in line.iter(f"{W}r") if values(run, "rStyle") == ["MarkFilled"]]
    assert ["\u2002مسودة\u2005", "\u2005SAMPLE\u00a0"] == found


@pytest.mark.parametrize(
    ("language", "kind", "font", "size"),
    [
        ("ar", "cs", "Noto Sans Arabic", ("24", "27")),
        ("he", "cs", "Noto Sans Hebrew", ("24", "25")),
        ("hi", "cs", "Noto Sans Devanagari", ("24", "24")),
        ("zh", "eastAsia", "Noto Sans SC", ("23", "24")),
        ("vi", "cs", "Noto Sans", ("24", "24")),
    ],
)
def test_each_script_has_its_font_and_size(
    language: str, kind: str, font: str, size: tuple[str, str], style: Style
) -> None:
    """Word reads fonts and sizes of complex scripts from properties of their own (page design, section 2)."""
    styles = parts(replace(PATIENT, language=language), style)["word/styles.xml"].decode()
    assert f'w:{kind}="{font}"' in styles.partition("</w:docDefaults>")[0]
    body = styles.partition('w:styleId="BodyText"')[2].partition("</w:style>")[0]
    assert f'<w:sz w:val="{size[0]}"/><w:szCs w:val="{size[1]}"/>' in body
    assert "<w:b/><w:bCs/>" in styles.partition('w:styleId="Lead"')[2].partition("</w:style>")[0]


def test_a_second_script_brings_its_font_to_the_styles(style: Style) -> None:
    """A run in Arabic in an English document needs no font of its own: the styles have it."""
    made = parts(with_blocks(Paragraph((Span("سن", language="ar"),))), style)
    assert b'w:cs="Noto Sans Arabic"' in made["word/styles.xml"]
    assert b"rFonts" not in made["word/document.xml"]
