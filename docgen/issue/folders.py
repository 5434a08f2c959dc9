"""Options and environment > data folder, register and store; apart because the key lies there before all else."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from docgen.issue.unavailable import Unavailable
from docgen.problem import say

REGISTER = "register.sqlite"
"""Name of the embedded register in the data folder."""
STORE = "store"
"""Name of the store in the data folder."""
TRUST = "trust"
"""Name of the folder with the certificates and revocation lists a clinic trusts."""


@dataclass(frozen=True)
class Places:
    """Where an installation keeps what it issued."""

    folder: Path
    """Data folder."""
    register: str
    """Address of the register, as SQLAlchemy writes it."""

    @property
    def store(self) -> Path:
        """The folder of the files."""
        return self.folder / STORE

    @property
    def trust(self) -> Path:
        """The folder of what the clinic trusts."""
        return self.folder / TRUST

    @property
    def database(self) -> Path | None:
        """The file of an embedded register; None if a server keeps it."""
        head = "sqlite:///"
        return Path(self.register.removeprefix(head)) if self.register.startswith(head) else None

    @property
    def is_begun(self) -> bool:
        """True if something was kept here before."""
        database = self.database
        return bool(database and database.exists()) or (self.store.is_dir() and any(self.store.iterdir()))


def find_places(environ: Mapping[str, str], folder: Path | None = None, register: str = "") -> Places:
    """
    Find the data folder (--data, $DOCGEN_DATA, $XDG_DATA_HOME/docgen, ~/.local/share/docgen) and the register.

    Errors: Unavailable with data-unusable, if none of them is set and there is no home folder.
    """
    found = folder or _from(environ)
    whole = Path(os.path.abspath(found))  # noqa: PTH100 - resolve() would follow links, which an operator may move
    return Places(whole, register or environ.get("DOCGEN_REGISTER") or f"sqlite:///{whole / REGISTER}")


def _from(environ: Mapping[str, str]) -> Path:
    if environ.get("DOCGEN_DATA"):
        return Path(environ["DOCGEN_DATA"])
    home = Path(environ.get("XDG_DATA_HOME", ""))
    if home.is_absolute():  # a relative path is to be ignored, says the XDG base directory specification
        return home / "docgen"
    try:
        return Path.home() / ".local" / "share" / "docgen"
    except RuntimeError as error:
        raise Unavailable(
            "data-unusable", say("there is no home folder to keep data in"), say("name a folder: --data DIR")
        ) from error


def make_folder(folder: Path) -> None:
    """
    Make a folder only its owner can enter, and what lies above it; durable when it returns.

    Errors: OSError.
    """
    missing = [one for one in (folder, *folder.parents) if not one.exists()]
    for one in reversed(missing):
        one.mkdir(mode=0o700, exist_ok=True)
        sync_folder(one.parent)


def sync_folder(folder: Path) -> None:
    """
    Make the names in a folder durable.

    Errors: OSError.
    """
    number = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(number)
    finally:
        os.close(number)
