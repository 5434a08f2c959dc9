"""A read case: typed fields, where each stood, the clinic's settings and approvals."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import field
from datetime import date

from docgen.answer import Answer
from docgen.case.gate import parent
from docgen.case.models.root import CaseRecord
from docgen.case.recorded import Recorded
from docgen.case.settings import Setting, find_setting
from docgen.problem import Place
from docgen.values import dataclass

_STEP = re.compile(r"\[([0-9]+)\]|([^.\[\]]+)")


@dataclass(frozen=True)
class Approval:
    """One text, translation, memory figure or setting that a person signed for."""

    what: str
    digest: str
    by: str
    qualification: str
    on: date


@dataclass(frozen=True)
class Case:
    """One patient, one course of treatment, as far as it is recorded and not faulty."""

    fields: CaseRecord
    """Typed groups; None is not recorded. `copy` and `with` are `copy_` and `with_` here."""
    digest: str
    """SHA-256 of what case and clinic say; order, comments, quotes and syntax do not count."""
    settings: Mapping[str, Setting] = field(default_factory=dict)
    """What the clinic chose; defaults left out."""
    approvals: tuple[Approval, ...] = ()
    own: Mapping[str, object] = field(default_factory=dict, repr=False)
    """Fields a clinic added for its kinds, by path."""
    faulty: frozenset[str] = frozenset()
    """Paths gate 1 reported and took out."""
    readable: bool = True
    """False if a whole file could not be read: then nothing can be said about completeness."""
    start: Place = field(default_factory=lambda: Place("", 1, 1))
    """First line of the case's file."""
    places: Mapping[str, Place] = field(default_factory=dict)
    """Where each written path stands."""
    left_out: Mapping[str, frozenset[int]] = field(default_factory=dict)
    """Path of a list of plain values > numbers of the items gate 1 took out."""
    _looked_up: dict[str, object] = field(default_factory=dict, init=False, repr=False, compare=False)
    """Values by path: facts and checks ask for the same few hundred again and again."""

    def value(self, path: str) -> object:
        """
        Look up a concrete path.

        None if it is not recorded; below a group that one word answers, that word. A group without any recorded field
        is None. `settings.<name>` gives the setting as text or its default.
        Errors: KeyError if no field has this name.
        """
        if path.startswith("settings."):
            return self.setting(path.removeprefix("settings."))
        if path.startswith("own."):
            return self.own.get(path)
        if path not in self._looked_up:
            self._looked_up[path] = self._look_up(path)
        return self._looked_up[path]

    def _look_up(self, path: str) -> object:
        value: object = self.fields
        done = ""
        for number, name in _STEP.findall(path):
            if isinstance(value, Answer) or value is None:
                return value
            if number:
                value = self._item(value, done, int(number))
                done += f"[{number}]"
            else:
                assert isinstance(value, Recorded)  # noqa: S101 (a name after a leaf is a typing error of ours)
                value = getattr(value, value.parts[name].attribute)
                done = f"{done}.{name}" if done else name
        return None if isinstance(value, Recorded) and not _says_something(value) else value

    def expand(self, pattern: str) -> tuple[str, ...]:
        """
        Name the concrete paths of a pattern: one for each item there is, whether the field is recorded in it or not.

        Items keep the numbers they are written under; those gate 1 took out are left out.
        """
        heads = [""]
        *lists, last = pattern.split("[]")
        for piece in lists:
            heads = [path for head in heads for path in self._items(head + piece)]
        return tuple(head + last for head in heads)

    def place(self, path: str) -> Place:
        """Find where a path stands, else its nearest recorded ancestor, else the start of the case's file."""
        while path:
            if path in self.places:
                return self.places[path]
            path = parent(path)
        return self.start

    def setting(self, name: str) -> str | None:
        """
        Give a setting's value as text, else its default; None if it is required and missing.

        Errors: KeyError if no setting has this name.
        """
        if name in self.settings:
            return self.settings[name].value
        spec = find_setting(name)
        if spec is None:
            raise KeyError(name)
        return spec.default

    def is_faulty(self, path: str) -> bool:
        """Tell whether gate 1 took out this path, something around it, or an item of it."""
        if path in self.left_out:
            return True
        while path:
            if path in self.faulty:
                return True
            path = parent(path)
        return False

    def _items(self, path: str) -> Iterator[str]:
        value = self.value(path)
        if not isinstance(value, tuple):
            return
        if value and isinstance(value[0], Recorded):
            yield from (f"{path}[{number}]" for number in range(len(value)))
            return
        gone = self.left_out.get(path, frozenset())
        total = len(value) + len(gone)
        yield from (f"{path}[{number}]" for number in range(total) if number not in gone)

    def _item(self, items: object, path: str, number: int) -> object:
        assert isinstance(items, tuple)  # noqa: S101 (a number after something that is no list is an error of ours)
        if not (items and isinstance(items[0], Recorded)):
            gone = self.left_out.get(path, frozenset())
            if number in gone:
                return None
            number -= sum(1 for one in gone if one < number)
        return items[number] if number < len(items) else None


def _says_something(group: Recorded) -> bool:
    """Tell whether any field of a group is recorded, however deep."""
    for name in group.recorded_names:
        value = getattr(group, name)
        if isinstance(value, Recorded):
            if _says_something(value):
                return True
        elif value is not None:
            return True
    return False
