"""
The questions and changes of the register, as Core statements that are compiled once.

Apart because reading, writing and inspection share them.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from sqlalchemy import (
    BindParameter,
    ColumnElement,
    Select,
    TextClause,
    bindparam,
    delete,
    func,
    insert,
    literal_column,
    select,
    text,
    update,
)

from docgen.issue.tables import accesses, documents, entries, files, head, identity

_number: BindParameter[int] = bindparam("number")
_STANDS = documents.c.state.in_([literal_column("'issued'"), literal_column("'signed'")])

LOCK_HEAD = select(head.c.seq, head.c.digest, head.c.number, head.c.seal).with_for_update()
"""The first question of every writer; SQLite, which locks the whole file, does without the lock on the row."""
HEAD = select(head.c.seq, head.c.digest, head.c.number, head.c.seal)
STALE = (
    select(*documents.c)
    .where(documents.c.state == literal_column("'prepared'"), documents.c.taken_at < bindparam("before"))
    .order_by(documents.c.taken_at, documents.c.number)
    .limit(100)
)
"""Preparations that nobody will use any more; a hundred at a time, so that no writer waits long for another."""
DOCUMENT = select(*documents.c).where(documents.c.number == _number)
STANDING = select(documents.c.number).where(documents.c.key == bindparam("key"), _STANDS)
_twin = documents.alias("twin")
TWIN = select(_twin.c.number).where(
    documents.c.number == _number,
    _twin.c.key == documents.c.key,
    _twin.c.number != documents.c.number,
    _twin.c.state.in_([literal_column("'issued'"), literal_column("'signed'")]),
)
"""The valid document that has the same key as this number."""
ALL_DOCUMENTS = select(*documents.c).order_by(documents.c.number)

ADD_ENTRY = insert(entries).inline()
ADD_DOCUMENT = insert(documents).inline()
SET_DOCUMENT = (
    update(documents)
    .where(documents.c.number == _number)
    .values(state=bindparam("new_state"), on_hold=bindparam("new_hold"), erased=bindparam("new_erased"))
)
SET_HEAD = update(head).values(
    seq=bindparam("seq"), digest=bindparam("digest"), number=bindparam("number"), seal=bindparam("seal")
)


@cache
def add_files(count: int) -> TextClause:
    """Add so many files at once, with values number_0, digest_0 …; a later entry may name one that is kept already."""
    rows = ", ".join(f"(:number_{n}, :digest_{n}, :name_{n}, :wrapped_{n})" for n in range(count))
    return text(f"INSERT INTO files (number, digest, name, wrapped) VALUES {rows} ON CONFLICT DO NOTHING")  # noqa: S608 - a count of ours decides the text, no value


DROP_FILES = delete(files).where(files.c.number == _number)

_page = (entries.c.body, entries.c.digest)
PAGE = (
    select(entries.c.seq, entries.c.number, *_page)
    .where(entries.c.seq > bindparam("after"))
    .order_by(entries.c.seq)
    .limit(bindparam("limit"))
)
ENTRIES_OF = select(*_page).where(entries.c.number == _number).order_by(entries.c.seq)
ENTRY_AT = select(*_page).where(entries.c.seq == bindparam("seq"))
FILES_OF = select(files.c.name, files.c.digest, files.c.wrapped).where(files.c.number == _number)
FILE_KEY = (
    select(files.c.wrapped).where(files.c.digest == bindparam("digest")).order_by(files.c.number, files.c.name).limit(1)
)
_others = files.alias("others")
SHARED = (
    select(files.c.digest)
    .join(_others, _others.c.digest == files.c.digest)
    .where(files.c.number == _number, _others.c.number != files.c.number)
)
"""Digests of a number's files that another number has too."""
ALL_FILES = select(files.c.number, files.c.name, files.c.digest)
NUMBER_OF_FILE = select(files.c.number).where(files.c.digest == bindparam("digest")).order_by(files.c.number).limit(1)
NUMBER_IN_CHAIN = select(entries.c.number).where(entries.c.body.contains(bindparam("digest"))).limit(1)
"""The number of a file that is erased: the chain still names its digest. Reads every entry."""
DIGESTS = select(files.c.digest).distinct().order_by(files.c.digest)
_FITS: Mapping[str, ColumnElement[bool]] = {
    "kind": documents.c.kind == bindparam("kind"),
    "state": documents.c.state == bindparam("state"),
    "record": documents.c.record_digest == bindparam("record"),
    "since": documents.c.issued_on >= bindparam("since"),
}


@cache
def page_of(*asked: str) -> tuple[Select[Any], Select[Any], Select[Any]]:
    """
    Ask for a page of documents by kind, state, record or since: for their numbers, their entries, their files.

    Only what is asked for stands in the question; a condition that may be empty would keep an index from being used.
    """
    fits = [_FITS[name] for name in asked]
    after = documents.c.number > bindparam("after")
    numbers = select(documents.c.number).where(after, *fits).order_by(documents.c.number).limit(bindparam("limit"))
    inside = (after, documents.c.number <= bindparam("last"), *fits)
    written = select(entries.c.number, *_page).join(documents, documents.c.number == entries.c.number)
    kept = select(files.c.number, files.c.name, files.c.digest, files.c.wrapped)
    kept = kept.join(documents, documents.c.number == files.c.number)
    return numbers, written.where(*inside).order_by(entries.c.seq), kept.where(*inside)


ADD_ACCESS = insert(accesses).inline().values({name: bindparam(name) for name in ("at", "number", "who", "what")})
ACCESSES_OF = (
    select(accesses.c.at, accesses.c.who, accesses.c.what).where(accesses.c.number == _number).order_by(accesses.c.id)
)

IDENTITY = select(identity.c.register_id, identity.c.digest_key, identity.c.checkpoint_key, identity.c.public_key)
ADD_IDENTITY = insert(identity).inline()
ADD_HEAD = insert(head).inline()
COUNT_ENTRIES = select(func.count()).select_from(entries)
SCHEMA_VERSION = text("SELECT version_num FROM alembic_version")
