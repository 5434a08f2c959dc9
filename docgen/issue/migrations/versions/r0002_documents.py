"""The state of each number and the keys of its files; those of a register that is there are read from its chain."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

WHOLE = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Make the tables, and fill them."""
    documents = op.create_table(
        "documents",
        sa.Column("number", WHOLE, primary_key=True, autoincrement=False),
        sa.Column("state", sa.Text, nullable=False),
        sa.Column("kind", sa.Text, nullable=False),
        sa.Column("record_digest", sa.Text, nullable=False),
        sa.Column("issued_on", sa.Text, nullable=False),
        sa.Column("key", sa.Text, nullable=False),
        sa.Column("taken", sa.Text, nullable=False),
        sa.Column("taken_at", sa.Text, nullable=False),
        sa.Column("on_hold", sa.Integer, nullable=False),
        sa.Column("erased", sa.Integer, nullable=False),
        sqlite_strict=True,
    )
    stands, waits = sa.text("state IN ('issued', 'signed')"), sa.text("state = 'prepared'")
    op.create_index("one_standing_key", "documents", ["key"], unique=True, sqlite_where=stands, postgresql_where=stands)
    op.create_index("waiting_documents", "documents", ["taken_at"], sqlite_where=waits, postgresql_where=waits)
    op.create_index("documents_of_record", "documents", ["record_digest"])
    files = op.create_table(
        "files",
        sa.Column("number", WHOLE, primary_key=True, autoincrement=False),
        sa.Column("digest", sa.Text, primary_key=True),
        sa.Column("name", sa.Text, primary_key=True),
        sa.Column("wrapped", sa.LargeBinary),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_index("files_of_digest", "files", ["digest"])
    found, kept = _read_chain()
    if found:
        op.bulk_insert(documents, list(found.values()))
    if kept:
        op.bulk_insert(files, kept)


def _read_chain() -> tuple[dict[int, dict[str, Any]], list[dict[str, Any]]]:
    """Follow the chain; files of that time were not encrypted, so they have no keys."""
    found: dict[int, dict[str, Any]] = {}
    kept: dict[tuple[int, str, str], dict[str, Any]] = {}
    for entry, digest in _entries():
        number, action = entry["number"], entry["action"]
        if action == "prepared":
            found[number] = _taken(entry, digest)
        elif action in ("held", "released"):
            found[number]["on_hold"] = int(action == "held")
        elif action == "erased":
            found[number]["erased"] = 1
            kept = {place: row for place, row in kept.items() if place[0] != number}
        else:
            found[number]["state"] = action
        for name, content, _size in entry["files"]:
            row = {"number": number, "digest": content, "name": name, "wrapped": None}
            kept[number, content, name] = row
    return found, list(kept.values())


def _taken(entry: dict[str, Any], digest: str) -> dict[str, Any]:
    paper = entry["paper"]
    return {
        "number": entry["number"],
        "state": "prepared",
        "kind": paper["kind"],
        "record_digest": paper["record_digest"],
        "issued_on": paper["issued_on"],
        "key": entry["key"],
        "taken": digest,
        "taken_at": entry["at"],
        "on_hold": 0,
        "erased": 0,
    }


def _entries() -> Iterator[tuple[dict[str, Any], str]]:
    for body, digest in op.get_bind().execute(sa.text("SELECT body, digest FROM entries ORDER BY seq")):
        yield json.loads(body), digest
