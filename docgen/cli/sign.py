"""`docgen sign`: a case and a key > the document composed, signed, numbered and kept in one step, or nothing."""

from __future__ import annotations

import argparse

from docgen.blocks import printed_number
from docgen.cli.inputs import add_case, files_of, world_of
from docgen.cli.issue import add_out, order_of, put
from docgen.cli.office import office_of
from docgen.cli.opened import add_places, add_who, report
from docgen.cli.signing import add_signing, key_of, signing_of, tell
from docgen.compose.signed import AUTHORSHIP
from docgen.issue.entry import REASONS
from docgen.issuing.sign import sign
from docgen.problem import OutputError, Refused, say


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    add_case(parser)
    parser.add_argument("--kind", default="operative-note", help="kind to sign (default operative-note)")
    add_signing(parser, AUTHORSHIP)
    parser.add_argument("--key-id", dest="key", default="", help="own idempotency key")
    parser.add_argument("--supersedes", type=int, metavar="NUMBER", help="unsigned document that the new one replaces")
    parser.add_argument("--reason", default="", choices=["", *REASONS], metavar="REASON", help=", ".join(REASONS))
    parser.add_argument("--words", default="", help="the reason in words; kept encrypted")
    parser.add_argument("--beside", action="store_true", help="a further document of its kind; the earlier one stands")
    parser.add_argument("--no-data", action="store_true", help="the PDF does not carry its data")
    add_out(parser)
    add_places(parser)
    add_who(parser)


def run(arguments: argparse.Namespace) -> int:
    """Sign one document; print the lines that belong into the record."""
    world = world_of(arguments)
    try:
        files = files_of(arguments.case, arguments.clinic)
        with key_of(arguments) as key, office_of(arguments, begin=True) as office:
            signing = signing_of(arguments, key, office)
            signed = sign(files, arguments.kind, world, office, order_of(arguments), signing)
        put([signed.issued], arguments)
    except (Refused, OutputError) as error:
        return report(error, arguments)
    tell(signed, arguments, say("signed as number %(number)s", number=printed_number(signed.issued.life.number)))
    return 0
