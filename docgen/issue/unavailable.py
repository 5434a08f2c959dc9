"""Why store, key or register cannot be used > an error with its mend (exit 6); apart because all three raise it."""

from __future__ import annotations

from docgen.problem import Message, OutputError, Problem


class Unavailable(OutputError):
    """The store, its master key or the register cannot be used; nothing half-written was left."""

    def __init__(self, code: str, what: Message, fix: Message) -> None:
        self.problem = Problem(code, "", what, fix)
        super().__init__(what.in_words())
