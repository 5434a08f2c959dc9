"""approvals.yaml > who signed for what; appended by the program, never rewritten."""

import json
import os
from io import FileIO
from pathlib import Path
from typing import Annotated

from docgen.case.case import Approval
from docgen.case.characters import bad_character
from docgen.case.field_types import Day, Line, a_group, a_list
from docgen.case.gate import Gate
from docgen.case.read_file import read_file
from docgen.case.recorded import Recorded, recorded
from docgen.case.tree import Entry, Grouping, Source
from docgen.problem import OutputError, Place, Problems, say


class _Entry(Recorded):
    what: Line = recorded("What was read", "C", "kind consent 3")
    digest: Line = recorded("Digest of the text that was read", "C", "9f86d081884c7d65")
    by: Line = recorded("Who read it", "C", "Maren Holt")
    qualification: Line = recorded("Why this person may approve it", "C", "oral surgeon")
    on: Day = recorded("Day", "C", "2026-01-05")


class _Entries(Recorded):
    approvals: Annotated[tuple[Annotated[_Entry, a_group()], ...] | None, a_list()] = recorded("Approvals", "C", "")


def _known() -> tuple[str, ...]:
    return ("approvals", *(f"approvals[].{name}" for name in _Entry.parts))


_APPEND = os.O_RDWR | os.O_CREAT | os.O_APPEND | getattr(os, "O_BINARY", 0)


def read_approvals(source: Source, problems: Problems) -> tuple[Approval, ...]:
    """Read the list; an entry that lacks anything approves nothing and is reported. An empty file is an empty list."""
    read = read_file(source, problems)
    if read.root is None:
        return ()
    gate = Gate(problems)
    gate.faulty |= read.faulty
    top = Place(source.name, 1, 1)
    tree = gate.plain(Grouping(top, {"approvals": Entry(top, read.root)}))
    entries = gate.build(_Entries, tree, None, _known).approvals or ()
    return tuple(
        approval for number, entry in enumerate(entries) if (approval := _complete(entry, f"approvals[{number}]", gate))
    )


def _complete(entry: _Entry, path: str, gate: Gate) -> Approval | None:
    missing = [name for name in _Entry.parts if getattr(entry, name) is None]
    for name in missing:
        where = f"{path}.{name}"
        if where not in gate.faulty and path not in gate.faulty:
            mend = say("add %(name)s to this approval", name=name)
            gate.report("missing-field", where, say("%(path)s is missing", path=where), mend)
    if missing or entry.on is None:
        return None
    return Approval(entry.what or "", entry.digest or "", entry.by or "", entry.qualification or "", entry.on)


def append_approval(path: Path, approval: Approval) -> None:
    """
    Add one approval at the end of the file, in one write; what is there stays as it is, to the byte.

    Errors: Refused if the file or the approval cannot be read back; OutputError if the disk refuses.
    """
    added = _as_yaml(approval).encode()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        number = os.open(path, _APPEND, 0o600)
    except OSError as error:
        raise OutputError(str(path)) from error
    with FileIO(number, "r+") as file:
        before = file.read()
        if before and not before.endswith(b"\n"):
            added = b"\n" + added
        _check(path, before, added)
        _write(file, number, added, path)


def _write(file: FileIO, number: int, added: bytes, path: Path) -> None:
    start = file.seek(0, os.SEEK_END)
    written = 0
    try:
        written = os.write(number, added)
        if written != len(added):
            raise OSError(path)
        os.fsync(number)
    except OSError as error:
        if written and file.seek(0, os.SEEK_END) == start + written:  # nobody else has added in the meantime
            os.ftruncate(number, start)
        raise OutputError(str(path)) from error


def _check(path: Path, before: bytes, added: bytes) -> None:
    """Make sure that the longer file reads as the old list and one more."""
    problems = Problems()
    old = read_approvals(Source(path.name, before), problems)
    problems.refuse()
    new = read_approvals(Source(path.name, before + added), problems)
    problems.refuse()
    if len(new) != len(old) + 1:
        raise AssertionError(path.name)


def _as_yaml(approval: Approval) -> str:
    values = {
        "what": approval.what,
        "digest": approval.digest,
        "by": approval.by,
        "qualification": approval.qualification,
        "on": approval.on.isoformat(),
    }
    lines: list[str] = []
    for name, value in values.items():
        if bad_character(value, many_lines=False):
            raise ValueError(name)
        lines.append(f"{'- ' if not lines else '  '}{name}: {json.dumps(value, ensure_ascii=False)}\n")
    return "".join(lines)
