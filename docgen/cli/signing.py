"""
The words of `sign` and `countersign` that are alike > a key, how to sign with it, what is printed of it.

Apart from both, so that neither loads what the other needs.
"""

from __future__ import annotations

import argparse
import getpass
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from docgen.cli.inputs import print_json, print_problems, say_error
from docgen.compose.signed import MEANINGS
from docgen.issuing import Office
from docgen.issuing.sign import Signed
from docgen.issuing.signature import Signing
from docgen.problem import Message, Problem, Refused, say
from docgen.signing import LEVELS, NO_TRUST, SigningKey, open_key, read_trust
from docgen.signing.keys import find_password
from docgen.signing.token import open_token

AUTHORITY = "DOCGEN_TSA"
"""Environment: the address of the time-stamp authority."""
PASSWORD = "DOCGEN_KEY_PASSWORD"  # noqa: S105 (the name of a variable)


def add_signing(parser: argparse.ArgumentParser, meaning: str) -> None:
    """Add who signs, with what, and how; `meaning` is the usual one."""
    parser.add_argument("--as", dest="signer", default="", metavar="ID", help="id of the practitioner who signs")
    parser.add_argument(
        "--meaning", choices=MEANINGS, default=meaning, help=f"what the signature stands for (default {meaning})"
    )
    parser.add_argument("--p12", type=Path, metavar="FILE", help="key and certificate, PKCS #12")
    parser.add_argument("--token", metavar="LABEL", help="key on a token, with --module, PKCS #11")
    parser.add_argument("--module", type=Path, metavar="FILE", help="driver of the token")
    parser.add_argument(
        "--password-file", type=Path, metavar="FILE", help=f"password or PIN (else ${PASSWORD}, else asked for)"
    )
    parser.add_argument(
        "--other-name", action="store_true", help="the certificate has another form of the signer's name"
    )
    parser.add_argument("--level", choices=LEVELS, help="PAdES level (default B-LT with an authority, else B-B)")
    parser.add_argument("--tsa", default="", metavar="URL", help=f"time-stamp authority (else ${AUTHORITY})")


def signing_of(arguments: argparse.Namespace, key: SigningKey, office: Office) -> Signing:
    """Read how to sign. Errors: Refused with trust-unreadable."""
    authority = arguments.tsa or os.environ.get(AUTHORITY, "")
    return Signing(
        key=key,
        trust=read_trust(office.trust) if office.trust else NO_TRUST,
        signer=arguments.signer,
        meaning=arguments.meaning,
        level=arguments.level or ("B-LT" if authority else "B-B"),
        tsa_url=authority,
        other_name=arguments.other_name,
    )


@contextmanager
def key_of(arguments: argparse.Namespace) -> Iterator[SigningKey]:
    """Open the key. Errors: Refused with key-missing and those of `docgen.signing`."""
    if not arguments.p12 and not (arguments.token and arguments.module):
        fix = say("give --p12 FILE, or --token LABEL with --module FILE")
        raise Refused([Problem("key-missing", "", say("no key is named to sign with"), fix)])
    ask = (lambda: getpass.getpass("password of the key: ")) if sys.stdin.isatty() else None
    find = partial(find_password, os.environ, PASSWORD, ask, file=arguments.password_file)
    if arguments.p12:
        yield open_key(arguments.p12, find)
    else:
        with open_token(arguments.module, arguments.token, find()) as key:
            yield key


def tell(signed: Signed, arguments: argparse.Namespace, done: Message) -> None:
    """Say what was signed, and the lines that belong into the record."""
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
    say_error(say("%(done)s; write these lines into the record:", done=done))
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
