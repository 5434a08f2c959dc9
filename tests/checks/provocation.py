"""What provokes a code of gate 3: edits of case 1, and all that they must lead to."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from edited_case import Edits

Found = tuple[str, str, str]


class Provocation(NamedTuple):
    """Edits that provoke a code, and everything they lead to; nothing else may be said."""

    edits: Edits
    found: set[Found]
    kinds: tuple[str, ...] = ("consent", "operative-note", "aftercare")
    clinic_edits: Edits | None = None


def refuse(code: str, path: str) -> Found:
    """Name a refusal."""
    return (code, path, "refuse")


def note(code: str, path: str) -> Found:
    """Name a note."""
    return (code, path, "note")


LOWER_DOSE = frozenset({
    note("drug-caution", "plan.injections[0].inn"),
    note("drug-caution", "operation.injections[0].inn"),
})  # fmt: skip
"""What a minor or an old patient brings about: a local anesthetic is given in a lower dose."""

ROW = "operation.procedures[0]"
PLANNED = "plan.procedures[0]"
INTRALIGAMENTARY = "operation.injections[2]"

UPPER: Mapping[str, str | None] = {
    "teeth[0].tooth": "28",
    "teeth[0].jaw": "upper",
    "teeth[0].ramus": None,
    "teeth[0].sinus": "{relation: clear, overlap_fraction: 0}",
    "plan.procedures[0].tooth": "28",
    "plan.procedures[0].jaw": "upper",
    "operation.procedures[0].tooth": "28",
    "operation.procedures[0].jaw": "upper",
    "operation.procedures[0].sinus_test": "negative",
    "operation.procedures[0].sutures.count": "1",
    "consent.teeth": "[28]",
    "imaging[0].teeth": "[28]",
    "referral.teeth": "[28]",
    "aftercare.syringe_given": "no",
}
"""Case 1 as an upper third molar, without a fault."""

OTHER_TOOTH: Mapping[str, str | None] = {"teeth[1]": "{tooth: 48, side: right, jaw: lower, present: tooth}"}
EXTRA: Mapping[str, str | None] = {
    **OTHER_TOOTH,
    "operation.procedures[1]": "{tooth: 48, side: right, jaw: lower, performed: biopsy, difference: A lump.}",
}
"""A second tooth was worked on, which nobody had agreed."""

GUARDIAN_SIGNS: Mapping[str, str | None] = {
    "consent.signed_at.patient": "not_applicable",
    "consent.signed_at.guardian": "2026-03-03T15:40",
}
MINOR: Mapping[str, str | None] = {"patient.birth_date": "2009-11-19", "guardian": "{name: Una, language: en}"}

WARFARIN: Mapping[str, str | None] = {
    "medical.antithrombotics": "[{inn: warfarin, dose_mg: 3, dose_times: ['18:00'], indication: clot, "
    "recent_event: none}]",
    "prescriptions[0].inn": "paracetamol",
}
"""Ibuprofen beside it would be a finding of its own."""

INR: Mapping[str, str | None] = {"medical.inr": "{value: 2.8, taken_at: '2026-03-16T12:00', stable: yes}"}
DECIDED: Mapping[str, str | None] = {
    "plan.antithrombotic_decisions": "[{inn: warfarin, decision: continue, by: mh, on: 2026-03-03}]"
}
INTERPRETER = "{name: A, language: pl, mode: video, qualified: yes, adult: %s, relative: %s, reason: not_applicable}"
