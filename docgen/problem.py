"""
What is wrong, where, who needs it, why and how to mend it > one printed form, for people and for programs.

It stands below every other floor, because each of them reports through it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import field, replace
from enum import Enum
from typing import Any

from docgen.values import dataclass

Translate = Callable[[str], str]


@dataclass(frozen=True)
class Message:
    """A sentence of the program, kept apart from its values until the language is known."""

    msgid: str
    """The English sentence, with %(name)s for each value."""
    values: tuple[tuple[str, Any], ...] = ()
    """Names and values; a value may itself be a Message. Never a patient's own value."""

    def in_words(self, translate: Translate = str) -> str:
        """Print the sentence through a catalog's lookup; without one, in English."""
        filled = {k: v.in_words(translate) if isinstance(v, Message) else str(v) for k, v in self.values}
        return translate(self.msgid) % filled if filled else translate(self.msgid)


def say(msgid: str, **values: Any) -> Message:
    """Mark a sentence for the catalogs (extraction looks for this name) and keep its values."""
    return Message(msgid, tuple(sorted(values.items())))


class Severity(Enum):
    """What a problem does to the documents."""

    REFUSE = "refuse"
    """Nothing is made."""
    NOTE = "note"
    """The documents are made; the problem travels with them."""


@dataclass(frozen=True)
class Place:
    """A point in a file, as an editor shows it."""

    file: str
    line: int
    column: int

    def __lt__(self, other: Place) -> bool:
        return (self.file, self.line, self.column) < (other.file, other.line, other.column)

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong; it names paths and lines, never a patient's values."""

    code: str
    """Stable name, listed in README."""
    path: str
    """Field path as the author writes it, items counted from 0; empty for a whole file."""
    what: Message
    """What is wrong, in one sentence; the printed form puts the place before it."""
    fix: Message
    """How to mend it."""
    place: Place | None = None
    needed_by: tuple[str, ...] = ()
    """Documents that ask for it."""
    because: tuple[Message, ...] = ()
    """Why they ask."""
    ask: Message | None = None
    """Whom to ask."""
    severity: Severity = Severity.REFUSE

    def in_words(self, translate: Translate = str) -> str:
        """Print as the house does: where, what and code; then who needs it, why, whom to ask, the mend."""
        head = f"{self.place}: " if self.place else ""
        mark = f" ({translate('note')})" if self.severity is Severity.NOTE else ""
        lines = [f"{head}{self.what.in_words(translate)}  [{self.code}]{mark}"]
        rows = [
            (say("needed by"), ", ".join(self.needed_by)),
            *((say("because"), reason.in_words(translate)) for reason in self.because),
            (say("ask"), self.ask.in_words(translate) if self.ask else ""),
            (say("fix"), self.fix.in_words(translate)),
        ]
        lines += [f"    {label.in_words(translate):<10} {words}" for label, words in rows if words]
        return "\n".join(lines)

    def as_json(self, translate: Translate = str) -> dict[str, Any]:
        """Give the same as plain values, for `--json`."""
        return {
            "code": self.code,
            "severity": self.severity.value,
            "file": self.place.file if self.place else None,
            "line": self.place.line if self.place else None,
            "column": self.place.column if self.place else None,
            "path": self.path,
            "what": self.what.in_words(translate),
            "needed_by": list(self.needed_by),
            "because": [reason.in_words(translate) for reason in self.because],
            "ask": self.ask.in_words(translate) if self.ask else None,
            "fix": self.fix.in_words(translate),
        }


@dataclass
class Problems:
    """All that was found, one entry for each code and path, in the order of the file."""

    _found: dict[tuple[str, str, str], Problem] = field(default_factory=dict)

    def add(self, problem: Problem) -> None:
        """Keep a problem; the same fault needed by another document joins the one already there."""
        key = (problem.code, problem.path, problem.place.file if problem.place else "")
        old = self._found.get(key)
        if old is None:
            self._found[key] = problem
            return
        self._found[key] = replace(
            old,
            needed_by=tuple(dict.fromkeys((*old.needed_by, *problem.needed_by))),
            because=tuple(dict.fromkeys((*old.because, *problem.because))),
            severity=problem.severity if problem.severity is Severity.REFUSE else old.severity,
        )

    def join(self, path: str, needed_by: str, because: Message) -> None:
        """Add a document to what is said of a path already."""
        for problem in [p for p in self._found.values() if p.path == path]:
            self.add(replace(problem, needed_by=(needed_by,), because=(because,)))

    def extend(self, problems: Iterable[Problem]) -> None:
        """Keep several."""
        for problem in problems:
            self.add(problem)

    def __iter__(self) -> Iterator[Problem]:
        far = Place("\U0010ffff", 0, 0)
        return iter(sorted(self._found.values(), key=lambda p: (p.place or far, p.path, p.code)))

    def __len__(self) -> int:
        return len(self._found)

    @property
    def refusing(self) -> tuple[Problem, ...]:
        """Those that stop the documents."""
        return tuple(p for p in self if p.severity is Severity.REFUSE)

    @property
    def notes(self) -> tuple[Problem, ...]:
        """Those that travel with the documents."""
        return tuple(p for p in self if p.severity is Severity.NOTE)

    @property
    def paths(self) -> frozenset[str]:
        """Every path reported so far: later gates stay silent about them."""
        return frozenset(p.path for p in self._found.values() if p.path)

    def refuse(self) -> None:
        """Raise Refused if anything stops the documents."""
        if self.refusing:
            raise Refused(tuple(self))


class Refused(Exception):
    """The case, a kind or a language is at fault; carries every problem found, notes included."""

    def __init__(self, problems: Iterable[Problem], extra: Mapping[str, Any] | None = None) -> None:
        self.problems = tuple(problems)
        self.extra = dict(extra or {})
        super().__init__(", ".join(sorted({p.code for p in self.problems})))

    @property
    def template_only(self) -> bool:
        """True if no record is at fault, only templates or translations."""
        return all(p.code.startswith(("template-", "kind-", "words-", "catalog-")) for p in self.problems)


class OutputError(Exception):
    """A folder or disk refused the files; nothing half-written was left."""
