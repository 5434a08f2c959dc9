"""`docgen register`: numbers > what was issued, copies, ends, holds, erasures, exports and checkpoints."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from docgen.cli.clock import utc_now
from docgen.cli.files import write_files
from docgen.cli.inputs import a_day, add_folders, print_json, say_error, world_of
from docgen.cli.office import office_of
from docgen.cli.opened import add_places, add_who, report, who
from docgen.cli.register_lists import HEAD, as_csv, life_json, printed_life, row, table
from docgen.issue.entry import REASONS, Life
from docgen.issue.life import STATES
from docgen.issue.refusals import unknown_number
from docgen.issue.retention import due
from docgen.issuing import (
    Office,
    copy_of,
    erase,
    hold,
    pack_of,
    reasons_of,
    record_digest,
    release,
    supersede,
    withdraw,
)
from docgen.problem import OutputError, Refused, say


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    actions = parser.add_subparsers(dest="action", metavar="ACTION", required=True)
    for name, (help_line, _, words) in ACTIONS.items():
        below = actions.add_parser(name, help=help_line, description=help_line)
        below.add_argument("--json", action="store_true", default=argparse.SUPPRESS, help="print one JSON object")
        words(below)
        add_places(below)
        add_who(below)


def run(arguments: argparse.Namespace) -> int:
    """Do one thing with the register."""
    try:
        with office_of(arguments) as office:
            return ACTIONS[arguments.action][1](arguments, office)
    except (Refused, OutputError) as error:
        return report(error, arguments)


def listing(arguments: argparse.Namespace, office: Office) -> int:
    """List documents, one a line."""
    lives = _lives(arguments, office)
    if arguments.json:
        print_json({"documents": [life_json(life) for life in lives]})
    elif lives:
        print(table([HEAD, *(row(life) for life in lives)]))
    else:
        say_error(say("the register has no such document"))
    return 0


def show(arguments: argparse.Namespace, office: Office) -> int:
    """Show all that the register knows of one number; with --out, write its files."""
    life = _life(arguments.number, office)
    files: list[str] = []
    if arguments.out:
        copy = copy_of(life.number, world_of(arguments), office, who(arguments), exchange=arguments.exchange)
        write_files(copy.files, arguments.out, replace=arguments.replace)
        files = sorted(copy.files)
    else:
        office.register.saw(life.number, who(arguments), "entry")
    words = reasons_of(life, office) if arguments.reasons else None
    if words:
        office.register.saw(life.number, who(arguments), "reasons")
    accesses = office.register.accesses(life.number) if arguments.accesses else ()
    if arguments.json:
        seen = [{"at": at.isoformat(), "by": by, "what": what} for at, by, what in accesses]
        print_json({**life_json(life, words), "files_written": files, "accesses": seen})
        return 0
    print(printed_life(life, words))
    for at, by, what in accesses:
        print(f"    {'seen':<14}{at:%Y-%m-%d %H:%M} UTC, {by}, {what}")
    for name in files:
        print(arguments.out / name)
    return 0


def bind(arguments: argparse.Namespace, office: Office) -> int:
    """Write several documents as one PDF, to be printed or handed out; it is not kept itself."""
    name, content = pack_of(arguments.numbers, world_of(arguments), office, who(arguments))
    write_files({name: content}, arguments.out, replace=arguments.replace)
    if arguments.json:
        print_json({"files_written": [name]})
    else:
        print(arguments.out / name)
    return 0


def end_by_successor(arguments: argparse.Namespace, office: Office) -> int:
    """Let another issued document take the place of one."""
    supersede(arguments.number, arguments.successor, arguments.reason, arguments.words, office, who(arguments))
    return _done(arguments, office)


def take_back(arguments: argparse.Namespace, office: Office) -> int:
    """Withdraw a document."""
    withdraw(arguments.number, arguments.reason, arguments.words, office, who(arguments))
    return _done(arguments, office)


def put_on_hold(arguments: argparse.Namespace, office: Office) -> int:
    """Forbid erasing."""
    hold(arguments.number, arguments.words, office, who(arguments))
    return _done(arguments, office)


def lift_hold(arguments: argparse.Namespace, office: Office) -> int:
    """Allow erasing again."""
    release(arguments.number, arguments.words, office, who(arguments))
    return _done(arguments, office)


def destroy(arguments: argparse.Namespace, office: Office) -> int:
    """Erase the content of a document; the number is typed twice, because nothing brings it back."""
    if arguments.confirm != arguments.number:
        say_error(say("nothing was erased: repeat the number with --confirm, nothing brings the content back"))
        return 2
    erase(arguments.number, arguments.reason, office, who(arguments), before_due=arguments.before_due)
    return _done(arguments, office)


def export(arguments: argparse.Namespace, office: Office) -> int:
    """Write the list as CSV; cells that a spreadsheet would run as formulas are made text."""
    text = as_csv(_lives(arguments, office))
    if str(arguments.out) == "-":
        print(text, end="")
        return 0
    write_files({arguments.out.name: text.encode()}, arguments.out.parent, replace=arguments.replace)
    return 0


def checkpoint(arguments: argparse.Namespace, office: Office) -> int:
    """Write a signed statement of the last entry, to be kept outside."""
    text = office.register.checkpoint().as_text()
    if str(arguments.out) == "-":
        print(text)
        return 0
    write_files({arguments.out.name: text.encode()}, arguments.out.parent, replace=arguments.replace)
    return 0


def _done(arguments: argparse.Namespace, office: Office) -> int:
    life = _life(arguments.number, office)
    if arguments.json:
        print_json(life_json(life))
    else:
        print(printed_life(life))
    return 0


def _life(number: int, office: Office) -> Life:
    life = office.register.life(number)
    if life is None:
        raise unknown_number(number)
    return life


def _lives(arguments: argparse.Namespace, office: Office) -> list[Life]:
    record = record_digest(office.register, arguments.record) if arguments.record else ""
    found = office.register.lives(
        kind=arguments.kind, state=arguments.state, record_digest=record, since=arguments.since
    )
    if not arguments.due:
        return list(found)
    today = utc_now().date()
    return [life for life in found if any(not one.on_hold for one in due([life], today))]


def _filters(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--record", default="", metavar="ID", help="documents of one record")
    parser.add_argument("--kind", default="", help="documents of one kind")
    states = [state.value for state in STATES]
    parser.add_argument("--state", default="", choices=["", *states], metavar="STATE", help=", ".join(states))
    parser.add_argument("--due", action="store_true", help="only what need not be kept any longer, and is not on hold")
    parser.add_argument("--since", type=a_day, metavar="DATE", help="issued on this day or later")


def _number(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("number", type=int, metavar="NUMBER", help="number of the document")


def _reason(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--reason", required=True, choices=REASONS, metavar="REASON", help=", ".join(REASONS))


def _words(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--words", default="", help="the reason in words; kept encrypted")


def _out(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--out", type=Path, default=Path("-"), metavar="FILE", help="file (default: print)")
    parser.add_argument("--replace", action="store_true", help="write over a file that has other content")


def _show_words(parser: argparse.ArgumentParser) -> None:
    _number(parser)
    parser.add_argument("--out", type=Path, metavar="DIR", help="write the files there, marked if in force no more")
    parser.add_argument("--replace", action="store_true", help="write over files that have other content")
    parser.add_argument("--exchange", action="store_true", help="with --out: its data too, case.json and FHIR bundle")
    parser.add_argument("--reasons", action="store_true", help="read the reasons in words, which may name the patient")
    parser.add_argument("--accesses", action="store_true", help="list who saw it")
    add_folders(parser)


def _pack_words(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("numbers", type=int, nargs="+", metavar="NUMBER", help="numbers of documents, in their order")
    parser.add_argument("--out", type=Path, required=True, metavar="DIR", help="write the file there")
    parser.add_argument("--replace", action="store_true", help="write over a file that has other content")
    add_folders(parser)


def _supersede_words(parser: argparse.ArgumentParser) -> None:
    _number(parser)
    parser.add_argument("--successor", type=int, required=True, metavar="NUMBER", help="the document in its place")
    _reason(parser)
    _words(parser)


def _withdraw_words(parser: argparse.ArgumentParser) -> None:
    _number(parser)
    _reason(parser)
    _words(parser)


def _hold_words(parser: argparse.ArgumentParser) -> None:
    _number(parser)
    _words(parser)


def _erase_words(parser: argparse.ArgumentParser) -> None:
    _number(parser)
    _reason(parser)
    parser.add_argument("--confirm", type=int, required=True, metavar="NUMBER", help="the number again")
    parser.add_argument("--before-due", action="store_true", help="though it should still be kept: somebody decided it")


def _export_words(parser: argparse.ArgumentParser) -> None:
    _filters(parser)
    _out(parser)


Doing = Callable[[argparse.Namespace, Office], int]
ACTIONS: Mapping[str, tuple[str, Doing, Callable[[argparse.ArgumentParser], Any]]] = {
    "list": ("list documents: number, kind, state, language, day, who", listing, _filters),
    "show": ("show what the register knows of a number, and write its files", show, _show_words),
    "pack": ("write several documents as one PDF, each with its number", bind, _pack_words),
    "supersede": ("let another issued document take the place of one", end_by_successor, _supersede_words),
    "withdraw": ("take a document back, with the reason", take_back, _withdraw_words),
    "hold": ("forbid that a document is erased", put_on_hold, _hold_words),
    "release": ("lift a hold", lift_hold, _hold_words),
    "erase": ("destroy the content of a document; number and digests stay", destroy, _erase_words),
    "export": ("write the list as CSV", export, _export_words),
    "checkpoint": ("write a signed statement of the last entry, to be kept elsewhere", checkpoint, _out),
}
"""Name > line of help, what it does, its words."""
