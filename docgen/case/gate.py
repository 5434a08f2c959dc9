"""
Gate 1, the shape: a plain tree > the model of what is not faulty, and a problem for each leaf taken out.

A list item that is a group loses its faulty leaf and stays; an item that is one value is taken out, and the others keep
the numbers they are written under.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import field
from typing import Any

from docgen.case.faults import about, nearest
from docgen.case.group import GroupReader, Model, Step
from docgen.case.tree import TAKEN_OUT, Grouping, Listing, Node, Scalar, TakenOut, join
from docgen.problem import Message, Place, Problem, Problems, say
from docgen.values import dataclass


@dataclass
class Gate:
    """One pass over a tree; keeps where everything stood and what was taken out."""

    problems: Problems
    places: dict[str, Place] = field(default_factory=dict)
    keys: dict[str, Place] = field(default_factory=dict)
    """Where the name of each field stands, its value left aside."""
    faulty: set[str] = field(default_factory=set)
    left_out: dict[str, set[int]] = field(default_factory=dict)
    """Path of a list > numbers of the items taken out of it."""

    def plain(self, node: Node, path: str = "", place: Place | None = None) -> Any:
        """Turn a tree into dicts, lists and scalars, and remember the places; a value stands where its text begins."""
        here = node.place if place is None or (isinstance(node, Scalar) and node.text) else place
        if path:
            self.places[path] = here
            self.keys[path] = place or here
        if isinstance(node, Grouping) and (node.entries or node.lost):
            return {
                key: self.plain(entry.node, join(path, key), entry.place)
                for key, entry in node.entries.items()
                if not isinstance(entry.node, TakenOut)
            }
        if isinstance(node, Listing) and node.items:
            dropped = {number for number, item in enumerate(node.items) if isinstance(item, TakenOut)}
            if dropped:
                self.left_out[path] = dropped
            return [self.plain(item, join(path, number)) for number, item in enumerate(node.items)]
        if isinstance(node, Grouping | Listing):
            return Scalar("", place=here)
        return node

    def build(
        self, model: type[Model], tree: dict[str, Any], notation: str | None, known: Callable[[], Iterable[str]]
    ) -> Model:
        """Read the model, take out what is faulty, and read again until nothing is; `known` names every field."""
        while True:
            reader = GroupReader(notation)
            built = reader.read(model, tree)
            if not reader.faults:
                return built
            for loc, fault in reader.faults:
                path = written(loc)
                if fault is None:
                    self.unknown(path, known())
                else:
                    self.report(fault.code, path, about(fault.what, path), about(fault.fix, path))
                self._take_out(tree, loc)

    def report(self, code: str, path: str, what: Message, fix: Message, place: Place | None = None) -> None:
        """Keep a problem about a path of this tree."""
        self.problems.add(Problem(code, path, what, fix, place or self.place(path)))
        self.faulty.add(path)

    def place(self, path: str) -> Place | None:
        """Find where a path stands, else its nearest recorded ancestor."""
        while path:
            if path in self.places:
                return self.places[path]
            path = parent(path)
        return None

    def unknown(self, path: str, known: Iterable[str]) -> None:
        """Report a name that no field has."""
        meant = meant_path(path, known)
        fix = say("take it out") if meant is None else say("did you mean %(meant)s?", meant=meant)
        self.report(
            "unknown-field", path, say("%(path)s is not a field of a record", path=path), fix, self.keys.get(path)
        )

    def _take_out(self, tree: Any, loc: tuple[Step, ...]) -> None:
        for step in loc[:-1]:
            tree = tree[step]
        last = loc[-1]
        if isinstance(tree, list) and isinstance(last, int):
            tree[last] = TAKEN_OUT
            self.left_out.setdefault(written(loc[:-1]), set()).add(last)
        else:
            del tree[last]


def written(loc: Iterable[Step]) -> str:
    """Write a path as authors do: `plan.procedures[0].tooth`."""
    path = ""
    for step in loc:
        path = join(path, step)
    return path


def parent(path: str) -> str:
    """Shorten a path by its last step."""
    return path[: max(path.rfind("."), path.rfind("["), 0)]


def pattern_of(path: str) -> str:
    """Take the item numbers out: `teeth[0].canal` gives `teeth[].canal`."""
    pieces = path.split("[")
    return pieces[0] + "".join(f"[{piece[piece.index(']') :]}" for piece in pieces[1:])


def meant_path(path: str, known: Iterable[str]) -> str | None:
    """Find the field that a wrong name most likely meant: a sibling first, then the same name elsewhere."""
    above, name = parent(path), path[len(parent(path)) :].lstrip(".")
    pattern = pattern_of(above)
    siblings: dict[str, str] = {}
    elsewhere: dict[str, str] = {}
    for one in known:
        if one.endswith("]"):
            continue
        if parent(one) == pattern:
            siblings[one[len(pattern) :].lstrip(".")] = one
        elsewhere.setdefault(one.rpartition(".")[2], one)
    guess = nearest(name, siblings)
    if guess is not None:
        return join(above, guess)
    return elsewhere.get(name)
