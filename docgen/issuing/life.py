"""
A number and a reason > the same document superseded, withdrawn, held, released or erased in the register.

Words of a reason are kept as a file: the chain holds their digest alone, so they can be erased with the document.
"""

from __future__ import annotations

from collections.abc import Sequence

from docgen.issue.entry import REASONS, Entry, KeptFile
from docgen.issue.erasure import erase as destroy
from docgen.issuing.gates import number_unknown, one_standing, reason_missing
from docgen.issuing.issue import REASON
from docgen.issuing.office import Office
from docgen.problem import Problem, Refused, say


def supersede(number: int, successor: int, reason: str, words: str, office: Office, by: str) -> Entry:
    """
    Let a document be replaced by another that is issued already.

    Errors: Refused with reason-missing, number-unknown, not-in-force or successor-wrong.
    """
    _refuse_reason(reason)
    old, new = one_standing(number, office), one_standing(successor, office)
    same = old.paper and new.paper and old.paper.record_digest == new.paper.record_digest
    if number == successor or not same or (old.paper and new.paper and old.paper.kind != new.paper.kind):
        what = say(
            "number %(new)s cannot take the place of %(old)s: it is no later document of the same record and kind",
            new=f"{successor:06d}",
            old=f"{number:06d}",
        )
        raise Refused([Problem("successor-wrong", "", what, say("look both up with docgen register list"))])
    return office.register.supersede(number, successor, reason, by, files=_kept(words, office))


def withdraw(number: int, reason: str, words: str, office: Office, by: str) -> Entry:
    """
    Take a document back.

    Errors: Refused with reason-missing, number-unknown or not-in-force.
    """
    _refuse_reason(reason)
    one_standing(number, office)
    return office.register.withdraw(number, reason, by, files=_kept(words, office))


def hold(number: int, words: str, office: Office, by: str) -> Entry:
    """
    Forbid that a document is erased, for as long as the law or a dispute asks.

    Errors: Refused with number-unknown.
    """
    _refuse_unknown(number, office)
    return office.register.hold(number, by, files=_kept(words, office))


def release(number: int, words: str, office: Office, by: str) -> Entry:
    """
    Lift a hold.

    Errors: Refused with number-unknown or not-on-hold.
    """
    life = office.register.life(number)
    if life is not None and not life.on_hold:
        what = say("number %(number)s is not on hold", number=f"{number:06d}")
        raise Refused([Problem("not-on-hold", "", what, say("see docgen register show %(number)s", number=number))])
    _refuse_unknown(number, office)
    return office.register.release(number, by, files=_kept(words, office))


def erase(number: int, reason: str, office: Office, by: str, *, before_due: bool = False) -> Sequence[KeptFile]:
    """
    Destroy the content of a document for good; number and digests stay, and so does what a backup holds.

    `before_due`: somebody decided it though it should still be kept.
    Errors: Refused with reason-missing, number-unknown, on-hold, erasure-too-early or content-erased.
    """
    _refuse_reason(reason)
    _refuse_unknown(number, office)
    today = office.now().date()
    return destroy(office.register, office.store, number, reason, by, today, before_due=before_due)


def _refuse_reason(reason: str) -> None:
    if reason not in REASONS:
        raise Refused([reason_missing()])


def _refuse_unknown(number: int, office: Office) -> None:
    if office.register.life(number) is None:
        raise Refused([number_unknown(number)])


def _kept(words: str, office: Office) -> tuple[KeptFile, ...]:
    return (office.store.put(words.encode(), REASON),) if words else ()


__all__ = ["erase", "hold", "release", "supersede", "withdraw"]
