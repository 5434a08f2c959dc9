"""Some text and its locale > the numbers in it, written alike for every language, so that two languages compare."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache

from babel import Locale

_NUMBER = re.compile(r"\d++(?:\.\d++)?+(?![A-Za-z])")
"""A number; one that begins a word of letters (3D) is part of a name."""


def numbers_in(text: str, locale: Locale) -> tuple[str, ...]:
    """Give the numbers of a text, sorted: no mark between thousands, a point before decimals."""
    grouped, decimal = _marks(locale)
    return tuple(sorted(_NUMBER.findall(decimal.sub(".", grouped.sub("", text)))))


@lru_cache(maxsize=32)
def _marks(locale: Locale) -> tuple[re.Pattern[str], re.Pattern[str]]:
    symbols: Mapping[str, str] = locale.number_symbols.get("latn", {})
    group, decimal = re.escape(symbols.get("group", ",")), re.escape(symbols.get("decimal", "."))
    return re.compile(rf"(?<=\d)[{group}\u00a0\u202f](?=\d{{3}}(?!\d))"), re.compile(rf"(?<=\d){decimal}(?=\d)")
