"""`docgen kinds`: every kind of document > its title, its moment, what it needs and why."""

from __future__ import annotations

import argparse

from docgen.cli.inputs import add_folders, print_json, print_problems, world_of
from docgen.kinds import kind_names, read_kind
from docgen.problem import Problems


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    add_folders(parser)
    parser.add_argument("--needs", action="store_true", help="list the fields each kind needs, with the reason")


def run(arguments: argparse.Namespace) -> int:
    """Print the kinds."""
    world, problems = world_of(arguments), Problems()
    kinds = [k for name in kind_names(world.templates) if (k := read_kind(name, world.templates, problems))]
    print_problems(problems)
    if arguments.json:
        print_json(
            {
                "kinds": [
                    {
                        "name": k.name,
                        "title": k.title,
                        "version": k.version,
                        "moment": k.moment,
                        "copies": list(k.copies),
                        "digest": k.digest,
                        "requires": [
                            {"fields": list(r.fields), "because": r.because, "when": r.when.name if r.when else None}
                            for r in k.requires
                        ],
                    }
                    for k in kinds
                ]
            }
        )
        return 3 if problems.refusing else 0
    for kind in kinds:
        print(f"{kind.name}: {kind.title} (version {kind.version}, from {kind.moment})")
        if not arguments.needs:
            continue
        for requirement in kind.requires:
            when = f" when {requirement.when.name} is {requirement.when.value}" if requirement.when else ""
            print(f"    {', '.join(requirement.fields)}{when}: {requirement.because}")
    return 3 if problems.refusing else 0
