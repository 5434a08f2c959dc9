"""`docgen rekey`: the master key in use > another one; nothing that was kept is written anew but its keys."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from docgen.cli.opened import add_places, places_of, refuse_none, report
from docgen.cli.told import print_json, say_error
from docgen.issue.rotation import rotate
from docgen.issue.unavailable import Unavailable
from docgen.problem import Refused, say


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    parser.add_argument("--new-key-file", type=Path, metavar="FILE", help="the new key, 32 bytes in base64 (else made)")
    add_places(parser)


def run(arguments: argparse.Namespace) -> int:
    """Change the master key; no other docgen may be at work meanwhile."""
    try:
        places = places_of(arguments)
        refuse_none(places)
        done = rotate(places, os.environ, arguments.new_key_file)
    except (Refused, Unavailable) as error:
        return report(error, arguments)
    if arguments.json:
        kept = str(done.kept) if done.kept else None
        print_json({"old": done.old, "new": done.new, "keys": done.keys, "old_key": kept})
    say_error(say("the master key is now %(new)s; %(keys)s keys of files were wrapped anew", new=done.new,
                  keys=done.keys))  # fmt: skip
    if done.kept:
        say_error(say("the old key lies in %(file)s: backups made with it need it; delete it with the last of them",
                      file=str(done.kept)))  # fmt: skip
    else:
        say_error(say("put the new key where the environment names the old one, before anything else is done"))
    return 0
