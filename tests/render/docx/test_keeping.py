"""What stays on one page with what in a Word file, beside what the styles hold."""

from docgen.blocks import Heading, Note, Paragraph
from docgen.render.style import Style
from tests.render.docx.reading_parts import W, main_part, text, with_blocks
from tests.render.samples import words

READ, REMARK = Paragraph(words("Each dot is 100 people."), role="small"), Note(words("Laws vary."))


def kept(style: Style, *blocks: Heading | Paragraph | Note) -> list[str]:
    """List what is said in paragraphs that stay with the next of themselves."""
    main = main_part(with_blocks(*blocks), style)
    return [text(found) for found in main.iter(f"{W}p") if found.find(f"{W}pPr/{W}keepNext") is not None]


def test_how_to_read_a_table_stays_with_what_announces_it(style: Style) -> None:
    """The block of what is much rarer moves whole to the next page, with its head (page design, section 7)."""
    announced, plain = Paragraph(words("Out of 100,000 people:")), Paragraph(words("No more is known."))
    assert ["Each dot is 100 people.", "Out of 100,000 people:"] == kept(style, READ, announced, plain, plain)
    assert [] == kept(style, READ, plain, plain)


def test_a_remark_has_no_page_of_its_own_at_the_end(style: Style) -> None:
    """What stands above the last remark goes with it; a remark in the middle holds nothing."""
    said = Paragraph(words("I ask for this."))
    assert ["I ask for this."] == kept(style, said, REMARK)
    assert ["I ask for this."] == kept(style, Paragraph(words("Another.")), REMARK, said, READ)
    assert [] == kept(style, said, REMARK, said)
