"""
The published figures as frozen rows: value, source, status tag and edition; no source, no figure.

Reading the files is `read_tables` in `table_file`; this module is only what a figure is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Final

from docgen.values import dataclass

TAGS: Final = frozenset({"found", "derived", "design", "memory", "common practice"})
"""found = read in the source; derived = arithmetic on found figures; design = a choice of this project."""

TAGS_WITH_SOURCE: Final = frozenset({"found", "derived"})
"""These claim an outside authority, so they name it."""

Cell = str | Fraction | tuple["Cell", ...]
"""A value of a table: text, an exact number in a column declared as one, or a list of these."""


class TableFault(ValueError):
    """A table file is not fit to be used; the message names table, edition and row."""


@dataclass(frozen=True)
class Source:
    """Where a figure was read."""

    key: str
    title: str
    """Title and address, as the clinical reference gives them."""


@dataclass(frozen=True, eq=False)
class Row:
    """One figure, or one entry of a list, with all that stands beside it."""

    id: str
    table: str
    edition: str
    source: tuple[str, ...]
    """Source keys; empty only for a choice of the project, memory and trade habit."""
    tag: str
    """One of TAGS."""
    cells: Mapping[str, Cell]
    """The other columns, by name."""

    def __contains__(self, column: object) -> bool:
        return column in self.cells

    def text(self, column: str, default: str | None = None) -> str:
        """Give a text; without a default, its absence is a fault of the table."""
        cell = self.cells.get(column, default)
        if not isinstance(cell, str):
            raise self.fault(f"needs a text in column {column}")
        return cell

    def number(self, column: str) -> Fraction:
        """Give an exact number."""
        cell = self.cells.get(column)
        if not isinstance(cell, Fraction):
            raise self.fault(f"needs a number in column {column}")
        return cell

    def whole(self, column: str) -> int:
        """Give a whole number."""
        number = self.number(column)
        if number.denominator != 1:
            raise self.fault(f"needs a whole number in column {column}")
        return number.numerator

    def list(self, column: str) -> tuple[Cell, ...]:
        """Give a list; an absent one is empty."""
        cell = self.cells.get(column, ())
        if not isinstance(cell, tuple):
            raise self.fault(f"needs a list in column {column}")
        return cell

    def texts(self, column: str) -> tuple[str, ...]:
        """Give a list of texts; an absent one is empty."""
        return tuple(self._as_text(cell, column) for cell in self.list(column))

    def numbers(self, column: str) -> tuple[Fraction, ...]:
        """Give a list of exact numbers; an absent one is empty."""
        numbers = tuple(cell for cell in self.list(column) if isinstance(cell, Fraction))
        if len(numbers) != len(self.list(column)):
            raise self.fault(f"needs numbers in column {column}")
        return numbers

    def fault(self, what: str) -> TableFault:
        """Say what is wrong with this row."""
        return TableFault(f"table {self.table}, edition {self.edition}, row {self.id}: {what}")

    def _as_text(self, cell: Cell, column: str) -> str:
        if not isinstance(cell, str):
            raise self.fault(f"needs texts in column {column}")
        return cell


@dataclass(frozen=True, eq=False)
class Table:
    """One edition of one table."""

    name: str
    edition: str
    unit: str
    rows: tuple[Row, ...]
    """In the order of the file."""
    digest: str
    """SHA-256 of the file, by which a released edition is known never to have changed."""

    def row(self, row_id: str) -> Row:
        """Find a row by its id."""
        for row in self.rows:
            if row.id == row_id:
                return row
        raise TableFault(f"table {self.name}, edition {self.edition}: no row {row_id}")

    def __iter__(self) -> Iterator[Row]:
        return iter(self.rows)


@dataclass(frozen=True, eq=False)
class Tables:
    """All tables of one set, each in one edition, with the sources they name."""

    by_name: Mapping[str, Table]
    sources: Mapping[str, Source]

    def table(self, name: str) -> Table:
        """Find a table."""
        try:
            return self.by_name[name]
        except KeyError:
            raise TableFault(f"no table {name}") from None

    def source(self, key: str) -> Source:
        """Find a source by its key."""
        try:
            return self.sources[key]
        except KeyError:
            raise TableFault(f"no source {key}") from None

    @property
    def editions(self) -> Mapping[str, str]:
        """Table name to the edition in use."""
        return {name: table.edition for name, table in sorted(self.by_name.items())}
