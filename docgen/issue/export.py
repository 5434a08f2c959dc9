"""
Tables of a register > lines of JSON, and back into an empty register, of either database.

Apart because both databases and every schema go through it: it reads names of tables and columns from the database
itself. The form: a line with form, version and schema; for each table a line with its name and columns, then a line for
each row, in the order of the primary key; a last line with the number of rows. Bytes are written {"b64": "…"}.
"""

from __future__ import annotations

import base64
import json
from collections.abc import Iterable, Iterator
from typing import Any

from sqlalchemy import Connection, Select, column, delete, insert, inspect, literal_column, select, table

from docgen.issue.statements import SCHEMA_VERSION

FORM, VERSION = "docgen register export", 1
_SCHEMA = "alembic_version"
_COUNTED = {"accesses": "id"}
"""Table > column the database counts itself: only its order means something, so that is kept and it is not."""
_BATCH = 500


class NoExport(ValueError):
    """Lines that are no whole export of a register."""


def schema_of(connection: Connection) -> str:
    """Read which schema a register has; "" if there is none."""
    if not inspect(connection).has_table(_SCHEMA):
        return ""
    return str(connection.execute(SCHEMA_VERSION).scalar() or "")


def export_lines(connection: Connection) -> Iterator[bytes]:
    """Give every row of a register, from the one state the connection's transaction sees."""
    yield _line({"form": FORM, "version": VERSION, "schema": schema_of(connection)})
    count = 0
    for name in _tables(connection):
        columns, order = _columns(connection, name)
        yield _line({"table": name, "columns": columns})
        wanted: Select[*tuple[Any, ...]] = (
            select(*map(column, columns)).select_from(table(name)).order_by(*map(column, order))
        )
        for row in connection.execution_options(yield_per=_BATCH).execute(wanted):
            count += 1
            yield _line([{"b64": base64.b64encode(v).decode()} if isinstance(v, bytes) else v for v in row])
    yield _line({"rows": count})


def schema_in(line: bytes) -> str:
    """
    Read the schema from the first line.

    Errors: NoExport.
    """
    head = _read(line)
    if not isinstance(head, dict) or (head.get("form"), head.get("version")) != (FORM, VERSION):
        raise NoExport("first line")
    return str(head["schema"])


def import_lines(connection: Connection, lines: Iterable[bytes]) -> int:
    """
    Fill the tables of a register that has the same schema and holds nothing yet; give the number of rows.

    Errors: NoExport; what the database raises.
    """
    rest = iter(lines)
    if schema_in(next(rest, b"")) != schema_of(connection):
        raise NoExport("schema")
    names = _tables(connection)
    for name in reversed(names):
        if connection.execute(select(literal_column("1")).select_from(table(name)).limit(1)).first():
            connection.execute(delete(table(name)))  # what a migration put there; append-only tables are empty
    count, told = 0, None
    for head, rows in _parts(map(_read, rest)):
        if told is not None or ("rows" in head and rows):
            raise NoExport("after the end")
        if "rows" in head:
            told = head["rows"]
        elif head.get("table") not in names:
            raise NoExport("table")
        else:
            count += _insert(connection, head["table"], head["columns"], rows)
    if told != count:
        raise NoExport("end")
    return count


def _parts(read: Iterable[Any]) -> Iterator[tuple[dict[str, Any], list[list[Any]]]]:
    """Part the lines into a head and some of its rows; a long table comes in several parts."""
    head: dict[str, Any] | None = None
    rows: list[list[Any]] = []
    for line in read:
        if isinstance(line, list) and head is not None:
            rows.append(line)
            if len(rows) < _BATCH:
                continue
        if head is not None:
            yield head, rows
            rows = []
        if isinstance(line, dict):
            head = line
        elif not isinstance(line, list) or head is None:
            raise NoExport("line")
    if head is not None:
        yield head, rows


def _insert(connection: Connection, name: str, columns: list[str], rows: list[list[Any]]) -> int:
    if not rows:
        return 0
    values = [dict(zip(columns, map(_value, row), strict=True)) for row in rows]
    connection.execute(insert(table(name, *map(column, columns))), values)
    return len(rows)


def _value(written: Any) -> Any:
    return base64.b64decode(written["b64"], validate=True) if isinstance(written, dict) else written


def _tables(connection: Connection) -> list[str]:
    """Name the tables so that each comes after those it points to."""
    ordered = inspect(connection).get_sorted_table_and_fkc_names()
    return [name for name, _ in ordered if name and name != _SCHEMA]


def _columns(connection: Connection, name: str) -> tuple[list[str], list[str]]:
    """Name the columns of a table that are exported, in alphabetical order, and those of its primary key."""
    seen = inspect(connection)
    names = sorted(one["name"] for one in seen.get_columns(name))
    return [one for one in names if one != _COUNTED.get(name)], seen.get_pk_constraint(name)["constrained_columns"]


def _line(value: Any) -> bytes:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"


def _read(line: bytes) -> Any:
    try:
        return json.loads(line)
    except ValueError as error:
        raise NoExport("line") from error
