"""A document > the characters no font prints; a text > how wide it is about. Without shaping, so without HarfBuzz."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass

from docgen.blocks import Document, Image, Span
from docgen.render.fonts.choice import family_of
from docgen.render.fonts.cut import advances_of, characters_of
from docgen.render.fonts.sources import FAMILIES, HOUSE

_SET_WITHOUT_GLYPH = frozenset("\n\t")
"""Set as a line break and a space; they need no glyph."""

_UNASSIGNED = 0x2065

UNSEEN = frozenset(
    map(chr, (0xAD, 0x61C, 0x180E, *range(0x200B, 0x2010), *range(0x202A, 0x202F), *range(0x2060, 0x2070), 0xFEFF))
) - {chr(_UNASSIGNED)}
"""Characters of format: they join, part or direct others, and are never drawn. Signs of Arabic numbers are drawn."""


def width_em(text: str) -> float:
    """Measure a text set in Bold, in em; letters of one word as if they stood apart."""
    known = advances_of(HOUSE)
    return sum([known.get(c) or _other_width(c) for c in text]) / 1000


def _other_width(character: str) -> float:
    family = family_of(character)
    if character in UNSEEN or family is None:
        return 0.0 if character in UNSEEN else 1000.0
    return advances_of(family).get(character, 1000) * FAMILIES[family].size


def missing_characters(document: Document) -> tuple[tuple[str, str], ...]:
    """
    Find the characters of a document that no font prints, each with the field it came from.

    In reading order, each pair once; the path is empty for words that came from no field. A document with any is
    refused in all formats, so these characters are free to serve as signs of the review text.
    """
    known = characters_of(HOUSE)
    found: dict[tuple[str, str], None] = {}
    for text, path in _texts(document):
        for character in text:
            if ord(character) not in known and not _prints(character):
                found[character, path] = None
    return tuple(found)


def _prints(character: str) -> bool:
    return character in _SET_WITHOUT_GLYPH or character in UNSEEN or family_of(character) is not None


def _texts(part: object) -> Iterator[tuple[str, str]]:
    """Walk everything a page prints or reads out. By the shape of the model: a block added later is walked as well."""
    if isinstance(part, Span):
        yield part.text, part.path
    elif isinstance(part, Image):
        yield part.alt, ""
    elif isinstance(part, Document):
        yield from _texts(part.furniture)
        yield from ((text, "") for text in (*(mark.words for mark in part.furniture.marks), part.furniture.page))
        yield from _texts(part.title)
        yield from _texts(part.sections)
    elif isinstance(part, tuple):
        for item in part:
            yield from _texts(item)
    elif is_dataclass(part):
        for field in fields(part):
            yield from _texts(getattr(part, field.name))
