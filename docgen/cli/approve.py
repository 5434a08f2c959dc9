"""`docgen approve`: a text or translation somebody has read > one more entry in the clinic's approvals.yaml."""

from __future__ import annotations

import argparse
from pathlib import Path

from docgen.case import Approval, append_approval
from docgen.cli.inputs import a_day, add_folders, exit_code, print_problems, say_error, world_of
from docgen.kinds import read_kind
from docgen.language import read_language
from docgen.problem import Message, OutputError, Problems, Refused, say


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument("kind", nargs="?", help="the kind whose text was read")
    what.add_argument("--translation", metavar="TAG", help="the language whose catalog was reviewed")
    parser.add_argument("--to", type=Path, required=True, metavar="FILE", help="the clinic's approvals.yaml")
    parser.add_argument("--by", required=True, help="who read it")
    parser.add_argument("--qualification", required=True, help="what entitles this person to approve it")
    parser.add_argument("--on", type=a_day, required=True, metavar="DATE", help="day of the approval")
    add_folders(parser)


def run(arguments: argparse.Namespace) -> int:
    """Append the approval of the text or catalog as it is now; any later change of it lapses the approval."""
    problems = Problems()
    read = _translation(arguments, problems) if arguments.translation else _text(arguments, problems)
    if read is None:
        print_problems(problems)
        return 1
    what, digest, done = read
    approval = Approval(what, digest, arguments.by, arguments.qualification, arguments.on)
    try:
        append_approval(arguments.to, approval)
    except (Refused, OutputError) as error:
        print_problems(error.problems if isinstance(error, Refused) else ())
        return exit_code(error)
    say_error(done)
    return 0


def _text(arguments: argparse.Namespace, problems: Problems) -> tuple[str, str, Message] | None:
    kind = read_kind(arguments.kind, world_of(arguments).templates, problems)
    if kind is None:
        return None
    done = say("approved: the text of %(kind)s, version %(version)s", kind=kind.name, version=kind.version)
    return f"text.{kind.name}", kind.digest, done


def _translation(arguments: argparse.Namespace, problems: Problems) -> tuple[str, str, Message] | None:
    language = read_language(arguments.translation, world_of(arguments).locales, problems)
    if language is None:
        return None
    return f"translation.{language.name}", language.digest, say("reviewed: the catalog of %(name)s", name=language.name)
