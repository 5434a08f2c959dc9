"""
A word and a language > its syllables; each counter is the project's own and goes by spelling.

A number is read out digit by digit, an abbreviation letter by letter: nothing written counts as silence.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache

from docgen.readability.english import english_syllables

WORD = re.compile(r"\d+(?:[.,:\u00a0\u202f]\d+)+|\d+|[^\W\d_]+(?:['’\-\u2011][^\W\d_]+)*\d*")
"""One word: a number with its marks, or letters with the apostrophes and hyphens inside them."""

_PARTS = re.compile(r"\d|[^\W\d_]+")
_SPELLED = 4
"""The longest run of capitals that is spelled out (CT, FDI, INR)."""


def _vowel_letters(vowels: str) -> Callable[[str], int]:
    """Count vowel letters one by one, for languages in which each is a syllable."""
    return _vowel_groups(f"[{vowels}]")


def _vowel_groups(pattern: str) -> Callable[[str], int]:
    """Count what a pattern takes for the core of one syllable; it is compiled when a text is in its language."""
    return lambda word: len(re.findall(pattern, word))


_SPANISH = _vowel_groups(r"[iuü]?[aeoáéó](?:[iuyü](?![aeoáéóíú]))?|[iuü]?[íú]|[iu]{1,2}|(?<![aeou])y(?![aeiouáéíóú])")
_PORTUGUESE = _vowel_groups(r"[ãõ][eo]|[iu](?=[íú])|[aeoáàâãéêóôõ][iu](?![nrlmz](?:$|[^aeiou]))|[aeiouáàâãéêíóôõúü]")
_GERMAN = _vowel_groups(r"ai|au|äu|ei|eu|(?<!il|at)ie(?!n$)|aa|ee|oo|[aeiouyäöü]")
_POLISH = _vowel_groups(r"i[aąeęoóu]|au|eu|[aąeęioóuy]")


def _spanish(word: str) -> int:
    return _SPANISH(re.sub(r"(?<=q)u|(?<=g)u(?=[eiéí])", "", word))


def _portuguese(word: str) -> int:
    return _PORTUGUESE(re.sub(r"(?<=[qg])u(?=[aeiouáéíóâêôã])", "", word))


def _french(word: str) -> int:
    """Count French vowel groups; an unstressed e at the end is silent, in the plural and in verbs too."""
    spelled = re.sub(r"(?<=[qg])u(?=[eiéèêy])", "", word)
    spelled = re.sub(r"(?<=[^aeiouyéèêàâîôûëïü])(?:e|es)$", "", spelled) or word
    spelled = re.sub(r"(?<=[iuyé])es?$", "", spelled)
    return len(re.findall(r"(?<=[bcdfgptv][lr])i(?=[oaée])|[aeiouyéèêàâîôûëïüœ]+", spelled))


_COUNTERS: dict[str, Callable[[str], int]] = {
    "en": english_syllables,
    "es": _spanish,
    "it": _vowel_groups(r"[iu]?[aeoàèéò][iu]?|[iuìù]+"),
    "de": _GERMAN,
    "pl": _POLISH,
    "fr": _french,
    "pt": _portuguese,
    "ru": _vowel_letters("аеёиоуыэюя"),
}
_ANY = _vowel_groups(r"[aeiouyáéíóúàèìòùâêîôûäëïöüаеёиоуыэюя]+")


@lru_cache(maxsize=1024)
def syllables(word: str, language: str) -> int:
    """Count the syllables of one word of a text; a language without a counter of its own counts groups of vowels."""
    counter = _COUNTERS.get(language, _ANY)
    return max(1, sum(_part(part, counter) for part in _PARTS.findall(word)))


def _part(part: str, counter: Callable[[str], int]) -> int:
    if part.isdigit():
        return 1
    if len(part) > 1 and part.isupper() and len(part) <= _SPELLED:
        return len(part)
    small = part.lower()
    if len(small) > 1 and not _ANY(small) and small.isascii():
        return len(small)
    return counter(small)
