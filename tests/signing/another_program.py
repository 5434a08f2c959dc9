"""Signs as another program would: with pyHanko itself, and what its settings allow."""

from __future__ import annotations

from datetime import datetime
from io import BytesIO
from typing import Any

from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign.fields import MDPPerm, SigSeedSubFilter
from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner
from pyhanko.sign.signers.pdf_signer import PdfSigningSession
from pyhanko.stamp.noop import NoOpStampStyle

from docgen.signing import SigningKey, signature_fields
from tests.signing.pki import AT


class _Signer(PdfSigner):
    at: datetime | None

    def init_signing_session(self, *words: Any, **named: Any) -> PdfSigningSession:
        session = super().init_signing_session(*words, **named)
        session.system_time = self.at
        return session


def sign_elsewhere(content: bytes, key: SigningKey, *, at: datetime | None = AT, **told: object) -> bytes:
    """Sign the first field; what is not told is as we do it."""
    meta = {
        "field_name": signature_fields(content)[0].name,
        "subfilter": SigSeedSubFilter.PADES,
        "certify": True,
        "docmdp_permissions": MDPPerm.NO_CHANGES,
        **told,
    }
    signer = _Signer(PdfSignatureMetadata(**meta), key.signer, stamp_style=NoOpStampStyle())
    signer.at = at
    output: bytes = signer.sign_pdf(IncrementalPdfFileWriter(BytesIO(content)), existing_fields_only=True).getvalue()
    return output
