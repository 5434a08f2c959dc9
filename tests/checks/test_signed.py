"""What is signed with the operative note, and what is said when it was changed afterwards."""

from __future__ import annotations

import hashlib
import json

import pytest
from edited_case import Edits, edited

from docgen.answer import Answer
from docgen.case import Case, Source, read_case
from docgen.checks.signed import edited_after_signature, figures_edition, signed_digest
from docgen.problem import Place, Problem, Problems, say

SMALL = b"""patient: {family_name: Ashdown}
operation:
  started_at: 2026-03-17T10:05
  assistants: [jt, mh]
  specimens: none
  counts: complete
  discharged_at: 2026-03-17T11:00
  discharge_state: well
  checklist: {sign_in_at: 2026-03-17T09:50, sign_out_at: 2026-03-17T10:50}
  procedures:
    - {tooth: 38, performed: removal, sinus_test: not_applicable}
"""
SIGNED = {
    "operation.started_at": "2026-03-17 10:05:00",
    "operation.assistants[0]": "jt",
    "operation.assistants[1]": "mh",
    "operation.specimens": "none",
    "operation.counts": "complete",
    "operation.checklist.sign_in_at": "2026-03-17 09:50:00",
    "operation.procedures[0].tooth": "38",
    "operation.procedures[0].performed": "removal",
}
"""Written out by hand from SMALL: values of operation.*, without what is still written after signing."""


def _small(text: bytes = SMALL) -> Case:
    problems = Problems()
    case = read_case(Source("case.yaml", text), None, None, problems)
    assert list(problems) == []
    return case


def _digest(fields: dict[str, str]) -> str:
    return hashlib.sha256(json.dumps(fields, sort_keys=True).encode()).hexdigest()


def test_the_digest_is_that_of_the_fields_that_were_signed() -> None:
    """Every value below operation counts, in any order of writing, but for addenda, discharge and sign-out."""
    assert _digest(SIGNED) == signed_digest(_small(SMALL.replace(b", sinus_test: not_applicable", b"")))


def test_an_answer_in_place_of_a_value_is_signed_too() -> None:
    """That a question does not arise is a statement of the note."""
    answered = {**SIGNED, "operation.procedures[0].sinus_test": str(Answer.NOT_APPLICABLE)}
    assert _digest(answered) == signed_digest(_small())


def test_an_edited_note_is_refused_in_full() -> None:
    """The problem names the group with its line, the one document and the way back."""
    refused = Problem(
        "edited-after-signature",
        "operation",
        say("a field of operation was changed after operation.signed_at"),
        say("put it back as it was signed, and write an addendum under operation.addenda"),
        Place("case.yaml", 2, 1),
        ("operative-note",),
    )
    assert refused == edited_after_signature(_small(), _digest({}))
    assert edited_after_signature(_small(), signed_digest(_small())) is None


@pytest.mark.parametrize(
    "edits",
    [
        {"operation.procedures[0].performed": "coronectomy"},
        {"operation.procedures[0].tooth": "48"},
        {"operation.injections[0].volume_ml": "1.8"},
        {"operation.checklist.sign_in_at": "'2026-03-17T09:41'"},
        {"operation.signed_at": "'2026-03-17T10:58'"},
    ],
)
def test_every_signed_field_moves_the_digest(edits: Edits) -> None:
    """Tooth, dose, time and what was done are part of what was signed."""
    assert signed_digest(edited({})[0]) != signed_digest(edited(edits)[0])


def test_a_pack_of_two_editions_is_refused_in_full() -> None:
    """Every document of the pack is named, the whole pack is at fault and no line of the case."""
    refused = Problem(
        "figures-edition",
        "",
        say("the documents of the pack were made with different editions of the figures"),
        say("compose the pack again"),
        needed_by=("consent (en)", "aftercare (en)"),
    )
    assert refused == figures_edition({"consent (en)": ["a 1"], "aftercare (en)": ["a 2"]})
    assert figures_edition({"consent (en)": ["a 1"]}) is None
    assert figures_edition({}) is None
