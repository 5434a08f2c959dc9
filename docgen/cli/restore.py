"""`docgen restore`: a backup > register and store in an empty data folder, after all of it was proved."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from docgen.cli.clock import utc_now
from docgen.cli.opened import add_places, places_of, report
from docgen.cli.told import print_json, say_error
from docgen.issue.restore import restore
from docgen.issue.unavailable import Unavailable
from docgen.problem import Refused, say


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    parser.add_argument("source", type=Path, metavar="DIR", help="the folder that docgen backup wrote")
    add_places(parser)


def run(arguments: argparse.Namespace) -> int:
    """Restore all of it or nothing; exit 4 if something was damaged or missing when the backup was made."""
    try:
        places = places_of(arguments)
        manifest = restore(arguments.source, places, os.environ, utc_now)
    except (Refused, Unavailable) as error:
        return report(error, arguments)
    if arguments.json:
        print_json({"data": str(places.folder), "made_at": manifest.made_at, "entries": manifest.entries,
                    "head": manifest.head, "files": manifest.kept, "faults": list(manifest.faults)})  # fmt: skip
    say_error(say("restored and proved: %(entries)s entries and %(files)s files, as of %(at)s UTC",
                  entries=manifest.entries, files=manifest.kept, at=manifest.made_at[:16]))  # fmt: skip
    say_error(say("what was issued, withdrawn or erased after that is not in it: do it again, and compare the last "
                  "checkpoint"))  # fmt: skip
    for fault in manifest.faults:
        say_error(say("at fault when it was backed up: %(fault)s", fault=fault))
    return 4 if manifest.faults else 0
