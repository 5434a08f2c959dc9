"""
A file of `tests/problems/` > the files of a case, with each line traceable, and the messages it says it brings about.

A file holds only what it changes of its base: groups are merged key by key, lists item by item, all else is replaced.
Its head says `# kinds:`, `# on:` and, where they differ from the rule, `# base: none`, `# language:`,
`# clinic: apart`, `# made: yes` (the documents are made, not only checked), `# without: PATH` (left out of the base).
Below the faulty line stand `#! CODE (PATH)`, with `note` behind it if it refuses nothing, what is wrong and the fix.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from conftest import EXAMPLES

from docgen.case import Source
from docgen.examine import CaseFiles

FOLDER = Path(__file__).parent / "problems"

_HEAD = re.compile(r"# (\w+): (.+)")
_SAID = re.compile(r" *#! ([a-z-]+) \((.*)\)( note)?")
_ENTRY = re.compile(r"( *)(- |[\w.]+:)")
_STEP = re.compile(r"\[(\d+)\]|([^.\[\]]+)")


@dataclass(frozen=True)
class Line:
    """A line of the merged case, and its number in the file of the problem; None: it stands in the base."""

    text: str
    number: int | None


@dataclass(frozen=True)
class Message:
    """What a problem has to say, in full."""

    code: str
    path: str
    what: str
    fix: str
    is_note: bool
    line: int | None
    """None: the message points into the base, for what it speaks of is not there."""


@dataclass(frozen=True)
class ProblemFile:
    """One faulty case and what it must lead to."""

    name: str
    head: tuple[tuple[str, str], ...]
    lines: tuple[Line, ...]
    messages: tuple[Message, ...]

    @property
    def kinds(self) -> tuple[str, ...]:
        """Kinds that are asked for; none: those whose moment has come."""
        return tuple(self.said("kinds").split())

    @property
    def on(self) -> date:
        """Give the day of issue."""
        return date.fromisoformat(self.said("on"))

    def said(self, key: str) -> str:
        """Give a word of the head; empty if it is not there."""
        return dict(self.head).get(key, "")

    @property
    def files(self) -> CaseFiles:
        """Give the files of the case; the clinic's stands in the same one, unless the head says apart."""
        clinic = _clinic() if self.said("clinic") == "apart" else None
        text = "".join(f"{line.text}\n" for line in self.lines)
        return CaseFiles(Source("case.yaml", text.encode()), clinic, None, EXAMPLES / "fenwright")


def problem_files() -> Iterator[Path]:
    """Name the files, by name."""
    yield from sorted(FOLDER.glob("*.yaml"))


def read_problem(path: Path) -> ProblemFile:
    """Read one file and merge it over its base."""
    written = [Line(text, number) for number, text in enumerate(path.read_text("utf-8").splitlines(), 1)]
    head = tuple((match[1], match[2]) for line in written if (match := _HEAD.fullmatch(line.text)))
    own = [line for line in written if not line.text.lstrip().startswith("#")]
    base = [] if ("base", "none") in head else _base(clinic_apart=("clinic", "apart") in head)
    for key, left_out in head:
        if key == "without":
            base = _without(base, _steps(left_out))
    return ProblemFile(path.stem, head, tuple(_merged(base, own)), tuple(_messages(written)))


def _steps(path: str) -> list[str]:
    if path.startswith("settings."):
        return ["settings", path.removeprefix("settings.")]
    return [number or name for number, name in _STEP.findall(path)]


def _base(*, clinic_apart: bool) -> list[Line]:
    names = ("case.yaml",) if clinic_apart else ("clinic.yaml", "case.yaml")
    texts = [(EXAMPLES / "fenwright" / name).read_text("utf-8") for name in names]
    return [Line(t, None) for text in texts for t in text.splitlines() if t.strip() and not t.startswith("#")]


def _clinic() -> Source:
    return Source("clinic.yaml", (EXAMPLES / "fenwright" / "clinic.yaml").read_bytes())


def _messages(written: list[Line]) -> Iterator[Message]:
    place: int | None = None
    for index, line in enumerate(written):
        match = _SAID.fullmatch(line.text)
        if match is None:
            if not line.text.lstrip().startswith("#"):
                place = line.number
            elif line.text.startswith("# without:"):
                place = None
            continue
        what, fix = (row.text.lstrip().removeprefix("#!").strip() for row in written[index + 1 : index + 3])
        yield Message(match[1], match[2], what, fix.removeprefix("fix: "), bool(match[3]), place)


def _merged(base: list[Line], own: list[Line]) -> list[Line]:
    """Merge two blocks of the same indent: a key of both is merged in turn, a key of one is kept."""
    theirs, mine = _entries(base), _entries(own)
    if not theirs or not mine or _is_list(theirs) != _is_list(mine):
        return own or base
    out: list[Line] = []
    for key, block in theirs:
        same = [lines for other, lines in mine if other == key]
        out += block if not same else [line for lines in same for line in _one(block, lines)]
    known = {key for key, _ in theirs}
    return out + [line for key, lines in mine if key not in known for line in lines]


def _one(base: list[Line], own: list[Line]) -> list[Line]:
    """Merge one entry: an item of a list as the group it is, a group with its own line; anything else is replaced."""
    mark = re.fullmatch(r"( *)- (?=\w+:).*", own[0].text)
    if mark and re.match(r" *- \w+:", base[0].text):
        merged = _merged(_opened(base), _opened(own))
        width = len(mark[1])
        return [Line(f"{mark[1]}- {merged[0].text[width + 2 :]}", merged[0].number), *merged[1:]]
    is_group = all(lines[0].text.rstrip().endswith(":") and len(lines) > 1 for lines in (base, own))
    return [own[0], *_merged(base[1:], own[1:])] if is_group else own


def _opened(item: list[Line]) -> list[Line]:
    """Turn the dash of an item into a space, so that its keys stand in one column."""
    return [Line(item[0].text.replace("- ", "  ", 1), item[0].number), *item[1:]]


def _without(base: list[Line], steps: list[str]) -> list[Line]:
    """Take a path out of a block; the path must be there, in lines of its own."""
    first, *rest = steps
    out: list[Line] = []
    found = False
    for key, block in _entries(base):
        if key != first:
            out += block
            continue
        found = True
        if rest and block[0].text.lstrip().startswith("- "):
            opened = _without(_opened(block), rest)
            out += [Line(re.sub(r"^( *)  (?=\S)", r"\1- ", opened[0].text), opened[0].number), *opened[1:]]
        elif rest:
            out += [block[0], *_without(block[1:], rest)]
    assert found, steps
    return out


def _entries(lines: list[Line]) -> list[tuple[str, list[Line]]]:
    """Part a block into its entries, each with the lines below it; items of a list are counted from 0."""
    indent = len(lines[0].text) - len(lines[0].text.lstrip()) if lines else 0
    found: list[tuple[str, list[Line]]] = []
    for line in lines:
        match = _ENTRY.match(line.text)
        if match and len(match[1]) == indent:
            items = sum(1 for key, _ in found if key.isdecimal())
            found.append((str(items) if match[2] == "- " else match[2][:-1], []))
        if found:
            found[-1][1].append(line)
    return found


def _is_list(entries: list[tuple[str, list[Line]]]) -> bool:
    return entries[0][0].isdecimal()
