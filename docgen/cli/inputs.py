"""Arguments > the files of a case, the world, and the problems' printed form; shared by the commands."""

from __future__ import annotations

import argparse
import os
import sys
from datetime import date
from pathlib import Path

from docgen.case import Source
from docgen.cli import VERSION
from docgen.cli.told import exit_code as exit_code
from docgen.cli.told import print_json as print_json
from docgen.cli.told import print_problems as print_problems
from docgen.cli.told import say_error as say_error
from docgen.clinical.table_file import read_tables
from docgen.examine import CaseFiles, World
from docgen.kinds import TemplateFolders
from docgen.language import SOURCE_LANGUAGE, language_names, read_language
from docgen.problem import Problem, Problems, Refused, Translate, say
from docgen.shipped import shipped_folder


def a_day(text: str) -> date:
    """Read a day of the command line."""
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError("write a day as YYYY-MM-DD") from error


def add_folders(parser: argparse.ArgumentParser) -> None:
    """Add the options that say where templates and languages lie."""
    parser.add_argument("--templates", type=Path, metavar="DIR", help="the clinic's own templates, before the shipped")
    parser.add_argument("--locales", type=Path, metavar="DIR", help="the clinic's own languages, before the shipped")


def add_case(parser: argparse.ArgumentParser, *, several: bool = False) -> None:
    """Add the case and the clinic's file."""
    parser.add_argument(
        "case", nargs="+" if several else None, metavar="CASE", help="case record, YAML or JSON; - reads standard input"
    )
    parser.add_argument(
        "--clinic", type=Path, metavar="FILE", help="the clinic's file (else beside the case, else configured)"
    )
    add_folders(parser)


def world_of(arguments: argparse.Namespace) -> World:
    """Gather folders and tables."""
    own = [arguments.templates] if arguments.templates else []
    languages = [arguments.locales] if arguments.locales else []
    return World(
        TemplateFolders((*own, shipped_folder("templates"))),
        (*languages, shipped_folder("locales")),
        read_tables(),
        f"docgen {VERSION}",
    )


def files_of(name: str, clinic: Path | None) -> CaseFiles:
    """
    Read the files of one case: the clinic's file is the first found of --clinic, beside the case, configured.

    Errors: Refused with file-unreadable.
    """
    if name == "-":
        text = sys.stdin.buffer.read()
        case, beside = Source("-", text, text.lstrip().startswith(b"{")), Path()
    else:
        path = Path(name)
        case, beside = Source(name, _read(path), path.suffix == ".json"), path.parent
    configured = Path(os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config") / "docgen"
    places = [clinic] if clinic else [beside / "clinic.yaml", configured / "clinic.yaml"]
    found = next((p for p in places if clinic or p.is_file()), None)
    approvals = found.parent / "approvals.yaml" if found else beside / "approvals.yaml"
    return CaseFiles(
        case,
        Source(str(found), _read(found), found.suffix == ".json") if found else None,
        Source(str(approvals), _read(approvals)) if approvals.is_file() else None,
        found.parent if found else beside,
    )


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise file_unreadable(str(path), error) from error


def file_unreadable(name: str, error: OSError) -> Refused:
    """Say that a file that was named cannot be read."""
    what = say("%(file)s cannot be read: %(why)s", file=name, why=error.strerror or "no such file")
    return Refused([Problem("file-unreadable", "", what, say("check the name and the rights of the file"))])


def translator(world: World) -> Translate:
    """Choose the language of messages by LC_ALL, LC_MESSAGES or LANG; English where there is no catalog."""
    wanted = next((v for name in ("LC_ALL", "LC_MESSAGES", "LANG") if (v := os.environ.get(name))), "")
    tag = wanted.partition(".")[0].replace("_", "-")
    known = language_names(world.locales)
    name = next((one for one in (tag, tag.partition("-")[0]) if one in known), SOURCE_LANGUAGE)
    language = read_language(name, world.locales, Problems())
    return language.text if language else str
