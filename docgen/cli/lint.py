"""`docgen lint`: kinds and their bodies > every fault of a template, for who writes them."""

from __future__ import annotations

import argparse

from docgen.cli.inputs import add_folders, print_json, print_problems, world_of
from docgen.compose import body_environment
from docgen.kinds import kind_names, read_kind, read_words
from docgen.kinds.lint import lint_kind, lint_words
from docgen.problem import Problems


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    add_folders(parser)
    parser.add_argument("kind", nargs="*", metavar="KIND", help="kinds to look at (default: all)")


def run(arguments: argparse.Namespace) -> int:
    """Lint the kinds; exit 3 if there is any fault."""
    world, problems = world_of(arguments), Problems()
    environment = body_environment(world.templates.folders)
    for name in arguments.kind or kind_names(world.templates):
        kind = read_kind(name, world.templates, problems)
        if kind is not None:
            lint_kind(kind, environment, problems)
    lint_words(read_words(world.templates.folders), problems)
    if arguments.json:
        print_json({"problems": [p.as_json() for p in problems]})
    else:
        print_problems(problems)
    return 3 if problems.refusing else 0
