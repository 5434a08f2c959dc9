"""`docgen approve`: a text somebody has read > one more entry in the clinic's approvals.yaml."""

from __future__ import annotations

import argparse
from pathlib import Path

from docgen.case import Approval, append_approval
from docgen.cli.inputs import a_day, add_folders, exit_code, print_problems, say_error, world_of
from docgen.kinds import read_kind
from docgen.problem import Message, OutputError, Problems, Refused, say


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    parser.add_argument("kind", help="the kind whose text was read")
    add_signer(parser)
    add_folders(parser)


def add_signer(parser: argparse.ArgumentParser) -> None:
    """Add the options that say who approves, and where that is kept."""
    parser.add_argument("--to", type=Path, required=True, metavar="FILE", help="the clinic's approvals.yaml")
    parser.add_argument("--by", required=True, help="who read it")
    parser.add_argument("--qualification", required=True, help="what entitles this person to approve it")
    parser.add_argument("--on", type=a_day, required=True, metavar="DATE", help="day of the approval")


def run(arguments: argparse.Namespace) -> int:
    """Append the approval of the text as it is now; any later change of it lapses the approval."""
    problems = Problems()
    kind = read_kind(arguments.kind, world_of(arguments).templates, problems)
    if kind is None:
        print_problems(problems)
        return 1
    done = say("approved: the text of %(kind)s, version %(version)s", kind=kind.name, version=kind.version)
    return keep_approval(arguments, f"text.{kind.name}", kind.digest, done)


def keep_approval(arguments: argparse.Namespace, what: str, digest: str, done: Message) -> int:
    """Append one approval to the clinic's file, and say so; give the exit code."""
    approval = Approval(what, digest, arguments.by, arguments.qualification, arguments.on)
    try:
        append_approval(arguments.to, approval)
    except (Refused, OutputError) as error:
        print_problems(error.problems if isinstance(error, Refused) else ())
        return exit_code(error)
    say_error(done)
    return 0
