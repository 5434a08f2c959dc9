"""Options and environment > register, store and master key, opened together; shared by all commands that keep."""

from __future__ import annotations

import argparse
import getpass
import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from docgen.cli.told import exit_code, print_json, print_problems
from docgen.issue.database import Database
from docgen.issue.folders import Places, find_places, make_folder
from docgen.issue.keys import KEY_FILE, MasterKey, read_master_key
from docgen.issue.register import Register, open_register
from docgen.issue.schema import version_of
from docgen.issue.store import Store
from docgen.issue.unavailable import Unavailable
from docgen.problem import OutputError, Problem, Refused, say
from docgen.values import dataclass


@dataclass(frozen=True)
class Opened:
    """What an installation keeps, open for use."""

    register: Register
    store: Store
    master: MasterKey
    places: Places


def add_places(parser: argparse.ArgumentParser) -> None:
    """Add the options that say where the register and its files are kept."""
    parser.add_argument("--data", type=Path, metavar="DIR", help="the data folder (else $DOCGEN_DATA, else your own)")
    parser.add_argument(
        "--register", default="", metavar="URL", help="the register (else $DOCGEN_REGISTER, else there)"
    )


def add_who(parser: argparse.ArgumentParser) -> None:
    """Add the option that says who acts."""
    parser.add_argument("--by", default="", help="who does this (else $DOCGEN_BY, else your login name)")


def places_of(arguments: argparse.Namespace) -> Places:
    """
    Find where things are kept.

    Errors: Unavailable with data-unusable.
    """
    return find_places(os.environ, arguments.data, arguments.register)


def master_of(places: Places, *, make: bool) -> MasterKey:
    """
    Read the master key, and make it only where nothing was kept before.

    Errors: Unavailable.
    """
    begun = None
    named = os.environ.get("DOCGEN_MASTER_KEY") or os.environ.get("DOCGEN_MASTER_KEY_FILE")
    if places.database is None and not named and not os.path.lexists(places.folder / KEY_FILE):
        begun = places.is_begun or is_begun(places.register)
    return read_master_key(places.folder, os.environ, begun=begun, make=make)


def is_begun(address: str) -> bool:
    """
    Ask a database whether it holds a register.

    Errors: Unavailable.
    """
    database = Database(address)
    try:
        return bool(version_of(database))
    finally:
        database.close()


def is_encrypted(environ: Mapping[str, str]) -> bool:
    """
    Tell whether new files are encrypted: yes, unless $DOCGEN_ENCRYPTION is off.

    Errors: Unavailable with encryption-unclear.
    """
    word = environ.get("DOCGEN_ENCRYPTION") or "on"
    if word not in ("on", "off"):
        raise Unavailable(
            "encryption-unclear", say("DOCGEN_ENCRYPTION is neither on nor off"), say("set it to on, or leave it out")
        )
    return word == "on"


def refuse_none(places: Places) -> None:
    """
    Refuse a place where nothing was begun.

    Errors: Unavailable with register-none, or because the database cannot be reached.
    """
    if not (places.database.exists() if places.database else is_begun(places.register)):
        raise Unavailable(
            "register-none",
            say("there is no register at %(place)s", place=str(places.database or places.register.partition(":")[0])),
            say("name the data folder with --data; the first docgen issue begins one"),
        )


@contextmanager
def opened(arguments: argparse.Namespace, now: Callable[[], datetime], *, begin: bool = True) -> Iterator[Opened]:
    """
    Open register and store; the first use begins them, unless `begin` is false.

    Errors: Unavailable, with register-none where nothing was begun and `begin` is false.
    """
    places = places_of(arguments)
    encrypted = is_encrypted(os.environ)
    if not begin:
        refuse_none(places)
    master = master_of(places, make=begin)
    try:
        make_folder(places.folder)
    except OSError as error:
        raise Unavailable(
            "data-unusable",
            say("the data folder %(folder)s cannot be written: %(why)s", folder=str(places.folder),
                why=error.strerror or "the disk refused"),
            say("choose a folder of your own on a local disk: --data DIR"),
        ) from error  # fmt: skip
    with open_register(places.register, master, now) as register:
        yield Opened(register, Store(places.store, master, encrypted), master, places)


FORBIDDEN = ("on-hold", "number-held", "erasure-too-early")
"""Codes of what somebody is not permitted to do now."""


def report(error: Refused | OutputError, arguments: argparse.Namespace) -> int:
    """Print what stopped a command, for people and with --json; give the exit code (5: not permitted now)."""
    if isinstance(error, Refused):
        problems = tuple(error.problems)
    else:
        problems = (error.problem if isinstance(error, Unavailable) else _unwritten(error),)
    print_problems(problems)
    if arguments.json:
        print_json({"problems": [problem.as_json() for problem in problems]})
    return 5 if any(problem.code in FORBIDDEN for problem in problems) else exit_code(error)


def _unwritten(error: OutputError) -> Problem:
    """Say that the files did not get into their folder; whatever was issued is kept."""
    what = say("the files cannot be written: %(why)s", why=str(error))
    fix = say(
        "choose another folder with --out; what was issued is kept: docgen register show NUMBER --out DIR writes it, "
        "docgen register pack NUMBER ... several as one pack"
    )
    return Problem("folder-unwritable", "", what, fix)


def who(arguments: argparse.Namespace) -> str:
    """
    Name who acts: --by, else $DOCGEN_BY, else the login name.

    Errors: Refused with who-unknown. The register itself refuses a name that does not fit into a line.
    """
    name = (arguments.by or os.environ.get("DOCGEN_BY") or _login()).strip()
    if not name:
        raise Refused(
            [Problem("who-unknown", "", say("nobody is named who does this"), say("give --by NAME, or set DOCGEN_BY"))]
        )
    return name


def _login() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError):  # a container may run under a number nobody has a name for
        return ""
