"""
An old master key and a new one > every wrapped key of the register under the new one, in one transaction.

Apart because it alone holds two master keys. A kill at any moment leaves a register that one of the two opens, and the
second run finishes what the first began.
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import bindparam, select, update

from docgen.issue.database import Database
from docgen.issue.durable import write_new
from docgen.issue.folders import Places, sync_folder
from docgen.issue.identity import about as about_secret
from docgen.issue.keys import KEY_FILE, MasterKey, mark_of, new_master_key, read_key_file, read_master_key
from docgen.issue.statements import IDENTITY, LOCK_HEAD
from docgen.issue.store import PLAIN
from docgen.issue.store import about as about_file
from docgen.issue.tables import files, identity
from docgen.issue.unavailable import Unavailable
from docgen.problem import say

NEXT_KEY = f"{KEY_FILE}.next"
"""Name of the new key in the data folder, until the register is under it."""
_KEYS = select(files.c.number, files.c.digest, files.c.name, files.c.wrapped).where(files.c.wrapped.is_not(None))
_SET_KEY = (
    update(files)
    .where(
        files.c.number == bindparam("of_number"),
        files.c.digest == bindparam("of_digest"),
        files.c.name == bindparam("of_name"),
    )
    .values(wrapped=bindparam("new_wrapped"))
)
_SET_SECRETS = update(identity).values(digest_key=bindparam("new_digest"), checkpoint_key=bindparam("new_checkpoint"))


@dataclass(frozen=True)
class Rotated:
    """A master key that was changed."""

    old: str
    """Mark of the key before."""
    new: str
    """Mark of the key now."""
    keys: int
    """How many keys of files were wrapped anew."""
    kept: Path | None
    """Where the old key lies, for backups made with it; None if the key does not lie in the data folder."""


def rotate(places: Places, environ: Mapping[str, str], new_file: Path | None = None) -> Rotated:
    """
    Change the master key: to that of `new_file`, or to a new one where the key lies in the data folder.

    No other program may use the register meanwhile: it would go on with the old key.
    Errors: Unavailable.
    """
    old = read_master_key(places.folder, environ, begun=True, make=False)
    named = environ.get("DOCGEN_MASTER_KEY") or environ.get("DOCGEN_MASTER_KEY_FILE")
    if named and new_file is None:
        raise Unavailable(
            "master-key-named",
            say("the master key is named by the environment, so docgen cannot put a new one there"),
            say("make one (openssl rand -base64 32 > FILE; chmod 600 FILE) and give --new-key-file FILE"),
        )
    try:
        following = new_file or _next(places.folder)
        new = read_key_file(following)
        if new.mark == old.mark:
            raise Unavailable(
                "master-key-same",
                say("the new master key is the one in use"),
                say("make another: openssl rand -base64 32 > FILE; chmod 600 FILE"),
            )
        count = _rewrap(places.register, _earlier(places.folder), old, new)
        kept = None if named else _exchange(places.folder, following, old)
    except OSError as error:
        raise Unavailable(
            "data-unusable",
            say("the new key could not be put in its place: %(why)s", why=error.strerror or "the disk refused"),
            say("make room or mend the rights of %(folder)s, then repeat", folder=str(places.folder)),
        ) from error
    return Rotated(old.mark.hex(), new.mark.hex(), count, kept)


def _next(folder: Path) -> Path:
    """Write the new key down before anything is wrapped by it; one that an interrupted run left is taken again."""
    path = folder / NEXT_KEY
    with contextlib.suppress(FileExistsError):
        write_new(path, f"{new_master_key()[1]}\n".encode(), folder)
    return path


def _rewrap(address: str, keys: Mapping[bytes, MasterKey], old: MasterKey, new: MasterKey) -> int:
    """Wrap everything anew in one transaction that no writer gets between; what is done already stays."""

    def anew(wrapped: bytes, about: str) -> bytes:
        return keys.get(mark_of(wrapped), old).rewrap(wrapped, about, new)

    database = Database(address)
    try:
        with database.writing([(LOCK_HEAD, {}), (IDENTITY, {}), (_KEYS, {})], synced=True) as writing:
            _, ((register, digest_key, checkpoint_key, public_key),), rows = writing.answers
            secrets = {
                "new_digest": anew(bytes(digest_key), about_secret(register, "digest key")),
                "new_checkpoint": anew(bytes(checkpoint_key), about_secret(register, f"checkpoint key {public_key}")),
            }
            writing.tell(_SET_SECRETS, secrets)
            sealed = [row for row in rows if bytes(row[3])[:1] != PLAIN]
            for number, digest, name, wrapped in sealed:
                row = {"of_number": number, "of_digest": digest, "of_name": name}
                writing.tell(_SET_KEY, {**row, "new_wrapped": anew(bytes(wrapped), about_file(digest))})
        with contextlib.suppress(Unavailable), database.connected() as raw:
            database.trips.scrub(raw)  # what the old key opened leaves fewer traces
        return len(sealed)
    finally:
        database.close()


def _earlier(folder: Path) -> dict[bytes, MasterKey]:
    """Read the keys of earlier changes: a program that ran on through one has wrapped by it."""
    found = [read_key_file(path) for path in sorted(folder.glob(f"{KEY_FILE}.*")) if path.name != NEXT_KEY]
    return {key.mark: key for key in found}


def _exchange(folder: Path, following: Path, old: MasterKey) -> Path:
    """Put the new key in the place of the old one, which is kept under its mark: old backups need it."""
    kept, beside = folder / f"{KEY_FILE}.{old.mark.hex()}", folder / NEXT_KEY
    with contextlib.suppress(FileExistsError):
        os.link(folder / KEY_FILE, kept)
    if following != beside:
        beside.unlink(missing_ok=True)
        write_new(beside, following.read_bytes(), folder)
    beside.replace(folder / KEY_FILE)
    sync_folder(folder)
    return kept
