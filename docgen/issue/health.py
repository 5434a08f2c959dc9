"""
Data folder, register and store > all that is wrong with them, each with its mend.

Apart because it looks at all of them at once, and changes nothing but what it is asked to clean up.
"""

from __future__ import annotations

import os
import shutil
import stat
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from docgen.blocks import printed_number
from docgen.issue.durable import rests
from docgen.issue.entry import Action, KeptFile, Life
from docgen.issue.folders import Places
from docgen.issue.keys import KEY_FILE, WrappedKeyDamaged
from docgen.issue.register import Register
from docgen.issue.rotation import NEXT_KEY
from docgen.issue.store import FileDamaged, FileGone, Store
from docgen.issue.writing import STALE_AFTER
from docgen.problem import Message, Problem, Severity, say

FULL_BYTES, NEARLY_FULL_BYTES = 100 * 2**20, 2**30
"""Free space of a disk under which nothing can be relied on, and under which somebody should make room."""
CLOCK_SLACK = timedelta(minutes=5)
"""How far the clock of another machine may be ahead."""
UNNAMED_AFTER = timedelta(days=1)
"""Age after which nobody is about to name a file any more."""
OPEN_TO_OTHERS = stat.S_IRWXG | stat.S_IRWXO


def check_folder(places: Places) -> Iterator[Problem]:
    """Say whether the data folder is there, ours, and closed to others."""
    folder = places.folder
    if not os.path.lexists(folder):
        yield Problem(
            "data-none",
            "",
            say("the data folder %(folder)s is not there: nothing was kept yet", folder=str(folder)),
            say("the first docgen issue makes it; if something was kept, name its folder with --data"),
            severity=Severity.NOTE,
        )
        return
    if not folder.is_dir() or not os.access(folder, os.R_OK | os.W_OK | os.X_OK):
        yield Problem(
            "data-unusable",
            "",
            say("the data folder %(folder)s cannot be written", folder=str(folder)),
            say("give it to the user who runs docgen: chown and chmod 700"),
        )
        return
    database = places.database
    for path in (folder, places.store, folder / KEY_FILE, *([database] if database else [])):
        if path.exists() and path.stat().st_mode & OPEN_TO_OTHERS:
            yield Problem(
                "data-open",
                path.name,
                say("others may enter or read %(path)s", path=str(path)),
                say("chmod go= %(path)s", path=str(path)),
                severity=Severity.NOTE if path == folder else Severity.REFUSE,  # what lies in it is closed by itself
            )


def check_key_change(places: Places) -> Iterator[Problem]:
    """Say whether a change of the master key was interrupted."""
    if (places.folder / NEXT_KEY).exists():
        yield Problem(
            "key-change-unfinished",
            NEXT_KEY,
            say("a change of the master key was interrupted"),
            say("docgen rekey finishes it"),
        )


def check_rests(places: Places, now: datetime) -> Iterator[Problem]:
    """Note what a killed restore, or the first use, left unfinished in the data folder."""
    if count := len(rests(places.folder, now)):
        yield Problem(
            "temporaries-stale",
            str(places.folder),
            say("%(count)s unfinished files of killed programs lie in the data folder", count=count),
            say("docgen doctor --clean deletes them"),
            severity=Severity.NOTE,
        )


def clean_rests(places: Places, now: datetime) -> int:
    """
    Delete what was left unfinished in the data folder; give the number of files and folders.

    Errors: OSError.
    """
    found = rests(places.folder, now)
    for path in found:
        if path.is_dir():
            shutil.rmtree(path)
        else:
            path.unlink()
    return len(found)


def check_disk(folder: Path, full: int = FULL_BYTES, nearly: int = NEARLY_FULL_BYTES) -> Iterator[Problem]:
    """Say whether the disk under a folder is full, or will be soon; sizes in bytes."""
    there = next(one for one in (folder, *folder.parents) if one.is_dir())
    free = shutil.disk_usage(there).free
    if free < nearly:
        yield Problem(
            "disk-full",
            str(there),
            say("only %(free)s MiB are free on the disk of %(folder)s", free=free // 2**20, folder=str(there)),
            say("make room, or move the data folder to a larger disk"),
            severity=Severity.REFUSE if free < full else Severity.NOTE,
        )


def check_register(register: Register) -> Iterator[Problem]:
    """Tell what the register finds wrong with itself: schema, guards, chain, and what is derived from it."""
    for place, fault in enumerate(register.faults()):
        yield Problem(
            fault.code,
            f"{place + 1:03d}",
            fault.what,
            say("change nothing; compare with the last checkpoint, then restore the last sound backup elsewhere"),
        )


def check_clock(register: Register, now: datetime) -> Iterator[Problem]:
    """Say whether the clock is behind the last entry: then new entries would look older than old ones."""
    last, _ = register.head()
    for entry in register.entries(after=last - 1) if last else ():
        if entry.at > now + CLOCK_SLACK:
            yield Problem(
                "clock-behind",
                "",
                say("the clock says %(now)s, the last entry is of %(last)s", now=_minute(now), last=_minute(entry.at)),
                say("set the clock of this machine, before anything is issued"),
            )  # fmt: skip


def check_waiting(register: Register, now: datetime) -> Iterator[Problem]:
    """Note numbers that were taken and never used."""
    for life in register.lives(state=Action.PREPARED.value):
        if now - life.entries[0].at > STALE_AFTER:
            yield Problem(
                "preparation-stale",
                printed_number(life.number),
                say("number %(number)s was taken and never used", number=printed_number(life.number)),
                say("nothing to do: the next docgen issue voids it"),
                severity=Severity.NOTE,
            )


@dataclass
class Holdings:
    """What the store holds against what the register names."""

    problems: list[Problem] = field(default_factory=list)
    files: int = 0
    """Files that are whole."""
    erased: list[Path] = field(default_factory=list)
    """Files of an erased number that are there and not encrypted."""
    spare: list[Path] = field(default_factory=list)
    """Files that no number names or no key opens, and that nobody is about to name."""


def check_files(register: Register, store: Store, now: datetime) -> Holdings:
    """
    Open every file the register names, and look for those it does not name.

    Errors: Unavailable, if register or store cannot be read at all.
    """
    stored = list(store.digests())  # before the register: what is named later is no file nobody names
    found = Holdings()
    keys: dict[str, set[bytes | None]] = {}
    gone: set[str] = set()
    unsure: set[str] = set()
    for life in register.lives():
        if life.erased:
            gone |= {file.digest for file in life.files}
            continue
        for file in life.files:
            known = keys.setdefault(file.digest, set())
            if file.wrapped_key not in known and not _is_whole(store, life, file, found):
                unsure.add(file.digest)
            known.add(file.wrapped_key)
    _ask_again(register, found)
    for digest in stored:
        if digest not in unsure:
            spare = store.spare(digest, keys.get(digest, ()))
            found.spare += [path for path in spare if _is_old(path, now)]
            found.erased += [path for path in spare if digest in gone and store.is_open(path)]
    found.problems += _left(found)
    found.problems += _litter(store, now)
    return found


def _is_whole(store: Store, life: Life, file: KeptFile, found: Holdings) -> bool:
    try:
        store.get(file, file.wrapped_key)
    except (FileGone, FileDamaged, WrappedKeyDamaged) as fault:
        told = fault.problem
        found.problems.append(Problem(told.code, f"{printed_number(life.number)} {file.name}", told.what, told.fix))
        return False
    found.files += 1
    return True


def _ask_again(register: Register, found: Holdings) -> None:
    """Leave out what was erased while it was looked for."""
    numbers = {int(problem.path.partition(" ")[0]) for problem in found.problems}
    erased = {printed_number(number) for number in numbers if (life := register.life(number)) and life.erased}
    found.problems = [problem for problem in found.problems if problem.path.partition(" ")[0] not in erased]


def _left(found: Holdings) -> Iterator[Problem]:
    for path in found.erased:
        yield Problem(
            "file-erased-there",
            path.name,
            say("the file with the digest %(digest)s… was erased, and can still be read", digest=path.name[:16]),
            say("docgen doctor --clean deletes it, a day after it was written"),
        )
    for path in found.spare:
        if path not in found.erased:
            yield Problem(
                "file-unnamed",
                path.name,
                say("no number names the file with the digest %(digest)s…", digest=path.name[:16]),
                say("nothing is lost: an issue was interrupted, or an erasure; docgen doctor --clean deletes it"),
                severity=Severity.NOTE,
            )


def _litter(store: Store, now: datetime) -> Iterator[Problem]:
    """Count what lies about in the store; its names are not told, for nobody knows what they say."""
    rows: tuple[tuple[str, int, Message, Message], ...] = (
        (
            "temporaries-stale",
            len(store.stale(now)),
            say("unfinished files of killed programs lie in the store"),
            say("docgen doctor --clean deletes them"),
        ),
        (
            "store-strangers",
            len(store.strangers()),
            say("files that docgen did not write lie in the store"),
            say("look into %(folder)s and move them elsewhere", folder=str(store.folder)),
        ),
    )
    for code, count, what, fix in rows:
        if count:
            told = say("%(count)s: %(what)s", count=count, what=what)
            yield Problem(code, "", told, fix, severity=Severity.NOTE)


def clean(found: Holdings, store: Store, now: datetime) -> int:
    """
    Delete stale temporaries and spare files; give their number.

    Errors: Unavailable with store-unwritable.
    """
    return store.sweep(now) + store.discard(found.spare)


def _is_old(path: Path, now: datetime) -> bool:
    try:
        return now.timestamp() - path.stat().st_mtime > UNNAMED_AFTER.total_seconds()
    except FileNotFoundError:
        return False


def _minute(moment: datetime) -> str:
    return moment.isoformat(sep=" ", timespec="minutes")
