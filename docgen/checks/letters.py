"""The letter after the visit: the note first, and an owner for each action."""

from __future__ import annotations

from collections.abc import Iterator

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


LETTERS = (
    Check("note-before-reply", _before_note, kinds=REPLY, of_operation=True),
    Check("action-ownerless", _ownerless, kinds=REPLY),
)
