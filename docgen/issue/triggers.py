"""
The triggers that make entries and accesses append-only, on both databases, and which of them are missing.

Apart because the migrations make them and every inspection compares them. A trigger never changes: a better one gets a
new name and a new migration.
"""

from __future__ import annotations

from collections.abc import Mapping

REFUSAL = "docgen: this table is append-only"

_NEW_ONLY = """CREATE TRIGGER entries_new_only BEFORE INSERT ON entries
WHEN EXISTS (SELECT 1 FROM entries WHERE seq = NEW.seq)
BEGIN SELECT RAISE(ABORT, 'docgen: this table is append-only'); END"""
# INSERT OR REPLACE deletes a row without asking the trigger for DELETE; so no insert may meet a row.


def _sqlite(table: str, action: str) -> str:
    return (
        f"CREATE TRIGGER {table}_no_{action.lower()} BEFORE {action} ON {table}\n"
        f"BEGIN SELECT RAISE(ABORT, '{REFUSAL}'); END"
    )


SQLITE: Mapping[str, Mapping[str, str]] = {
    "entries": {
        "entries_new_only": _NEW_ONLY,
        **{f"entries_no_{action.lower()}": _sqlite("entries", action) for action in ("UPDATE", "DELETE")},
    },
    "accesses": {
        "accesses_new_only": _NEW_ONLY.replace("entries", "accesses").replace("seq", "id"),
        **{f"accesses_no_{action.lower()}": _sqlite("accesses", action) for action in ("UPDATE", "DELETE")},
    },
}
"""Table > name of the trigger > the statement that makes it."""

POSTGRES_FUNCTION = f"""CREATE FUNCTION docgen_append_only() RETURNS trigger LANGUAGE plpgsql AS
$$BEGIN RAISE EXCEPTION '{REFUSAL}'; END$$"""
POSTGRES_BODY = f"BEGIN RAISE EXCEPTION '{REFUSAL}'; END"
POSTGRES: Mapping[str, Mapping[str, str]] = {
    table: {
        f"{table}_append_only": (
            f"CREATE TRIGGER {table}_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON {table}\n"
            "FOR EACH STATEMENT EXECUTE FUNCTION docgen_append_only()"
        )
    }
    for table in ("entries", "accesses")
}
"""The same for PostgreSQL, where one function serves all."""


def making(dialect: str, table: str) -> tuple[str, ...]:
    """Give the statements that make the triggers of a table, in order."""
    return tuple(_made(dialect)[table].values())


def missing(dialect: str, there: Mapping[str, str]) -> tuple[str, ...]:
    """Name the triggers that are not there as they were made; `there`: name > what the database says of it."""
    wanted = [(table, name, text) for table, made in _made(dialect).items() for name, text in made.items()]
    return tuple(name for table, name, text in wanted if not _is_made(dialect, table, text, there.get(name, "")))


def _made(dialect: str) -> Mapping[str, Mapping[str, str]]:
    return SQLITE if dialect == "sqlite" else POSTGRES


def _is_made(dialect: str, table: str, text: str, says: str) -> bool:
    if dialect == "sqlite":
        return says == text
    says = " ".join(says.split())
    return (
        says.endswith(POSTGRES_BODY)
        and all(f" {word} " in says for word in ("BEFORE", "DELETE", "UPDATE", "TRUNCATE"))
        and f".{table} FOR EACH STATEMENT EXECUTE FUNCTION" in says
    )
