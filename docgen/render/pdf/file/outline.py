"""Bookmarks in reading order and the names of pages > the outline tree and the page labels. Apart from `file`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from docgen.render.pdf.file.objects import Objects, string
from docgen.render.pdf.numbers import number


class Bookmark(NamedTuple):
    """A line of the outline."""

    title: str
    level: int
    """1 is the top; a level below that is left out stands one below the line above."""
    page: str
    top: float
    """Height on the page, in points from its lower edge."""


class _Entry(NamedTuple):
    """A bookmark in its tree."""

    reference: str
    below: list[_Entry]
    bookmark: Bookmark


def write_outline(bookmarks: Sequence[Bookmark], objects: Objects) -> str:
    """Write the outline, closed below its first level where there are several tops; gives its reference."""
    root = _Entry(objects.reserve(), [], Bookmark("", 0, "", 0))
    path = [root]
    for bookmark in bookmarks:
        while len(path) > 1 and path[-1].bookmark.level >= bookmark.level:
            path.pop()
        entry = _Entry(objects.reserve(), [], bookmark)
        path[-1].below.append(entry)
        path.append(entry)
    opened = len(root.below) == 1
    shown = len(root.below) + (len(root.below[0].below) if opened else 0)
    ends = f"/First {root.below[0].reference}/Last {root.below[-1].reference}/Count {shown}" if root.below else ""
    objects.fill(root.reference, f"<</Type/Outlines{ends}>>".encode())
    _write_below(root, objects, opened)
    return root.reference


def _write_below(parent: _Entry, objects: Objects, opened: bool) -> None:
    for place, entry in enumerate(parent.below):
        links = f"/Parent {parent.reference}"
        links += f"/Prev {parent.below[place - 1].reference}" if place else ""
        links += f"/Next {parent.below[place + 1].reference}" if place + 1 < len(parent.below) else ""
        if entry.below:
            count = len(entry.below) if opened else -len(entry.below)
            links += f"/First {entry.below[0].reference}/Last {entry.below[-1].reference}/Count {count}"
        target = f"/Dest[{entry.bookmark.page}/XYZ null {number(entry.bookmark.top)} null]"
        objects.fill(entry.reference, f"<</Title{string(entry.bookmark.title)}{links}{target}>>".encode())
        _write_below(entry, objects, False)


def page_labels(labels: Sequence[str | None]) -> str:
    """Write the names of pages as runs that count up; nothing if no page has a name of its own."""
    runs: list[str] = []
    expected = ""
    for place, label in enumerate(labels):
        said = str(place + 1) if label is None else label
        prefix, digits = _parted(said)
        if said != expected or not digits:
            counted = f"/S/D/St {digits}" if digits else ""
            runs.append(f"{place}<<{f'/P{string(prefix)}' if prefix else ''}{counted}>>")
        expected = f"{prefix}{int(digits) + 1}" if digits else ""
    return f"<</Nums[{' '.join(runs)}]>>" if any(label is not None for label in labels) else ""


def _parted(label: str) -> tuple[str, str]:
    """Part a label into what stays and the number that counts; one with a leading zero does not count."""
    found = re.fullmatch(r"(.*?)([1-9][0-9]*)", label, re.DOTALL)
    whole = found is not None and not re.search(r"[0-9]$", found[1])
    return (found[1], found[2]) if found and whole else (label, "")
