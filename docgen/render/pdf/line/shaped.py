"""
A shaped word > strings of a page: glyphs with the text each stands for, and how they are written. Apart from `face`.

A code is a glyph's own number where its text is the one the font itself gives the glyph; such a word is written once.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from typing import NamedTuple

from docgen.render.pdf.line.strings import joined, written_code


class Code(NamedTuple):
    """A glyph on the page."""

    glyph: int
    text: str
    """What it stands for; empty for a glyph beyond the characters of its cluster."""
    before: int
    """Font units the pen moves before it, beside what the glyph before advanced."""
    rise: int
    """Font units above the base line."""


Key = tuple[int, str]
"""A glyph and the text it stands for."""

Columns = tuple[Sequence[int], Sequence[str], Sequence[int], Sequence[int]]
"""The glyphs of a word in the order they are painted, and for each what a `Code` says of it, value by value."""


class Shaped:
    """A shaped word; one object for each word, face and direction, which is its own key."""

    __slots__ = (
        *("_forms", "_moves", "_rises", "_row", "_texts", "_upem"),
        *("advance", "after", "glyphs", "is_raised", "keys", "spells", "string"),
    )

    def __init__(
        self,
        own: Mapping[int, str],
        upem: int,
        advance: float,
        columns: Columns,
        after: int,
        spells: bool,
    ) -> None:
        """Write a word of a face, given what its glyphs say of themselves and the units of its em."""
        self.advance, self.after, self.spells, self._upem = advance, after, spells, upem
        """Width in em; font units the pen moves after the last glyph; and True if the codes spell the text, none far
        from the last. False: it needs words of its own (ActualText)."""
        self._row, self._texts, self._moves, self._rises = row, texts, _, rises = columns
        self.glyphs = tuple(dict.fromkeys(row))
        self.is_raised = any(rises)
        """True if some glyph stands above or below the base line."""
        self.keys: tuple[Key, ...] = ()
        """Those whose code is not the glyph's own number, in order: each file gives them numbers."""
        if [*map(own.get, row)] != [*texts]:
            self.keys = tuple([key for key in zip(row, texts, strict=True) if own.get(key[0]) != key[1]])
        self._forms: dict[float, str] = {}
        self.string = None if self.keys or self.is_raised else self._part(0, len(row))
        """Inside of a TJ array, if it is the same in every file."""

    @property
    def codes(self) -> tuple[Code, ...]:
        """Its glyphs in the order they are painted."""
        return tuple(map(Code, self._row, self._texts, self._moves, self._rises))

    def form(self, size: float) -> str:
        """
        Write the word with a gap, %s, for each code of `keys`: what is the same in every file.

        Inside of a TJ array; operators, for a size in points, if some glyphs are raised.
        """
        found = self._forms.get(size)
        if found is None:
            found = self._in_steps(size) if self.is_raised else self._part(0, len(self._row))
            self._forms[size] = found
        return found

    def _part(self, start: int, stop: int) -> str:
        """Write the codes from a place up to another; after the last, the pen moves to the end of the word."""
        row, moves = self._row[start:stop], self._moves[start:stop]
        after = self.after if stop == len(self._row) else 0
        written: Iterable[str] = map(written_code, row)
        if self.keys or self.is_raised:  # it is a form, in which a percent sign stands for itself if there are two
            unusual, pairs = {*self.keys}, zip(row, self._texts[start:stop], strict=True)
            signs = [sign.replace("%", "%%") for sign in written]
            written = ["%s" if key in unusual else sign for key, sign in zip(pairs, signs, strict=True)]
        if not after and not any(moves):
            return f"({''.join(written)})"
        return joined(zip(moves, written, strict=True), after, self._upem)

    def _in_steps(self, size: float) -> str:
        parts: list[str] = []
        last = start = 0
        for rise, group in groupby(self._rises):
            stop = start + len([*group])
            if rise != last:
                parts.append(f"{rise * size / self._upem:.3f} Ts")
                last = rise
            parts.append(f"[{self._part(start, stop)}]TJ")
            start = stop
        return "\n".join([*parts, "0 Ts"] if last else parts)
