"""Words > the same words, with a number and its unit, and the groups of a telephone number, bound to one line."""

from __future__ import annotations

import re
from dataclasses import replace

from docgen.blocks import Span, Words

_NO_BREAK = "\u00a0"

_UNIT = r"(?:mm|cm|mL|mg|kg|g|µg|min|h|%)(?!\w)"
"""Signs of units, which are the same in every language."""

_INSIDE = re.compile(rf"(?<=\d) (?={_UNIT})|(?<=\d\d\d) (?=\d\d\d)")
_AT_START = re.compile(rf" (?={_UNIT})")


def bound(words: Words) -> Words:
    """Put a no-break space between what a line must not part; nothing else changes."""
    out: list[Span] = []
    for span in words:
        text = _INSIDE.sub(_NO_BREAK, span.text)
        if out and out[-1].text[-1:].isdigit() and _AT_START.match(text):
            text = _NO_BREAK + text[1:]
        out.append(span if text == span.text else replace(span, text=text))
    return tuple(out)
