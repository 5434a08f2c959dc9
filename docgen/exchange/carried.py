"""
A case, a kind and its facts > the fields its document carries, as plain texts, and nothing else.

Apart from writing them, so that case.json and the FHIR bundle can hold no field that the page may not hold.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any, TypeAlias

from docgen.answer import Answer
from docgen.case import Case, field_specs
from docgen.case.recorded import Recorded
from docgen.facts import Known, Result
from docgen.facts.letters import DATED
from docgen.kinds import DocumentKind, condition_holds
from docgen.values import dataclass

Tree: TypeAlias = "str | list[Tree] | dict[str, Tree]"

GO_WITH = {
    "imaging[].taken_on": ("",),
    "medical.inr.taken_at": ("",),
    "plan.antithrombotic_decisions[].on": ("",),
    "medical.checked_on": (".checked_on", ".checked_by", ".asa_class"),
}
"""Days of which a later one means that more was not there yet: the whole entry, or what was found on that day."""

PEOPLE, TEETH = "practitioners", "teeth"

NAMED_BY = {PEOPLE: "id", TEETH: "tooth"}
"""What an item of these lists is found by; it goes with the item whatever else of it is carried."""


@dataclass(frozen=True)
class Scope:
    """What one document may carry of its case."""

    patterns: tuple[str, ...]
    """Paths as kinds write them; `x.*` is a whole group. Settings never count."""
    teeth: frozenset[str] | None = None
    """Numbers, as written, of the teeth it is about; None: of all."""
    withheld: frozenset[str] = field(default=frozenset(), repr=False)
    """Concrete paths that were not there yet on the day of the document."""


def carries_exchange(kind: DocumentKind, copy: str, case: Case | None = None) -> bool:
    """
    Tell whether the PDF of this copy has its data inside.

    Never a patient's: data go where somebody works with them. A kind whose `kind.yaml` makes it depend on a field
    (a letter is to the patient or to the referrer) needs the case; without it, the answer is no.
    """
    rule = kind.exchange
    if rule is None or not rule.embedded or copy == "patient" or (kind.audience == "patient" and copy != "clinic"):
        return False
    if rule.when is None:
        return True
    return case is not None and condition_holds(rule.when, case, {}) is True


def scope_of(kind: DocumentKind, case: Case, stated: Mapping[str, Result], *, dated: bool = True) -> Scope:
    """Gather what a document of this kind carries: its required fields as far as they are asked, and its optional."""
    patterns = dict.fromkeys((kind.moment_for(dated=dated), *kind.optional))
    for requirement in kind.requires:
        if condition_holds(requirement.when, case, stated) is True:
            patterns |= dict.fromkeys(requirement.fields)
    withheld = _later(case, stated) if "later_entries" in kind.facts else frozenset[str]()
    return Scope(tuple(p for p in patterns if not p.startswith("settings.")), _teeth(case, stated), withheld)


def _teeth(case: Case, stated: Mapping[str, Result]) -> frozenset[str] | None:
    """Name the teeth in question as the record writes them."""
    asked, numbers = stated.get("teeth_in_question"), stated.get("tooth_fdi")
    if not isinstance(asked, Known) or not isinstance(numbers, Known):
        return None
    return frozenset(written for written, fdi in numbers.value.items() if fdi in asked.value)


def _later(case: Case, stated: Mapping[str, Result]) -> frozenset[str]:
    """Find the entries that lie after the day of the letter."""
    later = stated.get("later_entries")
    if not isinstance(later, Known) or not later.value:
        return frozenset()
    found = set()
    for pattern in DATED:
        for path in case.expand(pattern) if "[]" in pattern else (pattern,):
            if case.value(path) in later.value:
                group, _, name = path.rpartition(".")
                found |= {group + ending for ending in GO_WITH.get(pattern, (f".{name}",))}
    return frozenset(found)


def carried(case: Case, scope: Scope) -> dict[str, Tree]:
    """Give the fields of the scope as the record writes them: texts, lists and groups, answers as their words."""
    tree = _Carrying(scope).group(case.fields, "", "")
    own = {path: text(value) for path, value in case.own.items() if path in scope.patterns}
    for path, value in own.items():
        below: Any = tree
        *groups, name = path.split(".")
        for group in groups:
            below = below.setdefault(group, {})
        below[name] = value
    people = tree.get(PEOPLE)
    if isinstance(people, list):
        kept = _named(people, _ids(tree, ""))
        if kept:
            tree[PEOPLE] = kept
        else:
            del tree[PEOPLE]
    return tree


def text(value: object) -> str:
    """Write one answer as the record does."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Answer):
        return str(value.value)
    if isinstance(value, datetime):
        return value.strftime("%Y-%m-%dT%H:%M")
    if isinstance(value, time):
        return value.strftime("%H:%M")
    if isinstance(value, Decimal):
        return format(value, "f")
    return value.isoformat() if isinstance(value, date) else str(value)


class _Carrying:
    """One walk down the record."""

    def __init__(self, scope: Scope) -> None:
        self._exact = frozenset(scope.patterns)
        self._whole = tuple(p.removesuffix("*") for p in scope.patterns if p.endswith(".*"))
        self._teeth, self._withheld = scope.teeth, scope.withheld
        groups = {pattern[:place] for pattern in scope.patterns for place in _ends(pattern)}
        self._above = frozenset(groups) | {whole.removesuffix(".") for whole in self._whole}

    def group(self, group: Recorded, pattern: str, path: str) -> dict[str, Tree]:
        """Take what is carried of a group; empty if that is nothing."""
        found: dict[str, Tree] = {}
        for name, part in group.parts.items():
            here, there = (f"{one}.{name}" if one else name for one in (pattern, path))
            value = getattr(group, part.attribute)
            if value is not None and there not in self._withheld:
                kept = self._kept(value, here, there)
                if kept:
                    found[name] = kept
        return found

    def _kept(self, value: object, pattern: str, path: str) -> Tree:
        if isinstance(value, Recorded):
            return self.group(value, pattern, path)
        if isinstance(value, tuple) and value:
            return self._items(value, pattern, path)
        if self._is_carried(pattern) or (pattern in self._above and (value == () or isinstance(value, Answer))):
            return "none" if value == () else text(value)
        return ""

    def _items(self, values: tuple[Any, ...], pattern: str, path: str) -> Tree:
        if not isinstance(values[0], Recorded):
            is_carried = self._is_carried(pattern) or self._is_carried(f"{pattern}[]")
            return [text(value) for value in values] if is_carried else ""
        found: list[Tree] = []
        for number, item in enumerate(values):
            there = f"{path}[{number}]"
            if there in self._withheld or not self._is_in_question(item, pattern):
                continue
            if kept := self.group(item, f"{pattern}[]", there):
                name = NAMED_BY.get(pattern, "")
                named = {name: value} if name and (value := getattr(item, name)) else {}
                found.append({**named, **kept})
        return found

    def _is_in_question(self, item: Any, pattern: str) -> bool:
        return self._teeth is None or pattern != TEETH or item.tooth in self._teeth

    def _is_carried(self, pattern: str) -> bool:
        return pattern in self._exact or pattern.startswith(self._whole)


def _ends(pattern: str) -> Iterable[int]:
    """Find where the groups and lists above a pattern end."""
    return (place for place, sign in enumerate(pattern) if sign in ".[")


def _ids(tree: Tree, pattern: str) -> frozenset[str]:
    """Gather the ids that the carried fields point to, people's own entries left aside."""
    if isinstance(tree, dict):
        below = (_ids(value, f"{pattern}.{name}" if pattern else name) for name, value in tree.items())
        return frozenset().union(*below)
    if isinstance(tree, list):
        return frozenset().union(*(_ids(item, f"{pattern}[]") for item in tree))
    spec = field_specs().get(pattern)
    return frozenset({tree}) if spec and spec.type == "id" and not pattern.startswith(PEOPLE) else frozenset()


def _named(people: list[Tree], ids: frozenset[str]) -> list[Tree]:
    """Keep the people that something points to, and who supervises them."""
    rows = [person for person in people if isinstance(person, dict)]
    above = {person.get("supervisor") for person in rows if person.get("id") in ids} - {None}
    return [person for person in rows if person.get("id") in ids or person.get("id") in above]
