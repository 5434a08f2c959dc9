"""
Markdown of the shapes that templates have > its nodes, as the library would give them; None for any other.

Apart from `markup`, which makes blocks of nodes whoever read them: the library knows every corner of Markdown, and
importing it takes a tenth of the time of a command. What is in doubt here is left to it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any
from unicodedata import category

_UNKNOWN = frozenset("\0\r\t_\\`")
"""What may mean something else than itself, so that the library is asked."""

_HEADING = re.compile("(#{1,6}) ([^ ].*)")
_BULLET = "- "
_NUMBER = re.compile(r"[0-9]{1,9}[.)](?: |$)")
_OPENING = frozenset("(\"'“‘«¿¡")
"""Marks with which a line of text may begin."""

_ROW = re.compile(r"\|.*\|")
_ALIGNED = re.compile(":?-+:?")
_SIDES = {(True, True): "center", (False, True): "right", (True, False): "left"}

_AFTER = frozenset(("", " ", "\n", *".,;:!?)"))
"""What may follow bold words that end in a mark."""


class Node:
    """A part of a text, with the names the library's nodes have."""

    __slots__ = ("attrs", "children", "content", "map", "tag", "type")

    def __init__(
        self, kind: str, children: Sequence[Node] = (), *, content: str = "", tag: str = "", line: int = 0
    ) -> None:
        self.type, self.children, self.content, self.tag = kind, children, content, tag
        self.map, self.attrs = (line, line + 1), dict[str, Any]()


class _Doubt(Exception):
    """A shape that is left to the library."""


def plain_nodes(text: str) -> list[Node] | None:
    """Read a text; None if any of it has a shape that is not known here."""
    if not _UNKNOWN.isdisjoint(text):
        return None
    nodes: list[Node] = []
    lines = text.split("\n")
    start = 0
    try:
        while start < len(lines):
            stop = start
            while stop < len(lines) and lines[stop].strip(" "):
                stop += 1
            if stop > start:
                _add(nodes, lines[start:stop], start)
            start = stop + 1
    except _Doubt:
        return None
    return nodes


def _add(nodes: list[Node], lines: list[str], start: int) -> None:
    """Read what stands between two empty lines; items that follow a list belong to it."""
    first = lines[0]
    if first.startswith("#"):
        nodes.append(_heading(lines, start))
    elif first.startswith(_BULLET):
        items = [_item(line) for line in lines]
        if nodes and nodes[-1].type == "bullet_list":
            items = [*nodes.pop().children, *items]
        nodes.append(Node("bullet_list", items, line=start))
    elif first.startswith("|"):
        nodes.append(_table(lines, start))
    else:
        nodes.append(_paragraph(lines, start))


def _heading(lines: list[str], start: int) -> Node:
    found = _HEADING.fullmatch(lines[0])
    if found is None or len(lines) > 1 or found[2].rstrip().endswith("#"):
        raise _Doubt
    return Node("heading", [_inline(_trimmed(found[2]))], tag=f"h{len(found[1])}", line=start)


def _item(line: str) -> Node:
    if not line.startswith(_BULLET):
        raise _Doubt
    return Node("list_item", [_paragraph([line[len(_BULLET) :]], 0)])


def _paragraph(lines: list[str], start: int) -> Node:
    if not all(_is_text(line.lstrip(" ") if number else line) for number, line in enumerate(lines)):
        raise _Doubt
    content = _trimmed("\n".join(lines))
    return Node("paragraph", [_inline(content)], line=start)


def _is_text(line: str) -> bool:
    """Tell whether a line can be nothing but text."""
    first = line[:1]
    if first.isdigit():
        return not _NUMBER.match(line)
    return _is_letter(first) or first in _OPENING or line.startswith("**")


def _table(lines: list[str], start: int) -> Node:
    if len(lines) < 2:
        raise _Doubt
    head, sides, *rows = (_cells(line) for line in lines)
    if not all(_ALIGNED.fullmatch(side) for side in sides) or any(len(row) != len(sides) for row in (head, *rows)):
        raise _Doubt
    aligned = [_SIDES.get((side[0] == ":", side[-1] == ":"), "") for side in sides]
    parts = [Node("thead", [_row("th", head, aligned)])]
    if rows:
        parts.append(Node("tbody", [_row("td", row, aligned) for row in rows]))
    return Node("table", parts, line=start)


def _cells(line: str) -> list[str]:
    if not _ROW.fullmatch(line):
        raise _Doubt
    return [_trimmed(cell) for cell in line[1:-1].split("|")]


def _row(kind: str, cells: list[str], aligned: list[str]) -> Node:
    made = [Node(kind, [_inline(cell)]) for cell in cells]
    for cell, side in zip(made, aligned, strict=True):
        cell.attrs = {"style": f"text-align:{side}"} if side else {}
    return Node("tr", made)


def _trimmed(text: str) -> str:
    """Take spaces from both ends, where no other white space is."""
    trimmed = text.strip(" ")
    if trimmed != text.strip():
        raise _Doubt
    return trimmed


def _inline(text: str) -> Node:
    """Read words: bold between two pairs of asterisks, a line end, and text."""
    if "***" in text:
        raise _Doubt
    parts = text.split("**")
    nodes: list[Node] = []
    for place, part in enumerate(parts):
        if "*" in part:
            raise _Doubt
        if place % 2 == 0:
            nodes += _lines(part)
        elif place + 1 < len(parts) and part and _is_bold(part, parts[place + 1][:1]):
            nodes.append(Node("strong", _lines(part)))
        else:
            raise _Doubt
    return Node("inline", nodes, content=text)


def _is_bold(part: str, after: str) -> bool:
    """Tell whether asterisks around words open and close, whatever stands before them."""
    last = part[-1]
    return _is_letter(part[0]) and (_is_letter(last) or (not last.isspace() and after in _AFTER))


def _is_letter(character: str) -> bool:
    """Tell whether a character is a letter, a digit or a token."""
    return character.isalnum() or (bool(character) and category(character) == "Co")


def _lines(text: str) -> list[Node]:
    if " \n" in text:
        raise _Doubt
    first, *others = text.split("\n")
    nodes = [Node("text", content=first)] if first else []
    for line in others:
        nodes.append(Node("softbreak"))
        if seen := line.lstrip(" "):
            nodes.append(Node("text", content=seen))
    return nodes
