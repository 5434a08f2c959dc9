"""`docgen lint`: kinds > faults of their templates, declarations, words and catalogs, and texts too hard to read."""

from __future__ import annotations

import argparse

from docgen.cli.inputs import add_folders, print_json, print_problems, world_of
from docgen.cli.reading_ease import eases, shipped_cases
from docgen.compose import body_environment
from docgen.kinds import kind_names, read_kind, read_words
from docgen.kinds.lint import lint_kind, lint_words
from docgen.problem import Problems
from docgen.translation.lint import lint_catalogs


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    add_folders(parser)
    parser.add_argument("kind", nargs="*", metavar="KIND", help="kinds to look at (default: all)")
    parser.add_argument(
        "--case",
        action="append",
        default=[],
        metavar="CASE",
        help="case whose finished texts are measured; may be given again (default: the examples)",
    )
    parser.add_argument("--ease", action="store_true", help="print how easy each patient's text is to read")


def run(arguments: argparse.Namespace) -> int:
    """Lint the kinds; exit 3 if there is any fault."""
    world, problems = world_of(arguments), Problems()
    environment = body_environment(world.templates.folders)
    names = arguments.kind or kind_names(world.templates)
    kinds = [kind for name in names if (kind := read_kind(name, world.templates, problems)) is not None]
    for kind in kinds:
        lint_kind(kind, environment, problems)
    lint_words(read_words(world.templates.folders), problems)
    if not arguments.kind:
        lint_catalogs(world.templates, world.locales, kinds, problems)
    found = () if problems.refusing else eases(kinds, arguments.case or shipped_cases(), world, problems)
    problems.extend(ease.problem() for ease in found if not ease.measured.is_met)
    if arguments.json:
        print_json({"problems": [p.as_json() for p in problems], "ease": [ease.as_json() for ease in found]})
        return 3 if problems.refusing else 0
    print_problems(problems)
    for ease in found if arguments.ease else ():
        print(ease.in_words.in_words())
        for sentence in ease.measured.hardest:
            print(f"    {sentence.text}")
    return 3 if problems.refusing else 0
