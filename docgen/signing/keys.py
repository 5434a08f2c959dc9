"""
A key file or a token, and its password > a signing key whose certificate was looked at.

Passwords come from a file, the environment or a prompt, never from the words of a command: those every user can list.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from asn1crypto import keys, x509
from cryptography import x509 as pyca
from cryptography.exceptions import UnsupportedAlgorithm
from cryptography.hazmat.primitives.asymmetric import ec, rsa
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat, PublicFormat, pkcs12
from pyhanko.sign.signers import Signer, SimpleSigner
from pyhanko_certvalidator.registry import SimpleCertificateStore

from docgen.problem import Message, Problem, Refused, say

LARGEST = 1 << 20
"""Bytes of a key file."""

LEAST_RSA = 2048
"""Bits."""

CURVES = ("secp256r1", "secp384r1", "secp521r1", "brainpoolP256r1", "brainpoolP384r1", "brainpoolP512r1")
"""What readers of PDF 1.7 know; Ed25519 is none of them."""


USAGES = frozenset(("digital_signature", "non_repudiation"))
"""What a certificate must allow: one is enough."""

PURPOSES = frozenset(
    (
        *("any_extended_key_usage", "client_auth", "email_protection", "microsoft_document_signing"),
        *("1.3.6.1.5.5.7.3.36", "1.2.840.113583.1.1.5"),  # document signing by RFC 9336; authentic documents by Adobe
    )
)
"""What it must be for, if it says so at all; authorities for persons name these."""


@dataclass(frozen=True)
class SigningKey:
    """A key that is ready to sign, with its certificate; nothing of it prints its secret."""

    signer: Signer = field(repr=False)
    certificate: bytes = field(repr=False)
    """DER."""

    @property
    def digest(self) -> str:
        """SHA-256 of the certificate, hex: what the register keeps of the signer."""
        return hashlib.sha256(self.certificate).hexdigest()

    @property
    def public_digest(self) -> str:
        """SHA-256 of the public key, hex: the same under every certificate for it."""
        return public_digest(x509.Certificate.load(self.certificate))


def public_digest(certificate: x509.Certificate) -> str:
    """Digest the public key of a certificate: SHA-256, hex."""
    return hashlib.sha256(certificate.public_key.dump()).hexdigest()


def open_key(path: Path, password: str | Callable[[], str]) -> SigningKey:
    """
    Read a key and its certificates from a PKCS #12 file (.p12, .pfx); a password is asked for if the file can be read.

    Errors: Refused with key-unreadable, key-password-wrong, key-incomplete, key-kind or key-mismatch.
    """
    try:
        if path.stat().st_size > LARGEST:
            raise refusal("key-unreadable", say("the key file is too large to be one"), _OTHER_FILE)
        content = path.read_bytes()
    except OSError as error:
        raise refusal("key-unreadable", say("the key file cannot be read"), _OTHER_FILE) from error
    word = password if isinstance(password, str) else password()
    try:
        key, certificate, chain = pkcs12.load_key_and_certificates(content, word.encode() or None)
    except UnsupportedAlgorithm as error:
        raise refusal("key-kind", say("the key file is locked or made in a way docgen does not know"), _ANEW) from error
    except (ValueError, TypeError) as error:
        if not _is_pkcs12(content):
            raise refusal("key-unreadable", say("the key file is no PKCS #12 file"), _OTHER_FILE) from error
        fix = say("type the password again, or ask whoever made the key file for it")
        raise refusal("key-password-wrong", say("the password does not open the key file"), fix) from error
    if key is None or certificate is None:
        raise refusal("key-incomplete", say("the key file lacks the key or its certificate"), _ANEW)
    require_kind(key.public_key())
    _require_same(key.public_key(), certificate)
    signer = SimpleSigner(
        signing_cert=_certificate(certificate),
        signing_key=keys.PrivateKeyInfo.load(
            key.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption()), strict=True
        ),
        cert_registry=SimpleCertificateStore.from_certs(
            chain_above(_certificate(certificate), map(_certificate, chain))
        ),
    )
    return SigningKey(signer, certificate.public_bytes(Encoding.DER))


def require_sound(key: SigningKey, at: datetime) -> None:
    """
    Look whether a certificate may sign a document at a moment.

    Errors: Refused with certificate-not-yet-valid, certificate-expired or certificate-usage.
    """
    certificate = x509.Certificate.load(key.certificate)
    if at < certificate.not_valid_before:
        what = say("the certificate of the key is not valid before %(day)s", day=_day(certificate.not_valid_before))
        raise refusal("certificate-not-yet-valid", what, say("look at the clock of this computer, or sign later"))
    if at > certificate.not_valid_after:
        what = say("the certificate of the key was valid until %(day)s only", day=_day(certificate.not_valid_after))
        raise refusal("certificate-expired", what, _ANEW)
    if not is_for_documents(certificate):
        what = say("the certificate of the key is not made for signing documents")
        raise refusal("certificate-usage", what, _ANEW)


def is_for_documents(certificate: x509.Certificate) -> bool:
    """Tell whether a certificate says that its key may sign documents."""
    usage, purposes = certificate.key_usage_value, certificate.extended_key_usage_value
    if certificate.ca or usage is None or not usage.native & USAGES:
        return False
    return purposes is None or bool(set(purposes.native) & PURPOSES)


def find_password(
    environ: Mapping[str, str], name: str, ask: Callable[[], str] | None, *, file: Path | None = None
) -> str:
    """
    Find a password: in a file, else in `$NAME`, else in the file of `$NAME_FILE`, else by asking at a terminal.

    The first line of a file counts. Errors: Refused with key-password-missing.
    """
    path = file or (Path(environ[f"{name}_FILE"]) if not environ.get(name) and environ.get(f"{name}_FILE") else None)
    if path is not None:
        try:
            return path.read_text("utf-8").split("\n", 1)[0].rstrip("\r")
        except (OSError, UnicodeDecodeError) as error:
            what = say("the file with the password of the key cannot be read")
            raise refusal("key-password-missing", what, say("look at its name and rights")) from error
    if environ.get(name):
        return environ[name]
    if ask is None:
        fix = say("run docgen at a terminal, or name a file with the password in %(name)s", name=f"{name}_FILE")
        raise refusal("key-password-missing", say("the key needs its password"), fix)
    return ask()


def require_kind(key: object) -> None:
    """Refuse what cannot sign, or not for long. Errors: Refused with key-kind."""
    if isinstance(key, rsa.RSAPublicKey) and key.key_size >= LEAST_RSA:
        return
    if isinstance(key, ec.EllipticCurvePublicKey) and key.curve.name in CURVES:
        return
    what = say("the key is of a kind that is too weak, or that readers of PDF do not know")
    raise refusal("key-kind", what, _ANEW)


def _require_same(key: object, certificate: pyca.Certificate) -> None:
    form = (Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    own = key.public_bytes(*form) if hasattr(key, "public_bytes") else b""
    if own != certificate.public_key().public_bytes(*form):
        raise refusal("key-mismatch", say("the certificate in the key file belongs to another key"), _ANEW)


def chain_above(certificate: x509.Certificate, held: Iterable[x509.Certificate]) -> list[x509.Certificate]:
    """Find the certificates above one, nearest first; others beside them say nothing and would be ballast."""
    by_subject = {one.subject.dump(): one for one in held}
    chain: list[x509.Certificate] = []
    while (above := by_subject.pop(certificate.issuer.dump(), None)) is not None:
        chain.append(above)
        certificate = above
    return chain


def _certificate(certificate: pyca.Certificate) -> x509.Certificate:
    return x509.Certificate.load(certificate.public_bytes(Encoding.DER), strict=True)


def _is_pkcs12(content: bytes) -> bool:
    """Tell whether a file begins as PKCS #12 does: a sequence that starts with its version, 3."""
    head = content[:12]
    return head[:1] == b"\x30" and b"\x02\x01\x03\x30" in head


def _day(moment: datetime) -> str:
    return f"{moment:%Y-%m-%d}"


def refusal(code: str, what: Message, fix: Message, because: Iterable[Message] = ()) -> Refused:
    """Make the one problem that stops a signature."""
    return Refused([Problem(code, "", what, fix, because=tuple(because))])


_OTHER_FILE = say("name the file with the surgeon's key and certificate, usually .p12 or .pfx, and look at its rights")
_ANEW = say("ask whoever issued the key for a new one that is made for signing documents")
