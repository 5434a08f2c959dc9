"""
A file's bytes > a tree of text leaves with their places.

Apart from the two syntaxes, which only call the builder, and from the models, which only see texts.
"""

from __future__ import annotations

import re
from dataclasses import field
from typing import NoReturn, TypeAlias

from docgen.problem import Message, Place, Problem, Problems, say
from docgen.values import dataclass

NOWHERE = Place("", 1, 1)
MAX_BYTES = 1 << 20
MAX_NODES = 20_000
MAX_DEPTH = 20

_PLAIN_KEY = re.compile(r"[A-Za-z0-9_.<>-]{1,64}")


@dataclass(frozen=True)
class Source:
    """A file, or standard input, as it came."""

    name: str
    """As messages show it."""
    text: bytes
    is_json: bool = False


@dataclass(frozen=True)
class Scalar:
    """A leaf: text, whatever it looks like."""

    text: str
    quoted: bool = False
    """True for quoted and block text, and for JSON strings: a quoted null is text."""
    place: Place = NOWHERE


@dataclass(frozen=True)
class Entry:
    """One key of a group with its value."""

    place: Place
    """Where the key stands."""
    node: Node


@dataclass
class Grouping:
    """A mapping, in the order of the file."""

    place: Place
    entries: dict[str, Entry] = field(default_factory=dict)
    lost: bool = False
    """True if something was thrown away: a group that looks empty then is not."""


@dataclass
class Listing:
    """A sequence."""

    place: Place
    items: list[Node] = field(default_factory=list)


@dataclass(frozen=True)
class TakenOut:
    """Stands where a faulty item stood, so that the other items keep their numbers."""

    place: Place = NOWHERE


TAKEN_OUT = TakenOut()

Node: TypeAlias = Scalar | Grouping | Listing | TakenOut


def shown(key: str) -> str:
    """Give a key as messages may print it; anything that does not look like a key becomes a question mark."""
    return key if _PLAIN_KEY.fullmatch(key) else "?"


def join(path: str, step: str | int) -> str:
    """Lengthen a path by a key or an item number."""
    if isinstance(step, int):
        return f"{path}[{step}]"
    return f"{path}.{shown(step)}" if path else shown(step)


class UnreadableError(Exception):
    """The file cannot be read any further; its problem has been reported."""


@dataclass
class _Frame:
    node: Grouping | Listing
    path: str
    key: str | None = None
    key_place: Place | None = None
    drops: bool = False
    """The value that comes next is thrown away."""
    is_key: bool = False
    """The whole node stands where a key should."""


class TreeBuilder:
    """Builds the tree from the calls of a syntax; reports what no record may hold."""

    def __init__(self, problems: Problems) -> None:
        self.problems = problems
        self.root: Node | None = None
        self.faulty: set[str] = set()
        self._stack: list[_Frame] = []
        self._count = 0

    def report(self, code: str, what: Message, fix: Message, place: Place, path: str | None = None) -> None:
        """Keep a problem at the path that is being read."""
        where = self.path if path is None else path
        self.problems.add(Problem(code, where, what, fix, place))
        if where:
            self.faulty.add(where)

    @property
    def path(self) -> str:
        """Path of the value that comes next."""
        if not self._stack:
            return ""
        top = self._stack[-1]
        if isinstance(top.node, Listing):
            return join(top.path, len(top.node.items))
        return top.path if top.key is None else join(top.path, top.key)

    @property
    def wants_key(self) -> bool:
        """True if the next text is a key."""
        return bool(self._stack) and isinstance(self._stack[-1].node, Grouping) and self._stack[-1].key is None

    def open(self, node: Grouping | Listing) -> None:
        """Start a group or a list."""
        self._count_one(node.place)
        if len(self._stack) >= MAX_DEPTH:
            self.refuse_depth(node.place)
        is_key = self.wants_key
        if is_key:
            self.report(
                "yaml-not-plain",
                say("a list or group stands where the name of a field should"),
                say("write the name of a field, a colon and its value"),
                node.place,
                "",
            )
        self._stack.append(_Frame(node, self.path, is_key=is_key))

    def refuse_depth(self, place: Place) -> NoReturn:
        """Give up a file that is nested too deep."""
        self.report(
            "too-deep",
            say("the file is nested more than %(limit)s levels deep", limit=MAX_DEPTH),
            say("write the record as the schema shows it"),
            place,
            "",
        )
        raise UnreadableError

    def close(self) -> None:
        """End the innermost group or list."""
        frame = self._stack.pop()
        if frame.is_key:
            self._take_key("?", frame.node.place, drops=True)
        else:
            self._put(frame.node)

    def scalar(self, leaf: Scalar) -> None:
        """Take a key or a value."""
        self._count_one(leaf.place)
        if self.wants_key:
            self._take_key(leaf.text, leaf.place, drops=False)
        else:
            self._put(leaf)

    def skip(self, place: Place) -> None:
        """Take out the value that would stand here; it has been reported."""
        self._count_one(place)
        if self.wants_key:
            self._take_key("?", place, drops=True)
            return
        if self._stack and isinstance(self._stack[-1].node, Grouping):
            self._stack[-1].drops = True
        self._put(TakenOut(place))

    def _take_key(self, key: str, place: Place, *, drops: bool) -> None:
        top = self._stack[-1]
        top.key, top.key_place, top.drops = key, place, drops
        if isinstance(top.node, Grouping):
            top.node.lost = top.node.lost or drops
        if isinstance(top.node, Grouping) and key in top.node.entries and not drops:
            self.report(
                "duplicate-key",
                say("%(path)s is written twice in the same group", path=self.path),
                say("keep one of the two; the first stands at %(first)s", first=top.node.entries[key].place),
                place,
            )

    def _put(self, node: Node) -> None:
        if not self._stack:
            self.root = node
            return
        top = self._stack[-1]
        if isinstance(top.node, Listing):
            top.node.items.append(node)
            return
        if top.key is not None and top.key_place is not None and not top.drops:
            if top.key in top.node.entries:
                node = TakenOut(node.place)  # neither of the two is believed
            top.node.entries[top.key] = Entry(top.key_place, node)
        elif top.key is not None and top.key_place is not None and isinstance(node, TakenOut):
            top.node.entries.setdefault(top.key, Entry(top.key_place, node))
        top.key, top.drops = None, False

    def _count_one(self, place: Place) -> None:
        self._count += 1
        if self._count > MAX_NODES:
            self.report(
                "too-large",
                say("the file has more than %(limit)s keys and values", limit=MAX_NODES),
                say("give one record per file"),
                place,
                "",
            )
            raise UnreadableError
