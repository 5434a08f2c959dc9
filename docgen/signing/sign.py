"""
A finished PDF with a prepared field, a key and a wish > the PDF signed and certified (PAdES, ETSI EN 319 142).

The signature is one update behind the file as it was: appearance, tooltip and evidence are written in the same step,
so that the signature covers all of them. The archive's time stamp is a second update.
"""

from __future__ import annotations

import asyncio
import hashlib
import io
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from asn1crypto import x509
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.pdf_utils.misc import PdfError
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.pdf_utils.writer import BasePdfFileWriter
from pyhanko.sign.fields import MDPPerm, SigSeedSubFilter, enumerate_sig_fields
from pyhanko.sign.general import SigningError
from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner, PdfTimeStamper, constants
from pyhanko.sign.signers.pdf_signer import (
    DSSContentSettings,
    PdfSigningSession,
    SigDSSPlacementPreference,
    TimestampDSSContentSettings,
)
from pyhanko.sign.timestamps import TimeStamper
from pyhanko.sign.timestamps.common_utils import TimestampRequestError
from pyhanko.stamp.noop import NoOpStampStyle
from pyhanko_certvalidator import ValidationContext
from pyhanko_certvalidator.errors import PathBuildingError, PathValidationError

from docgen.problem import Refused, say
from docgen.signing.authority import Authority
from docgen.signing.check import LEVELS, check_pdf
from docgen.signing.evidence import Kept, judging_context
from docgen.signing.fields import ARCHIVE_FIELD, SignatureField, signature_fields
from docgen.signing.findings import Checked, Known
from docgen.signing.keys import USAGES, SigningKey, refusal, require_sound
from docgen.signing.locks import leave_open
from docgen.signing.refusals import changed, no_archive_field, no_field, no_place, same_signer, unproved, unsound, wrong
from docgen.signing.trust import NO_TRUST, Trust
from docgen.verdict import FAILED

DIGEST = "sha256"
"""Of the archive's time stamp; a signature has the digest that fits its key."""

BESIDE = 1536
"""Bytes a signature needs besides its certificates: up to 512 of the key, the rest for what is signed."""


@dataclass(frozen=True)
class SignWish:
    """How a document is to be signed."""

    at: datetime
    """The moment, aware; in the clinic's zone, as the page says it."""
    name: str
    """Who signs, as printed (21 CFR 11.50)."""
    reason: str
    """What the signature means, in words."""
    field: str = ""
    """The name of the prepared field; empty for the first one that is not signed."""
    leave_open: str = ""
    """The name of a prepared field that somebody else may sign later; empty if no change is allowed at all."""
    level: str = "B-B"
    """One of LEVELS."""
    location: str = ""
    stamp: bytes = b""
    """A page as large as the field (`docgen.render.pdf.stamp`), the look of the signature; empty leaves it blank."""
    words: str = ""
    """What the stamp says, for who cannot see it; empty leaves the tooltip of the field."""
    tsa_url: str = ""
    """Address of the time-stamp authority, for every level but B-B."""
    tsa_seconds: float = 15.0
    """How long an answer may take."""
    trust: Trust = NO_TRUST
    """Roots, certificates between and revocation lists, for B-LT and B-LTA: of the signer and of the authority."""


def sign_pdf(content: bytes, key: SigningKey, wish: SignWish) -> bytes:
    """
    Sign a PDF; the same content, key, moment and wish give the same bytes but for the signature itself.

    Nothing is kept on failure. Errors: Refused with signature-field, signature-level, certificate-* (see `keys`),
    certificate-unproved, authority-*, or signature-unsound if our own check does not find what was to be made.
    """
    signed = _attempted(content, key, wish)
    checked = check_pdf(signed, wish.trust, now=wish.at, expect_level=wish.level)
    if checked.verdict != FAILED and checked.second is None and checked.open_field == wish.leave_open:
        return signed
    raise wrong(checked)


def countersign_pdf(content: bytes, key: SigningKey, wish: SignWish) -> bytes:
    """
    Add the second signature to a PDF, in the field that the first one left open.

    The file stays the beginning of the new one; its tooltips too, for the first signature vouches for them.
    Errors: as `sign_pdf` and `place_left`; signer-same, if the first signature was made with this key.
    """
    before, field = place_left(content, wish.trust, wish.at)
    if before.signer_key == key.public_digest:
        raise same_signer()
    mine = replace(wish, field=field.name, words="", leave_open="")
    signed = _attempted(content, key, mine, certifies=False)
    checked = check_pdf(signed, wish.trust, now=wish.at, second=Known(level=wish.level))
    if checked.verdict != FAILED and checked.second is not None:
        return signed
    raise wrong(checked)


def place_left(content: bytes, trust: Trust, now: datetime) -> tuple[Checked, SignatureField]:
    """
    Check a signed file, and find the field that its signature left open.

    Errors: Refused with signature-changed, if the file is not as it was signed, or signature-place.
    """
    before = check_pdf(content, trust, now=now)
    if before.verdict == FAILED:
        raise changed(before)
    free = [one for one in signature_fields(content) if one.name == before.open_field and not one.is_signed]
    if not free:
        raise no_place()
    return before, free[0]


def _attempted(content: bytes, key: SigningKey, wish: SignWish, *, certifies: bool = True) -> bytes:
    """Sign, and say in our words why it cannot be done."""
    require_sound(key, wish.at)
    _require_level(wish)
    try:
        return asyncio.run(_signed(content, key, wish, certifies=certifies))
    except Refused:
        raise
    except (PathBuildingError, PathValidationError) as error:
        raise unproved() from error
    except TimestampRequestError as error:
        fix = say("ask the authority, or sign without time stamp (level B-B)")
        raise refusal("authority-refused", say("the time-stamp authority gave no time stamp"), fix) from error
    except SigningError as error:
        if isinstance(error.__cause__, PathBuildingError | PathValidationError):
            raise unproved() from error
        raise unsound() from error
    except PdfError as error:
        raise unsound() from error


async def _signed(content: bytes, key: SigningKey, wish: SignWish, *, certifies: bool) -> bytes:
    writer = _Writer.over(content)
    field = _field(writer, wish.field)
    _look(writer, field, wish)
    if wish.leave_open and not leave_open(writer, field, wish.leave_open):
        raise no_field()
    authority = Authority(wish.tsa_url, wish.tsa_seconds) if wish.level != "B-B" else None
    has_evidence = wish.level in ("B-LT", "B-LTA")
    allowed = MDPPerm.FILL_FORMS if wish.leave_open else MDPPerm.NO_CHANGES
    meta = PdfSignatureMetadata(
        field_name=str(field["/T"]),
        reason=wish.reason,
        name=wish.name,
        location=wish.location or None,
        certify=certifies,
        docmdp_permissions=allowed,
        subfilter=SigSeedSubFilter.PADES,
        embed_validation_info=has_evidence,
        validation_context=_context(wish) if has_evidence else None,
        signer_key_usage=_usage(key),
        dss_settings=DSSContentSettings(include_vri=False, placement=SigDSSPlacementPreference.TOGETHER_WITH_SIGNATURE),
    )
    signer = _Signer(meta, key.signer, timestamper=authority, stamp_style=NoOpStampStyle())
    signer.at = wish.at
    output = _Output()
    room = None if authority else _room(key)
    await signer.async_sign_pdf(writer, existing_fields_only=True, output=output, bytes_reserved=room)
    if wish.level == "B-LTA" and authority:
        return await _archived(output.getvalue(), authority, wish)
    return output.getvalue()


async def _archived(signed: bytes, authority: TimeStamper, wish: SignWish) -> bytes:
    """Add the time stamp of the archive in the field that was prepared for it. Errors: Refused with signature-level."""
    writer = _Writer.over(signed)
    free = [found for found, *_ in enumerate_sig_fields(writer.prev, filled_status=False)]
    field = next((found for found in free if found.startswith(ARCHIVE_FIELD)), None)
    if field is None:
        raise no_archive_field()
    stamper = PdfTimeStamper(authority, field_name=field)
    settings = TimestampDSSContentSettings(include_vri=False, update_before_ts=True)
    output, context = _Output(), _context(wish)
    await stamper.async_timestamp_pdf(writer, DIGEST, validation_context=context, dss_settings=settings, output=output)
    return output.getvalue()


class _Output(io.BytesIO):
    """Ends each stream so that its length is beyond doubt, even if its last byte looks like the end of a line."""

    def write(self, content: Any, /) -> int:
        return super().write(b"\r\nendstream" if content == b"\nendstream" else content)


class _Writer(IncrementalPdfFileWriter):
    """Adds to a file without asking the clock or chance: its date stays, its second ID follows from its content."""

    @classmethod
    def over(cls, content: bytes) -> _Writer:
        """Begin an update of a file. Errors: Refused with signature-field."""
        try:
            writer = cls(io.BytesIO(content))
            first = writer.prev.trailer["/ID"][0]
        except (PdfError, KeyError, ValueError) as error:
            raise no_field() from error
        second = generic.ByteStringObject(hashlib.sha256(content).digest()[:16])
        writer._document_id = generic.ArrayObject([generic.ByteStringObject(first.original_bytes), second])
        return writer

    def _update_meta(self) -> None:
        """Leave the document's own properties as they were: they say what was composed, and when."""


class _Signer(PdfSigner):
    """Signs at the moment it is told."""

    at: datetime

    def init_signing_session(self, pdf_out: BasePdfFileWriter, existing_fields_only: bool = False) -> PdfSigningSession:
        session = super().init_signing_session(pdf_out, existing_fields_only)
        session.system_time = self.at
        return session

    def register_extensions(self, pdf_out: BasePdfFileWriter, *, md_algorithm: str) -> None:
        """Say that the file has a PAdES signature; it stays PDF 1.7, as PDF/A-3 is no other."""
        pdf_out.register_extension(constants.ESIC_EXTENSION_1)


def _field(writer: _Writer, name: str) -> generic.DictionaryObject:
    """Find the field to sign. Errors: Refused with signature-field."""
    for found, _, reference in enumerate_sig_fields(writer.prev, filled_status=False):
        if not found.startswith(ARCHIVE_FIELD) and name in ("", found):
            here = generic.IndirectObject(reference.idnum, reference.generation, writer)
            field: generic.DictionaryObject = here.get_object()
            writer.mark_update(here)
            return field
    raise no_field()


def _look(writer: _Writer, field: generic.DictionaryObject, wish: SignWish) -> None:
    """Give the field its appearance and its words."""
    if wish.stamp:
        look = writer.import_page_as_xobject(PdfFileReader(io.BytesIO(wish.stamp)))
        field[generic.pdf_name("/AP")] = generic.DictionaryObject({generic.pdf_name("/N"): look})
    if wish.words:
        field[generic.pdf_name("/TU")] = generic.pdf_string(wish.words)


def _context(wish: SignWish) -> ValidationContext:
    """Judge all of a chain: what cannot be proved today will not be provable later."""
    return judging_context(wish.trust, Kept(), wish.at, mode="require")


def _usage(key: SigningKey) -> set[str]:
    """Name what pyHanko shall ask a certificate for: one usage of USAGES, as `require_sound` found."""
    usage = x509.Certificate.load(key.certificate).key_usage_value
    return set(sorted(usage.native & USAGES)[-1:]) if usage is not None else set()


def _room(key: SigningKey) -> int:
    """Reckon the hex digits a signature without time stamp needs at most; by trial, no two would be the same."""
    held = {key.certificate, *(certificate.dump() for certificate in key.signer.cert_registry)}
    return 2 * (sum(map(len, held)) + BESIDE)


def _require_level(wish: SignWish) -> None:
    if wish.level not in LEVELS:
        raise ValueError(wish.level)
    if wish.level != "B-B" and not wish.tsa_url:
        what = say("the level %(level)s needs a time-stamp authority, and none is configured", level=wish.level)
        raise refusal("signature-level", what, say("configure the authority's address, or sign with level B-B"))
    if wish.level in ("B-LT", "B-LTA") and not wish.trust:
        what = say(
            "the level %(level)s needs the certificates that signer and authority lead back to", level=wish.level
        )
        fix = say("put roots and revocation lists into the folder of trusted certificates, or sign with a lower level")
        raise refusal("signature-level", what, fix)
