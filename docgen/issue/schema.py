"""
A database > one whose schema this program knows: made, upgraded, or refused because it is newer.

The version is read by plain SQL; Alembic, which takes a fifth of a second to load, is loaded only to make or upgrade.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

from docgen.issue.database import Database
from docgen.issue.statements import SCHEMA_VERSION
from docgen.issue.unavailable import Unavailable
from docgen.problem import say

REVISIONS = ("0001", "0002", "0003")
"""The steps of `migrations/`, oldest first; the last is the schema this program writes."""


def version_of(database: Database) -> str:
    """
    Read the version of a schema: "" where there is none yet.

    Errors: Unavailable.
    """
    with database.connected() as raw:
        return _version(database, raw)


def bring_up(database: Database) -> None:
    """
    Make the schema or upgrade it, if it is not of today.

    Errors: Unavailable, with register-newer for a schema this program does not know.
    """
    database.make_file()
    version = version_of(database)
    _refuse_unknown(version)
    if version != REVISIONS[-1]:
        upgrade(database, REVISIONS[-1])


def upgrade(database: Database, revision: str) -> None:
    """
    Make the schema or upgrade it up to a revision, all steps in one transaction, one process at a time.

    Errors: Unavailable.
    """
    upgrading = import_module("docgen.issue.upgrading")
    with database.making() as connection:
        version = _version(database, connection.connection.driver_connection)
        _refuse_unknown(version)
        if not version or REVISIONS.index(version) < REVISIONS.index(revision):
            try:
                upgrading.run(connection, revision)
            except (ValueError, KeyError, TypeError) as error:
                raise _damaged() from error


def _version(database: Database, raw: Any) -> str:
    """Read the version; a database that is quite empty has none."""
    if not database.trips.has_table(raw, "alembic_version"):
        if database.trips.has_table(raw, "entries"):
            raise _foreign()
        return ""
    rows = database.run(raw, SCHEMA_VERSION)
    if len(rows) > 1:
        raise _foreign()
    return str(rows[0][0]) if rows else ""


def _refuse_unknown(version: str) -> None:
    if version and version not in REVISIONS:
        if not version.isdigit():
            raise _foreign()
        raise Unavailable(
            "register-newer",
            say("the register was written by a newer docgen (its version is %(version)s)", version=version),
            say("use that docgen, or a newer one: pip install --upgrade docgen"),
        )


def _damaged() -> Unavailable:
    return Unavailable(
        "register-damaged",
        say("the register cannot be upgraded, for not all its entries can be read; it was left as it is"),
        say("take the register from a backup: docgen restore"),
    )


def _foreign() -> Unavailable:
    return Unavailable(
        "register-foreign",
        say("the database holds tables of another program"),
        say("give the register a database of its own: $DOCGEN_REGISTER"),
    )
