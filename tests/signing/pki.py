"""
An authority made for the tests: root, issuer, revocation lists, surgeons of every fate, and a time-stamp authority.

All times are fixed around the day a note of the examples is signed.
"""

from __future__ import annotations

import http.server
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

from asn1crypto import keys as asn1_keys
from asn1crypto import tsp
from asn1crypto import x509 as asn1_x509
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, ed25519, rsa
from cryptography.hazmat.primitives.serialization import (
    BestAvailableEncryption,
    Encoding,
    NoEncryption,
    PrivateFormat,
    pkcs12,
)
from cryptography.x509 import ocsp
from cryptography.x509.oid import AuthorityInformationAccessOID, ExtendedKeyUsageOID, NameOID
from pyhanko.sign.timestamps import DummyTimeStamper

from docgen.signing import Trust

AT = datetime(2026, 1, 20, 10, 5, tzinfo=UTC)
"""When the note is signed."""
DAY = timedelta(days=1)
YEAR = 365 * DAY
PASSWORD = "korrekt pferd 4711"  # noqa: S105 - of keys that exist in tests only

Key = ec.EllipticCurvePrivateKey | rsa.RSAPrivateKey | ed25519.Ed25519PrivateKey


@dataclass(frozen=True)
class Held:
    """A key with its certificate and those above it."""

    key: Key
    certificate: x509.Certificate
    chain: tuple[x509.Certificate, ...] = ()

    @property
    def der(self) -> bytes:
        """The certificate as bytes."""
        return self.certificate.public_bytes(Encoding.DER)

    def file(self, folder: Path, password: str = PASSWORD) -> Path:
        """Write a PKCS #12 file."""
        path = folder / f"{self.certificate.serial_number:x}.p12"
        lock = BestAvailableEncryption(password.encode()) if password else NoEncryption()
        path.write_bytes(pkcs12.serialize_key_and_certificates(b"key", self.key, self.certificate, self.chain, lock))
        return path


def _name(common: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, common)])


def _usage(**wanted: bool) -> x509.KeyUsage:
    names = (
        *("digital_signature", "content_commitment", "key_encipherment", "data_encipherment", "key_agreement"),
        *("key_cert_sign", "crl_sign", "encipher_only", "decipher_only"),
    )
    return x509.KeyUsage(**{name: wanted.get(name, False) for name in names})


def issue(
    name: str,
    key: Key,
    by: Held | None,
    *,
    start: datetime = AT - YEAR,
    end: datetime = AT + YEAR,
    is_authority: bool = False,
    usage: x509.KeyUsage | None = None,
    purpose: x509.ObjectIdentifier | None = None,
    has_lists: bool = True,
    lists: str = "http://lists.example.org/issuer.crl",
    answers: str = "",
) -> Held:
    """Issue a certificate; without an issuer it vouches for itself."""
    issuer = by.certificate.subject if by else _name(name)
    builder = (
        x509.CertificateBuilder()
        .subject_name(_name(name))
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(start)
        .not_valid_after(end)
        .add_extension(x509.BasicConstraints(is_authority, None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )
    above = by.key if by else key
    builder = builder.add_extension(
        x509.AuthorityKeyIdentifier.from_issuer_public_key(above.public_key()), critical=False
    )
    if usage is None:
        usage = _usage(key_cert_sign=True, crl_sign=True) if is_authority else _usage(content_commitment=True)
    builder = builder.add_extension(usage, critical=True)
    if purpose is not None:
        builder = builder.add_extension(x509.ExtendedKeyUsage([purpose]), critical=True)
    if by and has_lists:
        place = [x509.UniformResourceIdentifier(lists)]
        point = x509.DistributionPoint(full_name=place, relative_name=None, reasons=None, crl_issuer=None)
        builder = builder.add_extension(x509.CRLDistributionPoints([point]), critical=False)
    if by and answers:
        asked = x509.AccessDescription(AuthorityInformationAccessOID.OCSP, x509.UniformResourceIdentifier(answers))
        builder = builder.add_extension(x509.AuthorityInformationAccess([asked]), critical=False)
    certificate = builder.sign(above, None if isinstance(above, ed25519.Ed25519PrivateKey) else hashes.SHA256())
    chain = (by.certificate, *by.chain) if by else ()
    return Held(key, certificate, chain)


def revocations(
    by: Held,
    revoked: dict[int, datetime],
    *,
    made: datetime = AT - DAY,
    until: datetime = AT + 30 * DAY,
    said: tuple[x509.ExtensionType, ...] = (),
) -> bytes:
    """Make a revocation list: serial numbers and since when, and what is said of each besides."""
    builder = (
        x509.CertificateRevocationListBuilder()
        .issuer_name(by.certificate.subject)
        .last_update(made)
        .next_update(until)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(by.key.public_key()), critical=False)
        .add_extension(x509.CRLNumber(int(made.timestamp())), critical=False)
    )
    for serial, since in revoked.items():
        entry = x509.RevokedCertificateBuilder().serial_number(serial).revocation_date(since)
        for one in said:
            entry = entry.add_extension(one, critical=False)
        builder = builder.add_revoked_certificate(entry.build())
    return builder.sign(by.key, hashes.SHA256()).public_bytes(Encoding.DER)


def answer(
    by: Held,
    asked: Held,
    revoked: datetime | None = None,
    *,
    made: datetime = AT - DAY,
    until: datetime = AT + 30 * DAY,
) -> bytes:
    """Make what an authority answers when it is asked for one certificate (RFC 6960)."""
    builder = ocsp.OCSPResponseBuilder().add_response(
        cert=asked.certificate,
        issuer=by.certificate,
        algorithm=hashes.SHA256(),
        cert_status=ocsp.OCSPCertStatus.REVOKED if revoked else ocsp.OCSPCertStatus.GOOD,
        this_update=made,
        next_update=until,
        revocation_time=revoked,
        revocation_reason=None,
    )
    told = builder.responder_id(ocsp.OCSPResponderEncoding.HASH, by.certificate)
    return told.sign(by.key, hashes.SHA256()).public_bytes(Encoding.DER)


def curve() -> Key:
    """Make a key on a curve."""
    return ec.generate_private_key(ec.SECP256R1())


class Authority:
    """Everybody of one public-key infrastructure."""

    def __init__(self, name: str) -> None:
        self.root = issue(f"{name} root", curve(), None, is_authority=True, end=AT + 20 * YEAR)
        self.issuer = issue(f"{name} issuer", curve(), self.root, is_authority=True, end=AT + 10 * YEAR)
        self.surgeon = issue("Amos Tindlewick", curve(), self.issuer)
        self.rsa = issue("Amos Tindlewick RSA", rsa.generate_private_key(65537, 2048), self.issuer)
        self.edwards = issue("Amos Tindlewick Ed25519", ed25519.Ed25519PrivateKey.generate(), self.issuer)
        self.expired = issue("Expired", curve(), self.issuer, end=AT - DAY)
        self.early = issue("Not yet valid", curve(), self.issuer, start=AT + DAY)
        self.revoked = issue("Revoked", curve(), self.issuer)
        self.encipher = issue("Enciphers", curve(), self.issuer, usage=_usage(key_agreement=True))
        self.stamper = issue(
            "Time stamps",
            rsa.generate_private_key(65537, 2048),
            self.issuer,
            end=AT + 5 * YEAR,
            usage=_usage(digital_signature=True),
            purpose=ExtendedKeyUsageOID.TIME_STAMPING,
        )

    def trust(self, revoked: dict[int, datetime] | None = None, *, made: datetime = AT - DAY) -> Trust:
        """Give what a clinic would keep in its folder, with lists made at a moment for a month."""
        until = made + 30 * DAY
        lists = (
            revocations(self.root, {}, made=made, until=until),
            revocations(self.issuer, revoked or {}, made=made, until=until),
        )
        return Trust((self.root.der,), (self.issuer.der, self.stamper.der), lists)

    @contextmanager
    def stamping(self, *moments: datetime, damage: str = "") -> Iterator[str]:
        """Run the time-stamp authority over HTTP on this machine, a moment for each question; gives its address."""
        left = list(moments or (AT,))
        logic = DummyTimeStamper(
            asn1_x509.Certificate.load(self.stamper.der),
            asn1_keys.PrivateKeyInfo.load(
                self.stamper.key.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption())
            ),
            certs_to_embed=[asn1_x509.Certificate.load(self.issuer.der)],
            fixed_dt=left[0],
        )

        class Answer(http.server.BaseHTTPRequestHandler):
            def do_POST(self) -> None:
                query = self.rfile.read(int(self.headers["Content-Length"]))
                asked = tsp.TimeStampReq.load(query)
                if damage == "imprint":
                    asked["message_imprint"]["hashed_message"] = bytes(32)
                logic.fixed_dt = left.pop(0) if len(left) > 1 else left[0]
                reply = logic.request_tsa_response(asked).dump()
                if damage == "refused":
                    reply = bytes.fromhex("30053003020102")  # rejection, and no token
                self.send_response(500 if damage == "broken" else 200)
                kind = "text/html" if damage == "page" else "application/timestamp-reply"
                self.send_header("Content-Type", kind)
                self.send_header("Content-Length", str(len(reply)))
                self.end_headers()
                self.wfile.write(reply[:50] if damage == "cut" else reply)

            def log_message(self, *_: object) -> None:
                """Say nothing."""

        server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Answer)
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        try:
            yield f"http://127.0.0.1:{server.server_address[1]}/tsr"
        finally:
            server.shutdown()
            thread.join()
            server.server_close()


class Answering(Authority):
    """An authority that makes no lists and is asked for each certificate."""

    def __init__(self, name: str) -> None:
        super().__init__(name)
        where = {"has_lists": False, "answers": "http://answers.example.org"}
        self.issuer = issue(f"{name} issuer", curve(), self.root, is_authority=True, end=AT + 10 * YEAR, **where)
        self.surgeon = issue("Amos Tindlewick", curve(), self.issuer, **where)
        self.stamper = issue(
            "Time stamps",
            self.stamper.key,
            self.issuer,
            end=AT + 5 * YEAR,
            usage=_usage(digital_signature=True),
            purpose=ExtendedKeyUsageOID.TIME_STAMPING,
            **where,
        )

    def answering(self, revoked: datetime | None = None, *, made: datetime = AT - DAY) -> Trust:
        """Give what a clinic would keep in its folder: answers made at a moment, good for a month."""
        until = made + 30 * DAY
        told = (
            answer(self.root, self.issuer, made=made, until=until),
            answer(self.issuer, self.surgeon, revoked, made=made, until=until),
            answer(self.issuer, self.stamper, made=made, until=until),
        )
        return Trust((self.root.der,), (self.issuer.der, self.stamper.der), (), told)


@cache
def answering() -> Answering:
    """Give such an authority."""
    return Answering("Ostwick")


@cache
def authority() -> Authority:
    """Give the authority whom the clinic trusts."""
    return Authority("Holloway")


@cache
def stranger() -> Authority:
    """Give an authority whom nobody trusts."""
    return Authority("Stranger")
