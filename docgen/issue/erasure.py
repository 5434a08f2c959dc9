"""
A number > its keys destroyed and its files deleted, and nobody else's.

Apart because register and store are both asked, in this order: a file without a key is erased, a key without a file is
a loss.
"""

from __future__ import annotations

from datetime import date

from docgen.issue.entry import KeptFile
from docgen.issue.refusals import unknown_number
from docgen.issue.register import Register
from docgen.issue.retention import check_erasure
from docgen.issue.store import Store


def erase(
    register: Register, store: Store, number: int, reason: str, by: str, today: date, *, before_due: bool = False
) -> tuple[KeptFile, ...]:
    """
    Erase a document for good, and give its files, which are deleted. Number and digests stay in the register.

    If this is interrupted, the keys are destroyed or nothing has happened; `docgen doctor` finds the files left.
    Errors: Refused with number-unknown, on-hold, erasure-too-early (unless `before_due`) and what the register
    refuses; Unavailable.
    """
    life = register.life(number)
    if life is None:
        raise unknown_number(number)
    check_erasure(life, today, before_due=before_due).refuse()
    register.erase(number, reason, by)
    for file in life.files:
        store.delete(file.digest, file.wrapped_key)
    return life.files
