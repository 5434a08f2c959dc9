"""`docgen sign`: a case and a key > the document composed, signed, numbered and kept in one step, or nothing."""

from __future__ import annotations

import argparse
import getpass
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from docgen.blocks import printed_number
from docgen.cli.inputs import add_case, files_of, print_json, print_problems, say_error, world_of
from docgen.cli.issue import add_out, order_of, put
from docgen.cli.office import office_of
from docgen.cli.opened import add_places, add_who, report
from docgen.compose.signed import MEANINGS
from docgen.issue.entry import REASONS
from docgen.issuing.sign import Signed, Signing, sign
from docgen.problem import OutputError, Problem, Refused, say
from docgen.signing import LEVELS, NO_TRUST, SigningKey, open_key, read_trust
from docgen.signing.keys import find_password
from docgen.signing.token import open_token

AUTHORITY = "DOCGEN_TSA"
"""Environment: the address of the time-stamp authority."""
PASSWORD = "DOCGEN_KEY_PASSWORD"  # noqa: S105 (the name of a variable)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Describe the words of the command."""
    add_case(parser)
    parser.add_argument("--kind", default="operative-note", help="kind to sign (default operative-note)")
    parser.add_argument("--as", dest="signer", default="", metavar="ID", help="id of the practitioner who signs")
    parser.add_argument("--meaning", choices=MEANINGS, default=MEANINGS[0], help="what the signature stands for")
    _add_key(parser)
    parser.add_argument("--level", choices=LEVELS, help="PAdES level (default B-LT with an authority, else B-B)")
    parser.add_argument("--tsa", default="", metavar="URL", help=f"time-stamp authority (else ${AUTHORITY})")
    parser.add_argument("--key-id", dest="key", default="", help="own idempotency key")
    parser.add_argument("--supersedes", type=int, metavar="NUMBER", help="unsigned document that the new one replaces")
    parser.add_argument("--reason", default="", choices=["", *REASONS], metavar="REASON", help=", ".join(REASONS))
    parser.add_argument("--words", default="", help="the reason in words; kept encrypted")
    parser.add_argument("--beside", action="store_true", help="a further document of its kind; the earlier one stands")
    parser.add_argument("--no-data", action="store_true", help="the PDF does not carry its data")
    add_out(parser)
    add_places(parser)
    add_who(parser)


def _add_key(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--p12", type=Path, metavar="FILE", help="key and certificate, PKCS #12")
    parser.add_argument("--token", metavar="LABEL", help="key on a token, with --module, PKCS #11")
    parser.add_argument("--module", type=Path, metavar="FILE", help="driver of the token")
    parser.add_argument(
        "--password-file", type=Path, metavar="FILE", help=f"password or PIN (else ${PASSWORD}, else asked for)"
    )
    parser.add_argument(
        "--other-name", action="store_true", help="the certificate has another form of the signer's name"
    )


def run(arguments: argparse.Namespace) -> int:
    """Sign one document; print the lines that belong into the record."""
    world = world_of(arguments)
    try:
        files = files_of(arguments.case, arguments.clinic)
        with _key(arguments) as key, office_of(arguments, begin=True) as office:
            authority = arguments.tsa or os.environ.get(AUTHORITY, "")
            signing = Signing(
                key=key,
                trust=read_trust(office.trust) if office.trust else NO_TRUST,
                signer=arguments.signer,
                meaning=arguments.meaning,
                level=arguments.level or ("B-LT" if authority else "B-B"),
                tsa_url=authority,
                other_name=arguments.other_name,
            )
            signed = sign(files, arguments.kind, world, office, order_of(arguments), signing)
        put([signed.issued], arguments)
    except (Refused, OutputError) as error:
        return report(error, arguments)
    _tell(signed, arguments)
    return 0


@contextmanager
def _key(arguments: argparse.Namespace) -> Iterator[SigningKey]:
    """Open the key. Errors: Refused with key-missing and those of `docgen.signing`."""
    if not arguments.p12 and not (arguments.token and arguments.module):
        fix = say("give --p12 FILE, or --token LABEL with --module FILE")
        raise Refused([Problem("key-missing", "", say("no key is named to sign with"), fix)])
    ask = (lambda: getpass.getpass("password of the key: ")) if sys.stdin.isatty() else None
    password = find_password(os.environ, PASSWORD, ask, file=arguments.password_file)
    if arguments.p12:
        yield open_key(arguments.p12, password)
    else:
        with open_token(arguments.module, arguments.token, password) as key:
            yield key


def _tell(signed: Signed, arguments: argparse.Namespace) -> None:
    life = signed.issued.life
    if arguments.json:
        print_json(
            {
                "number": life.number,
                "code": life.code,
                "files": sorted(signed.issued.files),
                "record": signed.entered,
                "problems": [problem.as_json() for problem in signed.notes],
            }
        )
        return
    print_problems(signed.notes)
    for name in sorted(signed.issued.files):
        print(arguments.out / name)
    say_error(
        say("signed as number %(number)s; write these lines into the record:", number=printed_number(life.number))
    )
    for line in record_lines(signed.entered):
        print(line)


def record_lines(entered: dict[str, str]) -> list[str]:
    """Give fields as the YAML lines of a record, one group each (paths of two steps)."""
    lines: list[str] = []
    for path in sorted(entered):
        group, _, name = path.partition(".")
        if f"{group}:" not in lines:
            lines.append(f"{group}:")
        lines.append(f"  {name}: {entered[path]}")
    return lines
