"""
A connection and a revision > the schema of that revision, by Alembic.

Apart because Alembic is slow to load: `schema.py` loads this module only when there is something to make or upgrade.
"""

from __future__ import annotations

import threading
from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy.engine import Connection

_ONE = threading.Lock()
"""Alembic keeps the run it is in for the whole process."""
STEPS = Path(__file__).resolve().parent / "migrations"


def settings(connection: Connection | None = None) -> Config:
    """Tell Alembic where the steps stand, and on which connection they run."""
    config = Config()
    config.set_main_option("script_location", str(STEPS).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config


def run(connection: Connection, revision: str) -> None:
    """
    Run the steps that are missing up to a revision, in the transaction the connection is in.

    Errors: ValueError, KeyError or TypeError, if a step cannot read what is there.
    """
    with _ONE:
        command.upgrade(settings(connection), revision)
