"""Answers about single certificates (RFC 6960), from an authority that makes no lists, stand for lists everywhere."""

from __future__ import annotations

import base64
import io
from datetime import datetime
from pathlib import Path

import pikepdf
import pytest
from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509 import ocsp

from docgen.problem import Refused
from docgen.signing import Trust, check_pdf, read_trust
from tests.signing.conftest import signed_by
from tests.signing.pki import AT, DAY, YEAR, answering


def test_answers_are_read_from_the_folder(tmp_path: Path) -> None:
    """As they come over the line, and armored; one by which the authority refused to answer is named."""
    trust = answering().answering()
    for place, content in enumerate(trust.ocsps[:2]):
        (tmp_path / f"{place}.ors").write_bytes(content)
    armored = base64.encodebytes(trust.ocsps[2])
    (tmp_path / "stamps.pem").write_bytes(
        b"-----BEGIN OCSP RESPONSE-----\n" + armored + b"-----END OCSP RESPONSE-----\n"
    )
    read = read_trust(tmp_path)
    refusal = ocsp.OCSPResponseBuilder.build_unsuccessful(ocsp.OCSPResponseStatus.TRY_LATER)
    (tmp_path / "later.ors").write_bytes(refusal.public_bytes(Encoding.DER))
    with pytest.raises(Refused) as refused:
        read_trust(tmp_path)

    assert set(trust.ocsps) == set(read.ocsps)
    assert ["trust-unreadable"] == [problem.code for problem in refused.value.problems]
    assert "later.ors" in refused.value.problems[0].in_words()


def test_a_note_keeps_the_answers_it_was_judged_by() -> None:
    """The evidence stands in the file: it passes with the root alone, as one with lists does."""
    content = signed_by(answering().surgeon, by=answering(), level="B-LT", trust=answering().answering())
    with pikepdf.open(io.BytesIO(content)) as file:
        kept = file.Root.DSS
        counted = len(kept.get("/OCSPs", [])), len(kept.get("/CRLs", []))
    checked = check_pdf(content, Trust(roots=(answering().root.der,)), now=AT + DAY)

    assert (3, 0) == counted
    assert ("passed", "B-LT") == (checked.verdict, checked.level)


@pytest.mark.parametrize(
    ("revoked", "level", "verdict", "code"),
    [
        (None, "B-B", "passed", "signer-trusted"),
        (AT - DAY, "B-B", "failed", "certificate-revoked"),
        (AT + DAY, "B-B", "indeterminate", "certificate-revoked-unproved"),
        (AT + DAY, "B-LT", "passed", "certificate-revoked-later"),
    ],
)
def test_an_answer_says_since_when_a_certificate_is_revoked(
    revoked: datetime | None, level: str, verdict: str, code: str
) -> None:
    """It is judged as a list is."""
    content = signed_by(answering().surgeon, by=answering(), level=level, trust=answering().answering())
    checked = check_pdf(content, answering().answering(revoked, made=AT + 2 * DAY), now=AT + 3 * DAY)

    assert verdict == checked.verdict
    assert code in {finding.code for finding in checked.findings}


def test_an_answer_that_ran_out_still_says_that_a_certificate_is_revoked() -> None:
    """It proves nothing good any more, but a revocation is not taken back."""
    content = signed_by(answering().surgeon, trust=answering().answering())
    old = answering().answering(AT - DAY, made=AT - DAY)
    checked = check_pdf(content, old, now=AT + YEAR / 2)

    assert "failed" == checked.verdict


def test_without_any_answer_nothing_is_proved() -> None:
    """The folder holds the root and no word on revocation."""
    content = signed_by(answering().surgeon, trust=answering().answering())
    whole = answering().answering()
    checked = check_pdf(content, Trust(whole.roots, whole.others), now=AT + DAY)

    assert "indeterminate" == checked.verdict
