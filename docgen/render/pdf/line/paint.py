"""
The chunks of a line > PDF text operators, in one text object.

Left-to-right lines are one string after the other. In a line with right-to-left words each atom has its own place and
is written in reading order, so that every reader finds the words in theirs.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from docgen.render.pdf.glyphs import FontsOfFile, UsedFont
from docgen.render.pdf.line.chunks import Atom, Chunk, Setting
from docgen.render.pdf.line.face import Face
from docgen.render.pdf.numbers import FINE, number
from docgen.render.pdf.numbers import color as operator

_RLM, _LRM = "\u200f", "\u200e"
_LONE_SPACES = "\u00a0 "


@dataclass(frozen=True, slots=True)
class Strip:
    """A whole line that is one string in every file: painting it again costs next to nothing."""

    face: Face
    size: float
    string: bytes
    glyphs: frozenset[int]


def strip_of(chunks: Sequence[Chunk]) -> Strip | None:
    """Join the chunks of a left-to-right line, if they are such a string."""
    face = chunks[0].face if chunks else None
    strings = [chunk.string for chunk in chunks if chunk.face is face and chunk.string is not None]
    if face is None or len(strings) < len(chunks):
        return None
    glyphs = frozenset[int]().union(*[chunk.glyphs for chunk in chunks])
    return Strip(face, chunks[0].atoms[0].size, b"".join(strings), glyphs)


class Pen:
    """Writes one line; remembers the font and the string it is in."""

    __slots__ = ("_base", "_face", "_flat", "_fonts", "_parts", "_size", "_used")

    def __init__(self, x: float, base: float, color: str, setting: Setting, fonts: FontsOfFile) -> None:
        spacing = f"{number(setting.spacing, FINE)} Tc " if setting.spacing else ""
        self._base = f" {number(base, FINE)} Tm"
        self._parts = [f"{operator(color)}\nBT {spacing}1 0 0 1 {number(x, FINE)}{self._base}".encode()]
        self._flat: list[bytes] = []
        self._fonts = fonts
        self._used: UsedFont | None = None
        self._face: Face | None = None
        self._size = 0.0

    def strip(self, strip: Strip) -> None:
        """Write a line that is one string."""
        self.font(strip.face, strip.size).glyphs |= strip.glyphs
        self._flat.append(strip.string)

    def row(self, chunks: Sequence[Chunk]) -> None:
        """Write chunks of a left-to-right line, the space at its end too: it parts the words for who hears them."""
        for chunk in chunks:
            if chunk.face is not None:
                used = self.font(chunk.face, chunk.atoms[0].size)
                used.glyphs |= chunk.glyphs
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
            self._parts.append(used.raised(atom.shaped, atom.size))
        else:
            self._flat.append(used.string(atom.shaped))

    def places(self, placed: Sequence[tuple[Atom, float]], x: float) -> None:
        """Write atoms in reading order, each at its place; left-to-right runs together, with what they stand for."""
        for run in _runs(placed):
            first, left = run[0]
            if first.level % 2:
                self.alone(first, x + left)
                continue
            self.move(x + min(place for _, place in run))
            row = [atom for atom, _ in run]
            text = "".join(atom.text for atom in row)
            language = f"/Lang({first.language})" if first.language else ""
            self.open(_actual(f"{_RLM}{text}{_LRM}") + language)
            for atom in row:
                self.atom(atom)
            self.close(True)

    def alone(self, atom: Atom, x: float) -> None:
        """Write one atom at its place."""
        self.move(x)
        self.open(f"/Lang({atom.language})" if atom.language else "")
        used = self.font(atom.face, atom.size)
        self._parts.append(used.operators(atom.shaped, atom.size))
        self.close(bool(atom.language))

    def move(self, x: float) -> None:
        """Go on at another place of the line."""
        self.flush()
        again = "ET\nBT\n" if len(self._parts) > 1 else ""  # readers take words apart by text objects, not by places
        self._parts.append(f"{again}1 0 0 1 {number(x, FINE)}{self._base}".encode())

    def open(self, entries: str) -> None:
        """Begin a span."""
        if entries:
            self.flush()
            self._parts.append(f"/Span<<{entries}>>BDC".encode())

    def close(self, is_open: bool) -> None:
        """End a span."""
        if is_open:
            self.flush()
            self._parts.append(b"EMC")

    def font(self, face: Face, size: float) -> UsedFont:
        """Set the font, if it is another."""
        used = self._used
        if used is None or self._face is not face or self._size != size:
            self.flush()
            self._face, self._size = face, size
            self._used = used = self._fonts.use(face)
            self._parts.append(f"/{used.name} {number(size, FINE)} Tf".encode())
        return used

    def flush(self) -> None:
        """Write the string so far."""
        if self._flat:
            self._parts.append(b"[%b]TJ" % b"".join(self._flat).replace(b"><", b""))
            self._flat = []

    def done(self, setting: Setting) -> bytes:
        """End the line."""
        self.flush()
        self._parts.append(b"0 Tc ET\n" if setting.spacing else b"ET\n")
        return b"\n".join(self._parts)


def _runs(placed: Sequence[tuple[Atom, float]]) -> Iterator[list[tuple[Atom, float]]]:
    """Give what is written together: right-to-left atoms alone, others with their neighbors of one level."""
    run: list[tuple[Atom, float]] = []
    for pair in placed:
        atom = pair[0]
        if run and (atom.level % 2 or (atom.level, atom.language) != (run[0][0].level, run[0][0].language)):
            yield run
            run = []
        run.append(pair)
    if run:
        yield run


def _actual(text: str) -> str:
    return f"/ActualText<FEFF{text.encode('utf-16-be').hex().upper()}>"
