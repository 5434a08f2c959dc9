"""Right-to-left documents: what is read left to right stays in one run, in its own order."""

from __future__ import annotations

import pytest

from docgen.blocks import Span, Words, plain
from docgen.compose.runs import joined


def value(text: str) -> Span:
    """Give a value as templates print it."""
    return Span(text, isolated=True)


@pytest.mark.parametrize(
    ("words", "runs"),
    [
        ((value("Beatrix"), Span(" "), value("Holloway-Vane")), ["Beatrix Holloway-Vane"]),
        ((Span("الجرعة: "), value("500"), Span("\u00a0mg كل يوم")), ["الجرعة: ", "500\u00a0mg", " كل يوم"]),
        ((value("42"), Span("°.")), ["42°", "."]),
        ((value("1"), Span(":"), value("200,000")), ["1:200,000"]),
        ((Span("التخفيف 1:"), value("80,000")), ["التخفيف ", "1:80,000"]),
        ((value("10"), Span(" أيام")), ["10", " أيام"]),
        ((value("ليلى"), Span(" "), value("حداد")), ["ليلى", " ", "حداد"]),
        ((value("FDI"), Span("، "), value("38")), ["FDI", "، ", "38"]),
    ],
)
def test_what_belongs_together_is_one_run(words: Words, runs: list[str]) -> None:
    """Names and numbers with units are one isolate; what is Arabic, or parted by a mark, stays apart."""
    found = joined(words)

    assert runs == [span.text for span in found]
    assert plain(words) == plain(found)
