"""The ordered list of facts against the tables of section 3 of the specification."""

from __future__ import annotations

from docgen.case import field_specs
from docgen.case.settings import find_setting
from docgen.clinical.table_file import read_tables
from docgen.facts import FACTS
from docgen.kinds.kind import LATE_FACTS

BY_TABLE = {
    "3.1": """copy_is_clinic large_print_wanted teeth_in_question reference_date issued_on_operation_day
        leaflet_is_dated patient_age_years patient_is_minor patient_may_consent_alone patient_lacks_capacity
        someone_else_signs bilingual_wanted interpreter_needed""",
    "3.2": """tooth_fdi tooth_universal tooth_palmer tooth_side tooth_jaw tooth_class tooth_words lower_third_planned
        third_molar_planned upper_posterior_planned several_teeth_planned winter_class pederson_total pederson_band
        kim_total kim_band yuasa_flag root_timing canal_at_risk film_sign_strong sinus_at_risk harder_factors
        difficulty_graded difficulty_tooth difficulty_case""",
    "3.3": """procedure_is_surgical operator_is_trainee referral_is_pressing bleeding_category sedation_planned
        general_elsewhere coronectomy_to_discuss coronectomy_planned emphysema_caution""",
    "3.4": """bleeding_patient_class takes_blood_thinner takes_vka inr_verdict antithrombotic_rule
        next_antithrombotic_dose mronj_group orn_risk endocarditis_rule nsaid_verdict analgesic_totals drug_conflicts
        physician_query_needed""",
    "3.6": """la_weight_kg la_dose_mg la_limit_mg la_fraction la_combined epinephrine_limit_ug epinephrine_ug
        epinephrine_fraction la_limiting_term la_remaining_ml la_over_limit""",
    "3.7": """risk_estimates risk_table risk_trace risk_must_print operation_recorded operation_minutes
        performed_differs complications_occurred fragment_left sinus_opened nerve_seen specimen_taken stitches_or_pack
        dressing_stays lower_socket upper_socket_only syringe_line nose_precautions""",
    "3.8": """after_numb_window after_gauze_times after_rinse_from after_head_raised after_suture_window
        after_syringe_from after_syringe_until after_dry_socket_window after_dry_socket_last_day after_review_on
        after_worse_after after_settling after_drive_from after_escort_until after_sinus_until after_soft_diet_until
        after_nerve_call after_mronj_check after_next_blood_thinner""",
    "3.9": "readability reading_minutes cautions retention_until",
}
"""The first column of each table, in the order of its rows; 3.5 holds rows of conflicts, not facts."""

SPECIFIED = tuple(name for names in BY_TABLE.values() for name in names.split())

PER_LIST = {
    "la_dose_mg",
    "la_limit_mg",
    "la_fraction",
    "la_combined",
    "epinephrine_ug",
    "epinephrine_fraction",
    "la_limiting_term",
    "la_remaining_ml",
    "la_over_limit",
}
"""Facts of 3.6 that hold once for what is planned and once for what was given."""

NAMES = tuple(fact.name for fact in FACTS)


def _stated(name: str) -> tuple[str, ...]:
    return (f"{name}_planned", f"{name}_given") if name in PER_LIST else (name,)


def test_the_specification_has_112_facts() -> None:
    """Issue 3 counts them; each name stands once."""
    assert 112 == len(SPECIFIED)
    assert 112 == len(set(SPECIFIED))


def test_every_fact_of_the_specification_is_in_the_list_in_its_order() -> None:
    """Our own facts stand between them, the order of the specification's stays; late facts are not stated here."""
    wanted = [one for name in SPECIFIED if name not in LATE_FACTS for one in _stated(name)]

    assert wanted == [name for name in NAMES if name in wanted]


def test_the_late_facts_are_those_of_the_finished_text() -> None:
    """Readability and reading time are counted on the composed document."""
    assert {"readability", "reading_minutes"} == set(LATE_FACTS)
    assert set(LATE_FACTS).isdisjoint(NAMES)


def test_every_fact_has_sources() -> None:
    """A key of the list of sources, or the tag of a rule without one."""
    names = set(read_tables().sources) | {"design", "cp", "field", "memory"}

    assert [] == [fact.name for fact in FACTS if not fact.sources]
    assert set() == {key for fact in FACTS for key in fact.sources} - names


def test_a_need_is_a_fact_above_a_field_or_a_setting() -> None:
    """Nothing else may be needed."""
    fields = field_specs()
    wrong = {
        (fact.name, need)
        for place, fact in enumerate(FACTS)
        for need in fact.needs
        if need not in NAMES[:place]
        and need not in fields
        and not any(path.startswith((f"{need}.", f"{need}[]")) for path in fields)
        and find_setting(need.removeprefix("settings.")) is None
    }

    assert wrong == set()
