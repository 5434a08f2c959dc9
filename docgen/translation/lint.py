"""Languages and the sentences of today > every fault of their catalogs, for `docgen lint`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from docgen.kinds import DocumentKind, TemplateFolders
from docgen.language import SOURCE_LANGUAGE, Key, Language, catalog_of, language_names, read_language
from docgen.problem import Place, Problem, Problems, say
from docgen.translation.compared import Difference, differences, read_exceptions
from docgen.translation.contract import catalog_faults
from docgen.translation.sentences import Sentence, all_sentences

EXCEPTIONS = "read.yaml"
"""What a reader found right although it differs; beside the catalog."""


def lint_catalogs(
    folders: TemplateFolders, locales: Sequence[Path], kinds: Sequence[DocumentKind], problems: Problems
) -> None:
    """Report every fault of every catalog."""
    names = [name for name in language_names(locales) if name != SOURCE_LANGUAGE]
    english = read_language(SOURCE_LANGUAGE, locales, problems)
    sentences = all_sentences(folders) if names else ()
    for name in names:
        language = read_language(name, locales, problems)
        if language is not None and english is not None:
            problems.extend(lint_language(language, english, sentences, kinds))


def lint_language(
    language: Language, english: Language, sentences: Sequence[Sentence], kinds: Sequence[DocumentKind]
) -> Iterator[Problem]:
    """
    Give every fault of one catalog.

    Errors: Refused with file-unreadable.
    """
    home, file = language.home, catalog_of(language.home)
    offered = [kind for kind in kinds if language.description.offers(kind.name)]
    yield from catalog_faults(file.read_bytes(), str(file), sentences, offered, language)
    exceptions = read_exceptions(home / EXCEPTIONS)
    used: set[tuple[Key, str]] = set()
    for key, forms in language.catalog.entries.items():
        for one in {found for form in forms for found in differences(key[1], form, english, language)}:
            if exceptions.get(key, {}).get(one.meaning) == one.counts:
                used.add((key, one.meaning))
            else:
                yield _differs(file, key, one)
    yield from _idle(home / EXCEPTIONS, exceptions, used)


def _differs(file: Path, key: Key, one: Difference) -> Problem:
    what = say(
        "“%(sentence)s”: the English says “%(meaning)s” %(here)s times, the translation %(there)s times",
        sentence=key[1],
        meaning=one.meaning,
        here=one.here,
        there=one.there,
    )
    fix = say("correct the translation, or list the sentence in read.yaml with the reason why it is right")
    return Problem("catalog-differs", "", what, fix, Place(str(file), 1, 1))


def _idle(file: Path, exceptions: Mapping[Key, Mapping[str, str]], used: set[tuple[Key, str]]) -> Iterator[Problem]:
    """Report what is excepted and differs no more."""
    for key, meanings in exceptions.items():
        for meaning in meanings:
            if (key, meaning) not in used:
                what = say("“%(sentence)s” needs no exception for “%(meaning)s”", sentence=key[1], meaning=meaning)
                yield Problem("catalog-differs", "", what, say("take it out of read.yaml"), Place(str(file), 1, 1))
