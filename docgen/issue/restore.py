"""
A backup > register and store as they were, in an empty place, after everything in it was proved; otherwise nothing.

Either database is filled from a backup of either. Apart from the backup because it trusts nothing it reads.
"""

from __future__ import annotations

import hashlib
import os
import re
import secrets
import shutil
from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime
from pathlib import Path

from sqlalchemy import Connection, inspect
from sqlalchemy.exc import SQLAlchemyError

from docgen.issue.backup import lost_files
from docgen.issue.durable import TEMPORARY, sync_all, write_new
from docgen.issue.entry import Paper
from docgen.issue.export import NoExport, export_lines, import_lines, schema_in
from docgen.issue.folders import STORE, TRUST, Places, make_folder, sync_folder
from docgen.issue.keys import KEY_FILE, MasterKey, read_key_file, read_master_key
from docgen.issue.manifest import Manifest, Stored, damaged, read_manifest
from docgen.issue.register import Register, open_register
from docgen.issue.schema import REVISIONS
from docgen.issue.snapshot import COPY, connected, look
from docgen.issue.store import Store
from docgen.issue.unavailable import Unavailable
from docgen.issue.upgrading import run as upgrade
from docgen.problem import Message, Problem, Refused, say

_PATH = re.compile(
    rf"register\.(sqlite|jsonl)|{STORE}/[0-9a-f]{{2}}/[0-9a-f]{{64}}(-[0-9a-f]{{8}})?|{TRUST}(/(?!\.\.?(/|$))[^/\0]+)+"
)
_NO_MATTER = (KEY_FILE, "lost+found")
"""What may lie in an empty data folder."""


def restore(source: Path, places: Places, environ: Mapping[str, str], now: Callable[[], datetime]) -> Manifest:
    """
    Put a backup into an empty data folder and an empty database; nothing can be seen before all of it is proved.

    The master key is that of the environment or of the data folder; without one, that of the backup, which then lies
    in the data folder. What was at fault when the backup was made is restored as it was: the manifest names it.
    Errors: Refused with restore-not-empty; Unavailable.
    """
    _refuse_full(places)
    master, its_key = _master(source, places, environ)
    manifest = read_manifest(source, master)
    work = places.folder / f"{TEMPORARY}restore-{secrets.token_hex(8)}"
    try:
        make_folder(work / STORE)
        _copy(source, work, manifest)
        _prove(work, manifest, master, now)
        if its_key:
            write_new(places.folder / KEY_FILE, its_key, work)
        _place(work, places)
    except OSError as error:
        raise Unavailable(
            "data-unusable",
            say("the data folder %(folder)s cannot be written: %(why)s", folder=str(places.folder), why=_why(error)),
            say("make room, or choose another folder: --data DIR"),
        ) from error
    finally:
        shutil.rmtree(work, ignore_errors=True)
    return manifest


def skip_numbers(register: Register, last: int, by: str, today: date, program: str) -> int:
    """
    Void the numbers up to one that is known from paper, so that none is given out twice; give how many.

    What was issued after a backup is lost with its number, and the paper is still in somebody's hands.
    """
    known = max((life.number for life in register.lives()), default=0)
    lost = Paper("lost", "", "", "", "", "", "", (), today.isoformat(), program)
    for number in range(known + 1, last + 1):
        taken = register.prepare(lost, register.keyed("lost", str(number)), by)
        register.void(taken, "other", by)
    return max(0, last - known)


def _refuse_full(places: Places) -> None:
    """Refuse a place where something is kept already: a restore never mixes two registers."""
    found = sorted(path.name for path in places.folder.iterdir()) if places.folder.is_dir() else []
    full = [name for name in found if name not in _NO_MATTER and not name.startswith(TEMPORARY)]
    place: str | Message = str(places.folder)
    if not full and places.database:
        full, place = ([places.database.name] if places.database.exists() else []), str(places.database)
    elif not full:
        place = say("the database of the register")
        with connected(places.register) as connection:
            full = inspect(connection).get_table_names()
    if full:
        raise Refused(
            [
                Problem(
                    "restore-not-empty",
                    "",
                    say("%(place)s is not empty, and a restore never writes over anything", place=place),
                    say("name an empty folder with --data DIR (and an empty database with --register)"),
                )
            ]
        )


def _master(source: Path, places: Places, environ: Mapping[str, str]) -> tuple[MasterKey, bytes]:
    """Find the master key; if it is the backup's own, give its file too, to be kept."""
    own = source / KEY_FILE
    named = environ.get("DOCGEN_MASTER_KEY") or environ.get("DOCGEN_MASTER_KEY_FILE")
    if not named and not os.path.lexists(places.folder / KEY_FILE) and own.is_file():
        return read_key_file(own), own.read_bytes()
    return read_master_key(places.folder, environ, begun=True, make=False), b""


def _copy(source: Path, work: Path, manifest: Manifest) -> None:
    """Copy each file the manifest names, and compare what was copied with it."""
    for one in (manifest.register, *manifest.files):
        if not _PATH.fullmatch(one.path):
            raise damaged(one.path)
        _copy_one(source / one.path, work / one.path, one)
    sync_all(work)


def _copy_one(source: Path, target: Path, stored: Stored) -> None:
    make_folder(target.parent)
    digest = hashlib.sha256()
    if not source.is_file():
        raise damaged(stored.path)
    with source.open("rb") as content, target.open("xb") as out:
        target.chmod(0o600)
        while part := content.read(1 << 20):
            digest.update(part)
            out.write(part)
    if digest.hexdigest() != stored.digest:
        raise damaged(stored.path)


def _prove(work: Path, manifest: Manifest, master: MasterKey, now: Callable[[], datetime]) -> None:
    """Fill a register of our own from the copy, follow its chain, and open every file it names."""
    path = work / COPY
    if manifest.register.path != COPY:
        _fill(path, work / manifest.register.path)
    with connected(f"sqlite:///{path}") as connection:
        seen = look(connection)
    if (seen.entries, seen.head) != (manifest.entries, manifest.head):
        raise damaged(manifest.register.path)
    with open_register(f"sqlite:///{path}", master, now) as register:
        faults = [fault.what.in_words() for fault in register.faults()]
    _refuse_new(faults, manifest, manifest.register.path)
    _refuse_new(lost_files(Store(work / STORE, master), seen.named), manifest, STORE)


def _refuse_new(found: Iterable[str], manifest: Manifest, where: str) -> None:
    """Refuse what was not at fault yet when the backup was made."""
    if set(found) - set(manifest.faults):
        raise damaged(where)


def _fill(path: Path, export: Path) -> None:
    """Make an SQLite register of the export's own schema and fill it."""
    try:
        with export.open("rb") as lines:
            schema = schema_in(lines.readline())
            lines.seek(0)
            os.close(os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, 0o600))
            with connected(f"sqlite:///{path}", writing=True) as connection:
                upgrade(connection, schema)
                import_lines(connection, lines)
    except (NoExport, SQLAlchemyError) as error:
        raise damaged(export.name) from error


def _place(work: Path, places: Places) -> None:
    """Put the files first, the register last: only it makes them findable. If it cannot be put, the files go again."""
    moved = [(work / name, places.folder / name) for name in (STORE, TRUST) if (work / name).is_dir()]
    for mine, its in moved:
        mine.rename(its)
    sync_folder(places.folder)
    try:
        if places.database is None:
            _fill_server(work / COPY, places.register)
        else:
            _put(work / COPY, places.database)
    except BaseException:
        for mine, its in moved:
            its.rename(mine)
        raise


def _fill_server(proved: Path, address: str) -> None:
    with connected(f"sqlite:///{proved}") as old, connected(address, writing=True) as new:
        upgrade(new, REVISIONS[-1])
        import_lines(new, export_lines(old))
        if _digest(new) != _digest(old):
            raise damaged(COPY)


def _put(proved: Path, database: Path) -> None:
    """Copy the register beside its place, which may be on another disk, and give it its name."""
    make_folder(database.parent)
    beside = database.parent / f"{TEMPORARY}{secrets.token_hex(8)}"
    try:
        shutil.copyfile(proved, beside)
        beside.chmod(0o600)
        with beside.open("rb") as file:
            os.fsync(file.fileno())
        os.link(beside, database)
        try:
            sync_folder(database.parent)
        except OSError:
            database.unlink()  # nobody has been told of it yet
            raise
    finally:
        beside.unlink(missing_ok=True)


def _digest(connection: Connection) -> str:
    digest = hashlib.sha256()
    for line in export_lines(connection):
        digest.update(line)
    return digest.hexdigest()


def _why(error: OSError) -> str:
    return error.strerror or "the disk refused"
