from dataclasses import replace

from docgen.blocks import Block, Danger, Items, Pairs, Paragraph, Section, Table
from docgen.render.style import Style
from docgen.render.text import render
from tests.render.samples import PATIENT, words


def _printed(style: Style, *blocks: Block) -> list[str]:
    document = replace(PATIENT, sections=(Section("C1 C2", words("Why"), blocks),))
    lines = render(document, style).decode().splitlines()
    inside = lines[lines.index("SEC     C1 C2 │ Why") + 1 :]
    return inside[: inside.index("")]


def test_the_first_line_is_the_origin(style: Style) -> None:
    """Kind, version, language, copy, record, issue date, editions and settings; no digests, which stir every golden."""
    assert (
        render(PATIENT, style).decode().splitlines()[0]
        == "consent v1 · en · patient copy · HM-2026-0117 · 2026-03-03 · risk 2026-1 · la.regime=uk_taught"
    )


def test_a_sentence_stands_on_a_line_of_its_own(style: Style) -> None:
    """A changed sentence is one changed line; what continues a block stands further in."""
    held = Paragraph(words("One is *here*. Two? Take 2.5 mL."))
    assert _printed(style, held) == ["P       One is here.", "        Two?", "        Take 2.5 mL."]


def test_a_line_break_of_a_value_differs_from_the_end_of_a_sentence(style: Style) -> None:
    """A break is marked, and what follows can't pass for a mark."""
    held = Pairs(((words("Told"), words("a\nP       b. c")),))
    assert _printed(style, held) == ["PAIR    Told │ a↵", "        P       b.", "        c"]


def test_a_table_shows_its_cells_and_its_sum(style: Style) -> None:
    """Head, rows and sum have marks of their own; an empty cell stays a cell."""
    table = Table((words("a"), words("b")), ((words("c"), ()), (words("d"), words("e"))), words("f"), total=True)
    assert _printed(style, table) == ["TABLE   f", "TH      a │ b", "TR      c │", "SUM     d │ e"]


def test_what_a_danger_box_frames_stands_further_in(style: Style) -> None:
    """The frame ends where the marks are back at the edge."""
    box = Danger(words("Call"), (Items((words("x. y"),)), Paragraph(words("z"))))
    lines = _printed(style, box, Paragraph(words("w")))
    assert lines == ["DANGER  Call", "  LI      x.", "          y", "  P       z", "P       w"]
