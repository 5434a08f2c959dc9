"""A check list in a Word file: its rows are close where it is long, its line for the pen stands beside the heading."""

from dataclasses import replace

import pytest
from lxml import etree

from docgen.blocks import Block, Document, Heading, Layout, Span, Table, Writing
from docgen.render.style import Style
from tests.render.docx.reading_parts import W, main_part, parts, styled, text, values, with_blocks
from tests.render.samples import PATIENT, words

STAFF = replace(PATIENT, layout=Layout(voice="staff"))
TIME = Writing(words("Time, and who leads"), 0)


def listed(points: int) -> Document:
    """Make a check list."""
    rows = tuple((words(str(n)), words("All say name and role"), words("yes"), words("")) for n in range(points))
    heads = tuple(map(words, ("No.", "Point", "From the record", "Done")))
    return with_blocks(Table(heads, rows, boxes=(3,)), base=STAFF)


def under(heading: str, *following: Block) -> Document:
    """Make a section of a check list."""
    return with_blocks(Heading(2, words(heading)), *following, base=STAFF)


@pytest.mark.parametrize(("heading", "stops"), [("Before leaving", ["left", "right"]), ("Before " * 6, ["right"])])
def test_the_line_for_the_pen_stands_beside_the_heading(heading: str, stops: list[str], style: Style) -> None:
    """Where texts begin, or close to a heading that reaches into their column; a line for each would cost the page."""
    (line,) = styled(main_part(under(heading, TIME), style), "heading2")
    assert stops == [kind for kind in values(line, "tab") if kind]
    assert ["underscore"] == [leader for leader in values(line, "tab", "leader") if leader]
    assert 1 == len([*line.iter(f"{W}sdt")])
    assert text(line).rstrip("\u2002").endswith("Time, and who leads")


def test_a_line_for_the_pen_below_words_is_a_paragraph(style: Style) -> None:
    """Only a heading shares its line."""
    main = main_part(with_blocks(Heading(2, words("Before")), Table((words("a"),), ((words("b"),),)), TIME), style)
    assert ["Time, and who leads"] == [text(one).strip("\u2002") for one in styled(main, "LineBeside")]


@pytest.mark.parametrize(("points", "height"), [(8, True), (60, False)])
def test_a_short_check_list_has_rows_for_the_hand(points: int, height: bool, style: Style) -> None:
    """A long one is set as close as the PDF sets it, to keep to its page."""
    rows = [*main_part(listed(points), style).iter(f"{W}tr")][1:]
    assert {height} == {row.find(f".//{W}trHeight") is not None for row in rows}


def test_a_check_list_has_looks_of_its_own(style: Style) -> None:
    """Two thirds of the gap between columns, nine tenths of the line: by named styles, as in the PDF."""
    made = parts(listed(8), style)
    assert ["CheckList"] == values(etree.fromstring(made["word/document.xml"]), "tblStyle")
    sheet = etree.fromstring(made["word/styles.xml"])
    gaps = {
        name: sheet.find(f"{W}style[@{W}styleId='{name}']//{W}tblCellMar/{W}right")
        for name in ("HouseTable", "CheckList")
    }
    house, close = (int(gap.get(f"{W}w")) for gap in gaps.values())
    assert (170, 113) == (house, close)
    lines = [sheet.find(f"{W}style[@{W}styleId='{name}']//{W}spacing").get(f"{W}line") for name in ("Cell", "BoxCell")]
    assert ["260", "234"] == lines


def test_the_foot_is_run_on_where_that_saves_a_line(style: Style) -> None:
    """Three short lines make two; two that fit beside each other stay what they are, as in the PDF."""
    few, many = (tuple((Span("Record HM-2026-0117, version 1."),) for _ in range(n)) for n in (2, 3))
    last = (Span("Nobody qualified has read this translation, and what binds is the text in English. " * 2),)
    found = {}
    for name, foot in (("few", few), ("many", (*many, last))):
        document = replace(PATIENT, furniture=replace(PATIENT.furniture, foot=foot))
        found[name] = len(styled(etree.fromstring(parts(document, style)["word/footer2.xml"]), "footer"))
    assert {"few": 2, "many": 1} == found
