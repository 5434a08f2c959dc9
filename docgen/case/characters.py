"""Text > the first character that no record may hold; apart because names, texts and keys share the rule."""

from __future__ import annotations

import unicodedata

_DIRECTION = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f\u061c")
_OTHER = frozenset("\ufeff\u2028\u2029")
_REFUSED_CATEGORIES = frozenset({"Cc", "Cs", "Co"})


def bad_character(text: str, *, many_lines: bool) -> str | None:
    """
    Find the first control, direction, private-use, half or missing character; None if all may be printed.

    Newline and tab are allowed in texts of several lines.
    """
    for character in text:
        if many_lines and character in "\n\t":
            continue
        if character in _DIRECTION or character in _OTHER or unicodedata.category(character) in _REFUSED_CATEGORIES:
            return character
        point = ord(character)
        if 0xFDD0 <= point <= 0xFDEF or point & 0xFFFE == 0xFFFE:
            return character
    return None


def code_point(character: str) -> str:
    """Name a character without printing it."""
    return f"U+{ord(character):04X}"


def is_blank(text: str) -> bool:
    """Tell whether a reader would see nothing at all."""
    return all(unicodedata.category(character) in ("Zs", "Zl", "Zp", "Cf", "Cc") for character in text)
