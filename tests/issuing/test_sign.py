"""Signing in one step: the note says when it was signed, carries the signature, and is kept; or nothing is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from io import BytesIO
from pathlib import Path
from typing import Any

import page
import pytest
from pypdf import PdfReader

from docgen.examine import CaseFiles, Wish, World
from docgen.issue.entry import Action
from docgen.issuing import Office, Order, issue
from docgen.issuing.sign import Signed, Signing, sign
from docgen.problem import Refused
from docgen.signing import open_key
from docgen.verdict import PASSED
from docgen.verifying import verify_file, verify_number
from tests.signing.pki import AT, PASSWORD, Held, authority, curve
from tests.signing.pki import issue as certified

from .conftest import Clock, edited, unsigned

Sign = Callable[..., Signed]


@pytest.fixture
def signed(office: Office, world: World, clock: Clock, tmp_path: Path) -> Sign:
    """Give a function that signs the note of a case at the time of the test authority."""

    def make(
        files: CaseFiles | None = None, held: Held | None = None, kind: str = "operative-note", **how: Any
    ) -> Signed:
        key = open_key((held or authority().surgeon).file(tmp_path), PASSWORD)
        clock.at = how.pop("at", AT)
        order = Order(**{"by": "R. Desk", **how.pop("order", {})})
        return sign(
            files or unsigned(),
            kind,
            world,
            office,
            order,
            Signing(key, authority().trust(), **{"signer": "at", **how}),
        )

    return make


def _pdf(made: Signed) -> bytes:
    return next(content for name, content in made.issued.files.items() if name.endswith(".pdf"))


def _code(refused: pytest.ExceptionInfo[Refused]) -> str:
    return next(iter(refused.value.problems)).code


def test_a_note_is_signed_numbered_and_kept_in_one_step(signed: Sign, office: Office) -> None:
    """The register calls it signed, the file verifies, and the page no longer says that it is unsigned."""
    made = signed()
    words = " ".join(" ".join(sheet.extract_text() for sheet in PdfReader(BytesIO(_pdf(made))).pages).split())
    verdict = verify_file(_pdf(made), office)

    assert Action.SIGNED is made.issued.life.state
    assert "UNSIGNED" not in words
    assert {"passed", "indeterminate"} >= {one.verdict for one in verdict.findings}


def test_the_register_judges_the_signature_of_what_it_holds(signed: Sign, office: Office) -> None:
    """By the file and by the number; a file that is no PDF has no signature to judge."""
    made = signed()
    wanted = {"signature-intact", "file-certified", "file-whole"}
    by_file = {one.code for one in verify_file(_pdf(made), office).findings}
    by_number = {one.code for one in verify_number(made.issued.life.number, "", office).findings}

    assert wanted <= by_file
    assert wanted <= by_number


def test_what_was_signed_is_said_for_the_record(signed: Sign) -> None:
    """The lines for the record name signer and moment in the clinic's time."""
    assert {"operation.signed_at": "2026-01-20T05:05", "operation.signed_by": "at"} == signed().entered


def test_a_signed_note_is_still_accessible_and_archival(signed: Sign) -> None:
    """PDF/UA-1 and PDF/A-3a hold after the signature (page-validation)."""
    content = _pdf(signed())

    for profile in (page.ValidationProfile.PDF_UA_1, page.ValidationProfile.PDF_A_3A):
        assert [] == list(page.validate_pdf_bytes(content, profile=profile).failures)


def test_a_signed_note_is_never_signed_again(signed: Sign) -> None:
    """Neither while the record does not know of it yet, nor after."""
    first = signed()
    with pytest.raises(Refused) as unknown:
        signed(at=AT + timedelta(minutes=5))
    known = edited(
        unsigned(),
        "  supervisor_signed_by",
        f"  signed_by: at\n  signed_at: {first.entered['operation.signed_at']}\n  supervisor_signed_by",
    )
    with pytest.raises(Refused) as recorded:
        signed(known)

    assert ("signed-stands", "signed-already") == (_code(unknown), _code(recorded))


def test_the_same_order_gives_the_same_signed_note(signed: Sign) -> None:
    """An own key finds what was signed; no second signature is made."""
    first, second = signed(order={"key": "order 4"}), signed(order={"key": "order 4"})

    assert second.issued.again
    assert first.issued.files == second.issued.files


def test_a_note_changed_behind_its_signature_is_not_issued(signed: Sign, office: Office, world: World) -> None:
    """The register knows which fields were signed."""
    moment = signed().entered["operation.signed_at"]
    known = edited(
        unsigned(), "  supervisor_signed_by", f"  signed_by: at\n  signed_at: {moment}\n  supervisor_signed_by"
    )
    changed = edited(known, "blood_loss: minimal", "blood_loss: 40")
    with pytest.raises(Refused) as refused:
        issue(
            changed, Wish(("operative-note",), on=AT.date()), world, lambda _zone: AT.date(), office, Order("R. Desk")
        )

    assert "edited-after-signature" == _code(refused)


def test_nothing_is_kept_when_signing_fails(signed: Sign, office: Office) -> None:
    """An expired certificate gives no file, no entry but the voided number."""
    with pytest.raises(Refused):
        signed(held=certified("Amos Tindlewick", curve(), authority().issuer, end=datetime(2026, 1, 19, tzinfo=UTC)))

    assert [Action.VOIDED] == [life.state for life in office.register.lives()]
    assert [] == list(office.store.digests())


@pytest.mark.parametrize(
    ("how", "code"),
    [
        ({"signer": ""}, "signer-missing"),
        ({"signer": "zz"}, "signer-unknown"),
        ({"signer": "co"}, "certificate-other-name"),
        ({"kind": "aftercare"}, "signing-kind"),
        ({"kind": "consent"}, "signing-kind"),
    ],
)
def test_only_who_answers_for_it_signs(signed: Sign, how: dict[str, str], code: str) -> None:
    """The signer is a practitioner of the clinic, named, and the key is their own."""
    with pytest.raises(Refused) as refused:
        signed(**how)

    assert code == _code(refused)


def test_a_record_that_names_its_signer_is_signed_by_nobody_else(signed: Sign) -> None:
    """`--as` does not overrule the record."""
    named = edited(unsigned(), "  supervisor_signed_by", "  signed_by: at\n  supervisor_signed_by")
    with pytest.raises(Refused) as refused:
        signed(named, signer="co")

    assert "signer-differs" == _code(refused)
    assert {"operation.signed_at": "2026-01-20T05:05"} == signed(named, signer="").entered


def test_another_form_of_the_name_needs_a_word(signed: Sign) -> None:
    """A married or transliterated name is accepted when somebody says it was looked at."""
    made = signed(held=certified("A. Tindle-Wick", curve(), authority().issuer), other_name=True)

    assert Action.SIGNED is made.issued.life.state


def test_a_signed_note_passes_where_revocation_is_known(signed: Sign, office: Office, tmp_path: Path) -> None:
    """With the authority's certificates and a current list in the trust folder the verdict is passed."""
    folder, trust = tmp_path / "trust", authority().trust()
    folder.mkdir()
    for number, content in enumerate((*trust.roots, *trust.others)):
        (folder / f"{number}.der").write_bytes(content)
    for number, content in enumerate(trust.crls):
        (folder / f"{number}.crl").write_bytes(content)
    verdict = verify_file(_pdf(signed()), replace(office, trust=folder))

    assert PASSED == verdict.verdict
