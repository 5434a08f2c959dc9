"""The fields of a case as plain texts > the YAML of a record, which reads back as the same fields."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from docgen.answer import Answer
from docgen.case import field_specs
from docgen.exchange.carried import Tree

PROSE = frozenset({"line", "text"})
_WORDS = frozenset(answer.value for answer in Answer)
_SHORT = {"\n": r"\n", "\t": r"\t", '"': r"\"", "\\": r"\\"}


def record_lines(
    tree: Mapping[str, Tree], asked: Mapping[str, str], said: Mapping[str, str], prefix: str = "", depth: int = 0
) -> Iterator[str]:
    """
    Give the lines of a record.

    `asked`: fields that stand empty, with why; `said`: comments above a group. Both by path pattern.
    """
    pad = "  " * depth
    for name in _in_order(tree, asked, prefix):
        pattern = f"{prefix}.{name}" if prefix else name
        value = tree.get(name)
        if pattern in said:
            yield f"{pad}# {said[pattern]}"
        if pattern in asked:
            yield f"{pad}{name}:  # {asked[pattern]}"
        elif isinstance(value, dict) or value is None:
            yield f"{pad}{name}:"
            yield from record_lines(value or {}, asked, said, pattern, depth + 1)
        elif isinstance(value, list):
            yield f"{pad}{name}:"
            yield from _items(value, pattern, depth + 1)
        else:
            yield f"{pad}{name}: {_scalar(value, pattern)}"


def _in_order(tree: Mapping[str, Tree], asked: Mapping[str, str], prefix: str) -> list[str]:
    """Name the fields of a group that are given or asked for, in the order of the record."""
    start = f"{prefix}." if prefix else ""
    below = {path.removeprefix(start).split(".")[0] for path in asked if path.startswith(start)}
    known = [path.removeprefix(start) for path in field_specs() if path.startswith(start)]
    return [name for name in known if "." not in name and "[" not in name and (name in tree or name in below)]


def _items(values: list[Tree], pattern: str, depth: int) -> Iterator[str]:
    pad = "  " * depth
    for value in values:
        if isinstance(value, dict):
            first, *others = record_lines(value, {}, {}, f"{pattern}[]", depth + 1)
            yield f"{pad}- {first.lstrip()}"
            yield from others
        elif isinstance(value, str):
            yield f"{pad}- {_scalar(value, f'{pattern}[]')}"


def _scalar(text: str, pattern: str) -> str:
    """Write one value: words and figures of a fixed form bare, what somebody typed in quotes."""
    spec = field_specs().get(pattern)
    if text in _WORDS or (spec is not None and spec.type not in PROSE and not spec.type.endswith("list")):
        return text
    return '"' + "".join(map(_character, text)) + '"'


def _character(sign: str) -> str:
    if sign in _SHORT:
        return _SHORT[sign]
    if sign.isprintable():
        return sign
    return f"\\u{ord(sign):04x}" if ord(sign) < 0x10000 else f"\\U{ord(sign):08x}"
