"""
What a signature proves and whom to trust > findings on the signer's certificate.

pyHanko's answer is one of ETSI's; here it becomes one of ours. A claimed time proves nothing for a signature, but it
may prove something against it: who says he signed with a certificate that was revoked by then did not sign.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from datetime import datetime

from asn1crypto import crl, x509
from pyhanko.sign.ades.report import AdESIndeterminate
from pyhanko.sign.validation.status import PdfSignatureStatus

from docgen.problem import Message, say
from docgen.signing.evidence import Proved
from docgen.signing.keys import is_for_documents
from docgen.signing.trust import Trust, answers
from docgen.verdict import FAILED, INDETERMINATE, PASSED, Finding


def judge_certificate(proved: Proved, trust: Trust, claimed: datetime | None) -> list[Finding]:
    """Judge whether the signer is known, and whether the certificate held when it was used."""
    status = proved.signature
    if not (status.intact and status.valid):
        return []  # a broken signature says nothing of anybody
    certificate: x509.Certificate = status.signing_cert
    at = proved.proved_at or claimed
    if at is not None and at < certificate.not_valid_before:
        return [Finding("certificate-not-yet-valid", FAILED, say("the certificate was not valid yet at the signature"))]
    if at is not None and at > certificate.not_valid_after:
        return [Finding("certificate-expired", FAILED, say("the certificate had expired before the signature"))]
    revoked = _revoked_on(status, trust)
    if revoked is not None:
        return [_judge_revoked(revoked, proved, claimed)]
    if not is_for_documents(certificate):
        return [Finding("certificate-usage", INDETERMINATE, _USAGE)]
    if status.trusted:
        return [Finding("signer-trusted", PASSED, _TRUSTED)]
    return [_unproved(proved)]


def _unproved(proved: Proved) -> Finding:
    """Say what is missing that could still prove the certificate."""
    problem = AdESIndeterminate.TRY_LATER if proved.lacks_lists else proved.signature.trust_problem_indic
    code, words = _WHY.get(problem, _OTHER)
    return Finding(code, INDETERMINATE, words)


def _judge_revoked(revoked: datetime, proved: Proved, claimed: datetime | None) -> Finding:
    """Judge a signature by a certificate that is revoked: only what is proved to be older holds."""
    at = proved.proved_at
    if at is not None and at < revoked:
        words = say("the certificate was revoked after the signature")
        return Finding("certificate-revoked-later", PASSED, words) if proved.signature.trusted else _unproved(proved)
    if at is not None or claimed is None or claimed >= revoked:
        words = say("the certificate, or that of its issuer, was revoked before the signature")
        return Finding("certificate-revoked", FAILED, words)
    words = say("the certificate is revoked, and nothing proves that the signature is older")
    return Finding("certificate-revoked-unproved", INDETERMINATE, words)


def _revoked_on(status: PdfSignatureStatus, trust: Trust) -> datetime | None:
    """
    Find when a certificate was revoked: by pyHanko's answer, or the signer's by any list of the trusted folder.

    Lists that are out of date count too, but for what may be taken back: a certificate put on hold.
    """
    certificate: x509.Certificate = status.signing_cert
    days = [status.revocation_details.revocation_date] if status.revocation_details is not None else []
    for content in trust.crls:
        revocations = crl.CertificateList.load(content)
        if revocations.issuer != certificate.issuer:
            continue
        for entry in revocations["tbs_cert_list"]["revoked_certificates"]:
            if entry["user_certificate"].native == certificate.serial_number and not _may_return(entry):
                suspect = entry.invalidity_date_value
                days += [entry["revocation_date"].native, *([suspect.native] if suspect is not None else [])]
    return min((*days, *_answered(certificate, trust)), default=None)


def _answered(certificate: x509.Certificate, trust: Trust) -> Iterator[datetime]:
    """Find when a certificate was revoked by the answers of the trusted folder, also by old ones."""
    for content in trust.ocsps:
        for one in answers(content):
            asked, status = one["cert_id"], one["cert_status"]
            issuer = hashlib.new(asked["hash_algorithm"]["algorithm"].native, certificate.issuer.dump()).digest()
            is_it = (asked["issuer_name_hash"].native, asked["serial_number"].native) == (
                issuer,
                certificate.serial_number,
            )
            if is_it and status.name == "revoked" and not _may_come_back(status.chosen["revocation_reason"].native):
                yield status.chosen["revocation_time"].native


def _may_return(entry: crl.RevokedCertificate) -> bool:
    reason = entry.crl_reason_value
    return reason is not None and _may_come_back(reason.native)


def _may_come_back(reason: str | None) -> bool:
    return reason in ("certificate_hold", "remove_from_crl")


_TRUSTED = say("the signer's certificate leads to a trusted root and is not revoked")
_USAGE = say("the signer's certificate is not made for signing documents")
_OTHER = ("certificate-unproved", say("the chain of the signer's certificate cannot be proved"))
_WHY: dict[object, tuple[str, Message]] = {
    AdESIndeterminate.NO_CERTIFICATE_CHAIN_FOUND: (
        "issuer-unknown",
        say("nobody in the folder of trusted certificates vouches for the signer"),
    ),
    AdESIndeterminate.TRY_LATER: (
        "revocation-unknown",
        say("no current revocation list says whether the certificate still holds"),
    ),
    AdESIndeterminate.OUT_OF_BOUNDS_NO_POE: (
        "certificate-expired-unproved",
        say("the certificate has expired, and nothing proves that the signature is older"),
    ),
    AdESIndeterminate.CHAIN_CONSTRAINTS_FAILURE: ("certificate-usage", _USAGE),
    AdESIndeterminate.CRYPTO_CONSTRAINTS_FAILURE: (
        "algorithm-weak",
        say("the signature uses an algorithm that is not safe any more"),
    ),
    AdESIndeterminate.CRYPTO_CONSTRAINTS_FAILURE_NO_POE: (
        "algorithm-weak",
        say("the signature uses an algorithm that is not safe any more"),
    ),
}
