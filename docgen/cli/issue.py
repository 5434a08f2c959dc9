"""`docgen issue`: a case > numbered documents in a folder, kept in the register; or every reason why not."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

from docgen.blocks import printed_number
from docgen.cli.files import write_files
from docgen.cli.inputs import add_case, files_of, print_json, print_problems, say_error, world_of
from docgen.cli.office import office_of
from docgen.cli.opened import add_places, add_who, report, who
from docgen.cli.wishes import add_wish, wish_of
from docgen.examine import today_in
from docgen.generate import PACK
from docgen.issue.entry import REASONS, Action
from docgen.issuing import Issued, IssuedPack, Order, bound, issue
from docgen.problem import OutputError, Refused, say


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    add_case(parser)
    add_wish(parser)
    parser.add_argument(
        "--format",
        default="pdf,docx",
        help="pdf, docx, or pack for all in one PDF besides; parted by commas (default pdf,docx)",
    )
    add_order(parser)
    add_out(parser)
    add_places(parser)
    add_who(parser)


def add_order(parser: argparse.ArgumentParser) -> None:
    """Add the options that say what becomes of earlier documents."""
    parser.add_argument("--key", default="", help="own idempotency key: the same key gives the same document again")
    parser.add_argument("--supersedes", type=int, metavar="NUMBER", help="number of the document the new one replaces")
    parser.add_argument("--reason", default="", choices=["", *REASONS], metavar="REASON", help=", ".join(REASONS))
    parser.add_argument("--words", default="", help="the reason in words; kept encrypted, and erased with the document")
    parser.add_argument("--beside", action="store_true", help="a further document of its kind; the earlier one stands")
    parser.add_argument("--no-data", action="store_true", help="letters and notes do not carry their data in the PDF")


def add_out(parser: argparse.ArgumentParser) -> None:
    """Add the folder of the files."""
    parser.add_argument("--out", type=Path, default=Path("issued"), metavar="DIR", help="folder (default issued)")
    parser.add_argument("--replace", action="store_true", help="write over files that have other content")


def order_of(arguments: argparse.Namespace) -> Order:
    """Read the order from the words."""
    return Order(
        by=who(arguments),
        key=arguments.key,
        supersedes=arguments.supersedes,
        reason=arguments.reason,
        words=arguments.words,
        beside=arguments.beside,
        carries=not arguments.no_data,
    )


def run(arguments: argparse.Namespace) -> int:
    """Issue the documents of one case; nothing gets a number that is refused."""
    wish, world = wish_of(arguments), world_of(arguments)
    if not set(wish.formats) <= {"pdf", "docx", PACK} or not wish.formats:
        say_error(say("a document is issued as pdf, docx or both, and with pack all of them as one PDF besides"))
        return 2
    kept = tuple(form for form in wish.formats if form != PACK) or ("pdf",)
    try:
        with office_of(arguments, begin=True) as office:
            files = files_of(arguments.case, arguments.clinic)
            pack = issue(files, replace(wish, formats=kept), world, today_in, office, order_of(arguments))
            lives = [one.life for one in pack.issued if one.life.state is not Action.SIGNED]
            besides = [bound(lives, world, office)] if PACK in wish.formats and lives else []
        put(pack.issued, arguments, dict(besides))
    except (Refused, OutputError) as error:
        return report(error, arguments)
    tell(pack, arguments, [name for name, _ in besides])
    return 0


def put(
    issued: list[Issued], arguments: argparse.Namespace, besides: Mapping[str, bytes] = MappingProxyType({})
) -> None:
    """Write the files of issued documents; the register keeps them whatever the folder does."""
    files = {name: content for one in issued for name, content in one.files.items()}
    write_files({**files, **besides}, arguments.out, replace=arguments.replace)


def tell(pack: IssuedPack, arguments: argparse.Namespace, besides: Sequence[str] = ()) -> None:
    """Say what was issued; `besides`: files that are not kept."""
    if arguments.json:
        print_json(
            {
                "issued": [_as_json(one) for one in pack.issued],
                "besides": list(besides),
                "problems": [problem.as_json() for problem in pack.notes],
                "left_out": {kind: why.in_words() for kind, why in pack.left_out.items()},
            }
        )
        return
    print_problems(pack.notes)
    for kind, why in pack.left_out.items():
        say_error(say("left out: %(kind)s, %(why)s", kind=kind, why=why))
    for one in pack.issued:
        if one.again:
            say_error(
                say("number %(number)s was issued before; these are its files", number=printed_number(one.life.number))
            )
        for name in sorted(one.files):
            print(arguments.out / name)
    for name in besides:
        print(arguments.out / name)


def _as_json(one: Issued) -> dict[str, object]:
    return {
        "number": one.life.number,
        "state": one.life.state.value,
        "code": one.life.code,
        "again": one.again,
        "files": sorted(one.files),
    }
