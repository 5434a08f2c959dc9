"""`docgen backup`: register and store in use > a sealed folder that can be restored elsewhere."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from docgen.cli import VERSION
from docgen.cli.clock import utc_now
from docgen.cli.opened import Opened, add_places, opened, report
from docgen.cli.told import print_json, say_error
from docgen.issue.backup import Wish, back_up
from docgen.issue.keys import KEY_FILE, written_key
from docgen.issue.manifest import Manifest
from docgen.issue.unavailable import Unavailable
from docgen.problem import Refused, say


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    parser.add_argument("target", type=Path, metavar="DIR", help="the new folder of the backup")
    parser.add_argument(
        "--with-key", action="store_true", help="put the master key in too: who has the backup can then read all of it"
    )
    add_places(parser)


def run(arguments: argparse.Namespace) -> int:
    """Back up while others work; exit 4 if something was damaged or missing already."""
    try:
        with opened(arguments, utc_now, begin=False) as source:
            manifest = back_up(_wish(source, with_key=arguments.with_key), arguments.target.absolute())
    except (Refused, Unavailable) as error:
        return report(error, arguments)
    tell(manifest, arguments)
    return 4 if manifest.faults else 0


def _wish(source: Opened, *, with_key: bool) -> Wish:
    key = written_key(source.places.folder, os.environ) if with_key else ""
    return Wish(
        source.places.register,
        source.register,
        source.store,
        source.master,
        utc_now(),
        f"docgen {VERSION}",
        source.places.trust,
        key,
    )


def tell(manifest: Manifest, arguments: argparse.Namespace) -> None:
    """Say what is in the backup, and loudly if the key is."""
    if arguments.json:
        print_json(
            {
                "target": str(arguments.target),
                "made_at": manifest.made_at,
                "entries": manifest.entries,
                "head": manifest.head,
                "files": manifest.kept,
                "key_included": manifest.key_included,
                "faults": list(manifest.faults),
            }
        )
    else:
        print(arguments.target)
    say_error(say("backed up: %(entries)s entries and %(files)s files", entries=manifest.entries,
                  files=manifest.kept))  # fmt: skip
    for fault in manifest.faults:
        say_error(say("at fault already: %(fault)s", fault=fault))
    if manifest.key_included:
        say_error(say("WARNING: the master key %(file)s lies in this backup", file=KEY_FILE))
        say_error(say("who has this backup can read every document: keep it locked away"))
    else:
        say_error(say("the master key is not in it: without the key nobody can restore it, so keep a copy elsewhere"))
