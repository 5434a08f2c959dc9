"""
What the register refuses > the problem in plain words, or the error that carries what stands already.

Apart because writing and reading both refuse, and a command prints what they say.
"""

from __future__ import annotations

from docgen.blocks import printed_number
from docgen.issue.entry import Action, Life
from docgen.issue.life import Standing
from docgen.problem import Message, Problem, Refused, say

IN_WORDS = {
    Action.PREPARED: say("prepared"),
    Action.ISSUED: say("issued"),
    Action.SIGNED: say("signed"),
    Action.SUPERSEDED: say("superseded"),
    Action.WITHDRAWN: say("withdrawn"),
    Action.VOIDED: say("voided"),
    Action.COUNTERSIGNED: say("countersigned"),
    Action.HELD: say("held"),
    Action.RELEASED: say("released"),
    Action.ERASED: say("erased"),
}
"""How messages name an action or a state."""


class AlreadyIssued(Exception):
    """The same document was issued meanwhile by somebody else; the number that was taken for it is voided."""

    def __init__(self, life: Life) -> None:
        self.life = life
        super().__init__(f"issued as number {life.number}")


def unknown_number(number: int) -> Refused:
    """Refuse a number the register has never given out."""
    return _refused(
        "number-unknown",
        say("number %(number)s is not in the register", number=printed_number(number)),
        say("look for it with docgen register list"),
    )


def lost_number(number: int) -> Refused:
    """Refuse a number that the database lost in a crash and gave to somebody else."""
    return _refused(
        "number-lost",
        say("number %(number)s was lost when the database stopped, and is not used", number=printed_number(number)),
        say("issue the document again: it gets a new number"),
    )


def not_allowed(action: Action, standing: Standing | Life) -> Refused:
    """Refuse an action that may not follow the state of a number."""
    number = printed_number(standing.number)
    if standing.on_hold and action in (Action.HELD, Action.ERASED):
        what = say("number %(number)s is on hold", number=number)
        return _refused("number-held", what, say("whoever ordered the hold may release it: docgen register release"))
    if action is Action.COUNTERSIGNED and isinstance(standing, Standing) and standing.countersigned:
        return already_countersigned(standing.number)
    if standing.erased and action in (Action.HELD, Action.ERASED, Action.COUNTERSIGNED):
        what = say("the files of number %(number)s are erased already", number=number)
        return _refused("number-erased", what, say("nothing is left to do; number and digests stay in the register"))
    if action is Action.RELEASED and not standing.on_hold:
        return _refused(
            "number-state", say("number %(number)s is not on hold", number=number), say("nothing is left to do")
        )
    words = {"number": number, "state": IN_WORDS[standing.state], "action": IN_WORDS[action]}
    return _refused(
        "number-state",
        say("number %(number)s is %(state)s, so it cannot be %(action)s", **words),
        say("see its life with docgen register show %(number)s", number=number),
    )


def already_countersigned(number: int) -> Refused:
    """Refuse a second countersignature."""
    shown = printed_number(number)
    what = say("number %(number)s is countersigned already", number=shown)
    return _refused("number-countersigned", what, say("see it with docgen register show %(number)s", number=shown))


def unfit_successor(number: int, successor: int, why: Message) -> Refused:
    """Refuse a number that cannot stand in the place of another."""
    words = {"successor": printed_number(successor), "number": printed_number(number), "why": why}
    return _refused(
        "successor-unfit",
        say("number %(successor)s cannot stand in the place of number %(number)s: %(why)s", **words),
        say("name the valid document of the same record and kind; otherwise withdraw the old one"),
    )


def unfit_name(who: str) -> Refused:
    """Refuse a name under which an entry would tell nobody who made it."""
    what = say("the register must know who does this, in one line of at most 200 characters")
    return _refused("who-unfit", what, say("give your name or user name") if not who else say("shorten the name"))


def _refused(code: str, what: Message, fix: Message) -> Refused:
    return Refused([Problem(code, "", what, fix)])
