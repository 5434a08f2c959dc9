"""
A number and a reason > the same document superseded, withdrawn, held, released or erased in the register.

Words of a reason are kept as a file: the chain holds their digest alone, so they can be erased with the document. What
may follow what, the register itself knows and refuses.
"""

from __future__ import annotations

from collections.abc import Sequence

from docgen.issue.entry import REASONS, Entry, KeptFile
from docgen.issue.erasure import erase as destroy
from docgen.issuing.gates import reason_missing
from docgen.issuing.office import Office
from docgen.issuing.reasons import REASON, reason_file
from docgen.problem import Refused


def supersede(number: int, successor: int, reason: str, words: str, office: Office, by: str) -> Entry:
    """
    Let a document be replaced by another that is issued already.

    Errors: Refused with reason-missing and those of the register.
    """
    _refuse_reason(reason)
    with office.store.keeping(_files(words)) as files:
        return office.register.supersede(number, successor, reason, by, files=files)


def withdraw(number: int, reason: str, words: str, office: Office, by: str) -> Entry:
    """
    Take a document back.

    Errors: Refused with reason-missing and those of the register.
    """
    _refuse_reason(reason)
    with office.store.keeping(_files(words)) as files:
        return office.register.withdraw(number, reason, by, files=files)


def hold(number: int, words: str, office: Office, by: str) -> Entry:
    """
    Forbid that a document is erased, for as long as the law or a dispute asks.

    Errors: Refused, as the register says.
    """
    with office.store.keeping(_files(words)) as files:
        return office.register.hold(number, by, files=files)


def release(number: int, words: str, office: Office, by: str) -> Entry:
    """
    Lift a hold.

    Errors: Refused, as the register says.
    """
    with office.store.keeping(_files(words)) as files:
        return office.register.release(number, by, files=files)


def erase(number: int, reason: str, office: Office, by: str, *, before_due: bool = False) -> Sequence[KeptFile]:
    """
    Destroy the content of a document for good; number and digests stay, and so does what a backup holds.

    `before_due`: somebody decided it though it should still be kept.
    Errors: Refused with reason-missing, on-hold, erasure-too-early and those of the register.
    """
    _refuse_reason(reason)
    today = office.now().date()
    return destroy(office.register, office.store, number, reason, by, today, before_due=before_due)


def _refuse_reason(reason: str) -> None:
    if reason not in REASONS:
        raise Refused([reason_missing()])


def _files(words: str) -> tuple[tuple[str, bytes], ...]:
    return ((REASON, reason_file(words)),) if words else ()
