"""Catalog entries and the sentences of today > how far the translation of each kind is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict
from typing import Any

from docgen.kinds import DocumentKind
from docgen.language import Language, forms_of
from docgen.translation.catalog_file import Entries, plural_rule
from docgen.translation.sentences import Sentence
from docgen.values import dataclass


@dataclass(frozen=True)
class Progress:
    """How far one kind is in one language."""

    language: str
    kind: str
    needed: int
    """Sentences the kind may print."""
    translated: int
    fuzzy: int
    """Translated once; the English has changed since, or somebody still has to look."""

    @property
    def missing(self) -> int:
        """Those without any translation."""
        return self.needed - self.translated - self.fuzzy

    @property
    def row(self) -> tuple[object, ...]:
        """Give the row of a table."""
        return (self.language, self.kind, self.needed, self.translated, self.fuzzy, self.missing)

    def as_json(self) -> Mapping[str, Any]:
        """Give the same as plain values."""
        return {**asdict(self), "missing": self.missing}


def progress_of(
    language: Language, entries: Entries, sentences: Iterable[Sentence], kinds: Iterable[DocumentKind]
) -> Iterator[Progress]:
    """Count the sentences of each kind that the language offers."""
    today = tuple(sentences)
    states = {one.key: _state(one, entries, language) for one in today}
    for kind in kinds:
        if language.description.offers(kind.name):
            needed = [states[one.key] for one in today if one.is_needed((kind,))]
            yield Progress(language.name, kind.name, len(needed), needed.count(TRANSLATED), needed.count(FUZZY))


TRANSLATED, FUZZY, MISSING = "translated", "fuzzy", "missing"


def _state(sentence: Sentence, entries: Entries, language: Language) -> str:
    entry = entries.get(sentence.key)
    wanted = plural_rule(language)[0] if len(sentence.forms) > 1 else 1
    if entry is None or len(forms_of(entry)) != wanted:
        return MISSING
    return FUZZY if entry.fuzzy else TRANSLATED
