"""
A paragraph's words > chunks that no line may cut, each of shaped atoms in reading order.

A chunk knows nothing of where it stands, so that the same word is shaped and measured once for many documents.
"""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence

from docgen.blocks import Span, Words, plain
from docgen.render.fonts.characters import UNSEEN
from docgen.render.fonts.choice import family_of, size_of
from docgen.render.fonts.cut import BOLD, REGULAR, characters_of
from docgen.render.fonts.sources import HOUSE
from docgen.render.pdf.line.face import MissingGlyph, face_of
from docgen.render.pdf.line.parts import Atom, Chunk, Paragraph, Setting
from docgen.render.pdf.line.strings import JUNCTION
from docgen.render.pdf.line.unicode import NEEDS_BIDI, breaks, clusters, levels, sentences

_NEEDS_CARE = re.compile("[^\0-\xac\xae-\u058f\u1e00-\u200a\u2010-\u2027\u202f-\u205f\u2070-\u2e7f]")
"""
Characters that may need another font, a direction or no glyph; text without them takes the short way.

Told by those that do not: a range up to the last character takes 3 ms to compile.
"""

_OPEN, _CLOSE = "\u2068", "\u2069"
"""Around a value that keeps its own direction (FSI, PDI)."""

_JOINERS = "\u200c\u200d"
"""Shape the letters beside them; all other format characters are not shaped."""

_LETTERS = frozenset(("L", "R", "AL", "EN", "AN", "NSM"))
"""Bidi classes of what is written as a word in right-to-left text; other signs stand alone."""

_Sort = tuple[str, int, str | int]
"""Family, level, and what an atom may hold."""

_NONE: _Sort = ("", -1, "")


def paragraph_of(words: Words, setting: Setting) -> Paragraph:
    """
    Shape one hard line of words.

    Errors: MissingGlyph for a character no font prints.
    """
    text = plain(words)
    directed = setting.rtl or (not text.isascii() and NEEDS_BIDI.search(text) is not None)
    if directed:
        words = tuple(_isolated(span) for span in words)
        text = plain(words)
    if not text:
        return Paragraph("", (), False)
    if not directed and setting.family == HOUSE and (text.isascii() or not _NEEDS_CARE.search(text)):
        return Paragraph(text, tuple(_chunks(text, words, setting, None)), False)
    found = levels(text, int(setting.rtl))
    return Paragraph(text, tuple(_chunks(text, words, setting, found)), any(found))


def one_word(span: Span, setting: Setting) -> Paragraph:
    """Shape a word that no line cuts (`is_one_word`), as most cells of a table are."""
    if setting.family != HOUSE:
        return paragraph_of((span,), setting)
    atom = _atom(span.text, HOUSE, span, setting, 0, False)
    return Paragraph(span.text, (_chunk([atom], len(span.text)),), False)


def _isolated(span: Span) -> Span:
    if not span.isolated or not span.text:
        return span
    return Span(f"{_OPEN}{span.text}{_CLOSE}", span.bold, span.italic, span.language, link=span.link)


def _chunks(text: str, spans: Words, setting: Setting, found: Sequence[int] | None) -> Iterable[Chunk]:
    """Cut at the places where a line may end."""
    return _plain(text, spans[0], setting) if found is None and len(spans) == 1 else _mixed(text, spans, setting, found)


def _mixed(text: str, spans: Words, setting: Setting, found: Sequence[int] | None) -> Iterator[Chunk]:
    """Cut text of any sort; a chunk within one span is taken from those there were."""
    ends, at = [0], 0
    for span in spans:
        at += len(span.text)
        ends.append(at)
    start, number = 0, 0
    memos = [setting.chunks(span) for span in spans]
    for stop in breaks(text, setting.language):
        while ends[number + 1] <= start:
            number += 1
        if stop > ends[number + 1]:
            yield _made(_parts(text, spans, ends, start, stop), setting, found, start)
        else:
            piece = text[start:stop]
            key = piece if found is None else (piece, found[start:stop])
            memo = memos[number]
            chunk = memo.young.get(key) or memo.get(key)
            yield chunk or memo.keep(key, _made([(piece, spans[number])], setting, found, start))
        start = stop


def _plain(text: str, span: Span, setting: Setting) -> Iterable[Chunk]:
    """Take the chunks of one span of left-to-right text, sentence by sentence: many texts share theirs."""
    parts = sentences(text)
    if len(parts) == 1:
        return _pieces(text, span, setting)
    memo = setting.sentences(span)
    made: list[Chunk] = []
    for part in parts:
        known = memo.young.get(part) or memo.get(part)
        made += known or memo.keep(part, tuple(_pieces(part, span, setting)))
    return made


def _pieces(text: str, span: Span, setting: Setting) -> Iterator[Chunk]:
    memo, start = setting.chunks(span), 0
    for stop in breaks(text, setting.language):
        piece = text[start:stop]
        chunk = memo.young.get(piece) or memo.get(piece)
        yield chunk or memo.keep(piece, _made([(piece, span)], setting, None, start))
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
    first = atoms[0] if atoms else None
    if first and len(atoms) == 1:
        chunk = Chunk(length, (first,), 0.0 if first.is_space else first.width, first.width)
        if _is_flat(first):
            chunk.face, chunk.string, chunk.glyphs = first.face, first.shaped.string, first.shaped.glyphs
        return chunk
    inked = len(atoms)
    while inked and atoms[inked - 1].is_space:
        inked -= 1
    width = sum([atom.width for atom in atoms[:inked]])
    full = width + sum([atom.width for atom in atoms[inked:]])
    chunk = Chunk(length, tuple(atoms), width, full)
    if first and all(atom.face is first.face and _is_flat(atom) for atom in atoms):
        chunk.face = first.face
        strings = [atom.shaped.string for atom in atoms if atom.shaped.string]
        chunk.string = "".join(strings).replace(JUNCTION, "") if len(strings) == len(atoms) else None
        used = [atom.shaped.glyphs for atom in atoms]
        chunk.glyphs = used[0] if len(used) == 1 else tuple({glyph: None for row in used for glyph in row})
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


class _Careful:
    """Shapes text of any script: cut where level, family or the sort of sign changes."""

    __slots__ = ("setting", "span")

    def __init__(self, span: Span, setting: Setting) -> None:
        self.span, self.setting = span, setting

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
