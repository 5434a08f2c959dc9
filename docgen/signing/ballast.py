"""
The parts of a signature that are not signed, and the chain it was judged by > whether they say anything of their own.

What nobody signed could be changed unseen: certificates beside the signer's, the number of the format, the list of
digests. Each of them follows from the rest, and must be what follows.
"""

from __future__ import annotations

from asn1crypto import cms, core, x509
from pyhanko.sign.general import extract_signer_info
from pyhanko.sign.validation.generic_cms import extract_certs_for_validation, extract_tst_data_iter
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature
from pyhanko_certvalidator.path import ValidationPath

from docgen.signing.evidence import Proved

_DETACHED, _HOLDING = "data", "tst_info"
_VERSION = {_DETACHED: "v1", _HOLDING: "v3"}
"""RFC 5652, 5.1: what a signature without and with content of its own is numbered."""
_BLANK = (b"", b"\x05\x00")
"""What an algorithm says besides its name if there is nothing to say."""
_ATTRIBUTES = frozenset(("signature_time_stamp_token",))
"""What may stand beside a signature unsigned."""


def has_ballast(signature: EmbeddedPdfSignature, proved: Proved, archive: list[EmbeddedPdfSignature]) -> bool:
    """Tell whether a signature or one of its time stamps carries what does not belong to it."""
    if _is_loaded(signature.signed_data, proved.signature.validation_path):
        return True
    unsigned = signature.signer_info["unsigned_attrs"]
    if unsigned and not {one["type"].native for one in unsigned} <= _ATTRIBUTES:
        return True
    for token in extract_tst_data_iter(signature.signer_info, signed=False):
        if _is_loaded(token, proved.stamp.validation_path if proved.stamp else None):
            return True
    judged = zip(archive, proved.archive, strict=True)
    return any(_is_loaded(one.signed_data, status.validation_path) for one, status in judged)


def _is_loaded(signed: cms.SignedData, path: ValidationPath | None) -> bool:
    signer = extract_signer_info(signed)
    if not (_is_read(signed) and _is_read(signer)):
        return True
    kind = signed["encap_content_info"]["content_type"].native
    digests = [one["algorithm"].native for one in signed["digest_algorithms"]]
    if signed["version"].native != _VERSION.get(kind) or digests != [signer["digest_algorithm"]["algorithm"].native]:
        return True
    if signer["version"].native != ("v1" if signer["sid"].name == "issuer_and_serial_number" else "v3"):
        return True
    if signer["sid"].name == "issuer_and_serial_number":
        issuer = extract_certs_for_validation(signed).signer_cert.issuer
        if signer["sid"].chosen["issuer"].dump() != issuer.dump():  # readers compare names without regard to case
            return True
    named = [*signed["digest_algorithms"], signer["digest_algorithm"], signer["signature_algorithm"]]
    if any(one["algorithm"].native != "rsassa_pss" and one["parameters"].dump() not in _BLANK for one in named):
        return True
    if path is None:
        return False  # nobody is known, and the verdict says so
    known = {certificate.dump() for certificate in path}
    held = [one.chosen for one in signed["certificates"]]
    return bool(signed["crls"]) or any(one.dump() not in known and not _is_cross(one, path) for one in held)


def _is_read(group: core.Sequence) -> bool:
    """Tell whether all bytes of a group stand in parts that have a name: the library passes over others in silence."""
    return sum(len(group[name].dump()) for name in group) == len(group.contents)


def _is_cross(certificate: x509.Certificate, path: ValidationPath) -> bool:
    """
    Tell whether another issuer vouches here for one of the chain: authorities send such along with a time stamp.

    It differs in issuer and number, which no change of one byte can bring about.
    """
    return any(
        (certificate.subject, certificate.public_key.dump()) == (one.subject, one.public_key.dump())
        and certificate.issuer != one.issuer
        and certificate.serial_number != one.serial_number
        for one in path
    )
