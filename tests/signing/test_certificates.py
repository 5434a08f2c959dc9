"""What is known of a certificate decides; what is not known is never called good, and never called bad."""

from __future__ import annotations

import logging
import socket
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from asn1crypto.x509 import Certificate as ASN1Certificate
from conftest import ROOT
from cryptography import x509
from pyhanko.sign.fields import MDPPerm, SigSeedSubFilter

from docgen.signing import Trust, check_pdf
from tests.signing.another_program import sign_elsewhere
from tests.signing.conftest import NAME, made_note, opened, signed_by
from tests.signing.pki import AT, DAY, YEAR, Held, authority, curve, issue, revocations


def _without_lists() -> Trust:
    return replace(authority().trust(), crls=())


def test_without_lists_nobody_knows_whether_a_certificate_still_holds(signed: Callable[[str], bytes]) -> None:
    """Lists for the signer and for the issuer: one is not enough where both certificates name a place for them."""
    trust = authority().trust()
    known = [(), trust.crls[:1], trust.crls[1:]]
    found = [check_pdf(signed("B-B"), replace(trust, crls=crls), now=AT) for crls in known]

    assert [("indeterminate", ("revocation-unknown",))] * 3 == [(one.verdict, one.codes) for one in found]


def test_an_issuer_that_makes_no_lists_needs_none() -> None:
    """A clinic's own small authority, whose certificates name no place for lists."""
    issuer = issue("Small issuer", curve(), authority().root, is_authority=True, has_lists=False)
    content = signed_by(issue("Surgeon", curve(), issuer, has_lists=False))

    assert "passed" == check_pdf(content, _without_lists(), now=AT).verdict


def test_a_forged_list_proves_nothing(signed: Callable[[str], bytes]) -> None:
    """Signed by somebody else in the issuer's name."""
    twin = issue("Holloway issuer", curve(), authority().root, is_authority=True)
    forged = replace(authority().trust(), crls=(authority().trust().crls[0], revocations(twin, {})))

    assert "indeterminate" == check_pdf(signed("B-B"), forged, now=AT).verdict


@pytest.mark.parametrize(("since", "verdict"), [(AT - DAY, "failed"), (AT + DAY, "indeterminate")])
def test_a_revoked_issuer_counts_as_a_revoked_signer(
    since: datetime, verdict: str, signed: Callable[[str], bytes]
) -> None:
    """Whoever stands above falls with all below, from that day."""
    lists = revocations(authority().root, {authority().issuer.certificate.serial_number: since}, made=AT + DAY)
    trust = replace(authority().trust(), crls=(lists, authority().trust().crls[1]))

    assert verdict == check_pdf(signed("B-B"), trust, now=AT + 2 * DAY).verdict


def _listed(*said: x509.ExtensionType, since: datetime, made: datetime, until: datetime = AT + YEAR) -> Trust:
    serial = authority().surgeon.certificate.serial_number
    own = revocations(authority().issuer, {serial: since}, made=made, until=until, said=said)
    return replace(authority().trust(), crls=(authority().trust().crls[0], own))


def test_a_certificate_on_hold_comes_back(signed: Callable[[str], bytes]) -> None:
    """While it is on hold it does not count; when a later list does not name it, it does."""
    hold = x509.CRLReason(x509.ReasonFlags.certificate_hold)
    held = _listed(hold, since=AT - 3 * DAY, made=AT - 2 * DAY, until=AT - DAY)
    still = _listed(hold, since=AT - 3 * DAY, made=AT - 2 * DAY)
    free = replace(held, crls=(*held.crls, authority().trust().crls[1]))

    assert "passed" == check_pdf(signed("B-B"), free, now=AT).verdict
    assert "passed" != check_pdf(signed("B-B"), held, now=AT).verdict
    assert "passed" != check_pdf(signed("B-B"), still, now=AT).verdict


def test_a_key_that_was_lost_before_it_was_revoked_counts_from_the_loss(signed: Callable[[str], bytes]) -> None:
    """The list says since when the key is suspect."""
    lost = x509.InvalidityDate((AT - DAY).replace(tzinfo=None))
    trust = _listed(lost, since=AT + DAY, made=AT + 2 * DAY)

    assert "failed" == check_pdf(signed("B-T"), trust, now=AT + 3 * DAY).verdict
    assert "passed" == check_pdf(signed("B-T"), _listed(since=AT + DAY, made=AT + 2 * DAY), now=AT + 3 * DAY).verdict


def test_a_list_made_later_speaks_for_what_the_register_knows(signed: Callable[[str], bytes]) -> None:
    """Years later only new lists are at hand; they tell since when somebody was revoked, and so that nobody was."""
    trust = authority().trust(made=AT + YEAR / 2)

    assert "passed" == check_pdf(signed("B-B"), trust, now=AT + YEAR / 2 + DAY, known_since=AT).verdict


def test_another_issuer_may_vouch_for_the_root_too() -> None:
    """Authorities send such a certificate along; it is no ballast, and a stranger's is."""
    old = issue("Old root", curve(), None, is_authority=True)
    cross = issue("Holloway root", authority().root.key, old, is_authority=True)
    surgeon = authority().surgeon
    crossed = signed_by(Held(surgeon.key, surgeon.certificate, (authority().issuer.certificate, cross.certificate)))
    key = opened(surgeon)
    key.signer.cert_registry.register(ASN1Certificate.load(old.der))
    loaded = sign_elsewhere(made_note(), key)

    assert "passed" == check_pdf(crossed, authority().trust(), now=AT).verdict
    assert ("signature-ballast",) == check_pdf(loaded, authority().trust(), now=AT).codes


@pytest.mark.parametrize("level", ["B-B", "B-LT"])
def test_nothing_is_fetched(level: str) -> None:
    """Certificates name places for revocation lists; neither signing nor checking asks there."""
    with socket.create_server(("127.0.0.1", 0)) as place:
        place.settimeout(0)
        address = f"http://127.0.0.1:{place.getsockname()[1]}/issuer.crl"
        content = signed_by(issue("Surgeon", curve(), authority().issuer, lists=address), level=level)
        for trust in (authority().trust(), _without_lists()):
            check_pdf(content, trust, now=AT + DAY)

        with pytest.raises(BlockingIOError):
            place.accept()


def test_a_weak_digest_is_not_good_any_more() -> None:
    """SHA-1 can be forged."""
    content = sign_elsewhere(made_note(), opened(authority().rsa), md_algorithm="sha1")
    checked = check_pdf(content, authority().trust(), now=AT)

    assert ("indeterminate", ("algorithm-weak",)) == (checked.verdict, checked.codes)


def test_another_kind_of_signature_is_not_ours() -> None:
    """PDF knows older kinds beside PAdES."""
    content = sign_elsewhere(made_note(), opened(authority().rsa), subfilter=SigSeedSubFilter.ADOBE_PKCS7_DETACHED)
    checked = check_pdf(content, authority().trust(), now=AT)

    assert "failed" == checked.verdict
    assert "signature-kind" in checked.codes


def test_nothing_is_logged_of_whom_a_certificate_names(
    signed: Callable[[str], bytes], caplog: pytest.LogCaptureFixture, capfd: pytest.CaptureFixture[str]
) -> None:
    """The library under us writes names to the log when something is wrong; we keep it quiet."""
    with caplog.at_level(logging.DEBUG):
        for trust in (_without_lists(), Trust(), _listed(since=AT - DAY, made=AT)):
            check_pdf(signed("B-T"), trust, now=AT)
        check_pdf(signed("B-LT")[:-30], authority().trust(), now=AT)
    said = caplog.text + "".join(capfd.readouterr())

    assert "Holloway" not in said
    assert NAME not in said


def test_the_log_stays_quiet_for_who_never_set_it_up(signed: Callable[[str], bytes], tmp_path: Path) -> None:
    """In a program of its own, as a command is."""
    path = tmp_path / "signed.pdf"
    path.write_bytes(signed("B-B"))
    script = (
        "import sys, pathlib, datetime\n"
        "from docgen.signing import NO_TRUST, check_pdf\n"
        "now = datetime.datetime(2026, 1, 20, 12, tzinfo=datetime.UTC)\n"
        "print(check_pdf(pathlib.Path(sys.argv[1]).read_bytes(), NO_TRUST, now=now).verdict)\n"
    )
    done = subprocess.run([sys.executable, "-c", script, str(path)], capture_output=True, text=True, cwd=ROOT)

    assert ("indeterminate\n", "") == (done.stdout, done.stderr)


def test_a_certificate_that_was_not_valid_yet_never_signed() -> None:
    """Another program did not look at its days."""
    content = sign_elsewhere(made_note(), opened(authority().early))
    checked = check_pdf(content, authority().trust(), now=AT + 2 * DAY)

    assert ("failed", ("certificate-not-yet-valid",)) == (checked.verdict, checked.codes)


@pytest.mark.parametrize("fate", ["stamper", "encipher", "issuer"])
def test_a_certificate_for_something_else_signs_no_document(fate: str) -> None:
    """For time stamps, for secrets, or for issuing certificates."""
    content = sign_elsewhere(made_note(), opened(getattr(authority(), fate)))
    checked = check_pdf(content, authority().trust(), now=AT)

    assert ("indeterminate", ("certificate-usage",)) == (checked.verdict, checked.codes)


def test_a_second_signature_is_not_ours() -> None:
    """Another program lets a second person sign."""
    first = sign_elsewhere(made_note(), opened(authority().rsa), docmdp_permissions=MDPPerm.FILL_FORMS)
    second = sign_elsewhere(first, opened(authority().surgeon), certify=False, field_name="ArchiveTS")
    checked = check_pdf(second, authority().trust(), now=AT)

    assert "failed" == checked.verdict
    assert "signature-several" in checked.codes
