"""
A PDF that should be signed, whom to trust and the time > passed, failed or indeterminate, with reasons.

Stricter than a viewer: the file is one of ours, so its signature is a certification, no change is allowed, and the
last signature covers every byte. What the register knows comes in as a time since when the file is known.
"""

from __future__ import annotations

import asyncio
import hashlib
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property

from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.diff_analysis import DiffResult, ModificationLevel
from pyhanko.sign.fields import MDPPerm
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature, read_certification_data
from pyhanko.sign.validation.status import PdfSignatureStatus, SignatureCoverageLevel

from docgen.problem import Message, say
from docgen.signing.ballast import has_ballast
from docgen.signing.certificates import judge_certificate
from docgen.signing.evidence import Kept, Proved, prove
from docgen.signing.findings import NOTHING, Checked, Known
from docgen.signing.keys import public_digest
from docgen.signing.locks import closes, open_field, persons
from docgen.signing.reader import Reader
from docgen.signing.second import second_findings
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
    second: Known = NOTHING,
) -> Checked:
    """
    Check the signatures of a file; nothing is fetched, and nothing about the patient is said.

    `known_since`: when the register took these very bytes in, if it did; it proves that the signature existed then.
    `expect_level`: the level of LEVELS the file was signed with; one that has less was tampered with.
    `second`: the same of the second signature, in a file that has one; the other two then tell of the first.
    """
    return asyncio.run(_safely(content, trust, now, (Known(known_since, expect_level), second)))


async def _safely(content: bytes, trust: Trust, now: datetime, known: tuple[Known, Known]) -> Checked:
    try:
        return await _checked(content, trust, now, known)
    except Exception:  # the file is whatever somebody sent: what cannot be read is no signature, and never our fault
        return Checked((Finding("signature-damaged", FAILED, say("the file or its signature is damaged")),))


@dataclass(frozen=True)
class _File:
    """A file with at least one signature, and how it is judged."""

    content: bytes
    reader: PdfFileReader
    signatures: list[EmbeddedPdfSignature]
    """Of persons, in the order they were made."""
    trust: Trust
    now: datetime

    @cached_property
    def opened(self) -> str:
        """The field the first signature leaves to the second."""
        return open_field(self.reader, self.signatures[0])

    @cached_property
    def has_second(self) -> bool:
        """True if the signatures are two, and the second one stands where the first one lets it."""
        return len(self.signatures) == 2 and self.signatures[1].field_name == self.opened != ""

    @cached_property
    def is_whole(self) -> bool:
        """True if each part of the file ends with a signature, and no byte could be written otherwise."""
        every = self.reader.embedded_signatures
        return (
            (len(self.signatures) == 1 or self.has_second)
            and [one.signed_revision for one in every] == list(range(1, self.reader.xrefs.total_revisions))
            and covers_to_the_end(self.content, every[-1])
            and all(is_canonical(self.content, one) for one in every)
        )

    def archive_of(self, signature: EmbeddedPdfSignature) -> list[EmbeddedPdfSignature]:
        """Give the archive's time stamps behind a signature."""
        stamps = self.reader.embedded_timestamp_signatures
        return [one for one in stamps if one.signed_revision > signature.signed_revision]


async def _checked(content: bytes, trust: Trust, now: datetime, known: tuple[Known, Known]) -> Checked:
    reader = Reader(content)
    file = _File(content, reader, reader.embedded_regular_signatures, trust, now)
    if not file.signatures:
        return Checked((Finding("signature-missing", FAILED, say("the file has no signature")),))
    second = await _looked_at(file, file.signatures[1], known[1]) if file.has_second else None
    since = min(filter(None, (known[0].since, second.proved_at if second else None)), default=None)
    is_broken = second is not None and any(one.code == "signature-broken" for one in second.findings)
    first = await _looked_at(file, file.signatures[0], replace(known[0], since=since), compares=not is_broken)
    findings = [
        *first.findings,
        _finding(file.is_whole, "file-whole", _WHOLE, "file-not-whole", _NOT_WHOLE),
        *_extra(not file.has_second and len(file.signatures) > 1, "signature-several", _SEVERAL),
        *(second_findings(first, second) if second else ()),
    ]
    return replace(first, findings=tuple(findings), whole_file=file.is_whole, open_field=file.opened, second=second)


async def _looked_at(file: _File, signature: EmbeddedPdfSignature, known: Known, *, compares: bool = True) -> Checked:
    """Look at one signature for itself, and at what was added to the file behind it."""
    archive = file.archive_of(signature)
    compares &= file.is_whole and signature is not file.reader.embedded_signatures[-1]
    proved = await prove(file.reader, signature, archive, file.trust, file.now, known.since, compares=compares)
    claimed, level = signature.self_reported_timestamp, _level(proved)
    certificate = signature.signer_cert
    findings = (
        *_integrity(file, signature, proved),
        *_extra(has_ballast(signature, proved, archive), "signature-ballast", _BALLAST),
        *judge_certificate(proved, file.trust, claimed),
        *judge_times(proved, claimed, file.now),
        *_expected(file.reader, proved, level, known.level),
    )
    return Checked(
        findings,
        signer=str(certificate.subject.native.get("common_name", "")),
        signer_digest=hashlib.sha256(certificate.dump()).hexdigest(),
        signer_key=public_digest(certificate),
        signed_at=claimed,
        proved_at=proved.proved_at,
        level=level,
    )


def _extra(is_wrong: bool, code: str, words: Message) -> list[Finding]:
    return [Finding(code, FAILED, words)] if is_wrong else []


def _integrity(file: _File, signature: EmbeddedPdfSignature, proved: Proved) -> list[Finding]:
    """Judge the signature as arithmetic, and what was added to the file behind it."""
    status = proved.signature
    is_intact = status.intact and status.valid
    found = [_finding(is_intact, "signature-intact", _INTACT, "signature-broken", _BROKEN)]
    is_first = signature is file.signatures[0]
    allowed = {file.opened} if is_first and file.has_second else set()
    found += _extra(file.is_whole and not _is_unchanged(status, allowed), "file-changed", _CHANGED)
    if is_first:
        words = _CERTIFIED_BUT_ONE if file.opened else _CERTIFIED
        found.append(_finding(_is_certified(file), "file-certified", words, "file-not-certified", _NOT_CERTIFIED))
    else:
        is_last = closes(signature)
        found.append(_finding(is_last, "file-closed", _CLOSED, "file-not-closed", _NOT_CLOSED))
    is_other = signature.sig_object.get("/SubFilter") != SUBFILTER
    return [*found, *_extra(is_other, "signature-kind", say("the signature is of another kind than docgen's (PAdES)"))]


def _is_certified(file: _File) -> bool:
    """Tell whether the first signature allows no change at all, or a second signature and nothing else."""
    certified = read_certification_data(file.reader)
    allowed = MDPPerm.FILL_FORMS if file.opened else MDPPerm.NO_CHANGES
    return (
        certified is not None
        and certified.permission == allowed
        and bool(certified.author_sig == file.signatures[0].sig_object)
    )


def _is_unchanged(status: PdfSignatureStatus, allowed: set[str]) -> bool:
    """
    Tell whether nothing stands behind a signature but the evidence and the stamp of an archive.

    `allowed`: fields in which another signature may stand.
    """
    if status.coverage not in (SignatureCoverageLevel.ENTIRE_FILE, SignatureCoverageLevel.ENTIRE_REVISION):
        return False
    changes = status.diff_result
    changed = changes.changed_form_fields if isinstance(changes, DiffResult) else set()
    most = ModificationLevel.FORM_FILLING if allowed else ModificationLevel.LTA_UPDATES
    return bool(status.docmdp_ok) and status.modification_level <= most and persons(changed) == allowed


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
_CERTIFIED_BUT_ONE = say("the file is certified: no change is allowed but the supervisor's signature")
_CLOSED = say("no change is allowed any more")
_NOT_CLOSED = say("it does not forbid further changes as docgen does it")
_SEVERAL = say("the file has more signatures than it has place for")
_BALLAST = say("the signature carries something that does not belong to it")
_NOT_CERTIFIED = say("the file is not certified as docgen does it")
