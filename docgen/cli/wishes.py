"""The words that say which documents are meant > a Wish; shared by the commands."""

from __future__ import annotations

import argparse
import sys

from docgen.cli.inputs import a_day
from docgen.examine import Wish

FORMATS = ("pdf", "docx", "text", "pack")


def add_wish(parser: argparse.ArgumentParser) -> None:
    """Add the options that say which documents are meant."""
    parser.add_argument(
        "--kind",
        action="append",
        default=[],
        help="a kind of document; may be given again (default: every kind whose moment has come)",
    )
    parser.add_argument("--copy", default="", help="patient, clinic, or both parted by a comma (default: all)")
    parser.add_argument(
        "--undated",
        action="store_true",
        help="days and hours instead of dates, for the leaflet given before the operation",
    )
    parser.add_argument(
        "--language", default="", metavar="TAG", help="language of the documents (default: the reader's)"
    )
    parser.add_argument("--on", type=a_day, metavar="DATE", help="day of issue (default: today at the clinic)")


def wish_of(arguments: argparse.Namespace) -> Wish:
    """Read the wish from the words."""
    copies = tuple(c for c in arguments.copy.split(",") if c)
    formats = tuple(dict.fromkeys(f for f in getattr(arguments, "format", "text").split(",") if f))
    for wrong in [c for c in copies if c not in ("patient", "clinic")] + [f for f in formats if f not in FORMATS]:
        print(f"docgen: {wrong} is neither a copy nor a format", file=sys.stderr)
        raise SystemExit(2)
    kinds = tuple(k for word in arguments.kind for k in word.split(",") if k)
    return Wish(kinds, copies, arguments.undated, arguments.language, formats, arguments.on)
