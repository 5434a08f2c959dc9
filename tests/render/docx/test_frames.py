"""The danger box of a Word file: a frame that a page parts only above the numbers, and numbers large enough to dial."""

from dataclasses import replace

import pytest
from lxml import etree

from docgen.blocks import Choice, Danger, Document, Items, Layout, Pairs, Paragraph, Span, Together, Words, Writing
from docgen.render.style import Style
from tests.render.docx.reading_parts import W, main_part, parts, styled, text, values, with_blocks
from tests.render.samples import PATIENT, words

LARGE = replace(PATIENT, layout=Layout(large_print=True))
ARABIC = replace(PATIENT, language="ar", direction="rtl")
SIGNS = Items((words("hard to breathe"), words("fever")))


def box(*numbers: str, base: Document = PATIENT) -> Document:
    """Make a document with a danger box that ends in telephone numbers, each isolated from the line around it."""
    rows: list[tuple[Words, Words]] = [
        (words(f"label {n}"), (Span(one, isolated=True),)) for n, one in enumerate(numbers)
    ]
    return with_blocks(Danger(words("Call now"), (SIGNS, Pairs(tuple(rows)))), base=base)


def rows_of(document: Document, style: Style) -> list[list[str]]:
    """List the cells of the box, row by row, each as what it says."""
    table = next(main_part(document, style).iter(f"{W}tbl"))
    return [[text(cell) for cell in row.iter(f"{W}tc")] for row in table.iter(f"{W}tr")]


def test_numbers_stand_beside_each_other_below_the_signs(style: Style) -> None:
    """Each cell says a label, its number and its hours, in that order: so they are read out."""
    made = rows_of(box("000", "0100 555 0100", "0100 555 0199, 18:00 to 08:00"), style)
    signs, numbers = "Call nowhard to breathefever", ["000", "0100 555 0100", "0100 555 0199, 18:00 to 08:00"]
    assert [[signs], [f"label {place}{number}" for place, number in enumerate(numbers)]] == made


@pytest.mark.parametrize(
    ("base", "numbers", "expected"),
    [
        (PATIENT, ("000",), [1]),
        (PATIENT, ("000", "0100 555 0100"), [2]),
        (PATIENT, ("000", "+000 100 555 0100 20", "0100 555 0100"), [2, 1]),
        (PATIENT, ("000", "+000 100 555 0100 20 555 0100 20"), [1, 1]),
        (LARGE, ("000", "0100 555 0100", "0100 555 0199"), [2, 1]),
    ],
)
def test_no_number_breaks_over_two_lines(
    base: Document, numbers: tuple[str, ...], expected: list[int], style: Style
) -> None:
    """A long number, or large print, leaves room for fewer beside each other (page design, section 8.4)."""
    assert expected == [len(row) for row in rows_of(box(*numbers, base=base), style)[1:]]


def test_a_number_is_as_large_as_in_the_pdf_and_its_hours_are_not(style: Style) -> None:
    """19 points beside text of 12, 26 beside 18, bold, by a named style (page design, section 2)."""
    made = {base.layout.large_print: parts(box("0100 555 0100, 18:00", base=base), style) for base in (PATIENT, LARGE)}
    sheets = {large: etree.fromstring(files["word/styles.xml"]) for large, files in made.items()}
    found = {large: sheet.find(f"{W}style[@{W}styleId='Telephone']/{W}rPr") for large, sheet in sheets.items()}
    assert {False: ["38"], True: ["52"]} == {large: values(look, "sz") for large, look in found.items()}
    assert all(look.find(f"{W}b") is not None for look in found.values())
    main = etree.fromstring(made[False]["word/document.xml"])
    assert ["18:00"] == [text(run) for run in main.iter(f"{W}r") if values(run, "rStyle") == ["Hours"]]


def test_a_value_without_a_number_is_not_printed_as_one(style: Style) -> None:
    """Words that tell whom to call have the size of text."""
    main = main_part(box("ask at the desk"), style)
    assert [] == styled(main, "Telephone")
    assert ["ask at the desk"] == [text(paragraph) for paragraph in styled(main, "FramedValue")]


def test_a_page_may_part_the_box_above_the_numbers_only(style: Style) -> None:
    """Rather than on a later page, the signs stand where they are read first: their row does not hold the numbers."""
    main = main_part(box("000", "0100 555 0100", "0100 555 0199", base=LARGE), style)
    rows = [*next(main.iter(f"{W}tbl")).iter(f"{W}tr")]
    assert [1, 1, 1] == [len([*row.iter(f"{W}cantSplit")]) for row in rows]
    last = [[*cell.iter(f"{W}pPr")][-1] for row in rows for cell in [next(row.iter(f"{W}tc"))]]
    assert [False, True, False] == [one.find(f"{W}keepNext") is not None for one in last]
    heading = etree.fromstring(parts(box("000"), style)["word/styles.xml"]).find(
        f"{W}style[@{W}styleId='DangerHeading']"
    )
    assert ["0"] == values(heading, "keepNext")  # LibreOffice would hold the whole table by its first line


def test_in_an_arabic_box_all_begins_at_the_right(style: Style) -> None:
    """Numbers run from the left, but stand below their label."""
    main = main_part(box("0100 555 0199, 18:00 to 08:00", base=ARABIC), style)
    cell = [*main.iter(f"{W}tc")][-1]
    assert [] == values(cell, "bidi")
    assert {"ltr"} == set(values(cell, "dir"))


@pytest.mark.parametrize(
    ("numbers", "even"),
    [(("000", "0100 555 0100", "0100 555 0199, 18:00 to 08:00"), False), (("000", "0100, " + "by day " * 20), True)],
)
def test_each_number_has_the_room_its_lines_need(numbers: tuple[str, ...], even: bool, style: Style) -> None:
    """Hours that would wrap in a third of the box take the room that a short number leaves; else all have the same."""
    widths = [int(one) for one in values(main_part(box(*numbers), style), "gridCol", "w")]
    assert even == (max(widths) - min(widths) < 2)
    assert 9864 == sum(widths)


def test_an_answer_stands_in_one_frame_that_no_page_cuts(style: Style) -> None:
    """A table of one cell over the whole width, with a line on each side, named by what it says first."""
    answer = Together(
        (
            Paragraph(words("Answer, to desk@example")),
            Choice((), (words("Go on"), words("Wait"))),
            Writing(words("Name"), 0),
        ),
        framed=True,
    )
    document = with_blocks(answer)
    (table,) = main_part(document, style).iter(f"{W}tbl")
    lines = etree.fromstring(parts(document, style)["word/styles.xml"]).find(f"{W}style[@{W}styleId='AnswerFrame']")
    assert lines is not None
    stops = [int(stop) for stop in values(table, "tab", "pos") if stop]
    content = round(style.lengths["content"] * 1440 / 25.4)

    assert ["Answer, to desk@example"] == values(table, "tblCaption")
    assert [[f"Answer, to desk@example{''.join(['☐Go on', '☐Wait'])}Name"]] == [
        [text(cell).replace("\t", "").strip() for cell in row.iter(f"{W}tc")] for row in table.iter(f"{W}tr")
    ]
    assert 1 == len([*table.iter(f"{W}cantSplit")])
    assert {f"{W}{edge}" for edge in ("top", "left", "bottom", "right")} == {
        edge.tag for edge in lines.find(f".//{W}tblBorders")
    }
    assert stops
    assert max(stops) < content
