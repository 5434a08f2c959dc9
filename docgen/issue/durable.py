"""Bytes and a name > a file that is whole and on the disk before anybody can see it under its name."""

from __future__ import annotations

import contextlib
import fcntl
import os
import secrets
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta
from pathlib import Path

from docgen.issue.folders import sync_folder

TEMPORARY = ".tmp-"
"""How the name of an unfinished file begins; what stays behind is swept."""
_AT_ONCE = 16
STALE = timedelta(hours=1)
"""Age after which nobody is still writing a temporary file."""


def write_new(path: Path, content: bytes, beside: Path) -> None:
    """
    Write a file that was not there before, through a temporary file in the folder `beside` (same disk).

    Errors: FileExistsError if the name is taken; OSError, and no temporary file is left.
    """
    temporary = beside / f"{TEMPORARY}{secrets.token_hex(8)}"
    try:
        number = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW | os.O_CLOEXEC, 0o600)
        try:
            write_all(number, content)
            os.fsync(number)
        finally:
            os.close(number)
        os.link(temporary, path)
    finally:
        with contextlib.suppress(OSError):
            temporary.unlink()
    # If this fails the file keeps its name: it is whole, and another process may rely on it already.
    sync_folder(path.parent)


@contextlib.contextmanager
def locked(path: Path, *, alone: bool) -> Iterator[None]:
    """
    Hold a lock that several may share, or one has alone; it ends with the process at the latest.

    Errors: OSError.
    """
    number = os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    try:
        fcntl.flock(number, fcntl.LOCK_EX if alone else fcntl.LOCK_SH)
        yield
    finally:
        os.close(number)


def sync_all(folder: Path) -> None:
    """
    Make a folder and all in it durable; many at once, which the disk does together.

    Errors: OSError.
    """
    paths = [folder, *folder.rglob("*")]
    with ThreadPoolExecutor(max_workers=_AT_ONCE) as pool:
        for _ in pool.map(_sync, paths):
            pass


def _sync(path: Path) -> None:
    number = os.open(path, os.O_RDONLY)
    try:
        os.fsync(number)
    finally:
        os.close(number)


def rests(folder: Path, now: datetime) -> tuple[Path, ...]:
    """Find what killed programs left unfinished in a folder: nobody has touched it for an hour."""
    old = []
    for path in sorted(folder.glob(f"{TEMPORARY}*")):
        with contextlib.suppress(FileNotFoundError):
            if now.timestamp() - path.stat().st_mtime > STALE.total_seconds():
                old.append(path)
    return tuple(old)


def write_all(number: int, content: bytes) -> None:
    """
    Write every byte; the system may take fewer at a time than it was given.

    Errors: OSError.
    """
    rest = memoryview(content)
    while rest:
        rest = rest[os.write(number, rest) :]
