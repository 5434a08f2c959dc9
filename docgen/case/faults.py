"""Why a leaf is refused > an error that carries the sentences, and never the value."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from difflib import get_close_matches

from docgen.problem import Message, say


class Fault(Exception):
    """A leaf, list or group that cannot be read as its field wants."""

    def __init__(self, code: str, what: Message, fix: Message) -> None:
        super().__init__(code)
        self.code, self.what, self.fix = code, what, fix


def fault(code: str, what: Message, fix: Message) -> Fault:
    """Make an error; `what` leaves %(path)s open, because a leaf does not know where it stands."""
    return Fault(code, what, fix)


def about(message: Message, path: str) -> Message:
    """Fill in the path that was left open."""
    return replace(message, values=(*message.values, ("path", path)))


def listed(words: Iterable[str]) -> str:
    """Give code words as they stand in the record, with commas."""
    return ", ".join(words)


def nearest(word: str, choices: Iterable[str]) -> str | None:
    """Find the choice that a misspelled word most likely meant; None if nothing is near."""
    by_form = {_form(choice): choice for choice in choices}
    found = get_close_matches(_form(word[:80]), by_form, n=1, cutoff=0.6)
    return by_form[found[0]] if found else None


def _form(word: str) -> str:
    return word.strip().casefold().replace(" ", "_").replace("-", "_")


def one_of(word: str, choices: tuple[str, ...]) -> Message:
    """Tell which words are allowed, the likely one first."""
    guess = nearest(word, choices)
    if guess is None:
        return say("write one of: %(choices)s", choices=listed(choices))
    return say("did you mean %(guess)s? Allowed: %(choices)s", guess=guess, choices=listed(choices))
