"""
Codes of glyphs and the moves between them > the inside of a TJ array of PDF. Apart from `face`, which shapes.

Strings are written byte for byte, a character of Latin-1 for each byte: half as long as in digits, and packed in half
the time.
"""

from __future__ import annotations

from collections.abc import Iterable

FARTHEST = 90
"""Thousandths of an em: a glyph that stands farther from the last begins another word, readers think (0.1 and more)."""

_ESCAPED = {"(": r"\(", ")": r"\)", "\\": r"\\", "\r": r"\r"}
"""What a string may not hold as it is (PDF 32000-1, 7.3.4.2): a return would be read as a line feed."""

BYTES = "latin-1"
"""Encodes what is written."""

JUNCTION = ")("
"""Ends a string and begins the next; inside of one, brackets have a stroke before them."""


class _Codes(dict[int, str]):
    """The two bytes of each code, as a string has them."""

    def __missing__(self, code: int) -> str:
        written = self[code] = "".join(_ESCAPED.get(c, c) for c in code.to_bytes(2, "big").decode(BYTES))
        return written


written_code = _Codes().__getitem__
"""Writes a code of two bytes."""


def joined(codes: Iterable[tuple[int, str]], after: int, upem: int) -> str:
    """Write codes and the moves between them as the inside of a TJ array; moves in font units."""
    parts: list[str] = []
    open_string = False
    for before, code in codes:
        if before:
            parts.append((")" if open_string else "") + _moved(before, upem))
            open_string = False
        parts.append(code if open_string else "(" + code)
        open_string = True
    if open_string:
        parts.append(")")
    if after:
        parts.append(_moved(after, upem))
    return "".join(parts)


def _moved(units: int, upem: int) -> str:
    """Write a move of the pen; a long one forward in steps, which no reader takes for a space between words."""
    most, steps = FARTHEST * upem // 1000, []
    while units > most:
        steps.append(_thousandths(-most, upem))
        units -= most
    return " ".join([*steps, _thousandths(-units, upem)])


def _thousandths(units: int, upem: int) -> str:
    if upem == 1000:
        return str(units)
    return f"{units * 1000 / upem:.2f}".rstrip("0").rstrip(".")
