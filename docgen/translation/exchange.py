"""
A catalog > an exchange file (XLIFF 2.0, OASIS) that any translator's tool opens: one file in it for each kind.

Without dates and names of tools, so that the same catalog gives the same bytes.
"""

from __future__ import annotations

import gettext
import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from xml.sax.saxutils import quoteattr

from babel.messages.catalog import Message

from docgen.kinds import DocumentKind
from docgen.language import SOURCE_LANGUAGE, Key, Language, forms_of, key_of
from docgen.problem import Problem, Refused, say
from docgen.translation.catalog_file import plural_rule
from docgen.translation.exchange_file import NAMESPACE
from docgen.translation.inline import Codes, text_in_xml
from docgen.translation.sentences import Sentence

HOUSE = "house"
"""Name of the file with the words of codes and the program's lines, which every kind may print."""

INITIAL, TRANSLATED = "initial", "translated"

SHOWN = 6
"""Numbers shown as examples of a plural form."""
COUNTED = 201
"""Numbers from 0 on that are tried to see what a plural form is for."""

Groups = Mapping[str, Sequence[Message]]
"""Name of a file in the exchange file > its entries, in page order."""


def groups_of(messages: Iterable[Message], sentences: Iterable[Sentence], kinds: Sequence[DocumentKind]) -> Groups:
    """Sort the entries by the first of the kinds they belong to; each stands once."""
    belongs: Mapping[Key, frozenset[str]] = {one.key: one.kinds for one in sentences}
    found: dict[str, list[Message]] = {name: [] for name in (*(kind.name for kind in kinds), HOUSE)}
    for message in messages:
        mine = belongs.get(key_of(message), frozenset())
        found[next((name for name in found if name in mine), HOUSE)].append(message)
    return {name: entries for name, entries in found.items() if entries}


def unit_id(key: Key, form: int | None = None) -> str:
    """Name the unit of a sentence: the same for the same words, whatever stands around them; plurals by their form."""
    context, msgid = key
    told = msgid if context is None else f"{context}\x04{msgid}"
    name = "s" + hashlib.sha256(told.encode()).hexdigest()[:16]
    return name if form is None else f"{name}-{form}"


def source_forms(message: Message, language: Language) -> tuple[str, ...]:
    """Give the English of each form that the language has: the form for one where it says one, else that for more."""
    if isinstance(message.id, str):
        return (message.id,)
    one, many = message.id
    return tuple(one if "one" in names else many for names, _ in plural_forms(language))


def plural_forms(language: Language) -> tuple[tuple[tuple[str, ...], tuple[int, ...]], ...]:
    """Give for each form of a plural its categories of CLDR and the first numbers it is for."""
    count, expression = plural_rule(language)
    place = gettext.c2py(expression)
    numbers = [[n for n in range(COUNTED) if place(n) == form] for form in range(count)]
    rule = language.locale.plural_form
    return tuple(
        (tuple(name for name, _ in Counter(rule(n) for n in mine).most_common()), tuple(mine[:SHOWN]))
        for mine in numbers
    )


def write_exchange(groups: Groups, language: Language) -> bytes:
    """
    Write an exchange file.

    Errors: Refused with catalog-faulty, if a sentence holds a character that XML cannot.
    """
    head = (
        f'<xliff xmlns="{NAMESPACE}" version="2.0" srcLang="{SOURCE_LANGUAGE}"'
        f' trgLang={quoteattr(language.name)} xml:space="preserve">'
    )
    lines = ['<?xml version="1.0" encoding="UTF-8"?>', head]
    for name, messages in groups.items():
        place = "templates/_house" if name == HOUSE else f"templates/{name}"
        lines.append(f'<file id={quoteattr(name)} original={quoteattr(place)} trgDir="{language.direction}">')
        for message in messages:
            lines += _units(message, language)
        lines.append("</file>")
    return "\n".join((*lines, "</xliff>", "")).encode()


def _units(message: Message, language: Language) -> Iterator[str]:
    sources = source_forms(message, language)
    targets = forms_of(message) or ("",) * len(sources)
    several = len(sources) > 1 or not isinstance(message.id, str)
    for form, (source, target) in enumerate(zip(sources, targets, strict=True)):
        notes = [*_notes(message), *([_which_numbers(form, language)] if several else [])]
        state = TRANSLATED if target and not message.fuzzy else INITIAL
        try:
            yield _unit(unit_id(key_of(message), form if several else None), source, target, state, notes)
        except ValueError as error:
            what = say("“%(sentence)s” holds a character that no exchange file can", sentence=key_of(message)[1])
            fix = say("take the control character out of the catalog or the template")
            raise Refused([Problem("catalog-faulty", "", what, fix)]) from error


def _unit(name: str, source: str, target: str, state: str, notes: Iterable[tuple[str, str]]) -> str:
    codes = Codes()
    content = f"<source>{codes.inline(source)}</source>" + (
        f"<target>{codes.inline(target)}</target>" if target else ""
    )
    told = "".join(f'<note category="{category}">{text_in_xml(text)}</note>' for category, text in notes)
    return (
        f'<unit id="{name}">{f"<notes>{told}</notes>" if told else ""}{codes.original()}'
        f'<segment state="{state}">{content}</segment></unit>'
    )


def _notes(message: Message) -> Iterator[tuple[str, str]]:
    if message.context:
        yield "context", message.context
    for note in message.auto_comments:
        yield "instruction", note
    for comment in message.user_comments:
        yield "comment", comment
    if message.fuzzy:
        for old in message.previous_id:
            yield "previous", f"the English changed since; it was: {old}"


def _which_numbers(form: int, language: Language) -> tuple[str, str]:
    categories, numbers = plural_forms(language)[form]
    told = ", ".join(map(str, numbers))
    return (
        "plural",
        f"for these numbers: {told}{', …' if len(numbers) == SHOWN else ''} (CLDR: {', '.join(categories)})",
    )
