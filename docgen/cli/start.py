"""
`docgen start`: kinds > a commented blank record: required keys present and empty, the others commented out.

Or the PDF of a referral from another docgen clinic > a case begun with its data.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Mapping
from dataclasses import field
from pathlib import Path

from docgen.case import FieldSpec, field_specs
from docgen.cli.files import write_files
from docgen.cli.inputs import add_folders, exit_code, print_problems, say_error, translator, world_of
from docgen.examine import World
from docgen.exchange.pdf_reader import MOST_BYTES
from docgen.exchange.referral import read_referral
from docgen.kinds import DocumentKind, kind_names, read_kind
from docgen.kinds.mend import form_of
from docgen.problem import OutputError, Problem, Problems, Refused, say
from docgen.values import dataclass

CLINIC_GROUPS = ("clinic", "practitioners", "letterhead", "settings")
"""Groups that stand in clinic.yaml, not in a case."""


@dataclass
class Node:
    """One key of the record that is being written."""

    spec: FieldSpec | None = None
    required: bool = False
    because: str = ""
    below: dict[str, Node] = field(default_factory=dict)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    parser.add_argument("--kind", action="append", default=[], help="a kind the record is for (default: all)")
    parser.add_argument(
        "--for", dest="subject", choices=("case", "clinic"), default="case", help="which file (default case)"
    )
    parser.add_argument("--from-referral", metavar="FILE", help="begin the case with the data inside a referral's PDF")
    parser.add_argument(
        "--out", type=Path, metavar="FILE", help="write the case begun from a referral there (else standard output)"
    )
    add_folders(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print the blank record, or begin one from a referral."""
    world, problems = world_of(arguments), Problems()
    if arguments.from_referral:
        return _from_referral(arguments, world)
    names = arguments.kind or kind_names(world.templates)
    kinds = [k for name in names if (k := read_kind(name, world.templates, problems)) is not None]
    if problems.refusing:
        print_problems(problems)
        return 1
    for line in blank_record(kinds, clinic=arguments.subject == "clinic"):
        print(line)
    return 0


def _from_referral(arguments: argparse.Namespace, world: World) -> int:
    """Begin a case from a referral's PDF; what stands at --out is never written over."""
    try:
        text = read_referral(_read(arguments.from_referral), world.templates).encode()
        if arguments.out is None:
            sys.stdout.buffer.write(text)
        else:
            write_files({arguments.out.name: text}, arguments.out.parent, replace=False)
    except Refused as refused:
        print_problems(refused.problems, translator(world))
        return exit_code(refused)
    except OutputError as error:
        say_error(
            say("the file cannot be written: %(why)s; choose another with --out", why=str(error)), translator(world)
        )
        return 6
    return 0


def _read(name: str) -> bytes:
    """Read a PDF, or as much of it as shows that it is too large."""
    try:
        if name == "-":
            return sys.stdin.buffer.read(MOST_BYTES + 1)
        with Path(name).open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except OSError as error:
        what = say("%(file)s cannot be read: %(why)s", file=name, why=error.strerror or "no such file")
        fix = say("check the name and the rights of the file")
        raise Refused([Problem("file-unreadable", "", what, fix)]) from error


def blank_record(kinds: list[DocumentKind], *, clinic: bool = False) -> Iterator[str]:
    """Give the lines of a blank record for some kinds, or of the clinic's file beside it."""
    asked = _asked(kinds)
    top: dict[str, Node] = {}
    for pattern, spec in field_specs().items():
        group = pattern.split(".")[0].removesuffix("[]")
        if (group in CLINIC_GROUPS) == clinic and spec.type not in ("group", "list") and not pattern.endswith("[]"):
            _place(top, pattern, spec, asked)
    yield f"# Record for: {', '.join(kind.name for kind in kinds)}"
    yield "# Fill in what stands empty. Lines that begin with # are asked for in some cases only."
    yield "# none: asked, there is none. not_applicable: cannot arise. not_known: asked, nobody knows."
    yield from _lines(top, 0)


def _asked(kinds: list[DocumentKind]) -> Mapping[str, tuple[bool, str]]:
    """Give for each pattern a kind names: always required or not, and why."""
    found: dict[str, tuple[bool, str]] = {}
    for kind in kinds:
        for requirement in kind.requires:
            for pattern in requirement.fields:
                always = requirement.when is None and not requirement.any_of
                before = found.get(pattern, (False, ""))
                found[pattern] = (always or before[0], before[1] or requirement.because)
        found[kind.moment] = (True, found.get(kind.moment, (True, f"starts {kind.name}"))[1])
        for pattern in kind.optional:
            found.setdefault(pattern, (False, ""))
    return found


def _place(top: dict[str, Node], pattern: str, spec: FieldSpec, asked: Mapping[str, tuple[bool, str]]) -> None:
    parts = pattern.split(".")
    if pattern not in asked and not any(".".join(parts[:n]).removesuffix("[]") in asked for n in range(1, len(parts))):
        return
    below, path = top, ""
    for part in parts[:-1]:
        path = f"{path}.{part}" if path else part
        node = below.setdefault(part, Node())
        required, because = asked.get(path.removesuffix("[]"), (False, ""))
        node.required, node.because = node.required or required, node.because or because
        below = node.below
    required, because = asked.get(pattern, (False, ""))
    below[parts[-1]] = Node(spec, required, because)


def _needed(node: Node) -> bool:
    return node.required or any(_needed(one) for one in node.below.values())


def _lines(nodes: Mapping[str, Node], depth: int, *, commented: bool = False) -> Iterator[str]:
    for name, node in nodes.items():
        off = commented or not _needed(node)
        mark, pad = ("# " if off else ""), "  " * depth
        note = f"  # {node.because}" if node.because else ""
        if not node.below:
            yield f"{mark}{pad}{name}:{note}{_form(node.spec)}"
            continue
        is_list = name.endswith("[]")
        yield f"{mark}{pad}{name.removesuffix('[]')}:{note}"
        inner = list(_lines(node.below, depth + 2 if is_list else depth + 1, commented=off))
        if is_list and inner:
            yield from _as_item(inner, depth + 1)
        else:
            yield from inner


def _as_item(inner: list[str], depth: int) -> Iterator[str]:
    """Put the dash of a list item before the first key that is not commented out, or before the first of all."""
    live = [i for i, line in enumerate(inner) if not line.startswith("#")]
    first = live[0] if live else 0
    dash = "  " * depth + "- "
    for number, line in enumerate([inner[first], *inner[:first], *inner[first + 1 :]]):
        mark = "# " if line.startswith("# ") else ""
        body = line.removeprefix("# ")
        yield f"{mark}{dash}{body[len(dash) :]}" if number == 0 else line


def _form(spec: FieldSpec | None) -> str:
    if spec is None:
        return ""
    said = form_of(spec).in_words()
    return f"  # {spec.description}; {said}" if spec.description else f"  # {said}"
