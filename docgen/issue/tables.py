"""
The tables of the register as SQLAlchemy Core knows them, and the statements that are run again and again.

How they came to be stands in `migrations/`, with their indexes, which no statement names: SQLAlchemy would load both
dialects to hear of them. A test holds these tables against what the migrations make.
"""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    ForeignKey,
    Identity,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
)

metadata = MetaData()
_WHOLE = BigInteger().with_variant(Integer, "sqlite")  # a STRICT table of SQLite knows INTEGER only

identity = Table(
    "identity",
    metadata,
    Column("id", Integer, CheckConstraint("id = 1", name="one_identity"), primary_key=True, autoincrement=False),
    Column("register_id", Text, nullable=False),
    Column("digest_key", LargeBinary, nullable=False),
    Column("checkpoint_key", LargeBinary, nullable=False),
    Column("public_key", Text, nullable=False),
    Column("made_at", Text, nullable=False),
    sqlite_strict=True,
)
"""One row: who this register is, and its own two secrets, wrapped by the master key."""

head = Table(
    "head",
    metadata,
    Column("id", Integer, CheckConstraint("id = 1", name="one_head"), primary_key=True, autoincrement=False),
    Column("seq", _WHOLE, nullable=False),
    Column("digest", Text, nullable=False),
    Column("number", _WHOLE, nullable=False),
    Column("seal", Text, nullable=False),
    sqlite_strict=True,
)
"""One row: the last entry and the last number. Every writer locks it first, so that there is one order."""

entries = Table(
    "entries",
    metadata,
    Column("seq", _WHOLE, primary_key=True, autoincrement=False),
    Column("number", _WHOLE, nullable=False),
    Column("body", Text, nullable=False),
    Column("digest", Text, nullable=False),
    sqlite_strict=True,
)
"""The chain: the canonical form of each entry and its digest. Append-only."""

documents = Table(
    "documents",
    metadata,
    Column("number", _WHOLE, primary_key=True, autoincrement=False),
    Column("state", Text, nullable=False),
    Column("kind", Text, nullable=False),
    Column("record_digest", Text, nullable=False),
    Column("issued_on", Text, nullable=False),
    Column("key", Text, nullable=False),
    Column("taken", Text, nullable=False),
    Column("taken_at", Text, nullable=False),
    Column("on_hold", Integer, nullable=False),
    Column("erased", Integer, nullable=False),
    sqlite_strict=True,
)
"""The state of each number, derived from the chain so that it can be asked for quickly; `faults` compares the two."""

files = Table(
    "files",
    metadata,
    Column("number", _WHOLE, primary_key=True, autoincrement=False),
    Column("digest", Text, primary_key=True),
    Column("name", Text, primary_key=True),
    Column("wrapped", LargeBinary),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
"""
The files that are still kept, with their wrapped keys. Outside the chain: erasing deletes the rows of a number. Whether
each belongs to a document is asked by `faults`; a foreign key would ask at every issue.
"""

accesses = Table(
    "accesses",
    metadata,
    Column("id", _WHOLE, Identity(always=True), primary_key=True),
    Column("at", Text, nullable=False),
    Column("number", _WHOLE, ForeignKey("documents.number", name="accesses_of_document"), nullable=False),
    Column("who", Text, nullable=False),
    Column("what", Text, nullable=False),
    sqlite_strict=True,
)
"""Who saw what of which number, and when. Append-only."""
