"""
A register and its store in use > a folder that holds both as they were at one moment, whole or not there.

In it lie MANIFEST.json (sealed), register.sqlite or register.jsonl, and store/. The master key only if asked for.
"""

from __future__ import annotations

import contextlib
import os
import secrets
import shutil
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

from docgen.blocks import printed_number
from docgen.issue.durable import sync_all, write_new
from docgen.issue.entry import KeptFile
from docgen.issue.folders import STORE, TRUST, make_folder, sync_folder
from docgen.issue.keys import KEY_FILE, MasterKey, WrappedKeyDamaged
from docgen.issue.manifest import NAME, Manifest, stored, written
from docgen.issue.register import Register
from docgen.issue.snapshot import Named, Seen, prove, take
from docgen.issue.store import FileDamaged, FileGone, Store
from docgen.issue.unavailable import Unavailable
from docgen.problem import Problem, Refused, say

UNFINISHED = ".docgen-backup-"
"""How the folder of a backup begins that is not whole yet."""
_FORGOTTEN = timedelta(days=1)


@dataclass(frozen=True)
class Wish:
    """What is backed up, and how it is called."""

    address: str
    """Of the register."""
    register: Register
    store: Store
    master: MasterKey
    made_at: datetime
    program: str
    trust: Path | None = None
    """Folder with what the clinic trusts, if there is one."""
    key: str = field(default="", repr=False)
    """The master key in base64, if it is to lie in the backup."""


def back_up(wish: Wish, target: Path) -> Manifest:
    """
    Write a backup while others issue; the target appears when all of it is on the disk.

    What is damaged or missing already does not stop it: the manifest names it.
    Errors: Refused with backup-exists; Unavailable.
    """
    if os.path.lexists(target):
        raise Refused(
            [
                Problem(
                    "backup-exists",
                    "",
                    say("%(folder)s is there already", folder=str(target)),
                    say("name a new folder, with the day in its name"),
                )
            ]
        )
    work = target.parent / f"{UNFINISHED}{secrets.token_hex(8)}"
    try:
        make_folder(work / STORE)
        _sweep(target.parent, wish.made_at)
        manifest = _fill(wish, work)
        work.rename(target)
        sync_folder(target.parent)
    except OSError as error:
        raise Unavailable(
            "backup-unwritable",
            say("the backup could not be written: %(why)s", why=error.strerror or "the disk refused"),
            say("make room at %(folder)s, or choose another place", folder=str(target.parent)),
        ) from error
    finally:
        shutil.rmtree(work, ignore_errors=True)
    return manifest


def _fill(wish: Wish, work: Path) -> Manifest:
    """Take the register first, then the files it names: each was there before it was named, and nothing goes now."""
    faults = [fault.what.in_words() for fault in wish.register.faults()]
    copied = Store(work / STORE, wish.master)
    with wish.store.undisturbed():
        register, seen = take(wish.address, work)
        _copy_files(wish.store, copied, seen.named)
    prove(register)
    lost = lost_files(copied, seen.named)
    if wish.trust and wish.trust.is_dir():
        _copy_trust(wish.trust, work / TRUST)
    if wish.key:
        write_new(work / KEY_FILE, f"{wish.key}\n".encode(), work)
    manifest = _manifest(wish, work, register, seen, (*faults, *lost))
    write_new(work / NAME, written(manifest, wish.master), work)
    sync_all(work)
    return manifest


def _copy_files(store: Store, copied: Store, named: Iterable[Named]) -> None:
    """Copy the files as they lie there, encrypted or not."""
    for digest in sorted({one.digest for one in named}):
        for path in store.paths(digest):
            _copy(path.read_bytes(), copied.folder / path.parent.name / path.name)


def _copy(content: bytes, twin: Path) -> None:
    """Write a copy; it is synced with all others at the end, and nobody sees it before."""
    twin.parent.mkdir(mode=0o700, exist_ok=True)
    with twin.open("xb") as out:
        twin.chmod(0o600)
        out.write(content)


def _copy_trust(trust: Path, target: Path) -> None:
    """Copy certificates and lists: without them a restored signature proves less."""
    for path in sorted(trust.rglob("*")):
        if path.is_file():
            make_folder((target / path.relative_to(trust)).parent)
            _copy(path.read_bytes(), target / path.relative_to(trust))


def lost_files(store: Store, named: Iterable[Named]) -> list[str]:
    """Open each file, once for each key, and name those that cannot be opened: code, number and role."""
    lost, opened = [], set()
    for one in named:
        if (one.digest, one.wrapped) in opened:
            continue
        try:
            store.get(KeptFile(one.name, one.digest, 0), one.wrapped)
            opened.add((one.digest, one.wrapped))
        except (FileGone, FileDamaged, WrappedKeyDamaged) as fault:
            lost.append(f"{fault.problem.code} {printed_number(one.number)} {one.name}")
    return lost


def _manifest(wish: Wish, work: Path, register: Path, seen: Seen, faults: tuple[str, ...]) -> Manifest:
    kept = sorted(path for name in (STORE, TRUST) for path in (work / name).rglob("*") if path.is_file())
    return Manifest(
        made_at=wish.made_at.astimezone(UTC).isoformat(timespec="seconds"),
        program=wish.program,
        database="sqlite" if register.suffix == ".sqlite" else "postgresql",
        schema=seen.schema,
        entries=seen.entries,
        head=seen.head,
        register=stored(register, work),
        files=tuple(stored(path, work) for path in kept),
        key_mark=wish.master.mark.hex(),
        key_included=bool(wish.key),
        faults=faults,
    )


def _sweep(folder: Path, now: datetime) -> None:
    """Delete what a killed backup left here more than a day ago."""
    for path in folder.glob(f"{UNFINISHED}*"):
        with contextlib.suppress(OSError):
            if now.timestamp() - path.stat().st_mtime > _FORGOTTEN.total_seconds():
                shutil.rmtree(path, ignore_errors=True)
