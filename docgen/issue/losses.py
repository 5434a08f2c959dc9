"""Why a kept file cannot be given: gone, erased or damaged, each with its mend; apart because they are told apart."""

from __future__ import annotations

from docgen.issue.entry import KeptFile
from docgen.issue.unavailable import Unavailable
from docgen.problem import say


class FileDamaged(Unavailable):
    """A kept file is there and is not what was written."""


class FileGone(Unavailable):
    """A kept file is not there."""


class KeyGone(FileGone):
    """A kept file is there, encrypted, and nobody has its key: it was erased."""


def absent(file: KeptFile, *, found: bool, sealed: bool) -> FileGone | FileDamaged:
    """Say why a file cannot be given: no value of a record, only the role and the digest."""
    named = {"name": file.name, "digest": file.digest[:16]}
    if sealed:
        return KeyGone(
            "file-key-gone",
            say("the file %(name)s, digest %(digest)s…, was erased: its key was destroyed", **named),
            say("nothing brings it back; the register keeps its number and digest"),
        )
    if not found:
        return FileGone(
            "file-gone",
            say("the file %(name)s, digest %(digest)s…, is missing from the store", **named),
            say("take it from a backup: docgen restore; docgen doctor lists all that is missing"),
        )
    return FileDamaged(
        "file-damaged",
        say("the file %(name)s, digest %(digest)s…, is damaged", **named),
        say("take it from a backup: docgen restore; docgen doctor lists all that is damaged"),
    )
