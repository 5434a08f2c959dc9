"""
A finished PDF and a surgeon's key > the PDF signed (PAdES); a signed PDF > whether its signature holds, and why not.

Apart from `issue`, because a signature proves who answers for a page, the register what the page was.
Nothing is fetched but time stamps, and those only from the authority a wish names.
"""

import logging

from docgen.signing.check import LEVELS, check_pdf
from docgen.signing.fields import SignatureField, signature_fields
from docgen.signing.findings import Checked, Known
from docgen.signing.keys import SigningKey, find_password, open_key, require_sound
from docgen.signing.sign import SignWish, countersign_pdf, place_left, sign_pdf
from docgen.signing.token import open_token
from docgen.signing.trust import NO_TRUST, Trust, read_trust

__all__ = [
    "LEVELS",
    "NO_TRUST",
    "Checked",
    "Known",
    "SignWish",
    "SignatureField",
    "SigningKey",
    "Trust",
    "check_pdf",
    "countersign_pdf",
    "find_password",
    "open_key",
    "open_token",
    "place_left",
    "read_trust",
    "require_sound",
    "sign_pdf",
    "signature_fields",
]

for _name in ("pyhanko", "pyhanko_certvalidator"):  # they write the names on certificates to standard error
    logging.getLogger(_name).setLevel(logging.CRITICAL + 1)
