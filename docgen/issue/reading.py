"""
Numbers, keys and digests > entries and lives.

Apart from writing: nothing here locks, and each question sees one state of the register.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from docgen.issue.chain import entry_of
from docgen.issue.database import Database, Reading
from docgen.issue.entry import Entry, Life
from docgen.issue.life import life_of
from docgen.issue.statements import (
    DIGESTS,
    ENTRIES_OF,
    FILE_KEY,
    FILES_OF,
    NUMBER_IN_CHAIN,
    NUMBER_OF_FILE,
    PAGE,
    STANDING,
    page_of,
)

AT_ONCE = 500
"""Entries read in one question."""


def life(reading: Reading, number: int) -> Life | None:
    """Tell the life of a number; None for one that was never given out."""
    entries = [entry_of(body, digest) for body, digest in reading.rows(ENTRIES_OF, number=number)]
    if not entries:
        return None
    keys = {(name, digest): bytes(w) if w else None for name, digest, w in reading.rows(FILES_OF, number=number)}
    return life_of(entries, keys)


def standing(reading: Reading, key: str) -> Life | None:
    """Find the valid document of a key."""
    rows = reading.rows(STANDING, key=key)
    return life(reading, rows[0][0]) if rows else None


def lives(database: Database, kind: str, state: str, record_digest: str, since: date | None) -> Iterator[Life]:
    """Tell the lives that fit, by number; a page at a time, so that no writer's log grows while somebody reads."""
    asked = {"kind": kind, "state": state, "record": record_digest, "since": since.isoformat() if since else ""}
    fits = {name: value for name, value in asked.items() if value}
    numbers_of, *_ = page_of(*fits)
    after = 0
    while True:
        with database.reading() as reading:
            numbers = [row[0] for row in reading.rows(numbers_of, after=after, limit=AT_ONCE, **fits)]
            page = _page(reading, after, numbers[-1], fits) if numbers else []
        yield from page
        if len(numbers) < AT_ONCE:
            return
        after = numbers[-1]


def _page(reading: Reading, after: int, last: int, fits: Mapping[str, str]) -> list[Life]:
    _, entries_of, files_of = page_of(*fits)
    found: dict[int, list[Entry]] = {}
    keys: dict[int, dict[tuple[str, str], bytes | None]] = {}
    for number, body, digest in reading.rows(entries_of, after=after, last=last, **fits):
        found.setdefault(number, []).append(entry_of(body, digest))
    for number, name, digest, wrapped in reading.rows(files_of, after=after, last=last, **fits):
        keys.setdefault(number, {})[name, digest] = bytes(wrapped) if wrapped else None
    return [life_of(found[number], keys.get(number, {})) for number in sorted(found)]


def entries(database: Database, after: int) -> Iterator[Entry]:
    """Give the entries behind a place of the chain, in order."""
    while True:
        with database.reading() as reading:
            page = rows(reading, after)
        yield from (entry_of(body, digest) for _, _, body, digest in page)
        if len(page) < AT_ONCE:
            return
        after = page[-1][0]


def rows(reading: Reading, after: int) -> list[tuple[Any, ...]]:
    """Give one page of the chain: place, number, text, digest."""
    return reading.rows(PAGE, after=after, limit=AT_ONCE)


def file_key(reading: Reading, digest: str) -> bytes | None:
    """Find the wrapped key of a file that is still kept; None if it is not, or not encrypted."""
    found = reading.rows(FILE_KEY, digest=digest)
    return bytes(found[0][0]) if found and found[0][0] else None


def number_of_file(reading: Reading, digest: str) -> int | None:
    """Find the number a file belongs to, be the file erased by now."""
    for question in (NUMBER_OF_FILE, NUMBER_IN_CHAIN):
        if rows := reading.rows(question, digest=digest):
            return int(rows[0][0])
    return None


def digests(reading: Reading) -> tuple[str, ...]:
    """Give the digests of all files that are still kept."""
    return tuple(row[0] for row in reading.rows(DIGESTS))
