"""What a section is made of: paragraphs, lists, tables, forms and figures, in words and plain numbers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from docgen.blocks.words import Words
from docgen.values import dataclass


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
    framed: bool = False
    """True for what somebody else fills in: a frame stands around it."""


_Read = Heading | Paragraph | Items | Table | Pairs | Note | Caution | Danger | Image | Figure
Block = _Read | Choice | Writing | Signature | PageBreak | Together
