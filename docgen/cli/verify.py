"""`docgen verify`: a file, or a number with the check code of a printed page > passed, failed or indeterminate."""

from __future__ import annotations

import argparse
import re
import sys
from pathlib import Path

from docgen.cli.inputs import file_unreadable, print_json
from docgen.cli.office import office_of
from docgen.cli.opened import add_places, report
from docgen.issue.checkpoint import Checkpoint, read_checkpoint
from docgen.issuing import Office
from docgen.problem import OutputError, Problem, Refused, say
from docgen.verdict import PASSED
from docgen.verifying import Verdict, verify_file, verify_number

_PAGE = re.compile(r"\s*(?P<number>\d{1,18})(\s+(?P<code>\S.*))?", re.ASCII)
"""What stands in the QR code of a page; its check code may be parted, as the foot prints it."""
LARGEST = 256 << 20
"""Bytes of a file that is looked at."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    parser.add_argument(
        "what",
        nargs="+",
        metavar=("FILE|NUMBER", "CODE"),
        help="a file, - for standard input; or the number of a document with its check code, as the QR code has them",
    )
    parser.add_argument("--code", default="", help="check code of the foot of a printed page, to a number")
    parser.add_argument(
        "--checkpoint", type=Path, action="append", default=[], metavar="FILE", help="checkpoint kept elsewhere"
    )
    add_places(parser)


def run(arguments: argparse.Namespace) -> int:
    """Print the verdict with its reasons; exit 0 if it passed, else 4."""
    try:
        with office_of(arguments) as office:
            verdict = _verdict(arguments, office)
    except (Refused, OutputError) as error:
        return report(error, arguments)
    _show(verdict, arguments)
    return 0 if verdict.verdict == PASSED else 4


def _verdict(arguments: argparse.Namespace, office: Office) -> Verdict:
    checkpoints = [_checkpoint(path) for path in arguments.checkpoint]
    what = " ".join(arguments.what)
    page = None if Path(what).exists() else _PAGE.fullmatch(what)
    if page:
        return verify_number(int(page["number"]), page["code"] or arguments.code, office, checkpoints)
    return verify_file(_content(what), office, checkpoints)


def _checkpoint(path: Path) -> Checkpoint:
    """Read a checkpoint. Errors: Refused with checkpoint-unreadable."""
    try:
        return read_checkpoint(path.read_text("utf-8"))
    except (OSError, ValueError) as error:
        what = say("%(file)s is no checkpoint that can be read", file=str(path))
        fix = say("name a file that docgen register checkpoint wrote")
        raise Refused([Problem("checkpoint-unreadable", "", what, fix)]) from error


def _content(what: str) -> bytes:
    try:
        with sys.stdin.buffer if what == "-" else Path(what).open("rb") as file:
            return file.read(LARGEST)
    except OSError as error:
        raise file_unreadable(what, error) from error


def _show(verdict: Verdict, arguments: argparse.Namespace) -> None:
    if arguments.json:
        findings = [
            {"code": one.code, "verdict": one.verdict, "reason": one.message.in_words()} for one in verdict.findings
        ]
        number = verdict.life.number if verdict.life else None
        print_json({"verdict": verdict.verdict, "number": number, "findings": findings})
        return
    print(verdict.verdict)
    for one in verdict.findings:
        print(f"    {one.verdict:<13} {one.message.in_words()}")
