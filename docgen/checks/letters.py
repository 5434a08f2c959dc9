"""What follows the signed note: the letter with an owner for each action, and the addendum that adds something."""

from __future__ import annotations

from collections.abc import Iterator

from docgen.answer import Answer
from docgen.checks.look import Check, Finding, Look
from docgen.problem import say

REPLY = ("reply",)


def _before_note(look: Look) -> Iterator[Finding]:
    if look.moment("operation.started_at") and look.moment("operation.signed_at") is None:
        yield Finding(
            "operation.signed_at",
            say("operation.signed_at is not recorded: the letter would go out before the note is signed"),
            say("sign the operative note first"),
        )


def _ownerless(look: Look) -> Iterator[Finding]:
    for path, item in look.items("reply.actions"):
        if item.owner is None:
            yield Finding(
                f"{path}.owner",
                say("%(path)s is missing: an action without an owner is nobody's", path=f"{path}.owner"),
                say("name who does it"),
            )


def _nothing_added(look: Look) -> Iterator[Finding]:
    if look.case.value("operation.addenda") in (Answer.NONE, ()):
        yield Finding(
            "operation.addenda",
            say("operation.addenda says that nothing was added to the signed note"),
            say(
                "write down what is added under operation.addenda; without it there is no addendum: leave out addendum"
            ),
        )


LETTERS = (
    Check("note-before-reply", _before_note, kinds=REPLY, of_operation=True),
    Check("action-ownerless", _ownerless, kinds=REPLY),
    Check("addendum-empty", _nothing_added, signed_in="addendum"),
)
