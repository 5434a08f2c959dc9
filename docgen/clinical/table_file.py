"""
A folder of YAML files > Tables, or TableFault naming table, edition and row.

Leaves are read as text and only columns declared as numbers become numbers, exactly: 88/370, 1.20 %, 3.76.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Hashable, Mapping, Sequence
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any, Final

import yaml

from docgen.cache import cached_tree
from docgen.clinical.table import TAGS, TAGS_WITH_SOURCE, Cell, Row, Source, Table, TableFault, Tables

_SHIPPED: Final = Path(__file__).resolve().parent / "tables"
_FILE_NAME: Final = re.compile(r"(?P<name>[a-z]+(-[a-z]+)*)\.(?P<edition>[0-9]+)\.yaml")
_NUMBER: Final = re.compile(r"(?P<number>-?[0-9]+(\.[0-9]+)?(/[1-9][0-9]*)?)(?P<percent> %)?")
_OF_EVERY_ROW: Final = frozenset({"id", "source", "tag", "reviewed", "note"})
_HEAD: Final = frozenset({"table", "edition", "unit", "numbers", "columns", "rows"})


class _TextLoader(yaml.CBaseLoader):
    """Reads every leaf as text and refuses a key given twice."""

    def construct_mapping(self, node: yaml.MappingNode, deep: bool = False) -> dict[Hashable, Any]:
        names = [key.value for key, _ in node.value]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise TableFault(f"line {node.start_mark.line + 1}: key given twice: {', '.join(twice)}")
        return super().construct_mapping(node, deep=deep)


def read_tables(folder: Path | None = None, editions: Mapping[str, str] | None = None) -> Tables:
    """
    Read a folder of tables; without one, the tables shipped with the program.

    The newest edition of each table is taken, or the one `editions` names.
    Errors: TableFault for a row without source or tag, an unknown source key, or a file that is not plain.
    """
    return _read(folder or _SHIPPED, tuple(sorted((editions or {}).items())))


def parse_number(text: str) -> Fraction:
    """
    Read a number exactly as written: whole, decimal, a fraction of two whole numbers, or a percentage.

    Errors: ValueError.
    """
    match = _NUMBER.fullmatch(text)
    if match is None or ("." in match["number"] and "/" in match["number"]):
        raise ValueError("not a number of a table")
    return Fraction(match["number"]) / (100 if match["percent"] else 1)


@cache
def _read(folder: Path, editions: tuple[tuple[str, str], ...]) -> Tables:
    wanted = dict(editions)
    newest: dict[str, tuple[int, Path]] = {}
    for path in sorted(folder.glob("*.*.yaml")):
        match = _FILE_NAME.fullmatch(path.name)
        if match is None:
            raise TableFault(f"{path.name}: not named <table>.<edition>.yaml")
        name, edition = match["name"], int(match["edition"])
        if wanted.get(name, match["edition"]) == match["edition"] and edition >= newest.get(name, (0, path))[0]:
            newest[name] = (edition, path)
    for name in wanted:
        if name not in newest:
            raise TableFault(f"table {name}: no edition {wanted[name]}")
    paths = tuple(path for _, path in newest.values())
    of = ("\n".join(path.name for path in paths).encode(), (folder / "sources.yaml").read_bytes())
    kept = cached_tree(__file__, (*of, *(path.read_bytes() for path in paths)), lambda: _plain(folder, paths))
    sources = {key: Source(key, title) for key, title in kept["sources"].items()}
    return Tables(by_name={one[0]: _table(*one) for one in kept["tables"]}, sources=sources)


def _plain(folder: Path, paths: Sequence[Path]) -> dict[str, Any]:
    """Read the files, and give them as the cache keeps them: a figure is a list of its two whole numbers."""
    sources = _read_sources(folder / "sources.yaml")
    tables = [_read_table(path, sources) for path in paths]
    return {
        "sources": {key: source.title for key, source in sources.items()},
        "tables": [
            [one.name, one.edition, one.unit, one.digest, [_plain_row(row) for row in one.rows]] for one in tables
        ],
    }


def _plain_row(row: Row) -> list[Any]:
    return [row.id, row.source, row.tag, {column: _plain_cell(cell) for column, cell in row.cells.items()}]


def _plain_cell(cell: Cell) -> Any:
    if isinstance(cell, Fraction):
        return [cell.numerator, cell.denominator]
    return [_plain_cell(one) for one in cell] if isinstance(cell, tuple) else cell


def _table(name: str, edition: str, unit: str, digest: str, rows: Sequence[Any]) -> Table:
    built = (
        Row(row_id, name, edition, tuple(source), tag, {column: _cell(cell) for column, cell in cells.items()})
        for row_id, source, tag, cells in rows
    )
    return Table(name, edition, unit, tuple(built), digest)


def _cell(kept: Any) -> Cell:
    if isinstance(kept, str):
        return kept
    if kept and isinstance(kept[0], int):
        return Fraction(*kept)
    return tuple(_cell(one) for one in kept)


def _read_sources(path: Path) -> dict[str, Source]:
    content = _load(path)
    return {key: Source(key, title) for key, title in content.items()}


def _load(path: Path) -> dict[str, Any]:
    loader = _TextLoader(path.read_bytes())
    try:
        content = loader.get_single_data()
    except (yaml.YAMLError, TableFault) as fault:
        raise TableFault(f"{path.name}: {fault}") from fault
    finally:
        loader.dispose()
    if not isinstance(content, dict):
        raise TableFault(f"{path.name}: not a list of names and values")
    return content


def _read_table(path: Path, sources: Mapping[str, Source]) -> Table:
    content = _load(path)
    name, edition = content.get("table", ""), content.get("edition", "")
    where = f"table {name}, edition {edition}"
    if path.name != f"{name}.{edition}.yaml":
        raise TableFault(f"{where}: stands in a file named {path.name}")
    if not content.keys() <= _HEAD or not isinstance(content.get("rows"), list):
        raise TableFault(f"{where}: needs rows, and knows only {', '.join(sorted(_HEAD))}")
    numbers, columns = content.get("numbers", []), content.get("columns", [])
    rows = tuple(_read_row(row, where, (name, edition), (numbers, columns), sources) for row in content["rows"])
    ids = [row.id for row in rows]
    for row in rows:
        if ids.count(row.id) > 1:
            raise row.fault("its id is given twice")
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    return Table(name=name, edition=edition, unit=content.get("unit", ""), rows=rows, digest=digest)


def _read_row(
    entry: object,
    where: str,
    of: tuple[str, str],
    columns: tuple[Sequence[str], Sequence[str]],
    sources: Mapping[str, Source],
) -> Row:
    row_id = entry.get("id", "(no id)") if isinstance(entry, dict) else "(not a row)"
    where = f"{where}, row {row_id}"
    if not isinstance(entry, dict) or not entry.get("id"):
        raise TableFault(f"{where}: a row has an id")
    numbers, texts = columns
    for column in entry:
        if column not in _OF_EVERY_ROW and column not in numbers and column not in texts:
            raise TableFault(f"{where}: column {column} is not declared")
    source = _read_source(entry, where, sources)
    cells: dict[str, Cell] = {}
    for column, value in entry.items():
        if column not in ("id", "source", "tag"):
            cells[column] = _read_cell(value, f"{where}, column {column}", column in numbers)
    return Row(entry["id"], of[0], of[1], source, entry["tag"], cells)


def _read_source(entry: dict[str, Any], where: str, sources: Mapping[str, Source]) -> tuple[str, ...]:
    given, tag = entry.get("source", []), entry.get("tag", "")
    keys = tuple(given) if isinstance(given, list) else (given,)
    if tag not in TAGS:
        raise TableFault(f"{where}: needs a status tag, one of {', '.join(sorted(TAGS))}")
    if tag in TAGS_WITH_SOURCE and not keys:
        raise TableFault(f"{where}: needs a source")
    for key in keys:
        if key not in sources:
            raise TableFault(f"{where}: no source {key}")
    return keys


def _read_cell(value: object, where: str, is_number: bool) -> Cell:
    if isinstance(value, list):
        return tuple(_read_cell(item, where, is_number) for item in value)
    if isinstance(value, dict):
        return tuple((str(key), _read_cell(item, where, is_number)) for key, item in value.items())
    if not isinstance(value, str) or not value:
        raise TableFault(f"{where}: is empty")
    if not is_number:
        return value
    try:
        return parse_number(value)
    except ValueError as fault:
        raise TableFault(f"{where}: {fault}") from fault
