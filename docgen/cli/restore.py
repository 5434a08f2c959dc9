"""`docgen restore`: a backup > register and store in an empty data folder, after all of it was proved."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from docgen.blocks import printed_number
from docgen.cli import VERSION
from docgen.cli.clock import utc_now
from docgen.cli.opened import add_places, add_who, opened, places_of, report, who
from docgen.cli.told import print_json, say_error
from docgen.issue.restore import restore, skip_numbers
from docgen.issue.unavailable import Unavailable
from docgen.problem import Refused, say

_DIGITS = 6


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    parser.add_argument("source", type=Path, metavar="DIR", help="the folder that docgen backup wrote")
    known = "the highest number known from paper: none up to it is given out again"
    parser.add_argument("--last-number", type=_printed, default=0, metavar="NUMBER", help=known)
    add_places(parser)
    add_who(parser)


def _printed(text: str) -> int:
    """Read a number as a page prints it; a slip of the hand would void all up to it for good."""
    if not (text.isdecimal() and len(text) <= _DIGITS):
        raise argparse.ArgumentTypeError("write the number as the page has it, such as 000042")
    return int(text)


def run(arguments: argparse.Namespace) -> int:
    """Restore all of it or nothing; exit 4 if something was damaged or missing when the backup was made."""
    try:
        by, places = who(arguments), places_of(arguments)
        manifest = restore(arguments.source, places, os.environ, utc_now)
        skipped = _skip(arguments, by) if arguments.last_number else 0
    except (Refused, Unavailable) as error:
        return report(error, arguments)
    if arguments.json:
        print_json({"data": str(places.folder), "made_at": manifest.made_at, "entries": manifest.entries,
                    "head": manifest.head, "files": manifest.kept, "faults": list(manifest.faults)})  # fmt: skip
    say_error(say("restored and proved: %(entries)s entries and %(files)s files, as of %(at)s UTC",
                  entries=manifest.entries, files=manifest.kept, at=manifest.made_at[:16]))  # fmt: skip
    say_error(say("what was issued, withdrawn or erased after that is not in it: do it again, and compare the last "
                  "checkpoint"))  # fmt: skip
    if skipped:
        say_error(say("%(count)s numbers that are lost were voided, up to %(last)s", count=skipped,
                      last=printed_number(arguments.last_number)))  # fmt: skip
    for fault in manifest.faults:
        say_error(say("at fault when it was backed up: %(fault)s", fault=fault))
    return 4 if manifest.faults else 0


def _skip(arguments: argparse.Namespace, by: str) -> int:
    with opened(arguments, utc_now, begin=False) as kept:
        return skip_numbers(kept.register, arguments.last_number, by, utc_now().date(), f"docgen {VERSION}")
