"""Edits of case 1 that make consent, history, doses or the operation contradict the rest."""

from provocation import (
    DECIDED,
    GUARDIAN_SIGNS,
    INR,
    INTERPRETER,
    MINOR,
    ROW,
    WARFARIN,
    Provocation,
    note,
    refuse,
    upper,
)

CONSENT = {
    "consent-after-start": Provocation(
        (("confirmed_at: 2026-03-17T09:40", "confirmed_at: 2026-03-17T09:56"),),
        {refuse("consent-after-start", "consent.confirmed_at")}),
    "consent-unsigned": Provocation(
        (("signed_at: {patient: 2026-03-03T15:40, ", "signed_at: {"),),
        {note("consent-unsigned", "consent.signed_at.patient")}),
    "consent-same-day": Provocation(
        (("first_talk_on: 2026-03-03", "first_talk_on: 2026-03-17"),),
        {note("consent-same-day", "consent.first_talk_on")}),
    "consent-withdrawn": Provocation(
        (("withdrawn_at: none", "withdrawn_at: 2026-03-17T10:00"),),
        {refuse("consent-withdrawn", "consent.withdrawn_at")}),
    "assent-objects": Provocation(
        (*MINOR, GUARDIAN_SIGNS, ("assent: not_applicable", "assent: objects")),
        {refuse("assent-objects", "consent.assent")}),
    "signer-wrong: patient": Provocation(MINOR, {refuse("signer-wrong", "consent.signed_at.patient")}),
    "signer-wrong: guardian": Provocation(
        (GUARDIAN_SIGNS,), {refuse("signer-wrong", "consent.signed_at.guardian")}),
    "majority-between": Provocation(
        (("birth_date: 2001-11-19", "birth_date: 2008-03-10"), GUARDIAN_SIGNS),
        {note("majority-between", "consent.first_talk_on")}, ("operative-note",)),
    "interpreter-missing": Provocation(
        (("interpreter_needed: no", "interpreter_needed: yes"),),
        {refuse("interpreter-missing", "consent.interpreter")}),
    "interpreter-relative: no reason": Provocation(
        (("  interpreter: not_applicable\n", f"  {INTERPRETER[1] % ('yes', 'yes')}"),),
        {refuse("interpreter-relative", "consent.interpreter.reason")}),
    "interpreter-relative: a child": Provocation(
        (("  interpreter: not_applicable\n", f"  {INTERPRETER[1] % ('no', 'no')}"),),
        {refuse("interpreter-relative", "consent.interpreter.adult")}),
    "interpreter-declined": Provocation(
        (("preferred_language: en", "preferred_language: pl"),),
        {note("interpreter-declined", "patient.interpreter_needed")}),
}  # fmt: skip

HISTORY = {
    "allergy-differs: airway": Provocation(
        (("conditions: none", "conditions: [{code: aspirin_sensitive_airway, words: wheeze}]"),),
        {refuse("allergy-differs", "medical.allergies")}),
    "allergy-differs: words": Provocation(
        (("conditions: none", "conditions: [{code: other, words: allergic to amoxicillin}]"),),
        {refuse("allergy-differs", "medical.conditions[0].words")}),
    "allergy-differs: group": Provocation(
        (("allergies: none", "allergies: [{substance: Amoxicillin, group: macrolide, severity: rash}]"),),
        {refuse("allergy-differs", "medical.allergies[0].group")}),
    "history-differs: valve": Provocation(
        ((WARFARIN[0], WARFARIN[1].replace("indication: clot", "indication: mechanical_valve")), DECIDED, INR),
        {refuse("history-differs", "medical.endocarditis_heart")}),
    "history-differs: steroid": Provocation(
        (("medications: none", "medications: [{inn: prednisolone}]"),),
        {refuse("history-differs", "medical.steroid_or_immunosuppressant")}),
    "drug-misplaced: thinner": Provocation(
        (("medications: none", "medications: [{inn: Warfarin sodium}]"),),
        {refuse("drug-misplaced", "medical.medications[0].inn")}),
    "drug-misplaced: bone": Provocation(
        (("medications: none", "medications: [{inn: alendronic acid}]"),),
        {refuse("drug-misplaced", "medical.medications[0].inn")}),
    "inr-missing": Provocation((WARFARIN, DECIDED), {refuse("inr-missing", "medical.inr.value")}),
    "inr-missing: referral": Provocation(
        (WARFARIN, ("  antiresorptives: none", "  inr: not_known\n  antiresorptives: none")),
        {note("inr-missing", "medical.inr")}, ("referral",)),
    "na-contradicted: inr": Provocation(
        (WARFARIN, DECIDED, ("  antiresorptives: none", "  inr: not_applicable\n  antiresorptives: none")),
        {refuse("na-contradicted", "medical.inr")}),
    "antithrombotic-undecided": Provocation(
        (WARFARIN, INR), {refuse("antithrombotic-undecided", "plan.antithrombotic_decisions")}),
    "antithrombotic-undecided: physician": Provocation(
        (WARFARIN, INR, (DECIDED[0], DECIDED[1].replace("continue", "ask_physician"))),
        {refuse("antithrombotic-undecided", "plan.antithrombotic_decisions[0].decision")}),
}  # fmt: skip

BIG = "volume_ml: 2.2, cartridge_ml: 2.2, at: 2026-03-17T09:55"
INTRALIGAMENTARY = "site: 38, needle_gauge: 30, seconds: 20"

DOSES = {
    "dose-over-limit: planned": Provocation(
        (("volume_ml: 2.2, cartridge_ml: 2.2, technique: block",
          "volume_ml: 22, cartridge_ml: 2.2, technique: block"),),
        {refuse("dose-over-limit", "plan.injections")}, ("consent",)),
    "dose-over-limit: given": Provocation(
        ((BIG, BIG.replace("volume_ml: 2.2", "volume_ml: 22")),), {refuse("dose-over-limit", "operation.injections")}),
    "la-no-row": Provocation(
        (("{inn: lidocaine, percent: 2, vasoconstrictor: epinephrine, dilution: 80000, volume_ml: 0.2",
          "{inn: ropivacaine, percent: 1, vasoconstrictor: none, dilution: not_applicable, volume_ml: 0.2"),),
        {note("la-no-row", "operation.injections[2].inn")}),
    "dose-no-weight: note": Provocation(
        (("  weight_kg: 62\n", ""),), {note("dose-no-weight", "patient.weight_kg")}),
    "dose-no-weight: sedation": Provocation(
        (("  weight_kg: 62\n", ""), ("anesthesia: local\n", "anesthesia: local_with_sedation\n")),
        {refuse("dose-no-weight", "patient.weight_kg")}),
    "dose-no-weight: many cartridges": Provocation(
        (("  weight_kg: 62\n", ""), (BIG, BIG.replace("volume_ml: 2.2", "volume_ml: 4.4"))),
        {refuse("dose-no-weight", "patient.weight_kg")}),
    "batch-expired": Provocation(
        (("seconds: 20, aspiration: not_applicable, batch: L-77 (sample), expiry: 2027-08-31",
          "seconds: 20, aspiration: not_applicable, batch: L-77 (sample), expiry: 2026-03-16"),),
        {refuse("batch-expired", "operation.injections[2].expiry")}),
    "daily-dose: above its own maximum": Provocation(
        (("max_mg_per_day: 1200", "max_mg_per_day: 800"),), {refuse("daily-dose", "prescriptions[0].max_mg_per_day")}),
    "daily-dose: above the ceiling": Provocation(
        (("max_mg_per_day: 1200", "max_mg_per_day: 1600"), ("times_per_day: 3", "times_per_day: 4")),
        {refuse("daily-dose", "prescriptions[0].dose_mg")}),
    "daily-dose: too soon": Provocation(
        (("hours_apart: 6", "hours_apart: 4"),), {refuse("daily-dose", "prescriptions[0].hours_apart")}),
}  # fmt: skip

OPERATION = {
    "baseline-untested": Provocation(
        (("{lip: normal", "{lip: not_tested"),), {note("baseline-untested", "operation.baseline.lip")}),
    "sinus-test": Provocation(
        upper("sinus_test: negative", "sinus_test: not_done"), {note("sinus-test", f"{ROW}.sinus_test")}),
    "fragment-told": Provocation(
        (("fragment: none", "fragment: {site: apex, size_mm: 3, reason: nerve, on_purpose: no, patient_told: no}"),),
        {refuse("fragment-told", f"{ROW}.fragment.patient_told")}),
    "fragment-told: complication": Provocation(
        (("complications: none", "complications: [{code: fragment_left, words: x, action: left, patient_told: no}]"),),
        {refuse("fragment-told", f"{ROW}.complications[0].patient_told")}),
    "counts-incomplete": Provocation(
        (("counts: complete", "counts: incomplete"),), {refuse("counts-incomplete", "operation.counts")}),
    "counts-incomplete: gauze": Provocation(
        (("throat_gauze_out: yes", "throat_gauze_out: no"),),
        {refuse("counts-incomplete", "operation.throat_gauze_out")}),
    "emphysema": Provocation(
        (("handpiece: electric", "handpiece: air_driven"), ("lingual_flap_raised: no", "lingual_flap_raised: yes")),
        {note("emphysema", f"{ROW}.handpiece")}),
    "suture-unusual": Provocation((("{count: 2", "{count: 3"),), {note("suture-unusual", f"{ROW}.sutures.count")}),
    "section-past-furcation": Provocation(
        (("sectioned_to: furcation", "sectioned_to: past_furcation"),),
        {note("section-past-furcation", f"{ROW}.sectioned_to")}),
    "curetted-near-nerve": Provocation(
        (("relation: touching", "relation: overlapping"), ("follicle: removed_no_curettage", "follicle: curetted")),
        {note("curetted-near-nerve", f"{ROW}.follicle")}),
    "intraligamentary-unusual: gauge": Provocation(
        ((INTRALIGAMENTARY, INTRALIGAMENTARY.replace("30", "27")),),
        {note("intraligamentary-unusual", "operation.injections[2].needle_gauge")}),
    "intraligamentary-unusual: seconds": Provocation(
        ((INTRALIGAMENTARY, INTRALIGAMENTARY.replace("20", "26")),),
        {note("intraligamentary-unusual", "operation.injections[2].seconds")}),
    "syringe-upper": Provocation(
        upper("syringe_given: no", "syringe_given: yes"), {refuse("syringe-upper", "aftercare.syringe_given")}),
    "result-ownerless": Provocation(
        (("specimens: none", "specimens: [{what: cyst wall, sent_to: laboratory}]"),),
        {refuse("result-ownerless", "operation.specimens[0].result_owner")}),
    "image-dated-after": Provocation(
        (("taken_on: 2026-02-20", "taken_on: 2026-03-18"),),
        {refuse("dates-order", "imaging[0].taken_on"), refuse("image-dated-after", "imaging[0].taken_on")}),
    "image-missing": Provocation(
        (("taken_on: 2026-02-20, teeth: [38]", "taken_on: 2026-02-20, teeth: [48]"),),
        {note("image-missing", "imaging")}),
}  # fmt: skip
