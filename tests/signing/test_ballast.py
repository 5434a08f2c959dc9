"""The parts of a signature that nobody signed say nothing of their own: whatever is put there is found."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from asn1crypto import algos, cms, core, crl, x509

from docgen.signing import check_pdf
from tests.signing.pki import AT, authority, stranger

Change = Callable[[Any], None]
"""What is done to the content of a signature."""


def edited(content: bytes, change: Change, place: int = 0) -> bytes:
    """Change what a signature carries, and write it back as it was written: in its place, zeros behind."""
    held = list(re.finditer(rb"<(3082[0-9A-F]+)>", content))[place]
    info = cms.ContentInfo.load(bytes.fromhex(held.group(1).decode()))
    change(info["content"])
    written = info.dump(force=True).hex().upper().encode()
    assert len(written) <= len(held.group(1))
    return content[: held.start(1)] + written.ljust(len(held.group(1)), b"0") + content[held.end(1) :]


def _strange() -> x509.Certificate:
    return x509.Certificate.load(stranger().root.der)


def _add_certificate(signed: Any) -> None:
    signed["certificates"].append(cms.CertificateChoices({"certificate": _strange()}))


def _add_list(signed: Any) -> None:
    lists = [crl.CertificateList.load(one) for one in stranger().trust().crls]
    signed["crls"] = [cms.RevocationInfoChoice({"crl": one}) for one in lists[:1]]


def _add_to_time_stamp(signed: Any) -> None:
    _add_certificate(signed["signer_infos"][0]["unsigned_attrs"][0]["values"][0]["content"])


def _add_attribute(signed: Any) -> None:
    words = {
        "type": cms.CMSAttributeType("1.2.3.4.5"),
        "values": [core.Any(core.UTF8String("signed by somebody else"))],
    }
    signed["signer_infos"][0]["unsigned_attrs"].append(cms.CMSAttribute(words))


def _add_digest(signed: Any) -> None:
    signed["digest_algorithms"].append(algos.DigestAlgorithm({"algorithm": "sha512"}))


def _change_version(signed: Any) -> None:
    signed["version"] = "v4"


def _change_signer_version(signed: Any) -> None:
    signed["signer_infos"][0]["version"] = "v3"


CHANGES = {
    "certificate": (_add_certificate, 0),
    "list": (_add_list, 0),
    "certificate of a time stamp": (_add_to_time_stamp, 0),
    "certificate of the archive": (_add_certificate, 1),
    "attribute": (_add_attribute, 0),
    "digest": (_add_digest, 0),
    "version": (_change_version, 0),
    "version of the archive": (_change_version, 1),
    "version of the signer": (_change_signer_version, 0),
}


@pytest.mark.parametrize("name", CHANGES)
def test_what_does_not_belong_to_a_signature_is_found(name: str, signed: Callable[[str], bytes]) -> None:
    """It changes nothing of what was signed, and somebody put it there."""
    change, place = CHANGES[name]
    level = "B-LTA" if place else "B-LT"
    checked = check_pdf(edited(signed(level), change, place), authority().trust(), now=AT)

    assert ("failed", ("signature-ballast",)) == (checked.verdict, checked.codes)


def test_an_algorithm_says_no_more_than_its_name(signed: Callable[[str], bytes]) -> None:
    """Where nothing stands as a value another kind of nothing could."""
    name = b"0609608648016503040201"
    changed = signed("B-B").replace(name + b"0500", name + b"0C00", 1)

    assert signed("B-B") != changed
    assert "failed" == check_pdf(changed, authority().trust(), now=AT).verdict


def test_the_issuer_of_the_signer_is_written_as_on_the_certificate(signed: Callable[[str], bytes]) -> None:
    """In a name no reader tells small letters from capitals, and yet a byte would have changed."""
    content, name = signed("B-B"), b"Holloway issuer".hex().upper().encode()
    places = [found.start() for found in re.finditer(name, content)]  # on certificates, and where the signer is named
    found = {check_pdf(content[:at] + b"68" + content[at + 2 :], authority().trust(), now=AT).verdict for at in places}

    assert len(places) > 1
    assert {"failed"} == found


def test_a_time_stamp_that_is_no_more_called_one_is_found(signed: Callable[[str], bytes]) -> None:
    """Whoever reads on passes over what it does not know; one byte would take the proof of time away."""
    content = signed("B-T")
    token = content.index(b"060B2A864886F70D010910020E")  # the name of a time stamp; before it the group, then the mark
    mark = content.rindex(b"A182", 0, token)
    changed = content[:mark] + b"C1" + content[mark + 2 :]
    checked = check_pdf(changed, authority().trust(), now=AT)

    assert ("failed", ("signature-ballast",)) == (checked.verdict, checked.codes)


def test_written_again_without_a_change_it_is_as_it_was(signed: Callable[[str], bytes]) -> None:
    """The test itself changes nothing but what it means to."""
    assert signed("B-LT") == edited(signed("B-LT"), lambda signed: None)
