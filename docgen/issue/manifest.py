"""
What a backup holds > one sealed file that says so, and back; apart because it is the first thing read of a backup.

It names files by digest only. The seal is made with the master key, so that a backup somebody changed is no backup.
"""

from __future__ import annotations

import hashlib
import hmac
import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from docgen.issue.folders import STORE
from docgen.issue.keys import MasterKey, WrongMasterKey
from docgen.issue.unavailable import Unavailable
from docgen.problem import say

NAME = "MANIFEST.json"
FORM, VERSION = "docgen backup", 1


@dataclass(frozen=True)
class Stored:
    """One file of a backup."""

    path: str
    """Below the backup's folder."""
    size: int
    digest: str
    """SHA-256 of the file as it lies there, encrypted or not; hex."""


@dataclass(frozen=True)
class Manifest:
    """A backup, as it was written."""

    made_at: str
    """In UTC."""
    program: str
    database: str
    """What the register was kept in: sqlite or postgresql."""
    schema: str
    """Version of the register's tables."""
    entries: int
    """Number of entries in the chain."""
    head: str
    """Digest of the last one."""
    register: Stored
    files: tuple[Stored, ...]
    key_mark: str
    """Of the master key that opens it, hex."""
    key_included: bool
    faults: tuple[str, ...] = ()
    """What was wrong already when the backup was made: code and number or digest."""

    @property
    def kept(self) -> int:
        """How many files of documents it holds."""
        return sum(one.path.startswith(f"{STORE}/") for one in self.files)


def written(manifest: Manifest, master: MasterKey) -> bytes:
    """Write a manifest with its seal."""
    body = asdict(manifest)
    sealed = {"form": FORM, "version": VERSION, "backup": body, "seal": master.seal(_sealed(body))}
    return json.dumps(sealed, indent=1).encode() + b"\n"


def read_manifest(folder: Path, master: MasterKey) -> Manifest:
    """
    Read what a backup should hold.

    Errors: WrongMasterKey; Unavailable with backup-unreadable, backup-newer or backup-damaged.
    """
    read = _read(folder)
    if read.get("form") != FORM or not isinstance(read.get("version"), int):
        raise not_a_backup(folder)
    if read["version"] > VERSION:
        raise Unavailable(
            "backup-newer",
            say("the backup was made by a newer docgen"),
            say("install that version, or a later one, and restore with it"),
        )
    body, seal = read.get("backup"), read.get("seal")
    if not isinstance(body, dict) or not isinstance(seal, str):
        raise damaged(NAME)
    if body.get("key_mark") != master.mark.hex():
        raise WrongMasterKey(
            "master-key-wrong",
            say("this is not the master key with which the backup was made"),
            say(
                "give the right one with DOCGEN_MASTER_KEY_FILE: its mark is %(mark)s, the mark of this one %(here)s",
                mark=str(body.get("key_mark"))[:16],
                here=master.mark.hex(),
            ),
        )
    if not hmac.compare_digest(seal, master.seal(_sealed(body))):
        raise damaged(NAME)
    stored = tuple(Stored(**one) for one in body["files"])
    register = Stored(**body["register"])
    return Manifest(**{**body, "register": register, "files": stored, "faults": tuple(body["faults"])})


def stored(path: Path, folder: Path) -> Stored:
    """
    Describe a file of a backup as it lies there.

    Errors: OSError.
    """
    digest, size = hashlib.sha256(), 0
    with path.open("rb") as file:
        while part := file.read(1 << 20):
            digest.update(part)
            size += len(part)
    return Stored(path.relative_to(folder).as_posix(), size, digest.hexdigest())


def not_a_backup(folder: Path) -> Unavailable:
    """Say that a folder is no backup."""
    return Unavailable(
        "backup-unreadable",
        say("%(folder)s is no backup of docgen, or cannot be read", folder=str(folder)),
        say("name the folder that docgen backup wrote; %(name)s lies in it", name=NAME),
    )


def damaged(path: str) -> Unavailable:
    """Say which file of a backup is not what was written."""
    return Unavailable(
        "backup-damaged",
        say("the backup is damaged or was changed, first seen at %(path)s; nothing was restored", path=path),
        say("use another backup, or another copy of this one"),
    )


def _read(folder: Path) -> dict[str, Any]:
    try:
        content = (folder / NAME).read_bytes()
    except OSError as error:
        raise not_a_backup(folder) from error
    try:
        read = json.loads(content)
    except ValueError as error:
        raise damaged(NAME) from error
    if not isinstance(read, dict):
        raise damaged(NAME)
    return read


def _sealed(body: dict[str, Any]) -> bytes:
    return json.dumps(body, sort_keys=True, separators=(",", ":")).encode()
