"""
One entry of the register, and the life of one number, as plain values.

Apart from everything that writes or reads them, so that a command can speak of them without a database.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

REASONS = (
    "entered_in_error",
    "consent_withdrawn",
    "corrected",
    "new_findings",
    "plan_changed",
    "translation_corrected",
    "not_completed",
    "other",
)
"""Why a document was superseded, withdrawn, voided or erased."""


class Action(StrEnum):
    """What an entry records; the first six are also the states of a number."""

    PREPARED = "prepared"
    """The number is taken; the file is not there yet."""
    ISSUED = "issued"
    SIGNED = "signed"
    """Issued with the surgeon's signature in the file."""
    SUPERSEDED = "superseded"
    """A later number stands in its place."""
    WITHDRAWN = "withdrawn"
    VOIDED = "voided"
    """A number that was never used."""
    COUNTERSIGNED = "countersigned"
    """A second person signed the file too: the entry names the new file, and the state stays signed."""
    HELD = "held"
    """Nothing of it may be erased until it is released."""
    RELEASED = "released"
    ERASED = "erased"
    """The keys of its files are destroyed; number and digests stay."""


@dataclass(frozen=True)
class Paper:
    """What a number was taken for; it holds no value of the patient's record."""

    kind: str
    version: str
    """Of the kind's template."""
    language: str
    copy: str
    """For whom: "patient", "clinic" or "" where there is one copy."""
    record_digest: str
    """Keyed digest of the record id, hex."""
    case_digest: str
    """Keyed digest of the case, hex."""
    template_digest: str
    editions: tuple[str, ...]
    """Of the tables whose figures it prints."""
    issued_on: str
    """Date of issue, as YYYY-MM-DD."""
    program: str
    """Version of docgen."""


@dataclass(frozen=True)
class KeptFile:
    """A file of the store."""

    name: str
    """Its role: "pdf", "docx", "document.json", "case.json", "bundle.json" or "reason.txt"."""
    digest: str
    """SHA-256 of its content, hex."""
    size: int
    """Of its content, in bytes."""
    wrapped_key: bytes | None = field(default=None, compare=False, repr=False)
    """Opens it; stands outside the chain, so that it can be destroyed. None where it is not encrypted, or erased."""


@dataclass(frozen=True)
class Entry:
    """One line of the register: it names the digest of the line before it, and has one of its own."""

    seq: int
    """Its place in the chain, from 1."""
    at: datetime
    """When, in UTC."""
    action: Action
    number: int
    by: str
    """Who did it."""
    paper: Paper | None
    """Stands in the entry that took the number; None in later ones."""
    key: str
    """Idempotency key; stands where the paper stands."""
    files: tuple[KeptFile, ...]
    successor: int | None
    """The number that stands in its place, where it was superseded."""
    reason: str
    """One of REASONS, or "" where none is asked for."""
    note: tuple[tuple[str, str], ...]
    """Plain technical facts, e.g. the digest of the signer's certificate."""
    code: str
    """Check code printed on the page; stands in the entry that issued it."""
    previous: str
    """Digest of the entry before; of the register's beginning in the first one."""
    digest: str
    """SHA-256 of this entry's canonical form, hex."""


@dataclass(frozen=True)
class Life:
    """One number, from its first entry to its last."""

    number: int
    paper: Paper
    state: Action
    """The last of the first six actions."""
    files: tuple[KeptFile, ...]
    """Of all its entries, in order; with their wrapped keys, until they were erased."""
    entries: tuple[Entry, ...]
    code: str
    key: str
    on_hold: bool
    erased: bool

    @property
    def current(self) -> tuple[KeptFile, ...]:
        """Its files as they are to be shown: what was countersigned stands in the place of what was signed."""
        later = next((entry.files for entry in self.entries if entry.action is Action.COUNTERSIGNED), ())
        replaced = {file.name for file in later}
        return tuple(file for file in self.files if file.name not in replaced or file in later)

    @property
    def successor(self) -> int | None:
        """The number that stands in its place."""
        return next((entry.successor for entry in reversed(self.entries) if entry.successor is not None), None)
