"""
What a line is made of: ways of setting, atoms and chunks. Apart from `chunks`, which makes them of words.

An atom is a word, a run of spaces or, in right-to-left text, a single sign: what is placed on the page at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from docgen.blocks import Span
from docgen.render.fonts.sources import HOUSE
from docgen.render.pdf.line.face import Face
from docgen.render.pdf.line.recent import Recent
from docgen.render.pdf.line.shaped import Shaped

KEPT_CHUNKS = 600
"""Chunks kept for one way of setting, in each half of what is kept (`Recent`)."""

KEPT_SENTENCES = 200
"""Sentences kept for one way of setting, in each half, as the chunks they consist of."""

KEPT_WAYS, KEPT_SORTS = 256, 16
"""Ways of setting that are kept, and sorts of spans for each: bold, in another language, leading somewhere."""


class Setting:
    """How a paragraph is set; lengths in points. One object for each way (`setting_of`), which is its own key."""

    __slots__ = ("_kept", "bold", "family", "language", "rtl", "size", "spacing")

    def __init__(self, size: float, bold: bool, language: str, rtl: bool, spacing: float, family: str) -> None:
        self.size, self.bold, self.language, self.rtl, self.spacing = size, bold, language, rtl, spacing
        self.family = family
        """The font family that is asked first."""
        self._kept: dict[tuple[bool, str | None, str], tuple[_Memo, _Sentences]] = {}

    def chunks(self, span: Span) -> _Memo:
        """Find the chunks that are kept for the sort of a span."""
        return self._of_sort(span)[0]

    def sentences(self, span: Span) -> _Sentences:
        """Find the sentences that are kept for the sort of a span."""
        return self._of_sort(span)[1]

    def _of_sort(self, span: Span) -> tuple[_Memo, _Sentences]:
        sort = (span.bold, span.language, span.link)
        found = self._kept.get(sort)
        if found is None:
            if len(self._kept) >= KEPT_SORTS:
                self._kept.clear()
            found = self._kept[sort] = Recent(KEPT_CHUNKS), Recent(KEPT_SENTENCES)
        return found


@lru_cache(maxsize=KEPT_WAYS)
def setting_of(size: float, bold: bool, language: str, rtl: bool, spacing: float = 0.0, family: str = HOUSE) -> Setting:
    """Find the one object for a way of setting; lengths in points."""
    return Setting(size, bold, language, rtl, spacing, family)


class Atom:
    """Something placed at once; lengths in points."""

    __slots__ = ("face", "is_space", "language", "level", "link", "shaped", "size", "text", "width")

    def __init__(
        self,
        text: str,
        face: Face,
        size: float,
        shaped: Shaped,
        width: float,
        language: str,
        link: str,
        level: int,
        is_space: bool,
    ) -> None:
        self.text, self.face, self.size, self.shaped, self.width = text, face, size, shaped, width
        self.language, self.link, self.level, self.is_space = language, link, level, is_space
        """Language: empty for the paragraph's own."""

    def at_level(self, level: int) -> Atom:
        """Give the same at a level."""
        if level == self.level:
            return self
        kept = (self.text, self.face, self.size, self.shaped, self.width, self.language, self.link)
        return Atom(*kept, level, self.is_space)


class Chunk:
    """What no line cuts, and the spaces after it, which hang over the end of a line; lengths in points."""

    __slots__ = ("atoms", "face", "full", "glyphs", "length", "string", "width")

    def __init__(self, length: int, atoms: tuple[Atom, ...], width: float, full: float) -> None:
        self.length, self.atoms, self.width, self.full = length, atoms, width, full
        """Length in characters, format characters included; width without the spaces at its end, and with them."""
        self.face: Face | None = None
        """If all atoms stand on one base line in one face and language, so that they are one string."""
        self.string: str | None = None
        """That string, if it is the same in every file."""
        self.glyphs: tuple[int, ...] = ()


class Paragraph(NamedTuple):
    """A paragraph ready to be broken: one hard line of words."""

    text: str
    chunks: tuple[Chunk, ...]
    has_order: bool
    """True if some of it may run from right to left."""


_Memo = Recent[str | tuple[str, Sequence[int]], Chunk]
"""By text, or by text and levels."""

_Sentences = Recent[str, tuple[Chunk, ...]]
