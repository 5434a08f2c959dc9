"""
A `.po` file and the sentences of today > the file a translator goes on with, in page order, without a date in it.

What changed since it was translated is fuzzy and counts as untranslated; what no document prints any more is dropped.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.plurals import get_plural
from babel.messages.pofile import PoFileError, denormalize, read_po, write_po

from docgen.kinds import DocumentKind
from docgen.language import Key, Language, catalog_of, forms_of, key_of
from docgen.problem import Place, Problem, Refused, say
from docgen.translation.sentences import Sentence

NEAR = 0.72
"""How like an old sentence must be for its translation to be offered as a fuzzy one."""

UNBROKEN = 10**6
"""Width of a line: comments are never broken, as `#|` must not be; Babel breaks them at 76 if no width is given."""

PREVIOUS = "| msgid "

Entries = dict[Key, Message]


def read_entries(content: bytes, file: str) -> Entries:
    """
    Read every entry of a catalog, fuzzy and empty ones too, without its header.

    Errors: Refused with file-unreadable.
    """
    try:
        found = read_po(io.BytesIO(content), abort_invalid=True)
    except (PoFileError, UnicodeDecodeError, ValueError) as error:
        line = getattr(error, "lineno", 1) or 1
        what = say("%(file)s is no catalog of gettext: %(why)s", file=file, why=str(error))
        fix = say("mend the file at this line, or take the last good one")
        raise Refused([Problem("file-unreadable", "", what, fix, Place(file, line, 1))]) from error
    for one in found:
        one.previous_id, one.user_comments = _previous(one), [c for c in one.user_comments if c[:1] != "|"]
    return {key_of(one): one for one in found if one.id}


def _previous(message: Message) -> list[str]:
    """Give the sentence a fuzzy entry was translated from, which Babel reads as a comment of a person."""
    return [denormalize(c.removeprefix(PREVIOUS)) for c in message.user_comments if c.startswith(PREVIOUS)]


def entries_of(home: Path) -> Entries:
    """
    Read every entry of the catalog in the folder of a language; none, if it has no catalog yet.

    Errors: Refused with file-unreadable.
    """
    file = catalog_of(home)
    return read_entries(file.read_bytes(), str(file)) if file.is_file() else {}


def merged(
    entries: Entries, sentences: Iterable[Sentence], kinds: Sequence[DocumentKind], language: Language
) -> tuple[Message, ...]:
    """Give what the catalog must hold today: each needed sentence, and each other one that is translated."""
    today = tuple(sentences)
    names = {one.key for one in today}
    left = {key: one for key, one in entries.items() if key not in names and forms_of(one)}
    found = (_entry(one, entries, left, language) for one in today if one.is_needed(kinds) or _said(one.key, entries))
    return tuple(found)


def _said(key: Key, entries: Entries) -> bool:
    return key in entries and bool(forms_of(entries[key]))


def _entry(sentence: Sentence, entries: Entries, left: Entries, language: Language) -> Message:
    old = entries.get(sentence.key)
    is_plural = len(sentence.forms) > 1  # also where the language has one form for all numbers
    number = plural_rule(language)[0] if is_plural else 1
    fuzzy = bool(old and old.fuzzy)
    previous = tuple(old.previous_id) if old and fuzzy else ()
    if old is None and (key := _near(sentence, left)):
        old, fuzzy, previous = left[key], True, (key[1],)
    forms = forms_of(old) if old else ()
    if len(forms) != number:
        forms, fuzzy, previous = ("",) * number, False, ()
    entry = Message(
        sentence.forms if is_plural else sentence.forms[0],
        forms if is_plural else forms[0],
        locations=[(place, 0) for place in sentence.places],
        flags={"fuzzy"} if fuzzy else set(),
        auto_comments=list(sentence.notes),
        user_comments=list(old.user_comments) if old else [],
        previous_id=list(previous),
        context=sentence.context,
    )
    if "%(" not in sentence.forms[0]:
        entry.flags.discard("python-format")  # a per cent sign is no placeholder
    return entry


def _near(sentence: Sentence, left: Entries) -> Key | None:
    """Find the sentence that this one was before somebody changed it."""
    same = [key for key in left if key[0] == sentence.context]
    close = get_close_matches(sentence.forms[0], [key[1] for key in same], n=1, cutoff=NEAR)
    return (sentence.context, close[0]) if close else None


def plural_rule(language: Language) -> tuple[int, str]:
    """Give the number of plural forms and the expression that chooses one, as gettext has them for the locale."""
    rule = get_plural(str(language.locale))
    return rule.num_plurals, rule.plural_expr


def write_catalog(messages: Iterable[Message], language: Language) -> bytes:
    """Write a catalog in the order given; the same entries give the same bytes."""
    number, expr = plural_rule(language)
    header = (
        "Project-Id-Version: docgen",
        f"Language: {language.name.replace('-', '_')}",
        "MIME-Version: 1.0",
        "Content-Type: text/plain; charset=UTF-8",
        "Content-Transfer-Encoding: 8bit",
        f"Plural-Forms: nplurals={number}; plural={expr};",
    )
    catalog = Catalog(locale=language.locale, charset="utf-8", fuzzy=False)
    for message in messages:
        catalog[message.id] = message
    out = io.BytesIO()
    write_po(out, catalog, width=UNBROKEN, omit_header=True, include_previous=True, include_lineno=False)
    lines = "".join(f'"{line}\\n"\n' for line in header)
    return f'msgid ""\nmsgstr ""\n{lines}\n'.encode() + out.getvalue()
