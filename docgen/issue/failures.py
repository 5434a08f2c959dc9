"""
What a database driver raises > `Unavailable` with a plain sentence, never with its text, which may hold values.

Apart because every statement can fail, and each of the two databases has its own words.
"""

from __future__ import annotations

import sqlite3

from docgen.issue.unavailable import Unavailable
from docgen.problem import Message, say

_SQLITE: dict[str, tuple[str, Message, Message]] = {
    "FULL": ("register-full", say("the disk of the register is full"), say("make room on the disk, then repeat")),
    "BUSY": (
        "register-busy",
        say("another program has kept the register busy for more than ten seconds"),
        say("wait for it or end it, then repeat"),
    ),
    "READONLY": (
        "register-readonly",
        say("the register cannot be written"),
        say("mend the rights of its file and folder"),
    ),
    "CANTOPEN": (
        "register-unreadable",
        say("the file of the register cannot be opened"),
        say("mend the rights of its file and folder"),
    ),
    "NOTADB": (
        "register-foreign",
        say("the file is no register of docgen"),
        say("give the address of the register: $DOCGEN_REGISTER"),
    ),
    "CORRUPT": (
        "register-damaged",
        say("the file of the register is damaged"),
        say("take the register from a backup: docgen restore"),
    ),
    "CONSTRAINT": (
        "register-damaged",
        say("the register does not agree with itself"),
        say("see docgen doctor, and take the register from a backup"),
    ),
}
BUSY = _SQLITE["LOCKED"] = _SQLITE["BUSY"]
_SQLITE["PERM"] = _SQLITE["READONLY"]
_OTHER = (
    "register-unavailable",
    say("the register cannot be reached or has given up; what was not acknowledged may be repeated"),
    say("see that its database runs, knows this user, and is named rightly by $DOCGEN_REGISTER; then repeat"),
)
_POSTGRES: dict[str, tuple[str, Message, Message]] = {
    "53": ("register-full", say("the database of the register has no room left"), say("make room, then repeat")),
    "55": _SQLITE["BUSY"],
    "25": _SQLITE["READONLY"],
    "42": (
        "register-readonly",
        say("the tables of the register are missing, or this user may not use them"),
        say("give the user its rights on the tables, or take the register from a backup"),
    ),
    "23": _SQLITE["CONSTRAINT"],
    "P0": _SQLITE["CONSTRAINT"],
}


def unavailable(error: BaseException) -> Unavailable:
    """Say in plain words what a driver's error means for the register."""
    if isinstance(error, sqlite3.Error):
        name = (getattr(error, "sqlite_errorname", None) or "").removeprefix("SQLITE_").partition("_")[0]
        return Unavailable(*_SQLITE.get(name, _OTHER))
    state = getattr(error, "sqlstate", None) or ""
    return Unavailable(*_POSTGRES.get(state[:2], _OTHER))
