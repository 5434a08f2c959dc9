"""
A PDF that should be signed, whom to trust and the time > passed, failed or indeterminate, with reasons.

Stricter than a viewer: the file is one of ours, so its signature is a certification, no change is allowed, and the
last signature covers every byte. What the register knows comes in as a time since when the file is known.
"""

from __future__ import annotations

import asyncio
import hashlib
import io
from datetime import datetime

from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.diff_analysis import ModificationLevel
from pyhanko.sign.fields import MDPPerm
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature, read_certification_data
from pyhanko.sign.validation.status import PdfSignatureStatus, SignatureCoverageLevel

from docgen.problem import Message, say
from docgen.signing.ballast import has_ballast
from docgen.signing.certificates import judge_certificate
from docgen.signing.evidence import Kept, Proved, prove
from docgen.signing.findings import Checked
from docgen.signing.times import judge_times
from docgen.signing.trust import Trust
from docgen.signing.whole import covers_to_the_end, is_canonical
from docgen.verdict import FAILED, INDETERMINATE, PASSED, Finding

LEVELS = ("B-B", "B-T", "B-LT", "B-LTA")
"""Baseline levels: signed; with the time proved; with the evidence inside; with the evidence stamped for an archive."""

SUBFILTER = "/ETSI.CAdES.detached"


def check_pdf(
    content: bytes,
    trust: Trust,
    *,
    now: datetime,
    known_since: datetime | None = None,
    expect_level: str = "",
) -> Checked:
    """
    Check the signature of a file; nothing is fetched, and nothing about the patient is said.

    `known_since`: when the register took these very bytes in, if it did; it proves that the signature existed then.
    `expect_level`: the level of LEVELS the file was signed with; one that has less was tampered with.
    """
    return asyncio.run(_safely(content, trust, now, known_since, expect_level))


async def _safely(
    content: bytes, trust: Trust, now: datetime, known_since: datetime | None, expect_level: str
) -> Checked:
    try:
        return await _checked(content, trust, now, known_since, expect_level)
    except Exception:  # the file is whatever somebody sent: what cannot be read is no signature, and never our fault
        return Checked((Finding("signature-damaged", FAILED, say("the file or its signature is damaged")),))


async def _checked(
    content: bytes, trust: Trust, now: datetime, known_since: datetime | None, expect_level: str
) -> Checked:
    reader = PdfFileReader(io.BytesIO(content))
    signatures, archive = reader.embedded_regular_signatures, reader.embedded_timestamp_signatures
    if not signatures:
        return Checked((Finding("signature-missing", FAILED, say("the file has no signature")),))
    signature = signatures[0]
    whole = _is_whole(content, [signature, *archive]) and len(signatures) == 1
    proved = await prove(reader, signature, archive, trust, now, known_since, is_whole=whole)
    claimed = signature.self_reported_timestamp
    level = _level(proved)
    findings = [
        *_integrity(reader, signature, proved, is_whole=whole),
        _finding(whole, "file-whole", _WHOLE, "file-not-whole", _NOT_WHOLE),
        *_extra(len(signatures) > 1, "signature-several", say("the file has more than one signature")),
        *_extra(has_ballast(signature, proved, archive), "signature-ballast", _BALLAST),
        *judge_certificate(proved, trust, claimed),
        *judge_times(proved, claimed, now),
        *_expected(reader, proved, level, expect_level),
    ]
    certificate = signature.signer_cert
    return Checked(
        tuple(findings),
        signer=str(certificate.subject.native.get("common_name", "")),
        signer_digest=hashlib.sha256(certificate.dump()).hexdigest(),
        signed_at=claimed,
        proved_at=proved.proved_at,
        level=level,
        whole_file=whole,
    )


def _extra(is_wrong: bool, code: str, words: Message) -> list[Finding]:
    return [Finding(code, FAILED, words)] if is_wrong else []


def _is_whole(content: bytes, signatures: list[EmbeddedPdfSignature]) -> bool:
    return covers_to_the_end(content, signatures[-1]) and all(is_canonical(content, one) for one in signatures)


def _integrity(
    reader: PdfFileReader, signature: EmbeddedPdfSignature, proved: Proved, *, is_whole: bool
) -> list[Finding]:
    """Judge the signature as arithmetic, and what was added to the file behind it."""
    status = proved.signature
    is_intact = status.intact and status.valid
    found = [_finding(is_intact, "signature-intact", _INTACT, "signature-broken", _BROKEN)]
    found += _extra(is_whole and not _is_unchanged(status), "file-changed", _CHANGED)
    certified = read_certification_data(reader)
    is_certified = (
        certified is not None
        and certified.permission == MDPPerm.NO_CHANGES
        and certified.author_sig == signature.sig_object
    )
    found.append(_finding(is_certified, "file-certified", _CERTIFIED, "file-not-certified", _NOT_CERTIFIED))
    is_other = signature.sig_object.get("/SubFilter") != SUBFILTER
    return [*found, *_extra(is_other, "signature-kind", say("the signature is of another kind than docgen's (PAdES)"))]


def _is_unchanged(status: PdfSignatureStatus) -> bool:
    """Tell whether nothing stands behind a signature but the evidence and the stamp of an archive."""
    return (
        status.coverage in (SignatureCoverageLevel.ENTIRE_FILE, SignatureCoverageLevel.ENTIRE_REVISION)
        and bool(status.docmdp_ok)
        and status.modification_level in (ModificationLevel.NONE, ModificationLevel.LTA_UPDATES)
    )


def _level(proved: Proved) -> str:
    """Find the highest level that is proved."""
    status, stamp = proved.signature, proved.stamp
    if not (status.intact and status.valid):
        return ""
    if stamp is None or not stamp.trusted:
        return "B-B"
    if not proved.keeps_evidence:
        return "B-T"
    return "B-LTA" if proved.archive and all(one.trusted for one in proved.archive) else "B-LT"


def _expected(reader: PdfFileReader, proved: Proved, level: str, expected: str) -> list[Finding]:
    """Compare the level with the one a file was signed with: what is gone was taken away."""
    if not expected or not level or LEVELS.index(level) >= LEVELS.index(expected):
        return []
    has = (True, proved.stamp is not None, bool(Kept.of(reader)), bool(proved.archive))
    is_there = all(has[: LEVELS.index(expected) + 1])
    said = say("the file was signed with level %(expected)s and now reaches %(level)s", expected=expected, level=level)
    return [Finding("level-lower", INDETERMINATE if is_there else FAILED, said)]


def _finding(holds: bool, good: str, good_words: Message, bad: str, bad_words: Message) -> Finding:
    return Finding(good, PASSED, good_words) if holds else Finding(bad, FAILED, bad_words)


_INTACT = say("the signed words are as they were signed")
_BROKEN = say("the signature does not belong to these words: the file was changed, or the signature was")
_WHOLE = say("the signature covers the whole file")
_NOT_WHOLE = say("the signature does not cover the whole file: something was added or hidden")
_CHANGED = say("the file was changed after it was signed")
_CERTIFIED = say("the file is certified: no change is allowed")
_BALLAST = say("the signature carries something that does not belong to it")
_NOT_CERTIFIED = say("the file is not certified as docgen does it")
