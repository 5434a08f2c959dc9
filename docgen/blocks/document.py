"""Sections, furniture and origin > one document."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from docgen.blocks.block import Block, Heading
from docgen.blocks.furniture import Furniture
from docgen.blocks.words import Words
from docgen.values import dataclass


@dataclass(frozen=True)
class Section:
    """One element of the specification: its ID, its heading and what stands under it."""

    id: str
    """IDs parted by a space where one section covers several ("C21 C22")."""
    heading: Words
    """Empty for a section without a heading of its own."""
    blocks: tuple[Block, ...]
    voice: str = ""
    """patient or staff, if other than that of the document; a staff section is never in large print."""

    @property
    def headed_blocks(self) -> Iterator[Block]:
        """The blocks with the heading as the first of them."""
        if self.heading:
            yield Heading(2, self.heading)
        yield from self.blocks


@dataclass(frozen=True)
class Origin:
    """Where the document came from; printed in the foot and kept by the register."""

    kind: str
    version: str
    language: str
    copy: str
    """patient, clinic, or empty for a kind with one copy."""
    record: str
    case_digest: str
    template_digest: str
    editions: tuple[str, ...]
    """Tables of figures used, each "name edition"."""
    settings: tuple[tuple[str, str], ...]
    """Settings of the clinic that the document used."""
    program: str
    issued_on: str
    """ISO date; files carry it as their date."""


@dataclass(frozen=True)
class Layout:
    """Wishes about the page that change no word."""

    large_print: bool = False
    voice: str = "patient"
    """patient (larger) or staff."""
    paper: str = ""
    """A4 or Letter; empty for the paper of the house style."""


@dataclass(frozen=True)
class Document:
    """A composed document."""

    title: Words
    language: str
    direction: str
    """ltr or rtl."""
    sections: tuple[Section, ...]
    furniture: Furniture
    origin: Origin
    layout: Layout = Layout()
    second_language: str = ""
    """BCP 47 tag of the reader's language, where the document says everything in two."""

    @property
    def blocks(self) -> Iterator[Block]:
        """All blocks in reading order, section headings included."""
        for section in self.sections:
            yield from section.headed_blocks

    def in_voice(self, voice: str) -> Document:
        """Give the document as a section of another voice sees it: staff is never spoken to in large print."""
        return replace(self, layout=replace(self.layout, voice=voice, large_print=False)) if voice else self
