"""
A catalog and the sentences of today > every fault of it, each with its line: header, gaps, and what got lost between.

What a machine can hold: placeholders, bold, numbers, units, telephone numbers, marks of lists and quotation. Words of
sides, times and negation are `compared`'s matter.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterator, Sequence

from babel import Locale
from babel.messages.catalog import Message
from babel.messages.pofile import read_po

from docgen.kinds import DocumentKind
from docgen.language import SOURCE_LANGUAGE, Language, forms_of, key_of, numbers_in
from docgen.problem import Message as Said
from docgen.problem import Place, Problem, say
from docgen.translation.catalog_file import plural_rule, read_entries
from docgen.translation.sentences import Sentence

PLACEHOLDER = re.compile(r"%\(\w+\)s|\{\w+\}")
UNIT = re.compile(r"(?<![^\W\d_])(?:mg|mL|mm|cm|kg|µg|mmHg|°C|kcal)(?![^\W\d_])")
"""Signs of units; per cent is compared as a word, since languages write it as one or as a sign."""

PHONE = re.compile(r"\+?\d[\d ()/-]{5,}\d")
ADDRESS = re.compile(r"https?://\S+|\S+@\S+")
LIST_MARK = re.compile(r"^(?:[-*] |\d+\. |#+ |> )")
QUOTES = re.compile('["“”„‟«»‹›「」『』]')
SALUTATION = ","
"""Ends a salutation in English; others end it with a colon or an exclamation mark."""

CONTROLS = re.compile("[\u200b\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]")
"""Marks of direction and nothings: the program isolates values itself, so none belongs into a sentence."""

SOURCE_LOCALE = Locale(SOURCE_LANGUAGE)

CLOSING = {":": ":", "：": ":", ".": ".", "。": ".", "।": ".", "?": "?", "؟": "?", "？": "?", "!": "!"}
"""Marks that end a sentence, by the mark of English that does the same."""


def catalog_faults(
    content: bytes, file: str, sentences: Sequence[Sentence], kinds: Sequence[DocumentKind], language: Language
) -> Iterator[Problem]:
    """
    Give every fault of a catalog that is meant to be whole for some kinds.

    Errors: Refused with file-unreadable.
    """
    entries = read_entries(content, file)
    for what in _header_faults(content, language):
        yield _problem(file, 1, "", what)
    today = {one.key: one for one in sentences}
    for one in sentences:
        if one.is_needed(kinds) and one.key not in entries:
            yield _problem(file, 1, one.forms[0], say("it is not in the catalog"))
    for key, entry in entries.items():
        faults = _entry_faults(entry, language) if key in today else [say("no document prints it")]
        for what in faults:
            yield _problem(file, entry.lineno or 1, key[1], what)


def _problem(file: str, line: int, sentence: str, what: Said) -> Problem:
    return Problem(
        "catalog-faulty",
        "",
        say("%(file)s, “%(sentence)s”: %(what)s", file=file, sentence=sentence, what=what),
        say("correct this entry of the catalog"),
        Place(file, line, 1),
    )


def _header_faults(content: bytes, language: Language) -> Iterator[Said]:
    head = read_po(io.BytesIO(content))
    number, expression = plural_rule(language)
    if (head.charset or "").lower() != "utf-8":
        yield say("the header must name the character set UTF-8")
    if (head.num_plurals, head.plural_expr) != (number, expression):
        yield say("the header must have the plural forms of CLDR: %(rule)s", rule=f"{number}; {expression}")
    if str(head.locale_identifier or "").replace("_", "-") != language.name:
        yield say("the header must name the language %(name)s", name=language.name)
    for entry in head.obsolete.values():
        yield say("“%(sentence)s” is obsolete", sentence=key_of(entry)[1])


def _entry_faults(entry: Message, language: Language) -> Iterator[Said]:
    """Give the faults of one entry."""
    if entry.fuzzy:
        yield say("it is fuzzy")
        return
    forms = forms_of(entry)
    wanted = 1 if isinstance(entry.id, str) else plural_rule(language)[0]
    if len(forms) != wanted:
        yield say("it has no translation, or not %(number)s forms", number=wanted)
        return
    if not entry.auto_comments:
        yield say("it has no note for the translator")
    sources = (entry.id,) if isinstance(entry.id, str) else entry.id
    for form in forms:
        yield from sentence_faults(sources[-1], form, language)


def sentence_faults(source: str, translated: str, language: Language) -> Iterator[Said]:
    """Say what a translation lost, added or wrote as the language does not."""
    for what, found in _KEPT.items():
        if found(source) != found(translated) and not (found is _closing and source.endswith(SALUTATION)):
            yield say("%(what)s differ from the English: %(found)s", what=what, found=translated)
    if _numbers(source, None) != _numbers(translated, language):
        yield say("%(what)s differ from the English: %(found)s", what=say("the numbers"), found=translated)
    if CONTROLS.search(translated):
        yield say("it holds a mark of direction or a character without width")
    if any(mark not in "".join(language.description.quotation) for mark in QUOTES.findall(translated)):
        yield say("its quotation marks are not those of language.yaml")


def _numbers(text: str, language: Language | None) -> tuple[str, ...]:
    without = PLACEHOLDER.sub(" ", text)
    return numbers_in(without, language.locale if language else SOURCE_LOCALE)


def _edges(text: str) -> tuple[str, str]:
    return text[: len(text) - len(text.lstrip())], text[len(text.rstrip()) :]


def _closing(text: str) -> str:
    """Give the mark that ends a sentence; an abbreviation and the comma of a salutation end none."""
    text = text.rstrip("*_ ")
    return CLOSING.get(text[-1:], "") if " " in text else ""


_KEPT: dict[Said, Callable[[str], object]] = {
    say("placeholders"): lambda text: sorted(PLACEHOLDER.findall(text)),
    say("marks of bold"): lambda text: text.count("**"),
    say("marks of a list or heading"): lambda text: (LIST_MARK.findall(text), text.count("\n")),
    say("spaces at the ends"): _edges,
    say("units"): lambda text: sorted(UNIT.findall(PLACEHOLDER.sub(" ", text))),
    say("telephone numbers"): lambda text: sorted(PHONE.findall(text)),
    say("addresses"): lambda text: sorted(ADDRESS.findall(text)),
    say("closing marks"): _closing,
}
"""What must be the same in both, by its name."""
