"""Numbers and colors > how a content stream writes them; one way for all who draw."""

from __future__ import annotations

from functools import lru_cache

FINE = 3
"""Decimals of text and of drawings in mm; a hundredth of a point, two, is less than a printer's dot."""


def number(value: float, places: int = 2) -> str:
    """Write a number with at most some decimals."""
    written = f"{value:.{places}f}"
    if "." in written:
        written = written.rstrip("0").rstrip(".")
    return "0" if written == "-0" else written


def numbers(*values: float, places: int = 2) -> str:
    """Write numbers with spaces between them."""
    return " ".join([number(value, places) for value in values])


@lru_cache(maxsize=64)
def color(value: str, stroke: bool = False) -> str:
    """Write the operator that takes up a color, given as #RRGGBB."""
    parts = (int(value[place : place + 2], 16) / 255 for place in (1, 3, 5))
    return numbers(*parts, places=4) + (" RG" if stroke else " rg")
