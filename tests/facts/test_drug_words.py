"""Every code that the tables of drugs can give has words among staff."""

from __future__ import annotations

import pytest
from conftest import shipped_world

from docgen.clinical.table_file import read_tables
from docgen.kinds.words import read_words

TABLES = read_tables()
CONFLICTS = TABLES.table("drug-conflict")
NSAID = {row.id for row in TABLES.table("nsaid-rule")} | {"not_all_answered"}
MET = {code for row in CONFLICTS for column in ("conditions", "allergy_groups") for code in row.texts(column)}
CODES = {
    "drug_conflicts.hits.code": {row.text("code") for row in CONFLICTS},
    "drug_conflicts.hits.severity": {row.text("severity") for row in CONFLICTS},
    "drug_conflicts.hits.moment": {"planned", "given", "prescribed"},
    "drug_conflicts.hits.other": MET
    | NSAID
    | {"alcohol", "alcohol_not_known", "alcohol_not_recorded", "pregnancy", "pregnancy_not_known", "inr_unstable",
       "inr_not_known", "age_under_4", "age_65", "minor", "block"},
    "reasons": NSAID,
    "analgesic_totals.verdict": {"ok", "caution", "stop"},
    "analgesic_totals.reasons": {row.id for row in TABLES.table("analgesic-rule")}
    | {"over_ceiling", "maximum_over_ceiling", "gap_too_short", "not_all_answered"},
    "endocarditis_rule.verdict": {"none", "dose", "clinician_decides"},
    "endocarditis_verdict": {"none", "dose", "clinician_decides"},
    "endocarditis_rule.reasons": {"prosthetic_valve", "previous_endocarditis", "listed_congenital",
                                  "transplant_valvulopathy", "penicillin_allergy", "drug_allergy",
                                  "allergies_not_known", "no_child_dose", "agreed_and_recorded"},
}  # fmt: skip


@pytest.mark.parametrize("group", CODES)
def test_each_code_of_a_rule_has_words(group: str) -> None:
    """A hit, reason or verdict prints in the terms of the profession, and no word stands for a code there is not."""
    words = read_words(shipped_world().templates.folders)
    assert words.group_of(f"facts.{group}") == group
    said = {code for code, voices in words.groups[group].items() if voices.get("staff")}

    assert CODES[group] == said
