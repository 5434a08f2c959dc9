"""
The words of a reason > a kept file, and back.

Apart because the words may name a person, so they are encrypted and erased with the document; and because the chain
keeps their digest for ever: a random line goes before them, or who tries likely sentences would find the erased one.
"""

from __future__ import annotations

import re
import secrets

from docgen.issue.entry import Entry, Life
from docgen.issuing.office import Office

REASON = "reason.txt"
_BEFORE = re.compile(r"[0-9a-f]{32}\n")


def reason_file(words: str) -> bytes:
    """Write the words of a reason for the store; twice the same words make two files."""
    return f"{secrets.token_hex(16)}\n{words}".encode()


def reasons_of(life: Life, office: Office) -> dict[int, str]:
    """
    Read the words given for the entries of a number: place in the chain > words; none, once it is erased.

    Errors: OutputError, for a file that is gone or damaged.
    """
    found: dict[int, str] = {}
    for entry in life.entries if not life.erased else ():
        if words := _words(entry, life, office):
            found[entry.seq] = words
    return found


def _words(entry: Entry, life: Life, office: Office) -> str:
    named = {file.digest for file in entry.files if file.name == REASON}
    kept = next((file for file in life.files if file.name == REASON and file.digest in named), None)
    if kept is None:
        return ""
    text = office.store.get(kept, kept.wrapped_key).decode()
    before = _BEFORE.match(text)
    return text[before.end() :] if before else text
