"""Edits of case 1 that lie just within what a check lets pass, and edits with a second fault behind a sound row."""

from __future__ import annotations

from provocation import (
    DECIDED,
    EXTRA,
    GUARDIAN_SIGNS,
    INR,
    INTERPRETER,
    INTRALIGAMENTARY,
    OTHER_TOOTH,
    PLANNED,
    ROW,
    UPPER,
    WARFARIN,
    Provocation,
)
from provoke_drugs import PRESCRIBED, REPLY

NOTE = ("operative-note",)
FURTHER = "{tooth: 48, side: right, jaw: lower, performed: %s, difference: A lump., %s}"

PASSING = {
    "a patient of 120 years": Provocation(
        {
            "patient.birth_date": "1906-03-17",
            "prescriptions": "none",
            "plan.injections": None,
            "operation.injections": None,
        },
        set(),
        ("consent",),
    ),
    "weight at the limit": Provocation({"patient.weight_kg": "200"}, set()),
    "withdrawn after the operation": Provocation(
        {"consent.withdrawn_at": "'2026-03-17T10:05'"}, set(), ("operative-note",)
    ),
    "withdrawn at the planned minute": Provocation(
        {"consent.withdrawn_at": "'2026-03-17T10:00'", "plan.operation_at": "'2026-03-17T10:00'"},
        set(),
        ("safety-sheet",),
    ),
    "first talk on the day before": Provocation({"consent.first_talk_on": "2026-03-16"}, set()),
    "a qualified interpreter": Provocation({"consent.interpreter": INTERPRETER % ("yes", "no")}, set()),
    "confirmed at the first injection": Provocation({"consent.confirmed_at": "'2026-03-17T09:55'"}, set()),
    "signed as the patient leaves": Provocation(
        {"operation.discharged_at": "'2026-03-17T11:00'", "operation.signed_at": "'2026-03-17T11:00'"}, set()
    ),
    "reply on the day": Provocation(REPLY, set(), ("reply",)),
    "expires on the day": Provocation({f"{INTRALIGAMENTARY}.expiry": "2026-03-17"}, set()),
    "its own maximum reached": Provocation({"prescriptions[0].max_mg_per_day": "1200"}, set()),
    "seconds at the upper end": Provocation({f"{INTRALIGAMENTARY}.seconds": "25"}, set()),
    "seconds at the lower end": Provocation({f"{INTRALIGAMENTARY}.seconds": "20"}, set()),
    "fragment told": Provocation(
        {f"{ROW}.fragment": "{site: apex, size_mm: 3, reason: nerve, on_purpose: no, patient_told: yes}"}, set()
    ),
    "air-driven without a flap": Provocation(
        {f"{ROW}.handpiece": "air_driven", f"{ROW}.lingual_flap_raised": "no"}, set()
    ),
    "a started drug that is taken": Provocation(
        {
            **REPLY,
            "medical.medications": "[{inn: simvastatin}]",
            "reply.medicine_changes": "[{inn: simvastatin, change: started, reason: fat}]",
        },
        set(),
        ("reply",),
    ),
    "a stopped drug": Provocation(
        {**REPLY, "reply.medicine_changes": "[{inn: amoxicillin, change: stopped, reason: done}]"}, set(), ("reply",)
    ),
    "a decided thinner": Provocation({**WARFARIN, **INR, **DECIDED}, set()),
    "another tooth not touched": Provocation(
        {**OTHER_TOOTH, "operation.procedures[1]": FURTHER % ("not_done", "sutures: none")}, set(), NOTE
    ),
}
"""What stands just on the right side."""

LOST = "[{code: %s, words: Swab, action: %s, patient_told: yes}]"

REPEATED = {
    "second row: suture": Provocation(
        {
            **EXTRA,
            "consent.teeth": "[38, 48]",
            "operation.procedures[1]": FURTHER
            % (
                "removal",
                "sutures: {count: 5, resorbable: yes}, sectioned_to: past_furcation, handpiece: air_driven, "
                "lingual_flap_raised: yes",
            ),
        },
        set(),
        NOTE,
    ),
    "supervisor behind a trainee": Provocation(
        {},
        set(),
        clinic_edits={
            "practitioners[0].trainee": "no",
            "practitioners[1].trainee": "yes",
            "practitioners[1].supervisor": None,
        },
    ),
    "departure: no such code": Provocation(
        {
            "departures": "[{code: tooth-absnt, reason: x, by: mh, on: 2026-03-17}, "
            "{code: inr-verdct, reason: x, by: mh, on: 2026-03-17}, {code: inr-verdict, reason: x, by: mh, "
            "on: 2026-03-17}]"
        },
        set(),
    ),
    "departure: by nobody who decides": Provocation(
        {
            "departures": "[{code: inr-verdict, reason: x, by: mh, on: 2026-03-17}, "
            "{code: inr-verdict, reason: x, by: jt, on: 2026-03-17}]"
        },
        set(),
    ),
    "two drugs in conflict": Provocation(
        {
            "medical.allergies": "[{substance: amoxicillin, group: penicillin, reaction: collapse, "
            "severity: anaphylaxis}]",
            "medical.medications": "[{inn: simvastatin}]",
            "prescriptions[1]": PRESCRIBED % "amoxicillin",
            "prescriptions[2]": PRESCRIBED % "azithromycin",
            "departures": "[{code: macrolide-statin, reason: Paused., by: mh, on: 2026-03-17}]",
        },
        set(),
    ),
    "lost and found": Provocation(
        {"operation.counts": "incomplete", f"{ROW}.complications": LOST % ("fragment_lost", "Film taken.")},
        set(),
        NOTE,
    ),
    "bled, not lost": Provocation(
        {
            "operation.counts": "incomplete",
            f"{ROW}.complications": LOST % ("bleeding", "Pressed."),
            "departures": "[{code: counts-incomplete, reason: x, by: mh, on: 2026-03-17}]",
        },
        set(),
        NOTE,
    ),
    "two fragments": Provocation(
        {
            f"{ROW}.complications": "[{code: bleeding, words: x, action: y, patient_told: yes}, "
            "{code: fragment_left, words: x, action: left, patient_told: yes}, "
            "{code: fragment_left, words: x, action: left, patient_told: no}]"
        },
        set(),
        ("aftercare", "reply"),
    ),
    "baseline: both": Provocation(
        {"operation.baseline.lip": "not_tested", "operation.baseline.tongue": "not_tested"},
        set(),
        NOTE,
    ),
    "a third tooth named twice": Provocation({"consent.teeth": "[38, 38, 38]"}, set()),
    "an upper tooth and a lower one unknown": Provocation(
        {**UPPER, f"{PLANNED}.side": "right", f"{ROW}.jaw": "lower", f"{ROW}.side": "right"},
        set(),
    ),
    "signed by the guardian after the start": Provocation(
        {**GUARDIAN_SIGNS, "consent.signed_at.guardian": "'2026-03-17T10:30'"}, set(), NOTE
    ),
    "two relatives": Provocation({"consent.interpreter": INTERPRETER % ("no", "yes")}, set()),
    "a reply dated ahead": Provocation(
        {"reply": "{on: 2026-03-18, signed_at: '2026-03-18T10:00'}", "follow_up": None}, set(), ("reply",)
    ),
    "a query dated ahead": Provocation(
        {"query": "{on: 2026-03-18, consent_to_share: yes, signed_at: '2026-03-18T10:00'}"},
        set(),
        ("physician-query", "consent"),
    ),
    "three decisions": Provocation(
        {**WARFARIN, **INR, **DECIDED, "plan.antithrombotic_decisions[0].by": None},
        set(),
    ),
    "inr: no value": Provocation(
        {**WARFARIN, **DECIDED, "medical.inr": "{taken_at: '2026-03-16T12:00', stable: yes}"},
        set(),
    ),
}
"""More than one row or fault: what is found first hides nothing behind it. What they lead to stands in said.txt."""
