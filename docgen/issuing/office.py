"""
What an issue is made with and what comes of it: the register, the store, who asks; the numbered files.

Apart from the flow, because signing, copies and checks of a printed page take the same.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from docgen.blocks import Document
from docgen.examine import Asked, Examined
from docgen.issue.entry import Life, Paper
from docgen.issue.register import Register
from docgen.issue.store import Store
from docgen.problem import Message, Problem


@dataclass(frozen=True)
class Office:
    """The open register, the store of its files, and the clock."""

    register: Register
    store: Store
    now: Callable[[], datetime]
    """Aware, in UTC."""
    trust: Path | None = None
    """Folder of the certificates and revocation lists a clinic trusts."""


@dataclass(frozen=True)
class Order:
    """How somebody wants documents issued."""

    by: str
    """Who issues; printed nowhere, kept in the register."""
    key: str = ""
    """Own idempotency key; empty: the digest of everything the document is made of."""
    supersedes: int | None = None
    """Number of the document that the new one replaces."""
    reason: str = ""
    """One of REASONS; required to supersede."""
    words: str = ""
    """The reason in words; kept as a file, so that it can be erased."""
    beside: bool = False
    """A further document of the same kind; the earlier one stands."""
    signs: bool = False
    """The document is signed in this step: its moment of signing is new."""
    carries: bool = True
    """Letters and notes carry their data."""


@dataclass(frozen=True)
class Issued:
    """One numbered document."""

    life: Life
    files: Mapping[str, bytes]
    """By file name."""
    again: bool = False
    """True if it was issued before, by the same key: nothing new was made."""


@dataclass
class IssuedPack:
    """What came of one order."""

    issued: list[Issued] = field(default_factory=list)
    notes: tuple[Problem, ...] = ()
    left_out: Mapping[str, Message] = field(default_factory=dict)


def record_digest(register: Register, record: str) -> str:
    """Give what the register knows of a record's id."""
    return register.keyed("record", record)


def key_of(one: Asked, document: Document, seen: Examined, register: Register, order: Order) -> str:
    """
    Give the idempotency key of one document.

    The keyed digest of case, kind, language, copy, text, translation, tables, issue date and state marks, and of what
    it supersedes; or of the key somebody gave.
    """
    if order.key:
        return register.keyed("own key", order.key, one.name)
    origin = document.origin
    parts = (
        (origin.case_digest, one.name, origin.version, origin.template_digest, origin.issued_on, origin.program),
        (seen.languages[name].digest(one.kind.name) for name in one.languages),
        origin.editions,
        (mark.code for mark in document.furniture.marks),
    )
    return register.keyed("key", *("\n".join(part) for part in parts), str(order.supersedes or ""))


def paper_of(one: Asked, document: Document, register: Register) -> Paper:
    """Say what is numbered; record and case only as keyed digests."""
    origin = document.origin
    return Paper(
        kind=one.kind.name,
        version=origin.version,
        language=", ".join(one.languages),
        copy=origin.copy,
        record_digest=record_digest(register, origin.record),
        case_digest=register.keyed("case", origin.case_digest),
        template_digest=origin.template_digest,
        editions=origin.editions,
        issued_on=origin.issued_on,
        program=origin.program,
    )
