"""The medical history."""

from typing import Annotated

from docgen.answer import Answer
from docgen.case.field_types import (
    NA,
    NK,
    NONE,
    Clock,
    DateOr,
    Day,
    DecimalOr,
    IntOr,
    Line,
    Moment,
    MomentOr,
    TextOr,
    YesNoAny,
    YesNoKnown,
    a_code,
    a_count,
    a_date,
    a_group,
    a_line,
    a_list,
    a_moment,
    a_positive,
    a_text,
    an_id,
)
from docgen.case.recorded import Recorded, part, recorded

CONDITIONS = (
    "heart_disease_severe heart_failure_severe hypertension_severe hypertension infarction_under_6_months "
    "angina_unstable asthma aspirin_sensitive_airway peptic_ulcer_active nsaid_ulcer_past inflammatory_bowel "
    "liver_severe kidney_severe bleeding_disorder diabetes epilepsy hyperthyroid_uncontrolled phaeochromocytoma "
    "methaemoglobinaemia immunosuppressed obesity_severe joint_replacement learning_disability dementia "
    "anxiety_severe cocaine_recent other"
)


class Condition(Recorded):
    """One illness or state of health."""

    code: Annotated[TextOr, a_code(CONDITIONS)] = recorded("The condition as rules know it", "F S", "hypertension")
    words: Line = recorded("The condition in words", "F S", "high blood pressure")
    icd10: Annotated[TextOr, a_line(NK)] = recorded("ICD-10 code", "F S", "I10")
    since: Annotated[DateOr, a_date(NK)] = recorded("Since when", "F S", "2019-05-01")
    controlled: YesNoKnown = recorded("Whether treatment controls it", "F S", "yes")


class Medication(Recorded):
    """One drug, except blood thinners and bone drugs, which have lists of their own."""

    inn: Line = recorded("INN name", "F S", "propranolol")
    dose: Line = recorded("Single dose with its unit", "F S", "40 mg")
    route: Line = recorded("How it is taken", "F S", "by mouth")
    frequency: Line = recorded("How often and when", "F S", "morning")
    indication: Line = recorded("What it is for", "F S", "high blood pressure")
    last_taken_at: Annotated[MomentOr, a_moment(NK)] = recorded("When it was last taken", "F S", "2026-02-26T07:00")


class Antithrombotic(Recorded):
    """One blood thinner."""

    inn: Line = recorded("INN name", "F S", "apixaban")
    dose_mg: Annotated[DecimalOr, a_positive()] = recorded("Single dose in mg", "F S", "5")
    dose_times: Annotated[tuple[Clock, ...] | None, a_list()] = recorded(
        "Usual times of day", "F S", '["08:00", "20:00"]'
    )
    indication: Annotated[TextOr, a_code("atrial_fibrillation mechanical_valve clot stent stroke other")] = recorded(
        "Why it is taken", "F S", "atrial_fibrillation"
    )
    recent_event: Annotated[TextOr, a_code("clot_under_3_months stent_under_3_months cardioversion_planned", NONE)] = (
        recorded("What makes stopping it dangerous", "F S", "none")
    )
    last_dose_at: Annotated[MomentOr, a_moment(NK)] = recorded("When it was last taken", "F S", "2026-02-25T20:00")


class Inr(Recorded):
    """The last INR test."""

    value: Annotated[DecimalOr, a_positive()] = recorded("INR", "F S", "2.8")
    taken_at: Moment = recorded("When the blood was taken", "F S", "2026-01-19T13:10")
    stable: YesNoKnown = recorded("No weekly checks, none above 4 in two months", "F S", "yes")


class Antiresorptive(Recorded):
    """One bone drug or anti-angiogenic cancer drug, also one that was stopped."""

    inn: Line = recorded("INN name", "F S", "denosumab")
    route: Annotated[TextOr, a_code("by_mouth injection infusion")] = recorded("How it is given", "F S", "injection")
    indication: Annotated[TextOr, a_code("osteoporosis cancer other", NK)] = recorded(
        "Why it is given", "F S", "osteoporosis"
    )
    started_on: Annotated[DateOr, a_date(NK)] = recorded("First dose", "F S", "2020-04-20")
    stopped_on: Annotated[DateOr, a_date(NA)] = recorded("Day it was stopped", "F S", "not_applicable")
    last_dose_on: Annotated[DateOr, a_date(NK)] = recorded("Last dose", "F S", "2026-03-02")
    years: Annotated[DecimalOr, a_positive(NK)] = recorded("Years of use if the dates are not known", "F S", "6")


class JawRadiotherapy(Recorded):
    """Radiation to the jaws; all but `given` only with `given: yes`."""

    given: YesNoKnown = recorded("Whether the jaws were irradiated", "F S", "no")
    finished_on: Annotated[DateOr, a_date(NK)] = recorded("Last day of treatment", "F S", "2021-06-30")
    dose_gy: Annotated[DecimalOr, a_positive(NK)] = recorded("Dose in Gy", "F S", "60")
    field: Annotated[TextOr, a_line(NK)] = recorded("Part that was irradiated", "F S", "left lower jaw")


class Allergy(Recorded):
    """One allergy or intolerance."""

    substance: Line = recorded("What the patient reacts to", "R F S", "amoxicillin")
    group: Annotated[
        TextOr,
        a_code("penicillin cephalosporin macrolide nsaid sulfite amide_la latex chlorhexidine iodine other"),
    ] = recorded("The group as rules know it; nsaid includes aspirin", "R F S", "penicillin")
    reaction: Line = recorded("What happened", "R F S", "collapse")
    severity: Annotated[TextOr, a_code("anaphylaxis urticaria_angioedema rash intolerance", NK)] = recorded(
        "How bad it was", "R F S", "anaphylaxis"
    )


class Smoking(Recorded):
    """Smoking."""

    status: Annotated[TextOr, a_code("never former current", NK)] = recorded("Smoking", "R F", "never")
    per_day: Annotated[IntOr, a_count(NK, low=1)] = recorded("Cigarettes a day, only if current", "R F", "10")


class Pregnancy(Recorded):
    """Pregnancy."""

    state: Annotated[TextOr, a_code("no yes", NA, NK)] = recorded("Whether the patient is pregnant", "R S", "no")
    weeks: Annotated[IntOr, a_count(NK, low=1, high=45)] = recorded("Completed weeks, only if pregnant", "R S", "20")


class Medical(Recorded):
    """The medical history, as last checked."""

    checked_on: Day = recorded("Day of the last full check", "S F", "2026-03-03")
    checked_by: Annotated[TextOr, an_id(also="referrer")] = recorded("Id of who checked, or referrer", "S F", "mh")
    asa_class: Annotated[IntOr, a_count(NK, low=1, high=4)] = recorded("Fitness class for anesthesia", "S F", "1")
    conditions: Annotated[tuple[Annotated[Condition, a_group()], ...] | Answer | None, a_list(NONE)] = recorded(
        "Illnesses and states of health", "F S", "none"
    )
    medications: Annotated[tuple[Annotated[Medication, a_group()], ...] | Answer | None, a_list(NONE)] = recorded(
        "All drugs except blood thinners and bone drugs", "F S", "none"
    )
    antithrombotics: Annotated[tuple[Annotated[Antithrombotic, a_group()], ...] | Answer | None, a_list(NONE)] = (
        recorded("Blood thinners", "F S", "none")
    )
    inr: Annotated[Inr | Answer, a_group(NA, NK)] = part(Inr, "The last INR test", "F S")
    antiresorptives: Annotated[tuple[Annotated[Antiresorptive, a_group()], ...] | Answer | None, a_list(NONE)] = (
        recorded("Bone drugs and anti-angiogenic cancer drugs, stopped ones too", "F S", "none")
    )
    previous_mronj: YesNoKnown = recorded("Jaw bone death after a drug, ever", "F S", "no")
    steroid_or_immunosuppressant: YesNoKnown = recorded("Systemic steroid or immunosuppressant", "F S", "no")
    jaw_radiotherapy: Annotated[JawRadiotherapy, a_group()] = part(JawRadiotherapy, "Radiation to the jaws", "F S")
    endocarditis_heart: Annotated[
        tuple[
            Annotated[
                str | None,
                a_code("prosthetic_valve previous_endocarditis listed_congenital transplant_valvulopathy"),
            ],
            ...,
        ]
        | Answer
        | None,
        a_list(NONE, NK),
    ] = recorded("Heart conditions with a high risk from endocarditis", "F S", "none")
    allergies: Annotated[tuple[Annotated[Allergy, a_group()], ...] | Answer | None, a_list(NONE, NK)] = recorded(
        "Allergies and intolerances", "R F S", "none"
    )
    smoking: Annotated[Smoking, a_group()] = part(Smoking, "Smoking", "R F")
    alcohol: Annotated[TextOr, a_code("some heavy", NONE, NK)] = recorded("Alcohol", "R F", "some")
    pregnancy: Annotated[Pregnancy, a_group()] = part(Pregnancy, "Pregnancy", "R S")
    breast_feeding: YesNoAny = recorded("Whether the patient breast-feeds", "R S", "no")
    hormonal_contraception: Annotated[TextOr, a_code("combined progestogen", NONE, NA, NK)] = recorded(
        "Hormonal contraception", "R S", "combined"
    )
    anesthetic_history: Annotated[TextOr, a_text(NONE)] = recorded(
        "Earlier trouble with injections or sedation", "R S", "none"
    )
