"""A character > the family that prints it: the house family first, then the one whose script it belongs to."""

from __future__ import annotations

from functools import lru_cache

from docgen.render.fonts.cut import characters_of
from docgen.render.fonts.own import OWN
from docgen.render.fonts.sources import FAMILIES, HOUSE, family_of_language


@lru_cache(maxsize=8192)
def family_of(character: str, language: str = "", first: str = HOUSE) -> str | None:
    """
    Name the family that prints a character, `first` if it has it; None if no font does.

    The language decides where families share a character; full-width punctuation of Chinese text stays Chinese.
    """
    point, own = ord(character), family_of_language(language).name
    chain = (first, HOUSE, own, *(name for name in FAMILIES if name not in OWN))
    for name in chain:
        blocks = FAMILIES[name].blocks
        if any(first <= point <= last for first, last in blocks) and point in characters_of(name):
            return name
    return None


def size_of(family: str, language: str) -> float:
    """
    Give the size of a family against Latin (page design, section 2).

    Latin inside Arabic text is 0.90 of the Arabic, so that neither looks larger.
    """
    own = family_of_language(language)
    if family == HOUSE and own.name == "Noto Sans Arabic":
        return LATIN_IN_ARABIC * own.size
    return FAMILIES[family].size


LATIN_IN_ARABIC = 0.90
"""Size of Latin letters in Arabic text, as a part of the Arabic size (page design, section 2)."""


def line_of(language: str) -> float:
    """Give the line height of a language against that of Latin text of the same role."""
    own = family_of_language(language)
    return own.size * own.line / FAMILIES[HOUSE].line
