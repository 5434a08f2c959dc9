"""A note is signed at every level, stays accessible and fit for an archive, and other programs find it sound."""

from __future__ import annotations

import hashlib
import io
import re
import subprocess
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta, timezone
from pathlib import Path

import page
import pikepdf
import pytest
from conftest import need_program

from docgen.blocks import Span
from docgen.problem import Refused
from docgen.render import pdf
from docgen.render.pdf.stamp import render_stamp
from docgen.render.style import read_style
from docgen.shipped import shipped_folder
from docgen.signing import LEVELS, NO_TRUST, SignWish, check_pdf, sign_pdf, signature_fields
from tests.render.composed import documents
from tests.signing.conftest import NAME, REASON, SAID, STAMP, made_note, made_stamp, opened, signed_by
from tests.signing.pki import AT, DAY, authority, curve, issue, stranger
from tests.signing.second_opinion import judged_by_etsi

ONLY_IN_ONE_UPDATE = "PDFA3A-SIGNATURE-BYTERANGE-001"
"""The validator wants each signature to reach the end of the file; with a time stamp behind it, it ends before."""


def faults(content: bytes, folder: Path) -> set[str]:
    """List what validators find wrong with a file: their rules, and qpdf's complaints."""
    found = set()
    for profile in (page.ValidationProfile.PDF_UA_1, page.ValidationProfile.PDF_A_3A):
        found |= {fault.rule_id for fault in page.validate_pdf_bytes(content, profile=profile).failures}
    path = folder / "signed.pdf"
    path.write_bytes(content)
    checked = subprocess.run([need_program("qpdf"), "--check", str(path)], capture_output=True, text=True)
    return found | (set() if checked.returncode == 0 else set((checked.stdout + checked.stderr).splitlines()))


@pytest.mark.parametrize("level", LEVELS)
def test_a_signed_note_stays_accessible_and_fit_for_an_archive(
    level: str, signed: Callable[[str], bytes], tmp_path: Path
) -> None:
    """PDF/UA-1 at every level; PDF/A-3a wherever one signature is the last word of the file."""
    allowed = {ONLY_IN_ONE_UPDATE} if level == "B-LTA" else set()

    assert allowed == faults(signed(level), tmp_path)


@pytest.mark.parametrize("level", LEVELS)
def test_a_signed_note_is_sound_at_its_level(level: str, signed: Callable[[str], bytes]) -> None:
    """Our own check passes it, at the level it was signed with, and names who signed when."""
    checked = check_pdf(signed(level), authority().trust(), now=AT, expect_level=level)

    assert ("passed", level, True) == (checked.verdict, checked.level, checked.whole_file)
    assert (NAME, AT) == (checked.signer, checked.signed_at)
    assert (None if level == "B-B" else AT) == checked.proved_at


@pytest.mark.parametrize("level", LEVELS)
def test_poppler_finds_the_signature_valid(level: str, signed: Callable[[str], bytes], tmp_path: Path) -> None:
    """pdfsig, a program of another house, reads the same signature."""
    path = tmp_path / "signed.pdf"
    path.write_bytes(signed(level))
    said = subprocess.run([need_program("pdfsig"), "-nocert", str(path)], capture_output=True, text=True).stdout
    first = said.partition("Signature #2")[0]

    assert "Signature is Valid." in first
    assert "ETSI.CAdES.detached" in first
    assert f"Common Name: {NAME}" in first
    assert "Total document signed" in said
    assert ("Total document signed" in first) == (level != "B-LTA")


@pytest.mark.parametrize("level", LEVELS)
def test_etsis_own_procedure_passes_it(level: str, signed: Callable[[str], bytes]) -> None:
    """PyHanko's validator by EN 319 102-1, which our check does not use, comes to the same answer."""
    assert "OK" == judged_by_etsi(signed(level), authority().trust(), AT, level)


@pytest.mark.parametrize("fate", ["surgeon", "rsa"])
def test_each_kind_of_key_signs(fate: str) -> None:
    """A curve and RSA."""
    signed = signed_by(getattr(authority(), fate))

    assert "passed" == check_pdf(signed, authority().trust(), now=AT).verdict


def test_the_file_before_is_the_beginning_of_the_file_after(signed: Callable[[str], bytes]) -> None:
    """Nothing that was composed is written anew."""
    assert signed("B-LTA").startswith(made_note())


def test_signing_twice_differs_in_the_signature_alone() -> None:
    """RSA has no chance in it: the same wish gives the same bytes; a curve differs between the brackets only."""
    bare = [re.sub(rb"<30[0-9A-F]+>", b"", signed_by(authority().surgeon)) for _ in range(2)]

    assert bare[0] == bare[1]
    assert signed_by(authority().rsa) == signed_by(authority().rsa)


def test_the_note_says_who_signed_when_and_why(signed: Callable[[str], bytes]) -> None:
    """Name, reason and moment with its zone stand in the signature; a reader hears the words of the stamp."""
    zone = timezone(timedelta(hours=-5))
    content = signed_by(authority().surgeon, at=AT.astimezone(zone), location="Holloway")
    with pikepdf.open(io.BytesIO(content)) as file:
        field = file.Root.AcroForm.Fields[0]
        held = field.V
        told = (str(held.Name), str(held.Reason), str(held.Location), str(held.M), str(held.SubFilter), str(field.TU))

    assert (NAME, REASON, "Holloway", "D:20260120050500-05'00'", "/ETSI.CAdES.detached", SAID) == told
    del signed


def test_a_note_is_certified_against_every_change(signed: Callable[[str], bytes]) -> None:
    """The catalog names the signature, and it allows no change."""
    with pikepdf.open(io.BytesIO(signed("B-B"))) as file:
        certified = file.Root.Perms.DocMDP
        permission = int(certified.Reference[0].TransformParams.P)

    assert 1 == permission


def test_the_archive_stamp_takes_the_prepared_field(signed: Callable[[str], bytes]) -> None:
    """No field is added by the signer: both have their place in the structure already."""
    with pikepdf.open(io.BytesIO(signed("B-LTA"))) as file:
        fields = [(str(one.T), str(one.V.Type), "/StructParent" in one) for one in file.Root.AcroForm.Fields]

    assert [True, True] == [is_tagged for *_, is_tagged in fields]
    assert ("ArchiveTS", "/DocTimeStamp") == fields[1][:2]
    assert "/Sig" == fields[0][1]


def test_without_a_stamp_the_field_looks_as_it_did() -> None:
    """A clinic may sign without a visible part."""
    content = signed_by(authority().surgeon, stamp=b"", words="")
    with pikepdf.open(io.BytesIO(content)) as file:
        field = file.Root.AcroForm.Fields[0]

        assert b"" == field.AP.N.read_bytes()
        assert "Signature Amos Tindlewick Operator" == str(field.TU)


REFUSALS = {
    "signature-field": {"field": "no such field"},
    "signature-level": {"tsa_url": "", "level": "B-T"},
    "certificate-unproved": {"trust": replace(authority().trust(), crls=()), "level": "B-LT"},
}


@pytest.mark.parametrize("code", REFUSALS)
def test_a_wish_that_cannot_be_met_is_refused_in_words(code: str) -> None:
    """The field is not there; no authority is configured; no list says that the certificates hold."""
    with pytest.raises(Refused) as refused:
        signed_by(authority().surgeon, **REFUSALS[code])

    assert [code] == [problem.code for problem in refused.value.problems]


@pytest.mark.parametrize(
    ("fate", "code"),
    [
        ("expired", "certificate-expired"),
        ("early", "certificate-not-yet-valid"),
        ("encipher", "certificate-usage"),
        ("stamper", "certificate-usage"),
        ("issuer", "certificate-usage"),
    ],
)
def test_a_certificate_that_may_not_sign_is_refused(fate: str, code: str) -> None:
    """Expired, not valid yet, or made for something else."""
    with pytest.raises(Refused) as refused:
        signed_by(getattr(authority(), fate))

    assert [code] == [problem.code for problem in refused.value.problems]


def test_evidence_of_a_revoked_key_is_refused() -> None:
    """At the levels that keep evidence, who is revoked does not sign."""
    trust = authority().trust({authority().revoked.certificate.serial_number: AT - DAY})

    for level in ("B-LT", "B-LTA"):
        with pytest.raises(Refused, match="certificate-unproved"):
            signed_by(authority().revoked, level=level, trust=trust)
    with pytest.raises(Refused, match="certificate-revoked"):
        signed_by(authority().revoked, level="B-B", trust=trust)


def test_a_stranger_to_the_roots_keeps_no_evidence() -> None:
    """Levels with evidence need a signer who leads back to a root."""
    with pytest.raises(Refused, match="certificate-unproved"):
        signed_by(stranger().surgeon, level="B-LT", by=authority())


def test_no_trust_no_evidence() -> None:
    """B-LT without a folder of certificates is refused before anything is asked of an authority."""
    with pytest.raises(Refused, match="signature-level"):
        signed_by(authority().surgeon, level="B-LT", trust=NO_TRUST)


def test_a_signed_file_is_not_signed_again(signed: Callable[[str], bytes]) -> None:
    """Its field is taken, and nothing else may be signed."""
    wish = SignWish(at=AT, name=NAME, reason=REASON)

    for level in LEVELS:
        with pytest.raises(Refused, match="signature-field"):
            sign_pdf(signed(level), opened(authority().surgeon), wish)


def test_what_is_no_pdf_is_refused() -> None:
    """Neither is it signed nor does it crash."""
    for content in (b"", b"%PDF-1.7\n", b"\0" * 5000, made_note()[:2000]):
        with pytest.raises(Refused, match="signature-field"):
            sign_pdf(content, opened(authority().surgeon), SignWish(at=AT, name=NAME, reason=REASON))
        assert () == signature_fields(content)


def test_fields_are_listed_for_persons_only(signed: Callable[[str], bytes]) -> None:
    """The archive's field is nobody's; a signed one says so; its box is that of the stamp."""
    (before,), (after,) = signature_fields(made_note()), signature_fields(signed("B-B"))
    with pikepdf.open(io.BytesIO(made_stamp())) as file:
        box = [float(edge) for edge in file.pages[0].mediabox]

    assert (before.name, False, True) == (after.name, before.is_signed, after.is_signed)
    assert pytest.approx([0, 0, before.width, before.height], abs=0.01) == box


def test_a_signature_made_by_name_of_the_field(signed: Callable[[str], bytes]) -> None:
    """The field may be named."""
    named = signed_by(authority().rsa, field=signature_fields(made_note())[0].name)

    assert hashlib.sha256(signed_by(authority().rsa)).hexdigest() == hashlib.sha256(named).hexdigest()
    del signed


def test_every_kind_with_a_field_can_be_signed(tmp_path: Path) -> None:
    """Consent, letters and notes alike: sound, accessible and fit for an archive."""
    found: dict[str, object] = {}
    style = read_style(shipped_folder("templates") / "_house")
    for name, document in documents("holloway").items():
        content = pdf.render(document, style)
        for field in signature_fields(content)[:1]:
            stamp = render_stamp([(Span(line),) for line in STAMP], document.language, style, field.width, field.height)
            wish = SignWish(at=AT, name=NAME, reason=REASON, stamp=stamp, words=SAID)
            signed = sign_pdf(content, opened(authority().rsa), wish)
            verdict = check_pdf(signed, authority().trust(), now=AT).verdict
            found[name.split("-", 3)[3]] = (verdict, faults(signed, tmp_path))

    signable = {"consent-patient-en", "consent-clinic-en", "operative-note-en", "physician-query-en", "referral-en"}
    assert dict.fromkeys({*signable, "reply-en"}, ("passed", set())) == found


def test_a_certificate_of_its_own_signs_and_is_trusted_by_name() -> None:
    """A clinic without an authority may put the surgeon's own certificate into its folder."""
    own = issue("Own", curve(), None)
    content = signed_by(own)
    trust = replace(NO_TRUST, roots=(own.der,))

    assert "passed" == check_pdf(content, trust, now=AT).verdict
    assert "indeterminate" == check_pdf(content, authority().trust(), now=AT).verdict
