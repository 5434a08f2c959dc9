"""Numbers and colors > how a content stream writes them; one way for all who draw."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

FINE = 3
"""Decimals of text and of drawings in mm; a hundredth of a point, two, is less than a printer's dot."""


KEPT_NUMBERS = 4096
"""Written numbers that are kept: the same places and sizes stand on page after page."""


@lru_cache(maxsize=KEPT_NUMBERS)
def number(value: float, places: int = 2) -> str:
    """Write a number with at most some decimals."""
    written = f"{value:.{places}f}"
    if "." in written:
        written = written.rstrip("0").rstrip(".")
    return "0" if written == "-0" else written


def numbers(*values: float, places: int = 2) -> str:
    """Write numbers with spaces between them."""
    return " ".join([number(value, places) for value in values])


def fine(values: Sequence[float]) -> list[str]:
    """Write many numbers as `number` does with FINE decimals; for those that hardly ever come again."""
    written = "%.3f " * len(values) % tuple(values)
    for _ in range(FINE):
        written = written.replace("0 ", " ")
    return written.replace(". ", " ").replace("-0 ", "0 ").split(" ")[:-1]


@lru_cache(maxsize=64)
def color(value: str, stroke: bool = False) -> str:
    """Write the operator that takes up a color, given as #RRGGBB."""
    parts = (int(value[place : place + 2], 16) / 255 for place in (1, 3, 5))
    return numbers(*parts, places=4) + (" RG" if stroke else " rg")
