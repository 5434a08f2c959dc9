"""The document model: what compose makes and renderers print. Frozen, plain, and blind to everything clinical."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any


@dataclass(frozen=True)
class Span:
    """A run of text that prints in one way."""

    text: str
    bold: bool = False
    italic: bool = False
    language: str | None = None
    """BCP 47 tag if the run is in another language than the document."""
    isolated: bool = False
    """True if the run keeps its own direction inside text of the other one (names, numbers, codes)."""
    path: str = field(default="", compare=False)
    """The field it came from, for problems that show only on the page; renderers do not print it."""
    link: str = ""
    """Address the run leads to (tel:, mailto: or https:); empty for most."""
    look: str = ""
    """tag or unrecorded: framed, or plain, behind a diamond; second or small: a smaller line below a name or words."""


Words = tuple[Span, ...]
BELOW = Span("\n", look="below")  # parts words from the same words in another language, which stand below them


@dataclass(frozen=True)
class Heading:
    """A heading; level 1 is the title of the document, 2 a section, 3 and 4 below it."""

    level: int
    words: Words


@dataclass(frozen=True)
class Paragraph:
    """Running text."""

    words: Words
    role: str = "body"
    """body, lead (the first sentence a reader must see) or small."""


@dataclass(frozen=True)
class Items:
    """A list, one level deep; `ordered` numbers it from 1."""

    items: tuple[Words, ...]
    ordered: bool = False


@dataclass(frozen=True)
class Table:
    """A table with a head; rows top to bottom, each as long as `header`."""

    header: tuple[Words, ...]
    rows: tuple[tuple[Words, ...], ...]
    caption: Words = ()
    numeric: tuple[int, ...] = ()
    """Columns whose text is set flush to the end edge."""
    total: bool = False
    """True if the last row sums the others."""
    boxes: tuple[int, ...] = ()
    """Columns whose cells hold no words but an empty box, for the pen."""
    writing: tuple[int, ...] = ()
    """Columns whose cells hold no words but room for the pen, to say the row again in the document's language."""
    drawings: tuple[Figure | None, ...] = ()
    """One per row, or none at all: drawn beside the row's name, in a place without a head of its own."""


@dataclass(frozen=True)
class Pairs:
    """Labels and their values, one pair a line."""

    rows: tuple[tuple[Words, Words], ...]


@dataclass(frozen=True)
class Note:
    """A remark beside the text, quieter than it."""

    words: Words


@dataclass(frozen=True)
class Caution:
    """A caution to staff; louder than the text."""

    words: Words
    look: str = "bar"
    """bar; frame, over the whole width; band, the same and filled."""


@dataclass(frozen=True)
class Danger:
    """The danger box of a patient's page: a title and what stands in the frame."""

    title: Words
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Choice:
    """Boxes to tick: before the options, or one already ticked."""

    label: Words
    options: tuple[Words, ...]
    chosen: int | None = None
    """Position of the ticked option; None prints empty boxes."""
    complete: bool = False
    """True for a list the program has gone through: every box is ticked."""

    def is_ticked(self, place: int) -> bool:
        """Tell whether the box before an option is ticked."""
        return self.complete or place == self.chosen


@dataclass(frozen=True)
class Writing:
    """Empty lines for the pen, with a label before them."""

    label: Words
    lines: int = 1
    more: int = 0
    """Lines below the one that begins beside the label, where `lines` is 0."""


@dataclass(frozen=True)
class Signature:
    """A place to sign. Statement, line and name are never parted."""

    statement: Words
    """In the first person."""
    role: Words
    """Whose signature: "Patient", "Surgeon"."""
    name: Words
    details: Words = ()
    """Registration number and the like."""
    moment: Words = ()
    """Date and time of signing if recorded; empty prints a blank line."""
    labels: tuple[Words, Words] = ((), ())
    """The words below the two lines: signature; date and time."""


@dataclass(frozen=True)
class Image:
    """A picture from a file of the clinic (its logo)."""

    content: bytes
    alt: str
    width_mm: float


@dataclass(frozen=True)
class Figure:
    """A drawing: a name, plain numbers and words, and what it says in words for who cannot see it."""

    name: str
    data: Mapping[str, Any]
    alt: Words
    words: tuple[Words, ...] = ()
    """All words on the drawing, in the order in which it is read."""
    instead: tuple[Words, ...] = ()
    """Sentences printed where it is not drawn; empty for its alternative text."""


@dataclass(frozen=True)
class PageBreak:
    """What follows starts a page."""


@dataclass(frozen=True)
class Together:
    """Blocks that stay on one page."""

    blocks: tuple[Block, ...]


_Read = Heading | Paragraph | Items | Table | Pairs | Note | Caution | Danger | Image | Figure
Block = _Read | Choice | Writing | Signature | PageBreak | Together


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


MARK_CODES = ("sample", "draft", "unsigned")
"""State marks in the order in which a page carries them."""


@dataclass(frozen=True)
class Mark:
    """A state mark: what a page is not yet, in words."""

    code: str
    """One of MARK_CODES, the same in every language."""
    words: str
    filled: bool = True
    """Set on a band; False: in outline, quieter."""


@dataclass(frozen=True)
class Furniture:
    """What stands on every page."""

    clinic: Words
    contact: Words
    """The clinic's address and telephone, on the first page."""
    person: tuple[Words, ...]
    """Name, birth date, number."""
    marks: tuple[Mark, ...]
    foot: tuple[Words, ...]
    page: str
    """Page x of y with {page} and {pages}."""
    logo: Image | None = None
    copy: str = ""
    """Whose copy it is, in words; empty for a kind with one copy."""


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

    @property
    def blocks(self) -> Iterator[Block]:
        """All blocks in reading order, section headings included."""
        for section in self.sections:
            yield from section.headed_blocks

    def in_voice(self, voice: str) -> Document:
        """Give the document as a section of another voice sees it: staff is never spoken to in large print."""
        return replace(self, layout=replace(self.layout, voice=voice, large_print=False)) if voice else self


def plain(words: Words) -> str:
    """Join the text of some words."""
    return "".join(span.text for span in words)
