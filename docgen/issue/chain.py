"""
Entries > their canonical form, their digests, and what is wrong with a row of them.

The digest is taken of the very text that is stored, and that text holds the digest of the entry before it: a changed,
lost, added or moved entry breaks the chain at its place. A lost tail does not; for that there are checkpoints.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from typing import Any

from docgen.issue.entry import Action, Entry, KeptFile, Paper
from docgen.problem import Message, say

FORM = "docgen entry 1"
"""Stands before what is digested, so that no other text can be passed off as an entry."""
_write = json.JSONEncoder(sort_keys=True, separators=(",", ":")).encode


@dataclass(frozen=True)
class Fault:
    """Something that is wrong with a register."""

    code: str
    what: Message
    seq: int | None = None
    """Of the first entry it was seen at, if it was seen at one."""


def beginning(register: str) -> str:
    """Give the digest that stands before a register's first entry: no entry fits into another register's chain."""
    return hashlib.sha256(f"docgen register 1\n{register}".encode()).hexdigest()


@lru_cache(maxsize=64)
def written(moment: datetime) -> str:
    """Write a moment the one way the register writes it: UTC, to the microsecond, so that text sorts as time does."""
    return moment.astimezone(UTC).isoformat(timespec="microseconds")


def canonical(entry: Entry) -> str:
    """Write an entry, all but its own digest and the wrapped keys, as ASCII JSON without choices."""
    paper = entry.paper
    return _write(
        {
            "action": entry.action.value,
            "at": written(entry.at),
            "by": entry.by,
            "code": entry.code,
            "files": [[file.name, file.digest, file.size] for file in entry.files],
            "key": entry.key,
            "note": entry.note,
            "number": entry.number,
            "paper": {**paper.__dict__, "editions": paper.editions} if paper else None,
            "previous": entry.previous,
            "reason": entry.reason,
            "seq": entry.seq,
            "successor": entry.successor,
        }
    )


def digest_of_text(text: str) -> str:
    """Digest the canonical form of an entry."""
    return hashlib.sha256(f"{FORM}\n{text}".encode()).hexdigest()


def digest_of(entry: Entry) -> str:
    """Digest an entry: SHA-256, hex."""
    return digest_of_text(canonical(entry))


def entry_of(text: str, digest: str) -> Entry:
    """
    Read an entry back from its canonical form; its digest is taken as it stands, `faults` compares it.

    Errors: ValueError, if the text is no entry.
    """
    try:
        read: dict[str, Any] = json.loads(text)
        paper = read["paper"]
        return Entry(
            seq=read["seq"],
            at=datetime.fromisoformat(read["at"]),
            action=Action(read["action"]),
            number=read["number"],
            by=read["by"],
            paper=Paper(**{**paper, "editions": tuple(paper["editions"])}) if paper else None,
            key=read["key"],
            files=tuple(KeptFile(name, digest, size) for name, digest, size in read["files"]),
            successor=read["successor"],
            reason=read["reason"],
            note=tuple((name, value) for name, value in read["note"]),
            code=read["code"],
            previous=read["previous"],
            digest=digest,
        )
    except (KeyError, TypeError, AttributeError) as error:
        raise ValueError("no entry of a register") from error


def faults(entries: Iterable[Entry], begin: str) -> tuple[Fault, ...]:
    """Say where a whole chain is broken: `entries` from the first, `begin` what stands before it (see `beginning`)."""
    found: list[Fault] = []
    before, place = begin, 0
    for entry in entries:
        place += 1
        if entry.seq != place:
            what = say("entry %(seq)d of the register stands where entry %(place)d belongs", seq=entry.seq, place=place)
            found.append(Fault("chain-order", what, entry.seq))
        if entry.previous != before:
            what = say("entry %(seq)d of the register does not follow the entry before it", seq=entry.seq)
            found.append(Fault("chain-broken", what, entry.seq))
        if digest_of(entry) != entry.digest:
            what = say("entry %(seq)d of the register is not as it was written", seq=entry.seq)
            found.append(Fault("entry-changed", what, entry.seq))
        before, place = entry.digest, entry.seq
    return tuple(found)
