"""Documents of the register > lines, tables, JSON and CSV; apart from the command, which only chooses among them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from docgen.blocks import printed_number
from docgen.issue.entry import Entry, KeptFile, Life

HEAD = ("number", "kind", "state", "language", "copy", "issued on", "by")
COLUMNS = (*HEAD, "check code", "on hold", "erased", "files")
FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""First characters by which a spreadsheet takes a cell for a formula."""


def row(life: Life) -> tuple[str, ...]:
    """Give the line of one document."""
    paper = life.paper
    said = (paper.language, paper.copy or "-", paper.issued_on) if paper else ("", "", "")
    by = life.entries[0].by if life.entries else ""
    return (printed_number(life.number), paper.kind if paper else "", life.state.value, *said, by)


def newest_first(life: Life) -> list[KeptFile]:
    """Give the files of a document: those that are shown before those that a countersigned one stands for."""
    return sorted(life.files, key=lambda file: file not in life.current)


def table(rows: Sequence[Sequence[str]]) -> str:
    """Set rows in columns."""
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    return "\n".join("  ".join(f"{c:<{w}}" for c, w in zip(line, widths, strict=True)).rstrip() for line in rows)


def as_csv(lives: Iterable[Life]) -> str:
    """Give the list as CSV (RFC 4180); no cell is a formula to a spreadsheet."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for life in lives:
        digests = " ".join(f"{file.name}:{file.digest}" for file in newest_first(life))
        flags = ["yes" if flag else "no" for flag in (life.on_hold, life.erased)]
        writer.writerow([_as_text(cell) for cell in (*row(life), life.code, *flags, digests)])
    return out.getvalue()


def _as_text(cell: str) -> str:
    return f"'{cell}" if cell.startswith(FORMULA) else cell


def life_json(life: Life, words: Mapping[int, str] | None = None) -> dict[str, Any]:
    """Give one document with its history as plain values; `words`: entry > the words of its reason, if wanted."""
    paper = life.paper
    return {
        "number": life.number,
        "state": life.state.value,
        "code": life.code,
        "on_hold": life.on_hold,
        "erased": life.erased,
        "paper": {} if paper is None else {name: _plain(value) for name, value in vars(paper).items()},
        "files": [
            {"name": file.name, "digest": file.digest, "size": file.size, "current": file in life.current}
            for file in newest_first(life)
        ],
        "entries": [_entry_json(entry) | _said(entry, words) for entry in life.entries],
    }


def _plain(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


def _said(entry: Entry, words: Mapping[int, str] | None) -> dict[str, str]:
    return {} if words is None else {"words": words.get(entry.seq, "")}


def _entry_json(entry: Entry) -> dict[str, Any]:
    return {
        "seq": entry.seq,
        "at": entry.at.isoformat(),
        "action": entry.action.value,
        "by": entry.by,
        "reason": entry.reason,
        "successor": entry.successor,
        "note": dict(entry.note),
        "digest": entry.digest,
    }


def printed_life(life: Life, words: Mapping[int, str] | None = None) -> str:
    """Print one document with its history, and the words of its reasons if they are given."""
    paper, lines = life.paper, [f"{printed_number(life.number)}  {life.state.value}"]
    if paper is not None:
        lines.append(f"    {'kind':<14}{paper.kind}, version {paper.version}, {paper.copy or 'one copy'}")
        lines.append(f"    {'language':<14}{paper.language}")
        lines.append(f"    {'issued on':<14}{paper.issued_on}")
    if life.code:
        lines.append(f"    {'check code':<14}{life.code[:4]} {life.code[4:]}")
    if life.on_hold:
        lines.append(f"    {'on hold':<14}it must not be erased")
    lines += [
        f"    {'file' if file in life.current else 'earlier':<14}{file.name}, {file.size} bytes, SHA-256 {file.digest}"
        for file in newest_first(life)
    ]
    if life.erased:
        lines.append(f"    {'erased':<14}the content is gone; number and digests stand")
    for entry in life.entries:
        lines.append(_printed_entry(entry))
        said = (words or {}).get(entry.seq, "")
        lines += [f"    {'':<14}{line}" for line in said.splitlines()]
    return "\n".join(lines)


def _printed_entry(entry: Entry) -> str:
    said = [f"{entry.at:%Y-%m-%d %H:%M} UTC", entry.by]
    if entry.successor:
        said.append(f"by {printed_number(entry.successor)}")
    if entry.reason:
        said.append(entry.reason.replace("_", " "))
    return f"    {entry.action.value:<14}{', '.join(said)} (entry {entry.seq})"
