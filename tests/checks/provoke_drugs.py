"""Edits of case 1 that make drugs, blood thinners and letters contradict each other."""

from __future__ import annotations

from provocation import DECIDED, INR, INTRALIGAMENTARY, MINOR, WARFARIN, Provocation, note, refuse

ALLERGIC = {"medical.allergies": "[{substance: amoxicillin, group: penicillin, reaction: collapse, severity: %s}]"}
PENICILLIN = {"medical.allergies": ALLERGIC["medical.allergies"] % "anaphylaxis"}
AMOXICILLIN = "{inn: amoxicillin, dose_mg: 3000, minutes_before: 60, reason: Heart valve.}"
PRESCRIBED = (
    "{inn: %s, form: tablet, dose_mg: 500, times_per_day: 3, hours_apart: 8, days: 3, max_mg_per_day: 1500, "
    "supply: prescribed, reason: infection}"
)
APIXABAN = {
    "medical.antithrombotics": "[{inn: apixaban, dose_mg: 5, dose_times: ['08:00', '20:00'], indication: clot, "
    "recent_event: none}]",
    "prescriptions[0].inn": "paracetamol",
}
DECIDES = {"plan.antithrombotic_decisions": "[{inn: %s, decision: %s, by: mh, on: 2026-03-03}]"}
REPLY = {"reply": "{on: 2026-03-17}", "follow_up": None}
VALVE = {"medical.endocarditis_heart": "[previous_endocarditis]"}


def deciding(inn: str, decision: str) -> dict[str, str]:
    """Enter a clinician's decision about a blood thinner."""
    return {"plan.antithrombotic_decisions": DECIDES["plan.antithrombotic_decisions"] % (inn, decision)}


NAMES = {
    "drug-unknown: misspelled": Provocation(
        {"medical.medications": "[{inn: simvastatine}]"}, {refuse("drug-unknown", "medical.medications[0].inn")}
    ),
    "drug-unknown: only taken": Provocation(
        {"medical.medications": "[{inn: levothyroxine}]"}, {note("drug-unknown", "medical.medications[0].inn")}
    ),
    "drug-unknown: ordered": Provocation(
        {"prescriptions[1]": PRESCRIBED % "levothyroxine"}, {refuse("drug-unknown", "prescriptions[1].inn")}
    ),
    "drug-unknown: special list": Provocation(
        {**APIXABAN, **deciding("enoxaparin", "continue"), "medical.antithrombotics[0].inn": "enoxaparin"},
        {refuse("drug-unknown", "medical.antithrombotics[0].inn")},
        ("referral",),
    ),
    "drug-in-words: thinner": Provocation(
        {"medical.conditions": "[{code: other, words: takes warfarin}]"},
        {refuse("drug-in-words", "medical.conditions[0].words")},
    ),
    "drug-in-words: synonym": Provocation(
        {"medical.anesthetic_history": "Bled for a day on Aspirin."},
        {refuse("drug-in-words", "medical.anesthetic_history")},
    ),
    "drug-in-words: bone": Provocation(
        {"teeth[0].symptoms": "Pain since the zoledronic acid."}, {refuse("drug-in-words", "teeth[0].symptoms")}
    ),
    "drug-in-words: other": Provocation(
        {"teeth[0].symptoms": "Better after metronidazole."}, {note("drug-in-words", "teeth[0].symptoms")}
    ),
    "prescription-leaflet": Provocation(
        {**REPLY, "reply.medicine_changes": "[{inn: amoxicillin, change: started, reason: infection}]"},
        {refuse("prescription-leaflet", "reply.medicine_changes[0].inn")},
        ("reply",),
    ),
}

CONFLICTS = {
    "allergy-drug: planned": Provocation(
        {**PENICILLIN, "plan.antibiotic": AMOXICILLIN},
        {refuse("allergy-drug", "plan.antibiotic.inn")},
        ("consent",),
    ),
    "allergy-drug: given": Provocation(
        {**PENICILLIN, "operation.antibiotic": "{inn: amoxicillin, dose_mg: 3000, at: '2026-03-17T09:05'}"},
        {refuse("allergy-drug", "operation.antibiotic.inn")},
    ),
    "allergy-drug: prescribed": Provocation(
        {**PENICILLIN, "prescriptions[1]": PRESCRIBED % "amoxicillin"},
        {refuse("allergy-drug", "prescriptions[1].inn")},
    ),
    "allergy-drug: macrolide and statin": Provocation(
        {"medical.medications": "[{inn: simvastatin}]", "prescriptions[1]": PRESCRIBED % "azithromycin"},
        {refuse("allergy-drug", "prescriptions[1].inn")},
    ),
    "allergy-drug: ibuprofen and a blood thinner": Provocation(
        {**WARFARIN, **INR, **DECIDED, "prescriptions[0].inn": "ibuprofen"},
        {refuse("allergy-drug", "prescriptions[0].inn")},
    ),
    "drug-caution": Provocation(
        {"medical.conditions": "[{code: asthma, words: asthma}]"}, {note("drug-caution", "prescriptions[0].inn")}
    ),
    "anesthesia-differs: sedationist": Provocation(
        {"operation.sedationist": "mh"}, {refuse("anesthesia-differs", "operation.sedationist")}
    ),
    "anesthesia-differs: sedative": Provocation(
        {"operation.drugs_given": "[{inn: midazolam, dose: 3 mg, at: '2026-03-17T09:45', by: mh}]"},
        {refuse("anesthesia-differs", "operation.drugs_given[0].inn")},
    ),
    "anesthesia-differs: another drug": Provocation(
        {f"{INTRALIGAMENTARY}.inn": "articaine"},
        {
            note("anesthesia-differs", f"{INTRALIGAMENTARY}.inn"),
            note("la-no-row", f"{INTRALIGAMENTARY}.inn"),
        },
    ),
    "endocarditis-differs: none planned": Provocation(
        VALVE, {refuse("endocarditis-differs", "plan.antibiotic")}, ("consent",)
    ),
    "endocarditis-differs: none given": Provocation(
        VALVE, {refuse("endocarditis-differs", "operation.antibiotic")}, ("operative-note",)
    ),
    "endocarditis-differs: another dose": Provocation(
        {**VALVE, "plan.antibiotic": AMOXICILLIN.replace("3000", "2000")},
        {refuse("endocarditis-differs", "plan.antibiotic.inn")},
        ("consent",),
    ),
    "endocarditis-differs: clinician decides": Provocation(
        {**VALVE, **MINOR},
        {refuse("endocarditis-differs", "plan.antibiotic"), note("drug-caution", "plan.injections[0].inn")},
        ("safety-sheet",),
    ),
    "no-jurisdiction": Provocation(
        {**VALVE, "plan.antibiotic": AMOXICILLIN},
        {refuse("no-jurisdiction", "settings.jurisdiction.endocarditis")},
        ("consent",),
        {"settings.jurisdiction.endocarditis": None},
    ),
}

THINNERS = {
    "inr-verdict: too high": Provocation(
        {
            **WARFARIN,
            **DECIDED,
            "medical.inr": "{value: 3.6, taken_at: '2026-03-16T12:00', stable: yes}",
        },
        {refuse("inr-verdict", "medical.inr.value")},
    ),
    "inr-verdict: too old": Provocation(
        {
            **WARFARIN,
            **DECIDED,
            "medical.inr": "{value: 2.8, taken_at: '2026-03-16T10:04', stable: yes}",
        },
        {refuse("inr-verdict", "medical.inr.taken_at")},
        ("operative-note",),
    ),
    "antithrombotic-differs: warfarin missed": Provocation(
        {**WARFARIN, **INR, **deciding("warfarin", "miss_dose")},
        {refuse("antithrombotic-differs", "plan.antithrombotic_decisions[0].decision")},
    ),
    "antithrombotic-differs: without the physician": Provocation(
        {**APIXABAN, **deciding("apixaban", "miss_dose")},
        {refuse("antithrombotic-differs", "plan.antithrombotic_decisions[0].decision")},
    ),
    "antithrombotic-differs: another decision": Provocation(
        {**APIXABAN, **deciding("apixaban", "continue")},
        {note("antithrombotic-differs", "plan.antithrombotic_decisions[0].decision")},
        clinic_edits={"settings.antithrombotic.doac_guidance": "{value: sdcep_2022, by: Maren Holt, on: 2026-01-05}"},
    ),
}

LETTERS = {
    "note-before-reply": Provocation(
        {**REPLY, "operation.signed_at": None},
        {refuse("note-before-reply", "operation.signed_at")},
        ("reply",),
    ),
    "action-ownerless": Provocation(
        {**REPLY, "reply.actions": "[{action: See the dentist., by_when: 2026-09-30}]"},
        {refuse("action-ownerless", "reply.actions[0].owner")},
        ("reply",),
    ),
    "cancer-route": Provocation(
        {"referral.suspected_cancer": "yes"}, {refuse("cancer-route", "referral.suspected_cancer")}, ("referral",)
    ),
    "referrer-unnamed: nobody": Provocation(
        {"referrer.name": "none"}, {refuse("referrer-unnamed", "referrer.name")}, ("referral",)
    ),
    "referrer-unnamed: self": Provocation(
        {"referrer.kind": "self"}, {refuse("referrer-unnamed", "referrer.kind")}, ("referral",)
    ),
    "query-not-agreed": Provocation(
        {"query": "{on: 2026-03-17, consent_to_share: no}"},
        {refuse("query-not-agreed", "query.consent_to_share")},
        ("physician-query",),
    ),
    "consent-withdrawn: before": Provocation(
        {"consent.withdrawn_at": "'2026-03-17T09:50'"},
        {refuse("consent-withdrawn", "consent.withdrawn_at")},
        ("safety-sheet",),
    ),
    "assent-objects: before": Provocation(
        {**MINOR, "consent.assent": "objects", "consent.signed_at": None},
        {refuse("assent-objects", "consent.assent"), note("drug-caution", "plan.injections[0].inn")},
        ("safety-sheet",),
    ),
}
