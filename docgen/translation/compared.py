"""
A sentence in two languages > where sides, jaws, teeth, times, counts or negation differ.

Each language lists the words of each meaning in its `language.yaml` (`compared`), as patterns: `*` stands for any
ending. What is said once in one language must be said once in the other; what a reader found right all the same is
listed beside the catalog in `read.yaml` with its counts and the reason, and only that.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any

import yaml

from docgen.language import Key, Language
from docgen.translation.contract import PLACEHOLDER
from docgen.values import dataclass

PRESENT_ONLY = frozenset({"before", "after", "more", "less", "at_least", "at_most"})
"""Meanings of which only that they are there is compared: languages say them a different number of times."""

PREFIX = "prefix"
"""Key for what a language writes together with the word after it."""


@dataclass(frozen=True)
class Difference:
    """A meaning that two texts do not share."""

    meaning: str
    here: int
    """How often the English says it."""
    there: int

    @property
    def counts(self) -> str:
        """Write both counts, as `read.yaml` has them."""
        return f"{self.here}/{self.there}"


def differences(source: str, translated: str, english: Language, language: Language) -> Iterator[Difference]:
    """Compare two texts, meaning by meaning; one that either language lists no words for is not compared."""
    mine, theirs = _meanings(source, english), _meanings(translated, language)
    for meaning in mine.keys() & theirs.keys():
        here, there = mine[meaning], theirs[meaning]
        if (bool(here) != bool(there)) if meaning in PRESENT_ONLY else here != there:
            yield Difference(meaning, here, there)


def _meanings(text: str, language: Language) -> Mapping[str, int]:
    plain = PLACEHOLDER.sub(" ", text)
    found = Counter({meaning: len(pattern.findall(plain)) for meaning, pattern in patterns(language)})
    return {meaning: found[meaning] for meaning, _ in patterns(language)}


def patterns(language: Language) -> tuple[tuple[str, re.Pattern[str]], ...]:
    """Give the pattern of each meaning of a language."""
    told = language.description.compared
    words = tuple((name, tuple(said)) for name, said in told.items() if name != PREFIX)
    return _compiled(words, str(told.get(PREFIX, "")))


@lru_cache(maxsize=8)
def _compiled(words: tuple[tuple[str, tuple[str, ...]], ...], prefix: str) -> tuple[tuple[str, re.Pattern[str]], ...]:
    found = []
    for name, said in words:
        each = (one.replace("*", r"\w*") if "*" in one else one + r"(?!\w)" for one in said)
        found.append((name, re.compile(rf"(?<!\w){prefix}(?:{'|'.join(each)})", re.IGNORECASE)))
    return tuple(found)


def read_exceptions(file: Path) -> Mapping[Key, Mapping[str, str]]:
    """Read what a reader found right although it differs: key > meaning > counts; no file, no exception."""
    told: Sequence[Mapping[str, Any]] = yaml.safe_load(file.read_bytes()) or () if file.is_file() else ()
    found: dict[Key, dict[str, str]] = {}
    for one in told:
        found.setdefault((one.get("context"), str(one["sentence"])), {}).update(one["meanings"])
    return found
