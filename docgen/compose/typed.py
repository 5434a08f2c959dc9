"""A document > what the clinic typed that its reader will not be able to read, by field."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from docgen.blocks import Document, Section
from docgen.case import field_specs
from docgen.readability import all_words, for_patient

PROSE = "text"
"""Type of the fields that hold sentences; names, addresses and numbers read the same in every language."""

_ITEM = re.compile(r"\[[^\]]*\]")


def unread_texts(document: Document, staff: Iterable[str]) -> tuple[str, ...]:
    """Give the paths of the free texts in a language other than the document's, in the order of the page."""
    return tuple(dict.fromkeys(_paths(tuple(for_patient(document.sections, staff)), document.language)))


def _paths(sections: tuple[Section, ...], language: str) -> Iterator[str]:
    specs = field_specs()
    for words in all_words(sections):
        for span in words:
            spec = specs.get(_ITEM.sub("[]", span.path))
            if spec and spec.type == PROSE and span.language not in (None, language):
                yield span.path
