"""Words of the command line > calls, problems on standard error, exit codes. Commands are loaded when they are used."""

from __future__ import annotations

import argparse
import gc
import sys
import traceback
from collections.abc import Sequence
from importlib import import_module
from typing import NoReturn

VERSION = "0.1.0"

COMMANDS = {
    "make": "make the documents of one or more cases",
    "check": "say all that is missing or wrong in a case, and make nothing",
    "facts": "list every computed fact with its arithmetic and sources",
    "kinds": "list the kinds of document, what each needs and why",
    "schema": "print the JSON Schema of the case record, for editors",
    "start": "print a commented blank record for the kinds you choose",
    "lint": "compare every template with what its kind declares",
    "approve": "record that a text has been read and approved",
    "review": "list the reviews of translations, make the sheet of a reviewer, record a review",
    "issue": "make documents that leave the clinic: numbered, kept, entered in the register",
    "sign": "compose, sign and keep a document in one step",
    "countersign": "add the supervisor's signature to a signed document",
    "verify": "say whether a file, or a number with its check code, is what was issued",
    "register": "list, copy, supersede, withdraw, hold, erase and export what was issued",
    "backup": "copy register and files, while they are in use, into a folder that can be restored",
    "restore": "put a backup into an empty data folder, after all of it was proved",
    "rekey": "change the master key; backups made before still need the old one",
    "doctor": "say what is wrong with this installation, its register and its files, and how to mend it",
    "translate": "begin a language, bring its catalog up to date, send it to a translator and take it back",
}
"""Name and one line of help; `docgen.cli.<name>` holds the command."""

MANY = 200_000
"""New objects before the interpreter looks for circles among them: a command that makes one document ends before."""


SIGNING = ("asn1crypto", "pyhanko", "pyhanko_certvalidator")
"""Libraries of the extra `sign`; without them there is no signing, and all else works."""


def build_parser() -> argparse.ArgumentParser:
    """Describe all commands; each module adds its own words."""
    parser = argparse.ArgumentParser(prog="docgen", description="Fills the paper around an operation from one record.")
    parser.add_argument("--version", action="version", version=f"docgen {VERSION}")
    below = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for name, help_line in COMMANDS.items():
        below.add_parser(name, help=help_line, add_help=False)
    return parser


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; give its exit code (README lists them)."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    name = next((w for w in words if not w.startswith("-")), "")
    if name not in COMMANDS:
        build_parser().parse_args(words)
        return 2
    try:
        command = import_module(f"docgen.cli.{name}")
    except ModuleNotFoundError as error:
        if (error.name or "").partition(".")[0] not in SIGNING:
            raise
        print(f"docgen {name} needs what signs: pip install 'docgen[sign]'", file=sys.stderr)
        return 6
    parser = argparse.ArgumentParser(prog=f"docgen {name}", description=COMMANDS[name])
    parser.add_argument("--json", action="store_true", help="print one JSON object on standard output")
    command.add_arguments(parser)
    rest = words[words.index(name) + 1 :]
    try:
        return int(command.run(parser.parse_args(rest)))
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:
        return 0
    except Exception as error:  # our own fault: where it happened, without any value of a record
        print("".join(traceback.format_tb(error.__traceback__)), type(error).__name__, sep="", file=sys.stderr)
        return 70


def command_line() -> NoReturn:
    """
    Run one command in a process of its own.

    Garbage is hardly looked for on the way, and not at the end: all that a document is made of would be gone through.
    """
    gc.set_threshold(MANY)
    code = main()
    gc.freeze()
    raise SystemExit(code)
