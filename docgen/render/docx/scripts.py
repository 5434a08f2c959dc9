"""
A language > its script as Word sees it, and which pieces of a text run from right to left.

Word asks each run for its direction; LibreOffice finds it itself and does not mind.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from docgen.render.fonts.sources import CHINESE, HOUSE, Family, family_of_language

FONTS = {
    HOUSE: "Segoe UI",
    "Noto Sans Arabic": "Arial",
    "Noto Sans Hebrew": "Arial",
    "Noto Sans Devanagari": "Nirmala UI",
    "Noto Sans Bengali": "Nirmala UI",
    "Noto Sans Gurmukhi": "Nirmala UI",
    "Noto Sans Tamil": "Nirmala UI",
    CHINESE: "Microsoft YaHei",
}
"""Fonts and what Windows has in their place: a Word file carries none, and the reader may lack ours."""


_TALL = frozenset({"Noto Sans Arabic"})
"""Fonts whose own line is higher than ours (page design, section 2): it must not be let through."""


def kind_of(family: Family) -> str:
    """Name the property of Word that holds the font and size of a script; empty for that of Latin text."""
    return {HOUSE: "", CHINESE: "eastAsia"}.get(family.name, "cs")


def is_tall(family: Family) -> bool:
    """Tell whether a font asks for higher lines than the page has."""
    return family.name in _TALL


def runs_from_right(language: str) -> bool:
    """Tell whether a language is written from right to left."""
    return family_of_language(language).name in ("Noto Sans Arabic", "Noto Sans Hebrew")


_FROM_RIGHT = re.compile("[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff]")
"""Letters, signs and digits of scripts that run from right to left."""

_LEFT_PIECE = re.compile("LM*(?:[LMND]*LM*)?D*")
_RIGHT_PIECE = re.compile("RM*(?:[RMND]*RM*)?")
_CLASSES = {"L": "L", "R": "R", "AL": "R", "AN": "R", "NSM": "M", "EN": "D"}


@lru_cache(maxsize=4096)
def _class(character: str) -> str:
    return _CLASSES.get(unicodedata.bidirectional(character), "N")


def pieces(text: str, from_right: bool) -> list[tuple[str, bool]]:
    """
    Cut a text where its direction changes; each piece tells whether it runs from right to left.

    What has no direction of its own (spaces, digits, marks of punctuation) goes with the line, unless it stands
    between letters of the other direction.
    """
    if not from_right and _FROM_RIGHT.search(text) is None:
        return [(text, False)]
    found, place = [], 0
    for piece in (_LEFT_PIECE if from_right else _RIGHT_PIECE).finditer("".join(map(_class, text))):
        if piece.start() > place:
            found.append((text[place : piece.start()], from_right))
        found.append((text[piece.start() : piece.end()], not from_right))
        place = piece.end()
    if place < len(text):
        found.append((text[place:], from_right))
    return found


def first_direction(text: str) -> bool | None:
    """Tell whether the first letter of a text runs from right to left; None: it has no letter."""
    if text.isascii():
        return False if any(map(str.isalpha, text)) else None
    return next((kind == "R" for kind in map(_class, text) if kind in "LR"), None)
