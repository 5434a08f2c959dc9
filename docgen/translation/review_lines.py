"""
A kind's sentences and a language > the lines of a reviewer's sheet, grouped as the pages are.

A placeholder is a visible name, a plural has a line for each of its forms, and no mark of a template is left.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from docgen.blocks import Span, Words
from docgen.kinds import DocumentKind, TemplateFolders
from docgen.language import Language
from docgen.translation.sentences import Sentence, sentences_of
from docgen.values import dataclass

DECLARED, WORDS, PROGRAM = "Name of the document and labels", "Words for the codes of a record", "Lines of the program"

_PLACEHOLDER = re.compile(r"%\((\w+)\)s|\{(\w+)\}")
_BOLD = re.compile(r"\*\*(.+?)\*\*", re.DOTALL)
_ELEMENT = re.compile(r"[A-Z]{1,2}\d+(?:[_ ][A-Z]{1,2}\d+)*")
"""ID of an element of the specification; other blocks have names."""

_PART_OF_SENTENCE = "; part of a sentence, small letters"
_PLACE = re.compile(r"[\w-]+, [^;]+; (?:patient|staff): |written by the program")
"""Where a sentence stands: the heading says it."""

_VOICE = re.compile(r", for (?:patient|staff)$")
"""Of the words of a code; whose they are is known by the kind."""

_EXAMPLES, _TRIED = 3, 201
"""Numbers named for a form of a plural, and those tried to find them."""


@dataclass(frozen=True)
class Line:
    """One line to review."""

    number: str
    """Of the sentence; a plural's forms have a letter after it."""
    source: Words
    translation: Words
    note: str


@dataclass(frozen=True)
class Group:
    """The lines of one element."""

    name: str
    lines: tuple[Line, ...]


def groups(
    kind: DocumentKind, folders: TemplateFolders, sentences: Iterable[Sentence], language: Language
) -> tuple[Group, ...]:
    """Group what a kind may print: its elements in the order of the page, words of codes, the program's lines."""
    needed = {one.key: one for one in sentences if one.is_needed((kind,))}
    parts: dict[str, list[Sentence]] = {}
    titles: dict[str, str] = {}
    for own in sentences_of(kind, folders):
        if found := needed.pop(own.key, None):
            titles.setdefault(own.element, own.forms[0])
            parts.setdefault(_name(own.element, titles), []).append(found)
    for one in sorted(needed.values(), key=lambda one: not one.context):  # words of codes first
        parts.setdefault(WORDS if one.context else PROGRAM, []).append(one)
    number, made = 0, []
    for name, members in parts.items():
        lines = [line for place, one in enumerate(members, number + 1) for line in _lines(one, place, language)]
        made.append(Group(name, tuple(lines)))
        number += len(members)
    return tuple(made)


def _name(element: str, titles: dict[str, str]) -> str:
    """Name an element by its ID and, if it begins with one, its heading."""
    if not element:
        return DECLARED
    if not _ELEMENT.fullmatch(element):
        return f"Part “{element.replace('_', ' ')}”"
    first, codes = titles[element], element.replace("_", " ")
    return codes if re.search(r"[.!?:]$|%\(", first) else f"{codes}. {first}"


def _lines(sentence: Sentence, number: int, language: Language) -> Iterator[Line]:
    forms = language.catalog.entries.get(sentence.key, ())
    note = _note(sentence)
    if len(sentence.forms) == 1:
        said = readable(forms[0], language.name) if forms else ()
        yield Line(str(number), readable(sentence.forms[0]), said, note)
        return
    for place, form in enumerate(forms or ("",)):
        numbers = _numbers(language, place)
        source = sentence.forms[0] if numbers == [1] else sentence.forms[-1]
        told = f"said of {', '.join(map(str, numbers[:_EXAMPLES]))}{' …' if len(numbers) > _EXAMPLES else ''}"
        notes = "; ".join(part for part in (told if numbers else "", note) if part)
        yield Line(f"{number}{chr(ord('a') + place)}", readable(source), readable(form, language.name), notes)


def _numbers(language: Language, place: int) -> list[int]:
    """Find whole numbers that take a form."""
    return [number for number in range(_TRIED) if language.catalog.plural(number) == place]


def _note(sentence: Sentence) -> str:
    """Keep of a translator's notes what the heading of the group and the words themselves do not say."""
    kept = []
    for note in sentence.notes:
        said = _VOICE.sub("", note.removesuffix(_PART_OF_SENTENCE))
        code = said.partition(": ")[2].replace("_", " ")
        if not _PLACE.match(said) and code.casefold() != sentence.forms[0].casefold():
            kept.append(said)
    return "; ".join(kept)


def readable(text: str, language: str | None = None) -> Words:
    """Show a sentence of a catalog as a reader sees it: ‹tooth› for a placeholder, bold for its marks."""
    spans: list[Span] = []
    for at, part in enumerate(_BOLD.split(text)):
        shown = _PLACEHOLDER.sub(lambda found: f"‹{found[1] or found[2]}›", part).replace("%%", "%")
        if shown:
            spans.append(Span(shown, bold=at % 2 == 1, language=language))
    return tuple(spans)


def sentences_in(found: Sequence[Group]) -> int:
    """Count the sentences of some groups; the forms of a plural are one."""
    return len({line.number.rstrip("abcdef") for group in found for line in group.lines})
