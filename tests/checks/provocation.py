"""What provokes a code of gate 3: edits of case 1, and all that they must lead to."""

from __future__ import annotations

from typing import NamedTuple

Found = tuple[str, str, str]


class Provocation(NamedTuple):
    """Edits that provoke a code, and everything they lead to; nothing else may be said."""

    edits: tuple[tuple[str, str], ...]
    found: set[Found]
    kinds: tuple[str, ...] = ("consent", "operative-note", "aftercare")
    clinic_edits: tuple[tuple[str, str], ...] = ()


ITEM = "teeth:\n  - tooth: 38\n    side: left\n    jaw: lower\n"
PROPOSED = "- {tooth: 38, side: left, jaw: lower, procedure: removal"
PERFORMED = "- tooth: 38\n      side: left\n      jaw: lower\n      performed: removal"
AGREED = "  teeth: [38]\n  not_agreed"
UPPER = (
    (ITEM, ITEM.replace("38", "28").replace("lower", "upper")),
    (PROPOSED, PROPOSED.replace("38", "28").replace("lower", "upper")),
    (PERFORMED, PERFORMED.replace("38", "28").replace("lower", "upper")),
    (AGREED, AGREED.replace("38", "28")),
    ("taken_on: 2026-02-20, teeth: [38]", "taken_on: 2026-02-20, teeth: [28]"),
    ("    sinus: not_applicable\n", "    sinus: {relation: clear, overlap_fraction: 0}\n"),
    ("    ramus: II\n", ""),
    ("sutures: {count: 2", "sutures: {count: 1"),
    ("sinus_test: not_applicable", "sinus_test: negative"),
    ("syringe_given: yes", "syringe_given: no"),
)
"""Case 1 as an upper third molar, without a fault."""


def upper(old: str, new: str) -> tuple[tuple[str, str], ...]:
    """Give the edits of the upper case with one of them changed, or one more."""
    changed = tuple((was, becomes.replace(old, new)) for was, becomes in UPPER)
    return changed if changed != UPPER else (*UPPER, (old, new))


def refuse(code: str, path: str) -> Found:
    """Name a refusal."""
    return (code, path, "refuse")


def note(code: str, path: str) -> Found:
    """Name a note."""
    return (code, path, "note")


MINOR = (("birth_date: 2001-11-19", "birth_date: 2009-11-19"),
         ("guardian: not_applicable\ndecision", "guardian: {name: Una, language: en}\ndecision"))  # fmt: skip
GUARDIAN_SIGNS = ("signed_at: {patient: 2026-03-03T15:40, guardian: not_applicable",
                  "signed_at: {patient: not_applicable, guardian: 2026-03-03T15:40")  # fmt: skip
WARFARIN = ("antithrombotics: none",
            "antithrombotics: [{inn: warfarin, dose_mg: 3, dose_times: [18:00], indication: clot, recent_event: none}]")
DECIDED = ("antithrombotic_decisions: none",
           "antithrombotic_decisions: [{inn: warfarin, decision: continue, by: mh, on: 2026-03-03}]")  # fmt: skip
INR = ("  antiresorptives: none",
       "  inr: {value: 2.8, taken_at: 2026-03-16T12:00, stable: yes}\n  antiresorptives: none")  # fmt: skip
INTERPRETER = ("interpreter: not_applicable\n",
               "interpreter: {name: A, language: pl, mode: video, qualified: yes, adult: %s, relative: %s, "
               "reason: not_applicable}\n")  # fmt: skip
OTHER_TOOTH = "teeth:\n  - {tooth: 48, side: right, jaw: lower, present: tooth}\n  - tooth: 38"
ROW = "operation.procedures[0]"
