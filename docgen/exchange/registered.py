"""What the register says of a document > plain facts the bundle is made with; no third party, no clock, no patient."""

from __future__ import annotations

from datetime import datetime
from uuid import NAMESPACE_URL, UUID, uuid5

from docgen.blocks import printed_number
from docgen.kinds import HouseWords
from docgen.language import Language
from docgen.values import dataclass

VOICES = ("staff", "patient")

ENTERED_IN_ERROR = "entered_in_error"


@dataclass(frozen=True)
class IssuedFile:
    """One file of a document as the register holds it."""

    name: str
    """Its role: pdf, docx."""
    mime: str
    digest: str
    """SHA-256, hexadecimal."""
    size: int
    """Bytes."""


@dataclass(frozen=True)
class Registered:
    """One numbered document."""

    register: str
    """Id of the register; every id of the bundle is made of it and the number."""
    number: int
    at: datetime
    """Moment of issue, with its offset."""
    state: str = "issued"
    """prepared, issued, signed, superseded, withdrawn or voided."""
    reason: str = ""
    """Code of the reason for which it was withdrawn."""
    replaces: int | None = None
    """Number of the document it took the place of."""
    files: tuple[IssuedFile, ...] = ()
    """Empty while the files are not there yet: a file cannot hold its own digest."""

    @property
    def is_error(self) -> bool:
        """True if it was taken back because it should never have been there."""
        return self.state == "withdrawn" and self.reason == ENTERED_IN_ERROR

    @property
    def printed(self) -> str:
        """The number as pages print it."""
        return printed_number(self.number)

    @property
    def system(self) -> str:
        """The register as an identifier system."""
        return f"urn:uuid:{self.namespace}"

    @property
    def namespace(self) -> UUID:
        """The register's id as a UUID, made of its name if it is none."""
        try:
            return UUID(self.register)
        except ValueError:
            return uuid5(NAMESPACE_URL, f"docgen:{self.register}")

    def uuid(self, of: str) -> str:
        """Make the id of one part; the same register, number and part give the same id."""
        return str(uuid5(self.namespace, f"{self.printed}/{of}"))


@dataclass(frozen=True)
class Phrases:
    """The words of codes, and the language of the document."""

    words: HouseWords
    language: Language

    def of(self, pattern: str, code: str) -> str:
        """
        Say a code: as staff does, or as the patient hears it where a language has been given only that.

        A code without words says itself; words that nobody has translated stand in English.
        """
        group = self.words.group_of(pattern)
        said = [words for voice in VOICES if group and (words := self.words.find(group, code, voice))]
        known = [words for words in said if self.language.knows(words, group)]
        return self.language.text(known[0], group) if known else next(iter(said), code)

    def sentence(self, msgid: str) -> str:
        """Say a sentence of the catalogs; one that nobody has translated stands in English."""
        return self.language.text(msgid) if self.language.knows(msgid) else msgid
