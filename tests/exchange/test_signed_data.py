"""Data inside a note that is signed: they stay readable, the file keeps its standards, and nobody can change them."""

from __future__ import annotations

import io
from functools import cache

import page
import pikepdf
import pytest
from bundles import issued, one
from conftest import shipped_world

from docgen.exchange import files_inside
from docgen.exchange.pdf_worker import find_case
from docgen.generate import house_style
from docgen.render import pdf
from docgen.signing import SignWish, check_pdf, sign_pdf
from tests.signing.conftest import NAME, REASON, SAID, made_stamp, opened
from tests.signing.pki import AT, authority

PROFILES = (page.ValidationProfile.PDF_UA_1, page.ValidationProfile.PDF_A_3A)


@cache
def signed_note() -> bytes:
    """Print the note of an example with its data inside, and sign it."""
    told = one("holloway", "operative-note")
    inside = files_inside(told.case, told.kind, told.stated, told.document, issued(told.case), told.phrases)
    content = pdf.render(told.document, house_style(shipped_world()), attached=inside)
    wish = SignWish(
        at=AT, name=NAME, reason=REASON, level="B-B", stamp=made_stamp(), words=SAID, trust=authority().trust()
    )
    return sign_pdf(content, opened(authority().surgeon), wish)


@pytest.mark.parametrize("profile", PROFILES)
def test_a_signed_note_with_data_keeps_both_standards(profile: page.ValidationProfile) -> None:
    """The signature and the files inside go together."""
    assert [] == [str(fault) for fault in page.validate_pdf_bytes(signed_note(), profile=profile).failures]


def test_the_data_of_a_signed_note_read_as_they_were() -> None:
    """The signature's own revision does not hide them."""
    assert ("operative-note", one("holloway", "operative-note").case_json()) == find_case(signed_note())
    assert "passed" == check_pdf(signed_note(), authority().trust(), now=AT, expect_level="B-B").verdict


def test_data_that_were_swapped_break_the_signature() -> None:
    """Other data in a signed file are a change like any other."""
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(signed_note())) as file:
        file.Root.AF[0].EF.F.write(b"{}")
        file.save(out)

    assert "failed" == check_pdf(out.getvalue(), authority().trust(), now=AT, expect_level="B-B").verdict
