"""What a kind of document asks for and reads, as frozen data."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from docgen.facts import Request
from docgen.values import dataclass

LATE_FACTS = ("readability", "reading_minutes")
"""Facts of the composed document; compose counts them once the text stands."""

PAIRS, APART = "pairs", "apart"


@dataclass(frozen=True)
class Condition:
    """One fact, or one field equal to one value; anything harder becomes a fact."""

    name: str
    """A fact, or the path of a field (it has a dot)."""
    value: str = "yes"

    @property
    def is_field(self) -> bool:
        """True if the condition looks at a field of the case."""
        return "." in self.name


@dataclass(frozen=True)
class Requirement:
    """What must be recorded, and the sentence a receptionist reads when it is not."""

    fields: tuple[str, ...]
    """Path patterns; all of them, or one of them if `any_of`."""
    because: str
    when: Condition | None = None
    any_of: bool = False
    line: int = 0
    """Where it stands in kind.yaml."""


@dataclass(frozen=True)
class OwnField:
    """A field a clinic adds for its kind; it lies in the case under `own.<kind>`."""

    name: str
    type: str
    """yn, line, text, date, int, decimal or code."""
    label: str
    codes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Undated:
    """What the version without clock times reads instead."""

    moment: str
    teeth: tuple[str, ...]
    reference_day: tuple[str, ...]


@dataclass(frozen=True)
class Exchange:
    """How a kind's data leave the clinic beside its pages."""

    embedded: bool = True
    """False: only as a file of their own, never inside the PDF."""
    when: Condition | None = None
    """One field equal to one value, without which nothing is embedded: a letter to the patient carries no data."""
    loinc: str = ""
    """LOINC code of this type of document, where one fits for certain; empty: the title alone says what it is."""
    display: str = ""
    """LOINC's own words for that code."""


@dataclass(frozen=True)
class DocumentKind:
    """A kind of document, as its folder describes it."""

    name: str
    title: str
    version: str
    audience: str
    """patient or staff: the voice of text and page."""
    moment: str
    """The field whose answer says that the moment of this kind has come."""
    requires: tuple[Requirement, ...]
    optional: tuple[str, ...]
    facts: tuple[str, ...]
    own_fields: tuple[OwnField, ...]
    folder: Path
    body: str
    """Name of the template for the loader."""
    digest: str
    """Of kind.yaml, body and everything the body extends or includes."""
    copies: tuple[str, ...] = ()
    signed_at: tuple[str, ...] = ()
    """Fields that hold the moment of signing; empty for a kind that is not signed."""
    foot_caution: str = ""
    """A caution that opens the foot of every page."""
    teeth: tuple[str, ...] = ("plan.procedures", "referral.teeth")
    """Lists that say which teeth the document is about; the first that is recorded."""
    reference_day: tuple[str, ...] = ("consent.confirmed_at", "consent.first_talk_on")
    """Fields that give the day on which age is judged; the first that is recorded."""
    staff_sections: tuple[str, ...] = ()
    """Elements of a patient's text that are for staff: not counted as the patient's reading, not translated."""
    bilingual: str = ""
    """If reader and record differ in language: pairs (paragraph by paragraph) or apart (the clinic's copy its own)."""
    called_for_by: str = ""
    """A fact that asks for this kind; if its moment has not come, that is said."""
    undated: Undated | None = None
    """The version without clock times, which goes out earlier."""
    exchange: Exchange | None = None
    """How its data may leave the clinic; None: not at all."""
    checked_as: str = ""
    """Another kind as which gate 3 looks at the documents of this one; empty: as its own."""

    def moment_for(self, *, dated: bool) -> str:
        """Name the field that says the moment has come."""
        return self.undated.moment if self.undated and not dated else self.moment

    def request(self, copy: str, language: str, issued_on: date, *, dated: bool = True) -> Request:
        """Ask for one document of this kind."""
        source = self.undated if self.undated and not dated else self
        where = (source.teeth, source.reference_day, self.signed_at)
        return Request(self.name, copy, language, issued_on, dated, *where, checked_as=self.checked_as)
