"""Which way words run in a Word file: each run, each paragraph, each table and the section."""

from dataclasses import replace

import pytest

from docgen.blocks import Paragraph, Span, Table
from docgen.render.docx.scripts import first_direction, pieces
from docgen.render.style import Style
from tests.render.docx.reading_parts import W, main_part, parts, styled, values, with_blocks
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
    assert "\u200e0100 555 0142" == "".join(next(main.iter(f"{W}dir")).itertext(f"{W}t"))  # LRM: for LibreOffice


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
    """The Arabic half of a pair is set from the right in an English document, its number too."""
    arabic = (Span("1\u2002"), Span("لا تغسل الفم", language="ar"))
    mixed = (Span("The word "), Span("سن", language="ar"))
    main = main_part(with_blocks(Paragraph(arabic), Paragraph(mixed)), style)
    other, own = styled(main, "BodyText")
    assert "1" == other.find(f"{W}pPr/{W}bidi").get(f"{W}val")
    assert own.find(f"{W}pPr/{W}bidi") is None


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
