"""
A language, a kind and the clinic's approvals > whether its words are reviewed, lapsed or never reviewed, and by whom.

And what keeps a review from being recorded: sentences the kind may print and the language does not say.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from docgen.case import Approval
from docgen.kinds import DocumentKind, translation_entry
from docgen.language import Language
from docgen.problem import Message, Place, Problem, say
from docgen.translation.catalog_file import Entries, plural_rule
from docgen.translation.sentences import Sentence
from docgen.values import dataclass

REVIEWED, LAPSED, NEVER = "reviewed", "lapsed", "never reviewed"

SHORT = 16
"""Characters of a digest that a person compares."""


@dataclass(frozen=True)
class ReviewState:
    """How far the review of one kind's words in one language is."""

    language: str
    kind: str
    state: str
    """reviewed; lapsed: the words have changed since; or never reviewed."""
    digest: str
    """Of the words as they are now, in the length a person compares."""
    last: Approval | None
    """The latest review: of the words as they are now, or of those before."""

    @property
    def row(self) -> tuple[object, ...]:
        """Give the row of a table."""
        told = (self.last.by, self.last.qualification, self.last.on.isoformat()) if self.last else ("", "", "")
        return (self.language, self.kind, self.digest, self.state, *told)

    def as_json(self) -> Mapping[str, Any]:
        """Give the same as plain values."""
        names = ("language", "kind", "digest", "state", "by", "qualification", "on")
        return {name: value or None for name, value in zip(names, self.row, strict=True)}


def review_states(
    language: Language, kinds: Iterable[DocumentKind], approvals: Sequence[Approval]
) -> Iterator[ReviewState]:
    """Give the state of each kind that a language offers."""
    for kind in kinds:
        if language.description.offers(kind.name):
            what, digest = translation_entry(language, kind.name)
            ever = [one for one in approvals if one.what == what]
            now = [one for one in ever if one.digest == digest]
            state = REVIEWED if now else LAPSED if ever else NEVER
            last = max(now or ever, key=lambda one: one.on, default=None)
            yield ReviewState(language.name, kind.name, state, digest[:SHORT], last)


def gaps(
    language: Language, kind: DocumentKind, sentences: Iterable[Sentence], entries: Entries, file: str
) -> Iterator[Problem]:
    """Name every sentence that a kind may print and a language does not say, or only as a fuzzy entry."""
    for one in sentences:
        if one.is_needed((kind,)) and (what := _gap(one, language, entries)):
            place = Place(file, entries[one.key].lineno or 1 if one.key in entries else 1, 1)
            named = say("“%(sentence)s”: %(what)s", sentence=one.forms[0], what=what)
            fix = say("have it translated, and the whole kind read, before its review is recorded")
            yield Problem("catalog-faulty", "", named, fix, place)


def _gap(sentence: Sentence, language: Language, entries: Entries) -> Message | None:
    entry = entries.get(sentence.key)
    if entry is None:
        return say("it is not in the catalog")
    if entry.fuzzy:
        return say("it is fuzzy")
    wanted = plural_rule(language)[0] if len(sentence.forms) > 1 else 1
    if len(language.catalog.entries.get(sentence.key, ())) != wanted:
        return say("it has no translation, or not %(number)s forms", number=wanted)
    return None
