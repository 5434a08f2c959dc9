"""pyHanko's validation by ETSI EN 319 102-1: a second opinion, as our own check is built on other parts of it."""

from __future__ import annotations

import asyncio
import io
from datetime import datetime

from asn1crypto import crl, x509
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.validation.ades import ades_basic_validation, ades_lta_validation, ades_with_time_validation
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature
from pyhanko.sign.validation.policy_decl import (
    LocalKnowledge,
    PdfSignatureValidationSpec,
    RevinfoOnlineFetchingRule,
    RevocationInfoGatheringSpec,
    SignatureValidationSpec,
)
from pyhanko.sign.validation.settings import KeyUsageConstraints
from pyhanko_certvalidator.context import CertValidationPolicySpec
from pyhanko_certvalidator.ltv.types import ValidationTimingInfo
from pyhanko_certvalidator.policy_decl import REQUIRE_REVINFO, CertRevTrustPolicy
from pyhanko_certvalidator.registry import SimpleTrustManager
from pyhanko_certvalidator.revinfo.archival import CRLContainer

from docgen.signing import Trust


def judged_by_etsi(content: bytes, trust: Trust, now: datetime, level: str) -> str:
    """Give the subindication of the procedure for a level: "OK", or what is wrong."""
    return asyncio.run(_judged(content, trust, now, level))


async def _judged(content: bytes, trust: Trust, now: datetime, level: str) -> str:
    signature = PdfFileReader(io.BytesIO(content)).embedded_regular_signatures[0]
    spec, timing = _spec(trust), ValidationTimingInfo(now, now, point_in_time_validation=True)
    if level == "B-LTA":
        signature.compute_integrity_info()
        whole = PdfSignatureValidationSpec(spec)
        found = await ades_lta_validation(signature, whole, timing_info=timing)
        return str(found.ades_subindic.name)
    return await _without_archive(signature, spec, timing, level)


async def _without_archive(
    signature: EmbeddedPdfSignature, spec: SignatureValidationSpec, timing: ValidationTimingInfo, level: str
) -> str:
    judge = ades_basic_validation if level == "B-B" else ades_with_time_validation
    digest = signature.compute_digest()
    found = await judge(signature.signed_data, spec, timing_info=timing, raw_digest=digest)
    return str(found.ades_subindic.name)


def _spec(trust: Trust) -> SignatureValidationSpec:
    """Trust the same as our check, and fetch nothing."""
    manager = SimpleTrustManager.build(trust_roots=[x509.Certificate.load(one) for one in trust.roots])
    policy = CertValidationPolicySpec(manager, CertRevTrustPolicy(REQUIRE_REVINFO))
    return SignatureValidationSpec(
        cert_validation_policy=policy,
        ts_cert_validation_policy=policy,
        revinfo_gathering_policy=RevocationInfoGatheringSpec(RevinfoOnlineFetchingRule.LOCAL_ONLY),
        local_knowledge=LocalKnowledge(
            known_certs=[x509.Certificate.load(one) for one in trust.others],
            known_crls=[CRLContainer(crl.CertificateList.load(one)) for one in trust.crls],
        ),
        key_usage_settings=KeyUsageConstraints(key_usage={"non_repudiation", "digital_signature"}),
    )
