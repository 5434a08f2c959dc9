"""What stands on every page: head, foot, state marks, and what the register gave an issued document."""

from __future__ import annotations

from docgen.blocks.block import Image
from docgen.blocks.words import Words
from docgen.values import dataclass

MARK_CODES = ("sample", "draft", "superseded", "withdrawn", "unsigned")
"""State marks in the order in which a page carries them."""


@dataclass(frozen=True)
class Mark:
    """A state mark: what a page is not yet, or no longer, in words."""

    code: str
    """One of MARK_CODES, the same in every language."""
    words: str
    filled: bool = True
    """Set on a band; False: in outline, quieter."""
    language: str = ""
    """BCP 47 tag if the words are in another language than the document."""
    across: str = ""
    """The word across the page, if it is shorter than `words`."""


def printed_number(number: int) -> str:
    """Write a number of the register, wherever it is shown: at least six digits."""
    return f"{number:06d}"


@dataclass(frozen=True)
class Issue:
    """What the register gave a document when it was issued; printed above the title, in each foot and in the file."""

    number: str
    """As printed: 000042."""
    code: str
    """The check code, eight characters without a space."""
    head: str
    """Digest of the register's last entry before the number was taken, in hexadecimal."""
    square: tuple[str, ...]
    """Number and check code for a camera: rows of a square code, a character a module, 1 is dark. No margin."""
    alt: str
    """What the square says, for who cannot see it."""
    said: tuple[Words, ...] = ()
    """Number, day and check code in each language of the document: read once, above the title. The foot is not read."""


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
    issue: Issue | None = None
    """None for a document that is not issued."""
