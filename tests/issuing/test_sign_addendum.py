"""An addendum is signed as a document of its own, beside the signed note that it names and never changes."""

from __future__ import annotations

from datetime import timedelta
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from docgen.examine import CaseFiles, World
from docgen.issue.entry import Action
from docgen.issuing import Office, Order
from docgen.issuing.sign import Signed, Signing, sign
from docgen.problem import Refused
from docgen.signing import open_key
from docgen.verifying import verify_file
from tests.signing.pki import AT, PASSWORD, authority

from .conftest import Clock, edited, unsigned


def _added(files: CaseFiles, note: Signed) -> CaseFiles:
    """Enter what the signature of the note says, an addition, and the addendum that carries it."""
    signature = "".join(f"  {path.partition('.')[2]}: {value}\n" for path, value in note.entered.items())
    files = edited(files, "  supervisor_signed_by", f"{signature}  supervisor_signed_by")
    addition = "\n    - {text: The patient telephoned. No bleeding., by: at, at: 2026-01-20T06:00}\n"
    files = edited(files, "  addenda: none\n", f"  addenda:{addition}")
    number = note.issued.life.number
    return edited(files, "prescriptions:\n", f"addendum: {{note_number: {number}, on: 2026-01-20}}\nprescriptions:\n")


def test_an_addendum_is_signed_beside_the_note_it_names(
    office: Office, world: World, clock: Clock, tmp_path: Path
) -> None:
    """Two signed documents stand: the note untouched, the addendum with the note's number on its page."""
    signing = Signing(open_key(authority().surgeon.file(tmp_path), PASSWORD), authority().trust(), signer="at")
    order = Order(by="R. Desk")
    clock.at = AT
    note = sign(unsigned(), "operative-note", world, office, order, signing)
    before = office.register.life(note.issued.life.number)
    clock.at = AT + timedelta(hours=2)
    made = sign(_added(unsigned(), note), "addendum", world, office, order, signing)
    (content,) = (content for name, content in made.issued.files.items() if name.endswith(".pdf"))
    words = " ".join(" ".join(sheet.extract_text() for sheet in PdfReader(BytesIO(content)).pages).split())

    assert {"addendum.signed_at": "2026-01-20T07:05", "addendum.signed_by": "at"} == made.entered
    assert Action.SIGNED is made.issued.life.state
    assert f"number {note.issued.life.number:06d}" in words
    assert before == office.register.life(note.issued.life.number)
    assert {"passed", "indeterminate"} >= {one.verdict for one in verify_file(content, office).findings}


def test_an_addendum_that_names_no_signed_note_is_refused(
    office: Office, world: World, clock: Clock, tmp_path: Path
) -> None:
    """A number of nothing, or of a document that nobody signed, is not a note to add to."""
    signing = Signing(open_key(authority().surgeon.file(tmp_path), PASSWORD), authority().trust(), signer="at")
    clock.at = AT
    note = sign(unsigned(), "operative-note", world, office, Order(by="R. Desk"), signing)
    clock.at = AT + timedelta(hours=2)
    other = edited(_added(unsigned(), note), "note_number: 1,", "note_number: 7,")
    with pytest.raises(Refused) as refused:
        sign(other, "addendum", world, office, Order(by="R. Desk"), signing)

    assert ["note-unknown"] == [problem.code for problem in refused.value.problems]
