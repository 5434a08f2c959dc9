"""
What is slow to make of a file > kept in the user's cache folder under the digest of all it was made of.

A cache that cannot be read or written, or holds anything else than what was put there, changes the time and nothing
else. Only what comes of the program's files and a clinic's templates goes here, never a record.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from typing import Any


def cached(folder: str, name: str, make: Callable[[], bytes]) -> bytes:
    """
    Take a file from the cache if it is whole, else make it and try to keep it.

    `name` holds the digest of all that `make` makes it of.
    """
    home = cache_folder(folder)
    if home is None:
        return make()
    path = home / name
    with suppress(OSError):
        head, _, content = path.read_bytes().partition(b"\n")
        if head == hashlib.sha256(content).hexdigest().encode():
            return content
    content = make()
    with suppress(OSError):
        _keep(path, hashlib.sha256(content).hexdigest().encode() + b"\n" + content)
    return content


def cached_tree(reader: str, sources: Iterable[bytes], make: Callable[[], Any]) -> Any:
    """
    Give the groups, lists, texts and whole numbers that are made of some files; JSON, so that a cache runs no code.

    `reader` is the file of the module that makes them: another edition of it never takes what this one kept.
    Errors: those of `make`; then nothing is kept.
    """
    digest = hashlib.sha256()
    for source in (Path(reader).read_bytes(), *sources):
        digest.update(len(source).to_bytes(8, "big") + source)
    name = f"{Path(reader).stem}-{digest.hexdigest()[:32]}.json"
    return json.loads(cached("trees", name, lambda: json.dumps(make(), separators=(",", ":")).encode()))


def cache_folder(name: str) -> Path | None:
    """Find a folder of the cache, which need not exist; None for a user without a home."""
    home = os.environ.get("XDG_CACHE_HOME", "")
    if Path(home).is_absolute():  # a relative path is to be ignored, says the XDG base directory specification
        return Path(home) / "docgen" / name
    try:
        return Path.home() / ".cache" / "docgen" / name
    except RuntimeError:
        return None


def _keep(path: Path, content: bytes) -> None:
    """Write beside the name and rename, so that a reader never sees half a file."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    beside = path.with_name(f".{os.getpid()}-{os.urandom(8).hex()}")  # tempfile would load a dozen modules
    try:
        with open(beside, "xb", opener=_for_the_user_alone) as out:  # Path.open takes no opener
            out.write(content)
        beside.replace(path)
    except OSError:
        beside.unlink(missing_ok=True)
        raise


def _for_the_user_alone(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)
