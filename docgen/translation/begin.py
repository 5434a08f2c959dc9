"""
A BCP 47 tag > the `language.yaml` of a language that nobody has begun yet, as CLDR writes it; no Python is needed.

What CLDR's data in Babel does not hold (quotation marks, the order of names) is set to what is usual and marked, so
that the translator looks at it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence

from babel import Locale, UnknownLocaleError

from docgen.language import SOURCE_LANGUAGE
from docgen.language.description import ALL_KINDS
from docgen.problem import Problem, Refused, say

TAG = re.compile(r"[A-Za-z]{2,3}(?:-[A-Za-z]{4})?(?:-(?:[A-Za-z]{2}|\d{3}))?")
FAMILY_FIRST = frozenset({"hu", "ja", "ko", "vi", "yue", "zh"})
"""Languages that write the family's name first."""

_ERA = re.compile(r"\s*G+\s*")


def begin_language(tag: str, kinds: Sequence[str], indices: Iterable[str], meanings: Iterable[str]) -> bytes:
    """
    Write the description of a new language.

    `kinds` are those it is to be whole for, none means all; `indices` are the readability indices of the figure
    table; `meanings` are what the English is compared by.

    Errors: Refused with language-unknown, if CLDR does not know the tag.
    """
    locale = locale_of(tag)
    order = "family given" if locale.language in FAMILY_FIRST else "given family"
    lines = (
        f"# How {locale.english_name} is written: begun from CLDR through Babel. Check every line.",
        f"name: {_quoted(str(locale.get_display_name(locale)))}",
        f"direction: {'rtl' if locale.character_order == 'right-to-left' else 'ltr'}",
        "# Dates and times are patterns of CLDR: d day, MMMM month in words, y year, EEEE weekday, HH:mm the time.",
        f"date: {_quoted(_without_era(locale.date_formats['long'].pattern))}",
        f"day: {_quoted(_without_era(locale.date_formats['full'].pattern))}",
        f"time: {_quoted(_by_24_hours(locale.time_formats['short'].pattern))}",
        f"name_order: {order}  # to check: given family, or family given",
        'quotation: ["“", "”"]  # to check: the marks around words that are quoted',
        f"kinds: {json.dumps(list(kinds)) if kinds else ALL_KINDS}  # a kind that is not named here is refused",
        "# An index of readability made for this language. none: no index is validated for it, and documents say so.",
        f"# The figure table has: {', '.join(indices)}; as in  readability: {{index: NAME, source: KEY}}",
        "readability: none",
        "# Words by which docgen lint compares a translation with the English, meaning by meaning; * is any ending.",
        "# A meaning without a line is not compared.",
        "compared:",
        *(f"#  {meaning}: []" for meaning in meanings),
    )
    return ("\n".join(lines) + "\n").encode()


def locale_of(tag: str) -> Locale:
    """
    Find what CLDR knows of a tag.

    Errors: Refused with language-unknown.
    """
    if TAG.fullmatch(tag) and tag != SOURCE_LANGUAGE:
        try:
            return Locale.parse(tag, sep="-")
        except (UnknownLocaleError, ValueError):
            pass
    raise refuse_tag(tag)


def refuse_tag(tag: str) -> Refused:
    """Say that a tag is none a catalog can have."""
    what = say("%(tag)s is no language to translate into", tag=tag)
    fix = say("give a tag that CLDR knows, such as es, pt-BR or zh-Hant; en is the language of the source")
    return Refused([Problem("language-unknown", "", what, fix)])


def _without_era(pattern: str) -> str:
    return _ERA.sub(" ", pattern).strip()


def _by_24_hours(pattern: str) -> str:
    """Take a clock of 24 hours in place of one of 12: nobody may take a dose half a day off."""
    return pattern if "H" in pattern else "HH:mm"


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
