"""
A paragraph's words > chunks that no line may cut, each of shaped atoms in reading order.

An atom is a word, a run of spaces or, in right-to-left text, a single sign: what is placed on the page at once. A chunk
knows nothing of where it stands, so that the same word is shaped and measured once for all documents of a process.
"""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from docgen.blocks import Span, Words
from docgen.render.fonts.characters import UNSEEN
from docgen.render.fonts.choice import family_of, size_of
from docgen.render.fonts.cut import BOLD, REGULAR, characters_of
from docgen.render.fonts.sources import HOUSE
from docgen.render.pdf.line.face import Face, MissingGlyph, Shaped, face_of
from docgen.render.pdf.line.unicode import NEEDS_BIDI, breaks, clusters, levels

KEPT_CHUNKS, KEPT_WAYS = 10_000, 200
"""Chunks kept for one way of setting, and ways; past it all are forgotten, so that memory stays flat."""

_NEEDS_CARE = re.compile("[\u00ad\u0590-\u1dff\u200b-\u200f\u2028-\u202e\u2060-\u206f\u2e80-\U0010ffff]")
"""Characters that may need another font, a direction or no glyph; text without them takes the short way."""

_OPEN, _CLOSE = "\u2068", "\u2069"
"""Around a value that keeps its own direction (FSI, PDI)."""

_JOINERS = "\u200c\u200d"
"""Shape the letters beside them; all other format characters are not shaped."""

_LETTERS = frozenset(("L", "R", "AL", "EN", "AN", "NSM"))
"""Bidi classes of what is written as a word in right-to-left text; other signs stand alone."""

_Sort = tuple[str, int, str | int]
"""Family, level, and what an atom may hold."""

_NONE: _Sort = ("", -1, "")


@dataclass(frozen=True, slots=True)
class Setting:
    """How a paragraph is set; lengths in points."""

    size: float
    bold: bool
    language: str
    rtl: bool
    spacing: float
    family: str = HOUSE
    """The font family that is asked first."""


@dataclass(slots=True)
class Atom:
    """Something placed at once; lengths in points."""

    text: str
    face: Face
    size: float
    shaped: Shaped
    width: float
    language: str
    """Empty for the paragraph's own."""
    link: str
    level: int
    is_space: bool


@dataclass(slots=True)
class Chunk:
    """What no line cuts, and the spaces after it, which hang over the end of a line; lengths in points."""

    length: int
    """In characters, format characters included."""
    atoms: tuple[Atom, ...]
    width: float
    """Without these spaces."""
    full: float
    """With them."""
    face: Face | None = None
    """If all atoms stand on one base line in one face and language, so that they are one string."""
    string: bytes | None = None
    """That string, if it is the same in every file."""
    glyphs: frozenset[int] = frozenset()


@dataclass(slots=True)
class Paragraph:
    """A paragraph ready to be broken: one hard line of words."""

    text: str
    chunks: tuple[Chunk, ...]
    has_order: bool
    """True if some of it may run from right to left."""


_Memo = dict[str | tuple[str, Sequence[int]], Chunk]
_kept: dict[object, _Memo] = {}
"""By how a span is set, then by text, or by text and levels."""


def _memo(span: Span, setting: Setting) -> _Memo:
    """Find what is kept for the way a span is set."""
    if len(_kept) > KEPT_WAYS:
        _kept.clear()
    memo = _kept.setdefault((setting, span.bold, span.language, span.link), {})
    if len(memo) > KEPT_CHUNKS:
        memo.clear()
    return memo


def paragraph_of(words: Words, setting: Setting) -> Paragraph:
    """
    Shape one hard line of words.

    Errors: MissingGlyph for a character no font prints.
    """
    text = "".join(span.text for span in words)
    directed = setting.rtl or NEEDS_BIDI.search(text) is not None
    if directed:
        words = tuple(_isolated(span) for span in words)
        text = "".join(span.text for span in words)
    if not text:
        return Paragraph("", (), False)
    found = levels(text, int(setting.rtl))
    careful = directed or setting.family != HOUSE or _NEEDS_CARE.search(text) is not None
    return Paragraph(text, tuple(_chunks(text, words, setting, found if careful else None)), any(found))


def _isolated(span: Span) -> Span:
    if not span.isolated or not span.text:
        return span
    return Span(f"{_OPEN}{span.text}{_CLOSE}", span.bold, span.italic, span.language, link=span.link)


def _chunks(text: str, spans: Words, setting: Setting, found: Sequence[int] | None) -> Iterator[Chunk]:
    """Cut at the places where a line may end; a chunk within one span is taken from those there were."""
    ends, at = [0], 0
    for span in spans:
        at += len(span.text)
        ends.append(at)
    start, number = 0, 0
    memos = [_memo(span, setting) for span in spans]
    for stop in breaks(text, setting.language):
        while ends[number + 1] <= start:
            number += 1
        if stop > ends[number + 1]:
            yield _made(_parts(text, spans, ends, start, stop), setting, found, start)
        else:
            piece = text[start:stop]
            key = piece if found is None else (piece, found[start:stop])
            memo = memos[number]
            chunk = memo.get(key)
            if chunk is None:
                chunk = memo[key] = _made([(piece, spans[number])], setting, found, start)
            yield chunk
        start = stop


def _parts(text: str, spans: Words, ends: list[int], start: int, stop: int) -> list[tuple[str, Span]]:
    number = bisect_right(ends, start) - 1
    parts = []
    while start < stop:
        end = min(stop, ends[number + 1])
        if end > start:
            parts.append((text[start:end], spans[number]))
        start, number = end, number + 1
    return parts


def _made(parts: list[tuple[str, Span]], setting: Setting, found: Sequence[int] | None, start: int) -> Chunk:
    atoms: list[Atom] = []
    at = start
    for text, span in parts:
        if found is None:
            atoms += _short(text, span, setting)
        else:
            atoms += _Careful(span, setting).atoms(text, found[at : at + len(text)])
        at += len(text)
    return _chunk(atoms, at - start)


def _chunk(atoms: list[Atom], length: int) -> Chunk:
    inked = len(atoms)
    while inked and atoms[inked - 1].is_space:
        inked -= 1
    width = sum(atom.width for atom in atoms[:inked])
    full = width + sum(atom.width for atom in atoms[inked:])
    chunk = Chunk(length, tuple(atoms), width, full)
    first = atoms[0] if atoms else None
    if first and all(atom.face is first.face and _is_flat(atom) for atom in atoms):
        chunk.face = first.face
        strings = [atom.shaped.string for atom in atoms]
        chunk.string = b"".join(string for string in strings if string is not None) if all(strings) else None
        chunk.glyphs = frozenset().union(*(atom.shaped.glyphs for atom in atoms))
    return chunk


def _is_flat(atom: Atom) -> bool:
    return atom.shaped.spells and not atom.shaped.is_raised and not atom.language


def _short(text: str, span: Span, setting: Setting) -> Iterator[Atom]:
    """Shape left-to-right text of the house family: a word and spaces."""
    seen = text.rstrip(" ")
    if seen:
        yield _atom(seen, HOUSE, span, setting, 0, False)
    if len(seen) < len(text):
        yield _atom(text[len(seen) :], HOUSE, span, setting, 0, True)


def _atom(text: str, family: str, span: Span, setting: Setting, level: int, is_space: bool) -> Atom:
    face = face_of(family, BOLD if setting.bold or span.bold else REGULAR)
    language = span.language if span.language and span.language != setting.language else ""
    shaped = face.shape(text, bool(level % 2), language or setting.language)
    size = setting.size * size_of(family, setting.language)
    width = shaped.advance * size + setting.spacing * len(text)
    return Atom(text, face, size, shaped, width, language, span.link, level, is_space)


@dataclass(slots=True)
class _Careful:
    """Shapes text of any script: cut where level, family or the sort of sign changes."""

    span: Span
    setting: Setting

    def atoms(self, text: str, found: Sequence[int]) -> Iterator[Atom]:
        language = self.span.language or self.setting.language
        held, last, family = 0, _NONE, ""
        for at, character in enumerate(text):
            if character in _JOINERS and last[0]:
                continue
            if character in UNSEEN:
                sort: _Sort = ("", 0, "unseen")
            else:
                stays = character == " " or unicodedata.combining(character)
                family = _family(character, family if stays else "", language, self.setting.family)
                sort = (family, found[at], _sign(character, found[at], at))
            if sort != last:
                yield from self.cut(text[held:at], last)
                held, last = at, sort
        yield from self.cut(text[held:], last)

    def cut(self, text: str, sort: _Sort) -> Iterator[Atom]:
        family, level, sign = sort
        if family:
            yield _atom(text, family, self.span, self.setting, level, sign == "space")


def _sign(character: str, level: int, at: int) -> str | int:
    """Tell what an atom may hold: spaces, letters, or a sign that stands alone in right-to-left text."""
    if character == " ":
        return "space"
    if level % 2 and unicodedata.bidirectional(character) not in _LETTERS:
        return at
    return "word"


def _family(character: str, last: str, language: str, first: str) -> str:
    """
    Find the family of a character: `last` if it has it.

    So a mark stays with its letter, and a space with the word before it: most lines are then set in one font.
    """
    if last and ord(character) in characters_of(last):
        return last
    found = family_of(character, language, first)
    if found is None:
        raise MissingGlyph(character)
    return found


def cut_chunk(chunk: Chunk, setting: Setting) -> Iterator[Chunk]:
    """Cut a chunk that is wider than the line into what a reader takes for single characters."""
    length = 0
    for atom in chunk.atoms:
        length += len(atom.text)
        if atom.is_space:
            yield _chunk([atom], len(atom.text))
            continue
        span = Span(atom.text, atom.face.weight == BOLD, language=atom.language or None, link=atom.link)
        at = 0
        for end in clusters(atom.text, setting.language):
            text = atom.text[at:end]
            yield _chunk([_atom(text, atom.face.family, span, setting, atom.level, False)], len(text))
            at = end
    if length < chunk.length:
        yield Chunk(chunk.length - length, (), 0.0, 0.0)
