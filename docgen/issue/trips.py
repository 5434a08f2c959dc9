"""
What the register asks of a database driver; SQLite's and PostgreSQL's answers stand in modules of their names.

Apart so that neither is loaded where the other is used.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Protocol

from sqlalchemy.engine import Dialect

Text = tuple[str, Sequence[Any]]
"""A compiled statement and its values, in the order of their places."""
Rows = list[tuple[Any, ...]]


class Trips(Protocol):
    """A transaction goes to the database twice: once with all questions, once with all changes and the commit."""

    error: type[Exception]
    """What every error of the driver is."""
    dialect: Dialect
    """Writes statements as this module runs them."""
    settings: Mapping[str, Any]
    """What SQLAlchemy's engine has to know."""

    def set_up(self, raw: Any) -> None:
        """Set a new connection up."""

    def begin(self, raw: Any, asked: Sequence[Text], *, synced: bool) -> list[Rows]:
        """Begin to write: lock, and ask."""

    def end(self, raw: Any, told: Sequence[Text]) -> None:
        """Tell, and commit."""

    def begin_reading(self, raw: Any) -> None:
        """Begin to read one state."""

    def run(self, raw: Any, text: Text) -> Rows:
        """Ask one question, or make one change in the transaction that is open."""

    def give_up(self, raw: Any) -> None:
        """Undo what was not committed; a lost connection is no further error."""

    def is_lost(self, raw: Any) -> bool:
        """Say whether the connection is of no more use."""

    def has_table(self, raw: Any, name: str) -> bool:
        """Say whether there is a table."""

    def triggers(self, raw: Any) -> Mapping[str, str]:
        """Give what the database says of its triggers: name > definition, "" for one that is switched off."""

    def complaints(self, raw: Any) -> int:
        """Let the database look for damage in its own file; give how many complaints it has."""

    def make_schema(self, raw: Any) -> None:
        """Begin the transaction that makes or upgrades the schema; only one process at a time gets past this."""

    def scrub(self, raw: Any) -> None:
        """Remove from the disk, as far as the database can, what was deleted."""
