"""A number and its unit never part at the end of a line, nor the groups of a telephone number."""

import pytest

from docgen.blocks import Span, plain
from docgen.compose.binding import bound


@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        (["mouth opening 36 mm, pus 2 mL"], "mouth opening 36_mm, pus 2_mL"),
        (["at most ", "1,200", " mg a day"], "at most 1,200_mg a day"),
        (["up to 40 % of", " 30 min"], "up to 40_% of 30_min"),
        (["call ", "0100 555 0142", " at once"], "call 0100_555_0142 at once"),
        (["3 minutes, 2 miles, 5 horses, 10 grams"], "3 minutes, 2 miles, 5 horses, 10 grams"),
        (["page 2 of 30"], "page 2 of 30"),
    ],
)
def test_what_belongs_together_is_bound_and_nothing_else_changes(parts: list[str], expected: str) -> None:
    """Units are bound by their sign, within a value and beside it; other words keep their spaces."""
    assert expected == plain(bound(tuple(map(Span, parts)))).replace("\u00a0", "_")


def test_a_span_keeps_what_it_is() -> None:
    """Only the text changes: the field, the weight and the language stay."""
    (span,) = bound((Span("5 mg", bold=True, language="pl", path="a.b"),))
    assert Span("5\u00a0mg", bold=True, language="pl", path="a.b") == span
    assert "a.b" == span.path
