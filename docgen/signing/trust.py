"""
A folder of certificates and revocation lists > whom a signature may lead back to.

Kept as the bytes of the files (DER), so that who holds it needs no library.
"""

from __future__ import annotations

import base64
import binascii
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from asn1crypto import crl, x509
from asn1crypto.core import Asn1Value

from docgen.problem import Message, Problem, Problems, say

SUFFIXES = (".pem", ".crt", ".cer", ".der", ".crl")
LARGEST = 16 << 20
"""Bytes of a file; the longest revocation lists in use have some megabytes."""

_ARMORED = re.compile(rb"-----BEGIN ([A-Z0-9 ]+)-----(.*?)-----END \1-----", re.DOTALL)
_CERTIFICATES, _LISTS = (b"CERTIFICATE", b"TRUSTED CERTIFICATE", b"X509 CERTIFICATE"), (b"X509 CRL",)


@dataclass(frozen=True)
class Trust:
    """What a clinic trusts; each item DER."""

    roots: tuple[bytes, ...] = ()
    """Certificates that vouch for themselves: whoever leads back to one is known."""
    others: tuple[bytes, ...] = ()
    """Certificates between a signer and a root."""
    crls: tuple[bytes, ...] = ()
    """Lists of revoked certificates."""

    def __bool__(self) -> bool:
        return bool(self.roots)


NO_TRUST = Trust()


def read_trust(folder: Path) -> Trust:
    """
    Read every certificate and revocation list of a folder, PEM or DER; no folder, no trust.

    Errors: Refused with trust-unreadable for each file that cannot be read.
    """
    problems = Problems()
    roots: dict[bytes, None] = {}
    others: dict[bytes, None] = {}
    crls: dict[bytes, None] = {}
    for path in sorted(folder.iterdir()) if folder.is_dir() else ():
        if path.suffix.lower() not in SUFFIXES or not path.is_file():
            continue
        try:
            for content, is_list in _items(path):
                if is_list:
                    crls[_whole(crl.CertificateList, content)] = None
                else:
                    held = roots if is_own_issuer(_whole(x509.Certificate, content)) else others
                    held[content] = None
        except (OSError, ValueError, TypeError, KeyError):
            problems.add(_unreadable(path.name))
    problems.refuse()
    return Trust(tuple(roots), tuple(others), tuple(crls))


def is_own_issuer(content: bytes) -> bool:
    """Tell whether a certificate names itself as its issuer."""
    certificate = x509.Certificate.load(content)
    return bool(certificate.subject == certificate.issuer)


def _items(path: Path) -> Iterator[tuple[bytes, bool]]:
    """Give what a file holds, and whether it is a revocation list."""
    if path.stat().st_size > LARGEST:
        raise ValueError("too large")
    content = path.read_bytes()
    if b"-----BEGIN" not in content:
        yield content, path.suffix.lower() == ".crl"
        return
    found = False
    for label, text in _ARMORED.findall(content):
        if label in _CERTIFICATES + _LISTS:
            found = True
            yield _decoded(text), label in _LISTS
    if not found:
        raise ValueError("nothing in it")


def _decoded(text: bytes) -> bytes:
    try:
        return base64.b64decode(b"".join(text.split()), validate=True)
    except binascii.Error as error:
        raise ValueError("no base64") from error


def _whole(kind: type[Asn1Value], content: bytes) -> bytes:
    """Check that some bytes are one item of a kind, to its last field. Errors: ValueError."""
    parsed = kind.load(content, strict=True)
    if not parsed.native:  # reads all of it
        raise ValueError("empty")
    return content


def _unreadable(name: str) -> Problem:
    what: Message = say("%(file)s holds no certificate or revocation list that can be read", file=name)
    fix = say("ask whoever gave you the file for it in PEM form, or take it out of the folder of trusted certificates")
    return Problem("trust-unreadable", name, what, fix)
