"""A number and what it counts never part at the end of a line, nor a date, a time or a telephone number."""

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
        (["3 minutes, 2 miles"], "3_minutes, 2_miles"),
        (["page ", "2", " of ", "30"], "page 2_of_30"),
        (["on 17 March 2026 at 18:00"], "on 17_March 2026 at_18:00"),
        (["am 17. März 2026, um 18:00 Uhr"], "am_17._März 2026, um_18:00_Uhr"),
        (["el 17 de marzo de 2026"], "el 17_de_marzo de_2026"),
        (["March 17, 2026"], "March_17, 2026"),
        (["5 minutes, 3 per cent, 20 micrograms"], "5_minutes, 3_per_cent, 20_micrograms"),
        (["12 Quay Row, Tarn Street 61, Tarnby"], "12_Quay Row, Tarn Street_61, Tarnby"),
        (["index, 3 to 10 mm"], "index, 3_to_10_mm"),
        (["72.0 of 272.8 mg, 0.4 per cent"], "72.0_of_272.8_mg, 0.4_per_cent"),
        (["between 12:06 and 14:06."], "between 12:06 and_14:06."),
        (["40 mg / mL"], "40_mg_/_mL"),
        (["as late as day 9."], "as late as day_9."),
        (["3 मिनट में"], "3_मिनट में"),
        (["fewer than 1 of 1,000 people"], "fewer than 1_of_1,000_people"),
        (["1 incomprehensibly long word"], "1 incomprehensibly long word"),
        (["no number, nothing to bind"], "no number, nothing to bind"),
        (["a new\nline 3\nends"], "a new\nline 3\nends"),
    ],
)
def test_what_belongs_together_is_bound_and_nothing_else_changes(parts: list[str], expected: str) -> None:
    """By digits and lengths of words alone, within a value and beside it, in every language; a run stays short."""
    assert expected == plain(bound(tuple(map(Span, parts)))).replace("\u00a0", "_")


def test_a_span_keeps_what_it_is() -> None:
    """Only the text changes: the field, the weight and the language stay."""
    (span,) = bound((Span("5 mg", bold=True, language="pl", path="a.b"),))
    assert Span("5\u00a0mg", bold=True, language="pl", path="a.b") == span
    assert "a.b" == span.path
