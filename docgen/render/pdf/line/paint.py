"""
The chunks of a line > PDF text operators, in one text object.

Left-to-right lines are one string after the other. In a line with right-to-left words each atom has its own place and
is written in reading order, so that every reader finds the words in theirs.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import NamedTuple

from docgen.render.pdf.glyphs import FontsOfFile, UsedFont
from docgen.render.pdf.line.face import Face
from docgen.render.pdf.line.parts import Atom, Chunk, Setting
from docgen.render.pdf.line.shaped import Shaped
from docgen.render.pdf.line.strings import BYTES, JUNCTION
from docgen.render.pdf.numbers import FINE, fine, number
from docgen.render.pdf.numbers import color as operator

_AGAIN = "ET\nBT\n"
_RLM, _LRM = "\u200f", "\u200e"


class Strip(NamedTuple):
    """A whole line that is one string in every file: all that is written but its place and the name of its font."""

    face: Face
    head: str
    tail: bytes

    def paint(self, x: float, base: float, chunks: Sequence[Chunk], fonts: FontsOfFile) -> bytes:
        """Write it at a place."""
        used = fonts.use(self.face)
        used.inked.update(chunks)
        return f"{self.head}{number(x, FINE)} {number(base, FINE)} Td\n/{used.name} ".encode() + self.tail


def strip_of(chunks: Sequence[Chunk], color: str, setting: Setting) -> Strip | None:
    """Join the chunks of a left-to-right line, if they are such a string."""
    face = chunks[0].face
    strings = [chunk.string for chunk in chunks if chunk.face is face and chunk.string is not None]
    if face is None or len(strings) < len(chunks):
        return None
    string = "".join(strings).replace(JUNCTION, "")
    tail = f"{number(chunks[0].atoms[0].size, FINE)} Tf\n[{string}]TJ\n{_end(setting)}"
    return Strip(face, _begin(color, setting), tail.encode(BYTES))


def _begin(color: str, setting: Setting) -> str:
    return f"{operator(color)}\nBT" + (f" {number(setting.spacing, FINE)} Tc\n" if setting.spacing else "\n")


def _end(setting: Setting) -> str:
    return "0 Tc ET\n" if setting.spacing else "ET\n"


class Pen:
    """Writes one line; remembers the font and the string it is in."""

    __slots__ = ("_base", "_end", "_face", "_flat", "_fonts", "_parts", "_size", "_used", "_words")

    def __init__(self, base: float, color: str, setting: Setting, fonts: FontsOfFile) -> None:
        self._base, self._end = number(base, FINE), _end(setting)
        self._parts = [_begin(color, setting)]
        self._flat: list[str] = []
        self._fonts = fonts
        self._used: UsedFont | None = None
        self._face: Face | None = None
        self._size = 0.0
        self._words: Mapping[Shaped, str] = {}

    def row(self, chunks: Sequence[Chunk], x: float) -> None:
        """Write chunks of a left-to-right line, the space at its end too: it parts the words for who hears them."""
        self._move(number(x, FINE))
        for chunk in chunks:
            if chunk.face is not None:
                used = self.font(chunk.face, chunk.atoms[0].size)
                used.inked.add(chunk)
                self._flat += (
                    [used.string(atom.shaped) for atom in chunk.atoms] if chunk.string is None else [chunk.string]
                )
            else:
                self.atoms(chunk.atoms)

    def atoms(self, atoms: Sequence[Atom]) -> None:
        """Write atoms one after the other; another language, and words that need it, in spans of their own."""
        for language, group in groupby(atoms, key=lambda atom: atom.language):
            self.open(f"/Lang({language})" if language else "")
            for _, word in groupby(group, key=lambda atom: atom.is_space):
                row = [*word]
                spelled = not all(atom.shaped.spells or atom.level % 2 for atom in row)
                self.open(_actual("".join(atom.text for atom in row)) if spelled else "")
                for atom in row:
                    self.atom(atom)
                self.close(spelled)
            self.close(bool(language))

    def atom(self, atom: Atom) -> None:
        """Write one atom behind the last."""
        used = self.font(atom.face, atom.size)
        if atom.shaped.is_raised:
            self.flush()
            self._parts.append(self._words[atom.shaped])
        else:
            self._flat.append(used.string(atom.shaped))

    def places(self, placed: Sequence[tuple[Atom, float]], x: float) -> None:
        """Write atoms in reading order, each at its place; left-to-right runs together, with what they stand for."""
        spots = fine([x + left for _, left in placed])
        at, last = 0, len(placed)
        parts, words = self._parts, self._words
        then = f" {self._base} Td\n"
        while at < last:
            atom = placed[at][0]
            if not atom.level % 2:
                at = self._run(placed, at, spots)
                words = self._words
            elif atom.language or atom.face is not self._face or atom.size != self._size:
                self._alone(atom, spots[at])
                words = self._words
                at += 1
            else:
                parts.append(f"{_AGAIN}{spots[at]}{then}{words[atom.shaped]}")
                at += 1

    def _run(self, placed: Sequence[tuple[Atom, float]], at: int, spots: Sequence[str]) -> int:
        """Write what runs to the right from a place in the line; gives the place behind it."""
        first, stop = placed[at][0], at + 1
        while stop < len(placed) and _goes_on(first, placed[stop][0]):
            stop += 1
        self._move(spots[min(range(at, stop), key=lambda place: placed[place][1])])
        self._together([atom for atom, _ in placed[at:stop]])
        return stop

    def _alone(self, atom: Atom, x: str) -> None:
        """Write one atom at its place."""
        self._move(x)
        self.open(f"/Lang({atom.language})" if atom.language else "")
        self.font(atom.face, atom.size)
        self._parts.append(self._words[atom.shaped])
        self.close(bool(atom.language))

    def _together(self, row: Sequence[Atom]) -> None:
        text = "".join([atom.text for atom in row])
        language = f"/Lang({row[0].language})" if row[0].language else ""
        self.open(_actual(f"{_RLM}{text}{_LRM}") + language)
        for atom in row:
            self.atom(atom)
        self.close(True)

    def _move(self, x: str) -> None:
        """Go on at another place of the line: readers take words apart by text objects, not by places."""
        self._parts.append(f"{_AGAIN if len(self._parts) > 1 else ''}{x} {self._base} Td")

    def open(self, entries: str) -> None:
        """Begin a span."""
        if entries:
            self.flush()
            self._parts.append(f"/Span<<{entries}>>BDC")

    def close(self, is_open: bool) -> None:
        """End a span."""
        if is_open:
            self.flush()
            self._parts.append("EMC")

    def font(self, face: Face, size: float) -> UsedFont:
        """Set the font, if it is another."""
        used = self._used
        if used is None or self._face is not face or self._size != size:
            self.flush()
            self._face, self._size = face, size
            self._used = used = self._fonts.use(face)
            self._words = used.words(size)
            self._parts.append(f"/{used.name} {number(size, FINE)} Tf")
        return used

    def flush(self) -> None:
        """Write the string so far."""
        if self._flat:
            self._parts.append(f"[{''.join(self._flat).replace(JUNCTION, '')}]TJ")
            self._flat = []

    def done(self) -> bytes:
        """End the line."""
        self.flush()
        self._parts.append(self._end)
        return (self._parts[0] + "\n".join(self._parts[1:])).encode(BYTES)


def _goes_on(first: Atom, atom: Atom) -> bool:
    """Tell whether an atom is written together with those before it: it runs to the right as they do."""
    return not atom.level % 2 and (atom.level, atom.language) == (first.level, first.language)


def _actual(text: str) -> str:
    return f"/ActualText<FEFF{text.encode('utf-16-be').hex().upper()}>"
