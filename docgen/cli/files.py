"""Files in memory > files in a folder: all of them or none, never half of one."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Mapping
from pathlib import Path

from docgen.issue.folders import sync_folder
from docgen.problem import OutputError, Problem, Refused, say


def write_files(files: Mapping[str, bytes], folder: Path, *, replace: bool) -> None:
    """
    Write all files; each is complete before any gets its name.

    Errors: Refused with file-exists, if other bytes stand there and `replace` is not asked for; OutputError, if the
    folder or disk refuses.
    """
    changed = {name: content for name, content in files.items() if not _is_same(folder / name, content)}
    standing = [name for name in changed if (folder / name).exists()]
    if standing and not replace:
        raise Refused(
            [
                Problem(
                    "file-exists",
                    "",
                    say("%(file)s is there already, with other content", file=name),
                    say("give --replace, or another folder with --out"),
                )
                for name in standing
            ]
        )
    pending: dict[Path, Path] = {}
    placed: list[Path] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in changed.items():
            pending[_written(folder, content)] = folder / name
        for temporary, target in pending.items():
            existed = target.exists()
            temporary.replace(target)
            if not existed:
                placed.append(target)
        sync_folder(folder)
    except OSError as error:
        for path in (*pending, *placed):
            with contextlib.suppress(OSError):
                path.unlink()
        raise OutputError(error.strerror or "the disk refused") from error


def _is_same(path: Path, content: bytes) -> bool:
    try:
        return path.read_bytes() == content
    except OSError:
        return False


def _written(folder: Path, content: bytes) -> Path:
    """Write a hidden file and make sure it is on the disk."""
    path = folder / f".docgen-{os.urandom(8).hex()}"
    try:
        with path.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
    except OSError:
        with contextlib.suppress(OSError):
            path.unlink()
        raise
    return path
