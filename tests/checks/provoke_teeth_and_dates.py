"""Edits of case 1 that make teeth or dates contradict each other."""

from provocation import (
    AGREED,
    GUARDIAN_SIGNS,
    ITEM,
    MINOR,
    OTHER_TOOTH,
    PERFORMED,
    PROPOSED,
    ROW,
    UPPER,
    Provocation,
    note,
    refuse,
    upper,
)

TEETH = {
    "tooth-side-mismatch: side": Provocation(
        ((ITEM, ITEM.replace("left", "right")),), {refuse("tooth-side-mismatch", "teeth[0].tooth")}),
    "tooth-side-mismatch: jaw": Provocation(
        ((PROPOSED, PROPOSED.replace("lower", "upper")),),
        {refuse("tooth-side-mismatch", "plan.procedures[0].tooth")}),
    "tooth-side-mismatch: performed": Provocation(
        ((PERFORMED, PERFORMED.replace("left", "right")),), {refuse("tooth-side-mismatch", f"{ROW}.tooth")}),
    "tooth-side-mismatch: the other notation": Provocation(
        (("tooth_notation: fdi", "tooth_notation: palmer"), *((a, a.replace("38", "LR8")) for a in (
            ITEM, PROPOSED, PERFORMED, AGREED, "taken_on: 2026-02-20, teeth: [38]"))),
        {refuse("tooth-side-mismatch", path)
         for path in ("teeth[0].tooth", "plan.procedures[0].tooth", f"{ROW}.tooth")}),
    "tooth-unknown": Provocation(
        ((AGREED, AGREED.replace("[38]", "[38, 48]")),),
        {refuse("tooth-unknown", "consent.teeth[1]"), refuse("teeth-agreed-differ", "consent.teeth")}),
    "tooth-twice": Provocation(
        ((AGREED, AGREED.replace("[38]", "[38, 38]")),), {refuse("tooth-twice", "consent.teeth[1]")}),
    "tooth-absent": Provocation(
        (("present: tooth", "present: absent"),), {refuse("tooth-absent", "plan.procedures[0].tooth")}),
    "teeth-agreed-differ": Provocation(
        (("teeth:\n  - tooth: 38", OTHER_TOOTH), (AGREED, AGREED.replace("[38]", "[38, 48]"))),
        {refuse("teeth-agreed-differ", "consent.teeth")}),
    "teeth-performed-extra": Provocation(
        (("teeth:\n  - tooth: 38", OTHER_TOOTH),
         ("  extra_procedure: none", "    - {tooth: 48, side: right, jaw: lower, performed: biopsy, difference: x}\n"
          "  extra_procedure: none")),
        {refuse("teeth-performed-extra", "operation.procedures[1].tooth")}),
    "performed-unexplained": Provocation(
        (("teeth:\n  - tooth: 38", OTHER_TOOTH), (AGREED, AGREED.replace("[38]", "[38, 48]")),
         ("    - {tooth: 38, side: left", "    - {tooth: 48, side: right, jaw: lower, procedure: removal}\n"
          "    - {tooth: 38, side: left")),
        {refuse("performed-unexplained", "operation.procedures")}),
    "teeth-requested-differ": Provocation(
        (("teeth:\n  - tooth: 38", OTHER_TOOTH), ("\nplan:\n", "\nreferral: {teeth: [48]}\nplan:\n")),
        {note("teeth-requested-differ", "plan.procedures")}),
    "pederson-upper": Provocation(
        (*(e for e in UPPER if "ramus" not in e[0]),), {refuse("pederson-upper", "teeth[0].ramus")}),
    "angle-and-class": Provocation(
        (("angle_degrees: 35", "angle_degrees: 35\n    angle_class: horizontal"),),
        {refuse("angle-and-class", "teeth[0].angle_class")}),
    "na-contradicted: sinus test": Provocation(
        upper("sinus_test: negative", "sinus_test: not_applicable"), {refuse("na-contradicted", f"{ROW}.sinus_test")}),
    "na-contradicted: sinus": Provocation(
        upper("sinus: {relation: clear, overlap_fraction: 0}", "sinus: not_applicable"),
        {refuse("na-contradicted", "teeth[0].sinus")}),
    "na-contradicted: canal": Provocation(
        (("canal: {relation: touching, film_signs: none, ct_position: not_imaged, ct_contact: not_applicable}",
          "canal: not_applicable"),), {refuse("na-contradicted", "teeth[0].canal")}),
    "na-contradicted: baseline": Provocation(
        (("{lip: normal", "{lip: not_applicable"),), {refuse("na-contradicted", "operation.baseline.lip")}),
    "na-contradicted: guardian": Provocation(
        (MINOR[0], GUARDIAN_SIGNS), {refuse("na-contradicted", "guardian")}),
}  # fmt: skip

DATES = {
    "dates-order: referral and plan": Provocation(
        (("\nplan:\n", "\nreferral: {on: 2026-03-04}\nplan:\n"),), {refuse("dates-order", "plan.made_on")}),
    "dates-order: plan and confirmation": Provocation(
        (("  made_on: 2026-03-03", "  made_on: 2026-03-17"), ("confirmed_at: 2026-03-17", "confirmed_at: 2026-03-16")),
        {refuse("dates-order", "consent.confirmed_at")}),
    "dates-order: first talk and confirmation": Provocation(
        (("confirmed_at: 2026-03-17", "confirmed_at: 2026-03-02"), ("  made_on: 2026-03-03", "  made_on: 2026-03-02")),
        {refuse("dates-order", "consent.confirmed_at")}),
    "dates-order: start and end": Provocation(
        (("ended_at: 2026-03-17T10:40", "ended_at: 2026-03-17T10:05"),),
        {refuse("dates-order", "operation.ended_at"), refuse("dates-order", "operation.injections[2].at")}),
    "dates-order: injection and end": Provocation(
        (("at: 2026-03-17T10:12", "at: 2026-03-17T10:40"),), {refuse("dates-order", "operation.injections[2].at")}),
    "dates-order: start and hemostasis": Provocation(
        (("hemostasis_at: 2026-03-17T10:42", "hemostasis_at: 2026-03-17T10:04"),),
        {refuse("dates-order", "operation.hemostasis_at")}),
    "dates-order: hemostasis and discharge": Provocation(
        (("discharged_at: 2026-03-17T11:00", "discharged_at: 2026-03-17T10:41"),),
        {refuse("dates-order", "operation.discharged_at"), note("note-late", "operation.signed_at")}),
    "dates-order: operation and reply": Provocation(
        (("prescriptions:\n", "reply: {on: 2026-03-16}\nprescriptions:\n"),), {refuse("dates-order", "reply.on")},
        ("reply",)),
    "dates-order: done after the issue": Provocation(
        (("taken_on: 2026-02-20", "taken_on: 2026-03-18"),),
        {refuse("dates-order", "imaging[0].taken_on"), refuse("image-dated-after", "imaging[0].taken_on")}),
    "note-late": Provocation(
        (("signed_at: 2026-03-17T10:55", "signed_at: 2026-03-17T11:01"),),
        {note("note-late", "operation.signed_at")}),
    "out-of-range: future": Provocation(
        (("birth_date: 2001-11-19", "birth_date: 2026-03-18"),), {refuse("out-of-range", "patient.birth_date")}),
    "out-of-range: 121 years": Provocation(
        (("birth_date: 2001-11-19", "birth_date: 1905-03-17"),), {refuse("out-of-range", "patient.birth_date")}),
    "out-of-range: weight": Provocation(
        (("weight_kg: 62", "weight_kg: 201"),), {note("out-of-range", "patient.weight_kg")}),
    "bad-value: nobody": Provocation((("operator: mh\n  operation_at", "operator: xy\n  operation_at"),),
                                     {refuse("bad-value", "plan.operator")}),
    "bad-value: nobody assisted": Provocation((("assistants: [td]", "assistants: [td, xy]"),),
                                              {refuse("bad-value", "operation.assistants[1]")}),
    "bad-value: no such file": Provocation((("file: none", "file: f9"),), {refuse("bad-value", "imaging[0].file")}),
    "na-contradicted: supervisor": Provocation(
        (), {refuse("na-contradicted", "practitioners[1].supervisor")},
        clinic_edits=(("registration_body: not_applicable, trainee: no", "registration_body: not_applicable, trainee: yes"),)),
    "missing-field: supervisor": Provocation(
        (), {refuse("missing-field", "practitioners[1].supervisor")},
        clinic_edits=(("registration_body: not_applicable, trainee: no, supervisor: not_applicable",
                       "registration_body: not_applicable, trainee: yes"),)),
}  # fmt: skip
