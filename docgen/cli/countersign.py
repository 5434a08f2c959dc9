"""`docgen countersign`: a case and the supervisor's key > the second signature in the signed file, or nothing."""

from __future__ import annotations

import argparse

from docgen.blocks import printed_number
from docgen.cli.inputs import add_case, files_of, world_of
from docgen.cli.issue import add_out, put
from docgen.cli.office import office_of
from docgen.cli.opened import add_places, add_who, report, who
from docgen.cli.signing import add_signing, key_of, signing_of, tell
from docgen.compose.signed import RESPONSIBILITY
from docgen.issuing.countersign import Wanted, countersign
from docgen.problem import OutputError, Refused, say


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    add_case(parser)
    parser.add_argument("--kind", default="operative-note", help="kind to countersign (default operative-note)")
    parser.add_argument("--number", type=int, metavar="NUMBER", help="which one, where several signed ones stand")
    add_signing(parser, RESPONSIBILITY)
    add_out(parser)
    add_places(parser)
    add_who(parser)


def run(arguments: argparse.Namespace) -> int:
    """Add the supervisor's signature to a signed document; print the lines that belong into the record."""
    world = world_of(arguments)
    try:
        files = files_of(arguments.case, arguments.clinic)
        with key_of(arguments) as key, office_of(arguments) as office:
            signing = signing_of(arguments, key, office)
            wanted = Wanted(arguments.kind, who(arguments), arguments.number)
            signed = countersign(files, wanted, world, office, signing)
        put([signed.issued], arguments)
    except (Refused, OutputError) as error:
        return report(error, arguments)
    number = printed_number(signed.issued.life.number)
    tell(signed, arguments, say("number %(number)s is countersigned", number=number))
    return 0
