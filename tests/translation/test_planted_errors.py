"""Errors planted into every shipped catalog: another number, dose, time, side, jaw or tooth, a lost negation."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from itertools import islice

import pytest
from conftest import ROOT

from docgen.language import SOURCE_LANGUAGE, Language, language_names, read_language
from docgen.problem import Problems
from docgen.translation.compared import differences, patterns
from docgen.translation.contract import PLACEHOLDER, UNIT, sentence_faults

LOCALES = (ROOT / "locales",)
LANGUAGES = [name for name in language_names(LOCALES) if name != SOURCE_LANGUAGE]
EACH = 12
"""Errors planted of each kind, as far as the catalog has sentences for it."""

Planted = Iterator[tuple[str, str]]
"""English sentence and spoiled translation."""

TIMES = ("minute", "hour", "day", "week", "month", "year")
TEETH = ("wisdom", "milk", "first", "second", "third", "molar", "incisor")
OTHER_UNIT = {"mg": "mL", "mL": "mg", "mm": "cm", "cm": "mm", "kg": "mg"}


def _language(name: str) -> Language:
    found = read_language(name, LOCALES, Problems())
    assert found is not None
    return found


def _is_silent(source: str, translated: str, language: Language) -> bool:
    english = _language(SOURCE_LANGUAGE)
    return not [*sentence_faults(source, translated, language), *differences(source, translated, english, language)]


def _pairs(language: Language) -> Iterator[tuple[str, str]]:
    """Give the sentences without a finding, each with its translation."""
    for key, forms in language.catalog.entries.items():
        if len(forms) == 1 and _is_silent(key[1], forms[0], language):
            yield key[1], forms[0]


def _numbers(language: Language) -> Planted:
    for source, said in _pairs(language):
        plain = PLACEHOLDER.sub(lambda found: " " * len(found[0]), said)
        if digit := re.search(r"\d(?!\d*[A-Za-z])", plain):
            at = digit.start()
            yield source, f"{said[:at]}{(int(digit[0]) + 1) % 10}{said[at + 1 :]}"


def _units(language: Language) -> Planted:
    for source, said in _pairs(language):
        if (found := UNIT.search(said)) and found[0] in OTHER_UNIT:
            yield source, said[: found.start()] + OTHER_UNIT[found[0]] + said[found.end() :]


def _placeholders(language: Language) -> Planted:
    for source, said in _pairs(language):
        if found := PLACEHOLDER.search(said):
            yield source, said[: found.start()] + said[found.end() :]


def _swapped(*groups: tuple[str, ...]) -> Callable[[Language], Planted]:
    """Put the word of another meaning of a group in the place of each; a group of one loses its word."""

    def planted(language: Language) -> Planted:
        known, pairs = dict(patterns(language)), list(_pairs(language))
        for group in groups:
            words = {name: _some_word(known[name], pairs) for name in group if name in known}
            for name in words:
                other = next((words[one] for one in words if one != name), "")
                for source, said in pairs:
                    if found := known[name].search(PLACEHOLDER.sub(lambda hit: " " * len(hit[0]), said)):
                        yield source, said[: found.start()] + other + said[found.end() :]

    return planted


def _some_word(pattern: re.Pattern[str], pairs: list[tuple[str, str]]) -> str:
    return next((found[0] for _, said in pairs if (found := pattern.search(said))), "")


KINDS: dict[str, Callable[[Language], Planted]] = {
    "number": _numbers,
    "dose": _units,
    "value": _placeholders,
    "side": _swapped(("left", "right")),
    "jaw": _swapped(("upper", "lower")),
    "time": _swapped(TIMES),
    "tooth": _swapped(TEETH),
    "negation": _swapped(("not",)),
}


@pytest.mark.parametrize("name", LANGUAGES)
def test_every_planted_error_is_found(name: str) -> None:
    """No spoiled sentence is silent, and each kind of error is tried (at least 50 in all)."""
    language = _language(name)
    planted = {kind: list(islice(plant(language), EACH)) for kind, plant in KINDS.items()}
    silent = [(kind, *one) for kind, found in planted.items() for one in found if _is_silent(*one, language)]

    assert [] == silent
    assert [] == [kind for kind, found in planted.items() if len(found) < 3]
    assert sum(map(len, planted.values())) >= 50
