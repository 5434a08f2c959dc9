"""`docgen make`: cases > files in a folder, or every reason why not."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any

from docgen.cli.files import write_files
from docgen.cli.inputs import add_case, exit_code, files_of, print_json, print_problems, say_error, translator, world_of
from docgen.cli.wishes import add_wish, wish_of
from docgen.examine import Wish, World, today_in
from docgen.generate import Made, generate
from docgen.problem import OutputError, Refused, Translate, say


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    add_case(parser, several=True)
    add_wish(parser)
    parser.add_argument(
        "--format",
        default="pdf,docx",
        help="pdf, docx, text, or pack for all documents in one PDF; parted by commas (default pdf,docx)",
    )
    parser.add_argument(
        "--out",
        type=Path,
        default=Path("pack"),
        metavar="DIR",
        help="folder of the files (default pack); - prints one file",
    )
    parser.add_argument("--replace", action="store_true", help="write over files that have other content")


def run(arguments: argparse.Namespace) -> int:
    """Make every case; one that is refused does not stop the others; the highest exit code is given."""
    wish, world = wish_of(arguments), world_of(arguments)
    arguments.translate = translator(world)
    code, results = 0, []
    for number, name in enumerate(arguments.case, start=1):
        result = _make_one(name, arguments, wish, world)
        results.append(result)
        code = max(code, result["exit"])
        if len(arguments.case) > 1 and not arguments.json:
            say_error(
                say("%(number)s of %(all)s: %(file)s", number=number, all=len(arguments.case), file=name),
                arguments.translate,
            )
    if arguments.json:
        print_json({"cases": results})
    return code


def _make_one(name: str, arguments: argparse.Namespace, wish: Wish, world: World) -> dict[str, Any]:
    shown: dict[str, Any] = {"case": name, "exit": 0, "files": [], "problems": [], "left_out": {}}
    try:
        made = generate(files_of(name, arguments.clinic), wish, world, today_in)
        _put(made, arguments)
    except Refused as refused:
        shown |= {"exit": exit_code(refused), "problems": [p.as_json(arguments.translate) for p in refused.problems]}
        if not arguments.json:
            print_problems(refused.problems, arguments.translate)
            _print_refusal(name, refused, arguments.translate)
        return shown
    except OutputError as error:
        shown["exit"] = 6
        shown["problems"] = [{"code": "output", "severity": "refuse", "what": str(error)}]
        if not arguments.json:
            say_error(
                say(
                    "the files cannot be written: %(why)s. Nothing is left behind; choose another folder with --out",
                    why=str(error),
                ),
                arguments.translate,
            )
        return shown
    _tell(made, arguments)
    shown |= {
        "files": sorted(made.files),
        "problems": [p.as_json(arguments.translate) for p in made.notes],
        "left_out": {kind: why.in_words(arguments.translate) for kind, why in made.left_out.items()},
    }
    return shown


def _put(made: Made, arguments: argparse.Namespace) -> None:
    if str(arguments.out) == "-":
        if len(made.files) != 1:
            say_error(
                say("standard output takes one file; choose one --kind, --copy and --format"), arguments.translate
            )
            raise SystemExit(2)
        sys.stdout.buffer.write(next(iter(made.files.values())))
        return
    write_files(made.files, arguments.out, replace=arguments.replace)


def _print_refusal(name: str, refused: Refused, translate: Translate) -> None:
    say_error(say("%(file)s: refused, nothing was written.", file=name), translate)
    passing = refused.extra.get("passing", ())
    if passing:
        kinds = " ".join(f"--kind {k}" for k in passing)
        say_error(say("these would pass alone: %(kinds)s", kinds=kinds), translate)


def _tell(made: Made, arguments: argparse.Namespace) -> None:
    if arguments.json:
        return
    print_problems(made.notes, arguments.translate)
    for kind, why in made.left_out.items():
        say_error(say("left out: %(kind)s, %(why)s", kind=kind, why=why), arguments.translate)
    if str(arguments.out) != "-":
        for name in sorted(made.files):
            print(arguments.out / name)
