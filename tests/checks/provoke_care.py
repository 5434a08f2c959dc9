"""Edits of case 1 that make consent, history, doses or the operation contradict the rest."""

from __future__ import annotations

from provocation import (
    DECIDED,
    GUARDIAN_SIGNS,
    INR,
    INTERPRETER,
    INTRALIGAMENTARY,
    LOWER_DOSE,
    MINOR,
    ROW,
    UPPER,
    WARFARIN,
    Provocation,
    note,
    refuse,
)

CONSENT = {
    "consent-after-start": Provocation(
        {"consent.confirmed_at": "'2026-03-17T09:56'"}, {refuse("consent-after-start", "consent.confirmed_at")}
    ),
    "consent-after-start: sedation": Provocation(
        {
            "plan.anesthesia": "local_with_sedation",
            "operation.drugs_given": "[{inn: midazolam, dose: 3 mg, at: '2026-03-17T09:39', by: mh}]",
        },
        {refuse("consent-after-start", "consent.confirmed_at")},
    ),
    "consent-unsigned": Provocation(
        {"consent.signed_at.patient": None}, {note("consent-unsigned", "consent.signed_at.patient")}
    ),
    "consent-same-day": Provocation(
        {"consent.first_talk_on": "2026-03-17"}, {note("consent-same-day", "consent.first_talk_on")}
    ),
    "consent-withdrawn": Provocation(
        {"consent.withdrawn_at": "'2026-03-17T10:00'"}, {refuse("consent-withdrawn", "consent.withdrawn_at")}
    ),
    "assent-objects": Provocation(
        {**MINOR, **GUARDIAN_SIGNS, "consent.assent": "objects"},
        {refuse("assent-objects", "consent.assent"), *LOWER_DOSE},
    ),
    "signer-wrong: patient": Provocation(MINOR, {refuse("signer-wrong", "consent.signed_at.patient"), *LOWER_DOSE}),
    "signer-wrong: guardian": Provocation(GUARDIAN_SIGNS, {refuse("signer-wrong", "consent.signed_at.guardian")}),
    "majority-between": Provocation(
        {**GUARDIAN_SIGNS, "patient.birth_date": "2008-03-10"},
        {note("majority-between", "consent.first_talk_on")},
        ("operative-note",),
    ),
    "interpreter-missing": Provocation(
        {"patient.interpreter_needed": "yes"}, {refuse("interpreter-missing", "consent.interpreter")}
    ),
    "interpreter-relative: no reason": Provocation(
        {"consent.interpreter": INTERPRETER % ("yes", "yes")},
        {refuse("interpreter-relative", "consent.interpreter.reason")},
    ),
    "interpreter-relative: a child": Provocation(
        {"consent.interpreter": INTERPRETER % ("no", "no")},
        {refuse("interpreter-relative", "consent.interpreter.adult")},
    ),
    "interpreter-declined": Provocation(
        {"patient.preferred_language": "pl"}, {note("interpreter-declined", "patient.interpreter_needed")}
    ),
}

HISTORY = {
    "allergy-differs: airway": Provocation(
        {
            "medical.conditions": "[{code: aspirin_sensitive_airway, words: wheeze}]",
            "prescriptions[0].inn": "paracetamol",
        },
        {refuse("allergy-differs", "medical.allergies")},
    ),
    "allergy-differs: words": Provocation(
        {"medical.conditions": "[{code: other, words: allergic to amoxicillin}]"},
        {
            refuse("allergy-differs", "medical.conditions[0].words"),
            note("drug-in-words", "medical.conditions[0].words"),
        },
    ),
    "allergy-differs: free text": Provocation(
        {"medical.anesthetic_history": "She has an allergy to latex."},
        {refuse("allergy-differs", "medical.anesthetic_history")},
    ),
    "allergy-differs: group": Provocation(
        {"medical.allergies": "[{substance: Amoxicillin, group: macrolide, severity: rash}]"},
        {refuse("allergy-differs", "medical.allergies[0].group")},
    ),
    "history-differs: valve": Provocation(
        {**WARFARIN, **DECIDED, **INR, "medical.antithrombotics[0].indication": "mechanical_valve"},
        {refuse("history-differs", "medical.endocarditis_heart")},
    ),
    "history-differs: steroid": Provocation(
        {"medical.medications": "[{inn: prednisolone}]"},
        {refuse("history-differs", "medical.steroid_or_immunosuppressant")},
    ),
    "drug-misplaced: thinner": Provocation(
        {"medical.medications": "[{inn: Warfarin sodium}]"},
        {refuse("drug-misplaced", "medical.medications[0].inn")},
    ),
    "drug-misplaced: bone": Provocation(
        {"medical.medications": "[{inn: alendronic acid}]"},
        {refuse("drug-misplaced", "medical.medications[0].inn")},
    ),
    "inr-missing": Provocation(
        {**WARFARIN, **DECIDED, "medical.inr": "not_known"}, {refuse("inr-missing", "medical.inr")}
    ),
    "inr-missing: referral": Provocation(
        {**WARFARIN, "medical.inr": "not_known"}, {note("inr-missing", "medical.inr")}, ("referral",)
    ),
    "na-contradicted: inr": Provocation(
        {**WARFARIN, **DECIDED, "medical.inr": "not_applicable"}, {refuse("na-contradicted", "medical.inr")}
    ),
    "antithrombotic-undecided": Provocation(
        {**WARFARIN, **INR}, {refuse("antithrombotic-undecided", "plan.antithrombotic_decisions")}
    ),
    "antithrombotic-undecided: physician": Provocation(
        {**WARFARIN, **INR, **DECIDED, "plan.antithrombotic_decisions[0].decision": "ask_physician"},
        {refuse("antithrombotic-undecided", "plan.antithrombotic_decisions[0].decision")},
    ),
}

DOSES = {
    "dose-over-limit: planned": Provocation(
        {"plan.injections[0].volume_ml": "22"}, {refuse("dose-over-limit", "plan.injections")}, ("consent",)
    ),
    "dose-over-limit: given": Provocation(
        {"operation.injections[0].volume_ml": "22"}, {refuse("dose-over-limit", "operation.injections")}
    ),
    "la-no-row": Provocation(
        {
            f"{INTRALIGAMENTARY}.inn": "ropivacaine",
            f"{INTRALIGAMENTARY}.vasoconstrictor": "none",
            f"{INTRALIGAMENTARY}.dilution": "not_applicable",
            "plan.injections[1].inn": "ropivacaine",
        },
        {note("la-no-row", "plan.injections[1].inn"), note("la-no-row", f"{INTRALIGAMENTARY}.inn")},
    ),
    "dose-no-weight: note": Provocation({"patient.weight_kg": None}, {note("dose-no-weight", "patient.weight_kg")}),
    "dose-no-weight: sedation": Provocation(
        {"patient.weight_kg": None, "plan.anesthesia": "local_with_sedation"},
        {refuse("dose-no-weight", "patient.weight_kg")},
    ),
    "dose-no-weight: many cartridges": Provocation(
        {"patient.weight_kg": None, "operation.injections[0].volume_ml": "4.4"},
        {refuse("dose-no-weight", "patient.weight_kg")},
    ),
    "batch-expired": Provocation(
        {f"{INTRALIGAMENTARY}.expiry": "2026-03-16"}, {refuse("batch-expired", f"{INTRALIGAMENTARY}.expiry")}
    ),
    "daily-dose: above its own maximum": Provocation(
        {"prescriptions[0].max_mg_per_day": "800"}, {refuse("daily-dose", "prescriptions[0].max_mg_per_day")}
    ),
    "daily-dose: above the ceiling": Provocation(
        {"prescriptions[0].max_mg_per_day": "1600", "prescriptions[0].times_per_day": "4"},
        {refuse("daily-dose", "prescriptions[0].dose_mg")},
    ),
    "daily-dose: two rows of one drug": Provocation(
        {
            "prescriptions[1]": "{inn: Ibuprofen, dose_mg: 200, times_per_day: 1, hours_apart: 8, "
            "max_mg_per_day: 200, supply: over_the_counter}"
        },
        {refuse("daily-dose", "prescriptions[1].dose_mg"), note("drug-caution", "prescriptions[1].inn")},
    ),
    "daily-dose: two maxima": Provocation(
        {
            "prescriptions[0].times_per_day": "1",
            "prescriptions[1]": "{inn: Ibuprofen, dose_mg: 200, times_per_day: 1, hours_apart: 8, "
            "max_mg_per_day: 200, supply: over_the_counter}",
        },
        {refuse("daily-dose", "prescriptions[1].dose_mg"), note("drug-caution", "prescriptions[1].inn")},
    ),
    "daily-dose: aspirin": Provocation(
        {
            "prescriptions[0]": "{inn: aspirin, dose_mg: 500, times_per_day: 3, hours_apart: 6, days: 3, "
            "max_mg_per_day: 1500, supply: over_the_counter}"
        },
        {refuse("daily-dose", "prescriptions[0].inn")},
    ),
    "daily-dose: over the counter after a prescription": Provocation(
        {
            "prescriptions[0].supply": "prescribed",
            "prescriptions[0].max_mg_per_day": "2400",
            "prescriptions[1]": "{inn: Ibuprofen, dose_mg: 200, times_per_day: 1, hours_apart: 8, "
            "max_mg_per_day: 200, supply: over_the_counter}",
        },
        {refuse("daily-dose", "prescriptions[1].dose_mg"), note("drug-caution", "prescriptions[1].inn")},
    ),
    "daily-dose: a prescription after what is bought": Provocation(
        {
            "prescriptions[1]": "{inn: Ibuprofen, dose_mg: 200, times_per_day: 1, hours_apart: 8, "
            "max_mg_per_day: 200, supply: prescribed}",
        },
        {refuse("daily-dose", "prescriptions[1].dose_mg"), note("drug-caution", "prescriptions[1].inn")},
    ),
    "daily-dose: two gaps too short": Provocation(
        {
            "prescriptions[0].times_per_day": "1",
            "prescriptions[0].max_mg_per_day": "400",
            "prescriptions[0].hours_apart": "4",
            "prescriptions[1]": "{inn: Ibuprofen, dose_mg: 200, times_per_day: 1, hours_apart: 5, "
            "max_mg_per_day: 200, supply: over_the_counter}",
        },
        {
            refuse("daily-dose", "prescriptions[0].hours_apart"),
            refuse("daily-dose", "prescriptions[1].hours_apart"),
            note("drug-caution", "prescriptions[1].inn"),
        },
    ),
    "daily-dose: too soon": Provocation(
        {"prescriptions[0].hours_apart": "4"}, {refuse("daily-dose", "prescriptions[0].hours_apart")}
    ),
}

OPERATION = {
    "baseline-untested": Provocation(
        {"operation.baseline.tongue": "not_tested"}, {note("baseline-untested", "operation.baseline.tongue")}
    ),
    "sinus-test": Provocation({**UPPER, f"{ROW}.sinus_test": "not_done"}, {note("sinus-test", f"{ROW}.sinus_test")}),
    "fragment-told": Provocation(
        {f"{ROW}.fragment": "{site: apex, size_mm: 3, reason: nerve, on_purpose: no, patient_told: no}"},
        {refuse("fragment-told", f"{ROW}.fragment.patient_told")},
    ),
    "fragment-told: complication": Provocation(
        {f"{ROW}.complications": "[{code: fragment_left, words: x, action: left, patient_told: no}]"},
        {refuse("fragment-told", f"{ROW}.complications[0].patient_told")},
    ),
    "counts-incomplete": Provocation(
        {"operation.counts": "incomplete"}, {refuse("counts-incomplete", "operation.counts")}
    ),
    "counts-incomplete: gauze": Provocation(
        {"operation.throat_gauze_out": "no"}, {refuse("counts-incomplete", "operation.throat_gauze_out")}
    ),
    "emphysema": Provocation(
        {f"{ROW}.handpiece": "air_driven", f"{ROW}.lingual_flap_raised": "yes"},
        {note("emphysema", f"{ROW}.handpiece")},
    ),
    "suture-unusual": Provocation({f"{ROW}.sutures.count": "3"}, {note("suture-unusual", f"{ROW}.sutures.count")}),
    "suture-unusual: upper": Provocation(
        {**UPPER, f"{ROW}.sutures.count": "2"}, {note("suture-unusual", f"{ROW}.sutures.count")}
    ),
    "section-past-furcation": Provocation(
        {f"{ROW}.sectioned_to": "past_furcation"}, {note("section-past-furcation", f"{ROW}.sectioned_to")}
    ),
    "curetted-near-nerve": Provocation(
        {"teeth[0].canal.relation": "overlapping", f"{ROW}.follicle": "curetted"},
        {note("curetted-near-nerve", f"{ROW}.follicle")},
    ),
    "intraligamentary-unusual: gauge": Provocation(
        {f"{INTRALIGAMENTARY}.needle_gauge": "27"},
        {note("intraligamentary-unusual", f"{INTRALIGAMENTARY}.needle_gauge")},
    ),
    "intraligamentary-unusual: seconds": Provocation(
        {f"{INTRALIGAMENTARY}.seconds": "26"}, {note("intraligamentary-unusual", f"{INTRALIGAMENTARY}.seconds")}
    ),
    "syringe-upper": Provocation(
        {**UPPER, "aftercare.syringe_given": "yes"}, {refuse("syringe-upper", "aftercare.syringe_given")}
    ),
    "result-ownerless": Provocation(
        {"operation.specimens": "[{what: cyst wall, sent_to: laboratory}]"},
        {refuse("result-ownerless", "operation.specimens[0].result_owner")},
    ),
    "image-dated-after": Provocation(
        {"imaging[0].taken_on": "2026-03-18"},
        {refuse("dates-order", "imaging[0].taken_on"), refuse("image-dated-after", "imaging[0].taken_on")},
    ),
    "image-missing": Provocation({"imaging[0].teeth": "[48]"}, {note("image-missing", "imaging")}),
}
