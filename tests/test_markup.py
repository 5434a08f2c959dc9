"""Plain lines are read as the Markdown reader reads them."""

from __future__ import annotations

from unittest import mock

from hypothesis import given, settings
from hypothesis import strategies as st

from docgen.blocks import PageBreak, Span
from docgen.compose import markup
from docgen.compose.tokens import Tokens

TOKENS = Tokens()
VALUE = TOKENS.keep_span(Span("38", path="teeth[0].tooth"))
BLOCK = str(TOKENS.keep_block(PageBreak()))
MARKS = "aZéا .,:;()[]<>!&`~\\|#+-=12*_\t\n\r\0\u00a0\u2028\u200b\u2066\x1c\x85/\"'"
PIECES = (*MARKS, VALUE, BLOCK, BLOCK.strip(), "1. ")


@settings(max_examples=400, deadline=None)
@given(st.lists(st.sampled_from(PIECES), max_size=10).map("".join))
def test_a_plain_line_is_what_the_markdown_reader_makes_of_it(text: str) -> None:
    """Where the reader is spared, it would have given the same blocks."""
    if markup._is_plain_line(text):
        with mock.patch.object(markup, "_is_plain_line", return_value=False):
            expected = markup.read_blocks(text, TOKENS)
        assert expected == markup.read_blocks(text, TOKENS)


def test_most_labels_and_values_are_plain_lines() -> None:
    """Letters, a value and a block are; a list, a heading, emphasis, two lines and nothing are not."""
    plain = ("Tooth", f"{VALUE}", f"Weight: {VALUE} kg", BLOCK.strip())
    marked = ("- one", "# Head", "one *two*", "one\ntwo", "1. one", "", " ", "one ")
    assert (len(plain), 0) == tuple(sum(map(markup._is_plain_line, lines)) for lines in (plain, marked))
