"""
A folder of certificates, revocation lists and answers about single certificates > whom a signature may lead back to.

Kept as the bytes of the files (DER), so that who holds it needs no library.
"""

from __future__ import annotations

import base64
import binascii
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from asn1crypto import crl, ocsp, x509
from asn1crypto.core import Asn1Value

from docgen.problem import Message, Problem, Problems, say

SUFFIXES = (".pem", ".crt", ".cer", ".der", ".crl", ".ors")
LARGEST = 16 << 20
"""Bytes of a file; the longest revocation lists in use have some megabytes."""

_ARMORED = re.compile(rb"-----BEGIN ([A-Z0-9 ]+)-----(.*?)-----END \1-----", re.DOTALL)
_LABELS: Mapping[bytes, type[Asn1Value]] = {
    b"CERTIFICATE": x509.Certificate,
    b"TRUSTED CERTIFICATE": x509.Certificate,
    b"X509 CERTIFICATE": x509.Certificate,
    b"X509 CRL": crl.CertificateList,
    b"OCSP RESPONSE": ocsp.OCSPResponse,
}
_BARE: Mapping[str, type[Asn1Value]] = {".crl": crl.CertificateList, ".ors": ocsp.OCSPResponse}
"""Ending > what a file without armor holds; .ors is the one of RFC 6960, C.2."""


@dataclass(frozen=True)
class Trust:
    """What a clinic trusts; each item DER."""

    roots: tuple[bytes, ...] = ()
    """Certificates that vouch for themselves: whoever leads back to one is known."""
    others: tuple[bytes, ...] = ()
    """Certificates between a signer and a root."""
    crls: tuple[bytes, ...] = ()
    """Lists of revoked certificates."""
    ocsps: tuple[bytes, ...] = ()
    """What an authority answered when it was asked for single certificates (RFC 6960)."""

    def __bool__(self) -> bool:
        return bool(self.roots)


NO_TRUST = Trust()


def read_trust(folder: Path) -> Trust:
    """
    Read every certificate, revocation list and answer of a folder, PEM or DER; no folder, no trust.

    Errors: Refused with trust-unreadable for each file that cannot be read.
    """
    problems = Problems()
    found: dict[str, dict[bytes, None]] = {name: {} for name in ("roots", "others", "crls", "ocsps")}
    for path in sorted(folder.iterdir()) if folder.is_dir() else ():
        if path.suffix.lower() not in SUFFIXES or not path.is_file():
            continue
        try:
            for content, kind in _items(path):
                found[_held_as(content, kind)][content] = None
        except (OSError, ValueError, TypeError, KeyError):
            problems.add(_unreadable(path.name))
    problems.refuse()
    return Trust(**{name: tuple(held) for name, held in found.items()})


def _held_as(content: bytes, kind: type[Asn1Value]) -> str:
    """Say where an item belongs, once all of it was read. Errors: ValueError."""
    whole = _whole(kind, content)
    if kind is crl.CertificateList:
        return "crls"
    if kind is ocsp.OCSPResponse:
        answers(whole)
        return "ocsps"
    return "roots" if is_own_issuer(whole) else "others"


def answers(content: bytes) -> list[ocsp.SingleResponse]:
    """Give what a response says of each certificate. Errors: ValueError, if the authority did not answer."""
    response = ocsp.OCSPResponse.load(content)
    if response["response_status"].native != "successful":
        raise ValueError("no answer")
    return list(response.response_data["responses"])


def is_own_issuer(content: bytes) -> bool:
    """Tell whether a certificate names itself as its issuer."""
    certificate = x509.Certificate.load(content)
    return bool(certificate.subject == certificate.issuer)


def _items(path: Path) -> Iterator[tuple[bytes, type[Asn1Value]]]:
    """Give what a file holds, each with its kind."""
    if path.stat().st_size > LARGEST:
        raise ValueError("too large")
    content = path.read_bytes()
    if b"-----BEGIN" not in content:
        yield content, _BARE.get(path.suffix.lower(), x509.Certificate)
        return
    found = False
    for label, text in _ARMORED.findall(content):
        if label in _LABELS:
            found = True
            yield _decoded(text), _LABELS[label]
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
    what: Message = say("%(file)s holds no certificate, revocation list or OCSP response that can be read", file=name)
    fix = say("ask whoever gave you the file for it in PEM form, or take it out of the folder of trusted certificates")
    return Problem("trust-unreadable", name, what, fix)
