"""
Signatures of a PDF, trust and a moment > what each one proves: who, when, and whether the certificate held.

The moment goes back in time: what is proved to have existed is judged as of then (ETSI EN 319 102-1, 5.6). The youngest
time stamp is judged now, the one before it at the time of the youngest, the signer at the time of the oldest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from asn1crypto import x509
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.ades.report import AdESIndeterminate
from pyhanko.sign.validation.dss import DocumentSecurityStore
from pyhanko.sign.validation.errors import NoDSSFoundError
from pyhanko.sign.validation.pdf_embedded import (
    EmbeddedPdfSignature,
    async_validate_pdf_signature,
    async_validate_pdf_timestamp,
)
from pyhanko.sign.validation.settings import KeyUsageConstraints
from pyhanko.sign.validation.status import DocumentTimestampStatus, PdfSignatureStatus, TimestampSignatureStatus
from pyhanko_certvalidator import ValidationContext

from docgen.signing.keys import USAGES
from docgen.signing.locks import OURS
from docgen.signing.trust import Trust

USAGE = KeyUsageConstraints(key_usage=USAGES)


@dataclass(frozen=True)
class Kept:
    """The evidence a file carries itself."""

    certificates: tuple[bytes, ...] = ()
    crls: tuple[bytes, ...] = ()
    ocsps: tuple[bytes, ...] = ()

    @classmethod
    def of(cls, reader: PdfFileReader) -> Kept:
        """Read the document security store of a file."""
        try:
            store = DocumentSecurityStore.read_dss(reader)
        except NoDSSFoundError:
            return cls()
        return cls(
            tuple(certificate.dump() for certificate in store.load_certs()),
            tuple(held.get_object().data for held in store.crls),
            tuple(held.get_object().data for held in store.ocsps),
        )

    def __bool__(self) -> bool:
        return bool(self.crls or self.ocsps)


@dataclass(frozen=True)
class Proved:
    """What the signature of a file proves."""

    signature: PdfSignatureStatus
    """Judged at the time that is proved."""
    stamp: TimestampSignatureStatus | None
    """The time stamp of the signature."""
    archive: tuple[DocumentTimestampStatus, ...]
    """The archive's time stamps, oldest first."""
    proved_at: datetime | None
    """Not later than this the signature was there; None if nothing proves it."""
    keeps_evidence: bool
    """True if all that is needed to judge the signer's certificate stands in the file itself."""
    lacks_lists: bool = False
    """True if the chain would hold, did anybody say that nothing of it is revoked."""


async def prove(
    reader: PdfFileReader,
    signature: EmbeddedPdfSignature,
    archive: Sequence[EmbeddedPdfSignature],
    trust: Trust,
    now: datetime,
    known_since: datetime | None,
    *,
    compares: bool,
) -> Proved:
    """
    Judge the archive's time stamps behind a signature from the youngest to the oldest, then the signature.

    `compares`: what was added behind the signature is looked at; without, the file counts as changed if anything was.
    """
    kept = Kept.of(reader)
    proved = known_since
    judged = []
    for one in reversed(archive):
        context = judging_context(trust, kept, proved or now)
        judged.append(await async_validate_pdf_timestamp(one, context, skip_diff=True))
        proved = _earlier(proved, judged[-1])
    context = judging_context(trust, kept, proved or now)
    first = await _judged(signature, context, context, skip_diff=True)
    if not (first.intact and first.valid):
        return Proved(first, first.timestamp_validity, tuple(reversed(judged)), proved, False)
    if compares:  # which reads the whole file, object by object
        first = await _judged(signature, context, context)
    stamp = first.timestamp_validity
    at = _earlier(proved, stamp)
    status = first
    if at != proved:
        then = await _judged(signature, judging_context(trust, kept, at or now), context, skip_diff=True)
        status = replace(then, docmdp_ok=first.docmdp_ok, diff_result=first.diff_result)
    has_own = bool(kept) and await _stands_alone(signature, trust, kept, at or now)
    lacking = False
    if status.trust_problem_indic is AdESIndeterminate.CERTIFICATE_CHAIN_GENERAL_FAILURE:
        lenient = judging_context(trust, kept, at or now, mode="soft-fail")
        lacking = (await _judged(signature, lenient, lenient, skip_diff=True)).trusted
    return Proved(status, stamp, tuple(reversed(judged)), at, has_own, lacking)


async def _judged(
    signature: EmbeddedPdfSignature, signer: ValidationContext, stamps: ValidationContext, *, skip_diff: bool = False
) -> PdfSignatureStatus:
    return await async_validate_pdf_signature(
        signature, signer, stamps, key_usage_settings=USAGE, diff_policy=OURS, skip_diff=skip_diff
    )


async def _stands_alone(signature: EmbeddedPdfSignature, trust: Trust, kept: Kept, moment: datetime) -> bool:
    """Judge a signature by what stands in its file and the roots alone, all of the chain asked."""
    alone = judging_context(Trust(roots=trust.roots), kept, moment, mode="require")
    return (await _judged(signature, alone, alone, skip_diff=True)).trusted


def _earlier(proved: datetime | None, status: TimestampSignatureStatus | None) -> datetime | None:
    """Move the time that is proved back to that of a time stamp that holds."""
    if status is None or not (status.intact and status.valid and status.trusted):
        return proved
    return min(proved, status.timestamp) if proved else status.timestamp


def judging_context(trust: Trust, kept: Kept, moment: datetime, mode: str = "hard-fail") -> ValidationContext:
    """
    Make what pyHanko judges certificates by, at a moment.

    hard-fail: a certificate that names a place for revocation lists needs one. Lists made after the moment count, as
    they say when a certificate was revoked.
    """
    return ValidationContext(
        trust_roots=[x509.Certificate.load(one) for one in trust.roots],
        other_certs=[x509.Certificate.load(one) for one in (*trust.others, *kept.certificates)],
        crls=[*trust.crls, *kept.crls],
        ocsps=[*trust.ocsps, *kept.ocsps],
        moment=moment,
        allow_fetching=False,
        revocation_mode=mode,
        retroactive_revinfo=True,
    )
