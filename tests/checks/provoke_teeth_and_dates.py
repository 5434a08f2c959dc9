"""Edits of case 1 that make teeth, dates or ids contradict each other."""

from __future__ import annotations

from provocation import (
    EXTRA,
    GUARDIAN_SIGNS,
    LOWER_DOSE,
    MINOR,
    OTHER_TOOTH,
    PLANNED,
    ROW,
    UPPER,
    Provocation,
    note,
    refuse,
)

EVERY_NUMBER = ("teeth[0].tooth", f"{PLANNED}.tooth", f"{ROW}.tooth")

TEETH = {
    "tooth-side-mismatch: side": Provocation(
        {"teeth[0].side": "right"}, {refuse("tooth-side-mismatch", "teeth[0].tooth")}
    ),
    "tooth-side-mismatch: jaw": Provocation(
        {f"{PLANNED}.jaw": "upper"}, {refuse("tooth-side-mismatch", f"{PLANNED}.tooth")}
    ),
    "tooth-side-mismatch: performed": Provocation(
        {f"{ROW}.side": "right"}, {refuse("tooth-side-mismatch", f"{ROW}.tooth")}
    ),
    "tooth-side-mismatch: another notation": Provocation(
        {
            "record.tooth_notation": "universal",
            "consent.teeth": "[32]",
            "imaging[0].teeth": "[32]",
            "referral.teeth": "[32]",
            **dict.fromkeys(EVERY_NUMBER, "32"),
        },
        {refuse("tooth-side-mismatch", path) for path in EVERY_NUMBER},
    ),
    "tooth-unknown": Provocation(
        {"consent.teeth": "[38, 48]"},
        {refuse("tooth-unknown", "consent.teeth[1]"), refuse("teeth-agreed-differ", "consent.teeth")},
    ),
    "tooth-twice": Provocation({"consent.teeth": "[38, 38]"}, {refuse("tooth-twice", "consent.teeth[1]")}),
    "tooth-absent": Provocation({"teeth[0].present": "absent"}, {refuse("tooth-absent", f"{PLANNED}.tooth")}),
    "teeth-agreed-differ": Provocation(
        {**OTHER_TOOTH, "consent.teeth": "[38, 48]"}, {refuse("teeth-agreed-differ", "consent.teeth")}
    ),
    "teeth-performed-extra": Provocation(EXTRA, {refuse("teeth-performed-extra", "operation.procedures[1].tooth")}),
    "performed-unexplained": Provocation(
        {
            **OTHER_TOOTH,
            "consent.teeth": "[38, 48]",
            "referral.teeth": "[38, 48]",
            "plan.procedures[1]": "{tooth: 48, side: right, jaw: lower, procedure: removal, surgical: no}",
        },
        {refuse("performed-unexplained", "operation.procedures")},
    ),
    "teeth-requested-differ": Provocation(
        {**OTHER_TOOTH, "referral": "{teeth: [48]}"}, {note("teeth-requested-differ", "plan.procedures")}
    ),
    "pederson-upper": Provocation({**UPPER, "teeth[0].ramus": "II"}, {refuse("pederson-upper", "teeth[0].ramus")}),
    "angle-and-class": Provocation(
        {"teeth[0].angle_class": "horizontal"}, {refuse("angle-and-class", "teeth[0].angle_class")}
    ),
    "na-contradicted: sinus test": Provocation(
        {**UPPER, f"{ROW}.sinus_test": "not_applicable"}, {refuse("na-contradicted", f"{ROW}.sinus_test")}
    ),
    "na-contradicted: sinus": Provocation(
        {**UPPER, "teeth[0].sinus": "not_applicable"}, {refuse("na-contradicted", "teeth[0].sinus")}
    ),
    "na-contradicted: canal": Provocation(
        {"teeth[0].canal": "not_applicable"}, {refuse("na-contradicted", "teeth[0].canal")}
    ),
    "na-contradicted: ramus": Provocation(
        {"teeth[0].ramus": "not_applicable"}, {refuse("na-contradicted", "teeth[0].ramus")}
    ),
    "na-contradicted: baseline": Provocation(
        {"operation.baseline.lip": "not_applicable"}, {refuse("na-contradicted", "operation.baseline.lip")}
    ),
    "na-contradicted: guardian": Provocation(
        {**MINOR, **GUARDIAN_SIGNS, "guardian": "not_applicable"},
        {refuse("na-contradicted", "guardian"), *LOWER_DOSE},
    ),
}

DATES = {
    "dates-order: referral and plan": Provocation(
        {"referral": "{on: 2026-03-04}"}, {refuse("dates-order", "plan.made_on")}
    ),
    "dates-order: plan and confirmation": Provocation(
        {"plan.made_on": "2026-03-17", "consent.confirmed_at": "'2026-03-16T09:40'"},
        {refuse("dates-order", "consent.confirmed_at")},
    ),
    "dates-order: first talk and confirmation": Provocation(
        {"plan.made_on": "2026-03-02", "consent.confirmed_at": "'2026-03-02T09:40'"},
        {refuse("dates-order", "consent.confirmed_at")},
    ),
    "dates-order: start and end": Provocation(
        {"operation.started_at": "'2026-03-17T10:40'"}, {refuse("dates-order", "operation.ended_at")}
    ),
    "dates-order: injection and end": Provocation(
        {"operation.injections[2].at": "'2026-03-17T10:40'"},
        {refuse("dates-order", "operation.injections[2].at")},
    ),
    "dates-order: start and hemostasis": Provocation(
        {"operation.hemostasis_at": "'2026-03-17T10:04'"}, {refuse("dates-order", "operation.hemostasis_at")}
    ),
    "dates-order: hemostasis and discharge": Provocation(
        {"operation.hemostasis_at": "'2026-03-17T10:59'", "operation.discharged_at": "'2026-03-17T10:58'"},
        {refuse("dates-order", "operation.discharged_at")},
    ),
    "dates-order: end and discharge": Provocation(
        {
            "operation.hemostasis_at": "'2026-03-17T10:30'",
            "operation.discharged_at": "'2026-03-17T10:35'",
            "operation.signed_at": "'2026-03-17T10:34'",
        },
        {refuse("dates-order", "operation.discharged_at")},
    ),
    "dates-order: operation and reply": Provocation(
        {"reply": "{on: 2026-03-16}", "follow_up": None},
        {refuse("dates-order", "reply.on")},
        ("reply",),
    ),
    "dates-order: done after the issue": Provocation(
        {"patient.weight_on": "2026-03-18"}, {refuse("dates-order", "patient.weight_on")}
    ),
    "note-late": Provocation(
        {"operation.discharged_at": "'2026-03-17T11:00'", "operation.signed_at": "'2026-03-17T11:01'"},
        {note("note-late", "operation.signed_at")},
    ),
    "out-of-range: future": Provocation(
        {"patient.birth_date": "2026-03-18"},
        {refuse("out-of-range", "patient.birth_date"), note("drug-caution", "prescriptions[0].inn")},
    ),
    "out-of-range: 121 years": Provocation(
        {"patient.birth_date": "1905-03-17"},
        {
            refuse("out-of-range", "patient.birth_date"),
            note("drug-caution", "prescriptions[0].inn"),
            *LOWER_DOSE,
        },
    ),
    "out-of-range: weight": Provocation({"patient.weight_kg": "201"}, {note("out-of-range", "patient.weight_kg")}),
    "bad-value: nobody": Provocation({"plan.operator": "xy"}, {refuse("bad-value", "plan.operator")}),
    "bad-value: nobody assisted": Provocation(
        {"operation.assistants": "[mh, xy]"}, {refuse("bad-value", "operation.assistants[1]")}
    ),
    "bad-value: no such file": Provocation({"imaging[0].file": "f9"}, {refuse("bad-value", "imaging[0].file")}),
    "bad-value: own supervisor": Provocation(
        {},
        {refuse("bad-value", "practitioners[1].supervisor")},
        clinic_edits={"practitioners[1].trainee": "yes", "practitioners[1].supervisor": "jt"},
    ),
    "na-contradicted: supervisor": Provocation(
        {}, {refuse("na-contradicted", "practitioners[1].supervisor")}, clinic_edits={"practitioners[1].trainee": "yes"}
    ),
    "missing-field: supervisor": Provocation(
        {},
        {refuse("missing-field", "practitioners[1].supervisor")},
        clinic_edits={"practitioners[1].trainee": "yes", "practitioners[1].supervisor": None},
    ),
}
