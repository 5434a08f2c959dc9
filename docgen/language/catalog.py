"""
A `.po` file > the sentences that may be printed, the rule of its plurals, and the kinds each sentence belongs to.

A fuzzy or empty entry is no translation. The places of an entry (`#: templates/consent/body.md.j2`) tell whose text it
is, so that a review of one kind lapses only when that kind's words change.
"""

from __future__ import annotations

import gettext
import hashlib
import io
import re
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from docgen.values import dataclass

if TYPE_CHECKING:
    from babel.messages.catalog import Message

Key = tuple[str | None, str]
"""Context and English sentence (of a plural: the form for one)."""

Forms = tuple[str, ...]
"""One form, or one for each plural form of the language."""

_KIND = re.compile(r"(?:^|.*/)templates/([^/]+)/")
_SHARED = "_house"


@dataclass(frozen=True)
class Catalog:
    """What a language says."""

    entries: Mapping[Key, Forms]
    kinds: Mapping[Key, frozenset[str]]
    """Kinds whose templates hold the sentence; empty for one that any kind may print."""
    plural: Callable[[int], int]
    """Number > place of its form."""

    def digest(self, kind: str) -> str:
        """Digest all that a kind may print: any change of its words, and of no other kind's, changes it."""
        found = hashlib.sha256()
        for key in sorted(self.entries, key=lambda one: (one[0] or "", one[1])):
            if not self.kinds[key] or kind in self.kinds[key]:
                found.update("\0".join((key[0] or "", key[1], *self.entries[key], "\n")).encode())
        return found.hexdigest()


NO_CATALOG = Catalog({}, {}, lambda number: int(number != 1))
"""Of the language the sentences are written in."""


def catalog_of(home: Path) -> Path:
    """Give the place of the catalog in the folder of a language."""
    return home / "LC_MESSAGES" / "docgen.po"


@lru_cache(maxsize=8)
def read_catalog(content: bytes) -> Catalog:
    """
    Read a catalog; the same bytes are read once.

    Errors: ValueError, if it is no catalog or its plural rule cannot be computed.
    """
    pofile = import_module("babel.messages.pofile")  # a document in English reads no catalog
    try:
        found = pofile.read_po(io.BytesIO(content), abort_invalid=True)
        plural = gettext.c2py(found.plural_expr)
    except (pofile.PoFileError, ValueError) as error:
        raise ValueError(str(error)) from error
    said = [(one, forms) for one in found if one.id and not one.fuzzy and (forms := forms_of(one))]
    return Catalog(
        {key_of(one): forms for one, forms in said},
        {key_of(one): kinds_of(place for place, _ in one.locations) for one, _ in said},
        plural,
    )


def key_of(message: Message) -> Key:
    """Give the key of an entry."""
    return message.context, message.id if isinstance(message.id, str) else message.id[0]


def forms_of(message: Message) -> Forms:
    """Give the forms of an entry; none if any is empty."""
    forms = (message.string,) if isinstance(message.string, str) else tuple(message.string or ())
    return forms if all(forms) else ()


def kinds_of(places: Iterable[str]) -> frozenset[str]:
    """Name the kinds of some places; a place outside the kinds' folders belongs to all, which is written as none."""
    names = [found[1] if (found := _KIND.match(place)) else _SHARED for place in places]
    return frozenset() if not names or _SHARED in names else frozenset(names)
