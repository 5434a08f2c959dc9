"""Each conflict pair of specification 3.5 in a whole record: with the pair, with another drug, with another patient."""

from __future__ import annotations

from typing import Any, NamedTuple

import pytest
from case_facts import Edits, value_of

from docgen.clinical.table_file import read_tables


class Pair(NamedTuple):
    """A code with the record that brings it, and the two halves of that record that do not."""

    code: str
    severity: str
    moment: str
    drug: Edits
    patient: Edits
    unlike: Edits
    """Another drug for the same patient."""
    harmless: Edits
    """Another patient with the same drug."""


def injection(inn: str, vasoconstrictor: str = "none", **more: str) -> Edits:
    """Plan one cartridge."""
    row = {"inn": inn, "percent": "3", "vasoconstrictor": vasoconstrictor, "volume_ml": "1.8", "cartridge_ml": "1.8",
           "technique": "infiltration", "site": "38"}  # fmt: skip
    dilution = {"dilution": "not_applicable" if vasoconstrictor == "none" else "200000"}
    return {"plan.injections": [row | dilution | more]}


def prescribed(inn: str) -> Edits:
    """Prescribe one drug."""
    return {"prescriptions": [{"inn": inn, "form": "tablet", "dose_mg": "100", "times_per_day": "1",
                               "hours_apart": "24", "days": "3", "max_mg_per_day": "100", "supply": "prescribed",
                               "reason": "pain"}]}  # fmt: skip


def takes(inn: str) -> Edits:
    """Take one drug."""
    return {"medical.medications": [{"inn": inn, "dose": "1", "route": "by mouth", "frequency": "morning",
                                     "indication": "other", "last_taken_at": "not_known"}]}  # fmt: skip


def thinned(inn: str, stable: str = "yes") -> Edits:
    """Take one blood thinner."""
    drug = {"inn": inn, "dose_mg": "3", "dose_times": ["18:00"], "indication": "clot", "recent_event": "none",
            "last_dose_at": "not_known"}  # fmt: skip
    inr = {"value": "2.8", "taken_at": "2026-03-16T12:00", "stable": stable}
    return {"medical.antithrombotics": [drug], "medical.inr": inr}


def allergic(group: str, severity: str = "rash") -> Edits:
    """Have one allergy, named by its group."""
    names = {"amide_la": "lidocaine", "penicillin": "amoxicillin", "nsaid": "naproxen"}
    row = {"substance": names.get(group, group), "group": group, "reaction": "rash", "severity": severity}
    return {"medical.allergies": [row]}


def ill(code: str) -> Edits:
    """Have one condition."""
    return {"medical.conditions": [{"code": code, "words": "as said", "icd10": "not_known", "controlled": "yes"}]}


def born(day: str) -> Edits:
    """Be of another age on 17 March 2026."""
    return {"patient.birth_date": day}


PLAIN, EPI, PARACETAMOL = injection("mepivacaine"), injection("mepivacaine", "epinephrine"), prescribed("paracetamol")
PREGNANT: Edits = {"medical.pregnancy": {"state": "yes", "weeks": "12"}}
PAIRS = [
    Pair("same-allergy", "stop", "prescribed", prescribed("naproxen"), allergic("nsaid"), PARACETAMOL, {}),
    Pair("penicillin-allergy", "stop", "prescribed", prescribed("amoxicillin"), allergic("penicillin"),
         prescribed("clindamycin"), {}),
    Pair("penicillin-allergy", "stop", "prescribed", prescribed("amoxicillin + clavulanic acid"),
         allergic("penicillin", "intolerance"), prescribed("clindamycin"), {}),
    Pair("cephalosporin-allergy", "stop", "prescribed", prescribed("cefuroxime"),
         allergic("penicillin", "anaphylaxis"), prescribed("clindamycin"), allergic("penicillin", "rash")),
    Pair("nsaid-stop", "stop", "prescribed", prescribed("ibuprofen"), ill("kidney_severe"), PARACETAMOL, ill("asthma")),
    # week 28 and week 27 (ELMS, NAT-NSAID; the week is memory)
    Pair("nsaid-stop", "stop", "prescribed", prescribed("ibuprofen"),
         {"medical.pregnancy": {"state": "yes", "weeks": "28"}},
         PARACETAMOL, {"medical.pregnancy": {"state": "yes", "weeks": "27"}}),
    Pair("nsaid-avoid", "stop_unless_departure", "prescribed", prescribed("ibuprofen"), takes("lithium"),
         PARACETAMOL, {}),
    Pair("nsaid-caution", "caution", "prescribed", prescribed("ibuprofen"), ill("asthma"), PARACETAMOL,
         ill("epilepsy")),
    Pair("drug-twice", "caution", "prescribed", prescribed("acetaminophen"), takes("paracetamol"),
         prescribed("codeine"), {}),
    Pair("metronidazole-alcohol", "caution", "prescribed", prescribed("metronidazole"), {"medical.alcohol": "some"},
         prescribed("clindamycin"), {"medical.alcohol": "none"}),
    Pair("antibiotic-warfarin", "caution", "prescribed", prescribed("metronidazole"), thinned("warfarin"),
         prescribed("clindamycin"), thinned("apixaban")),
    Pair("macrolide-statin", "stop_unless_departure", "prescribed", prescribed("clarithromycin"), takes("simvastatin"),
         prescribed("clindamycin"), takes("ramipril")),
    Pair("macrolide-lidocaine", "caution", "planned", injection("lidocaine"), takes("erythromycin"), PLAIN,
         takes("azithromycin")),
    Pair("sulfite", "stop", "planned", EPI, allergic("sulfite"), PLAIN, allergic("latex")),
    Pair("amide-allergy", "stop", "planned", PLAIN, allergic("amide_la"), {"plan.injections": "none"},
         allergic("latex")),
    Pair("betablocker-epinephrine", "caution", "planned", EPI, takes("propranolol"), PLAIN, takes("bisoprolol")),
    Pair("tca-maoi-epinephrine", "caution", "planned", EPI, takes("amitriptyline"), PLAIN, takes("sertraline")),
    Pair("tca-maoi-epinephrine", "caution", "planned", EPI, takes("moclobemide"), PLAIN, takes("lithium")),
    Pair("ergot-epinephrine", "stop", "planned", EPI, takes("ergotamine"), PLAIN, takes("codeine")),
    Pair("cocaine-epinephrine", "stop", "planned", EPI, ill("cocaine_recent"), PLAIN, ill("epilepsy")),
    *(
        Pair("heart-epinephrine", "caution", "planned", EPI, ill(code), PLAIN, ill("hypertension"))
        for code in ("infarction_under_6_months", "angina_unstable", "hyperthyroid_uncontrolled", "phaeochromocytoma")
    ),
    Pair("felypressin-pregnancy", "caution", "planned", injection("prilocaine", "felypressin"), PREGNANT, EPI, {}),
    Pair("methaemoglobin", "stop", "planned", injection("prilocaine"), ill("methaemoglobinaemia"), PLAIN,
         ill("epilepsy")),
    Pair("methaemoglobin", "caution", "planned", injection("articaine"), ill("methaemoglobinaemia"), PLAIN,
         ill("epilepsy")),
    # the day before the fourth birthday, and the birthday (ARTI)
    Pair("articaine-age", "stop", "planned", injection("articaine"), born("2022-03-18"), PLAIN, born("2022-03-17")),
    # the day before the majority of case 1's clinic, and the birthday (DENTCARE)
    Pair("bupivacaine-child", "stop", "planned", injection("bupivacaine"), born("2008-03-18"), PLAIN,
         born("2008-03-17")),
    Pair("block-4-percent", "note", "planned", injection("articaine", percent="4", technique="block"), {},
         injection("articaine", percent="4"), harmless={"plan.injections": "none"}),
    Pair("block-unstable-inr", "note", "planned", injection("mepivacaine", technique="block"),
         thinned("warfarin", "no"), PLAIN, thinned("warfarin", "yes")),
    *(
        Pair("amide-reduce", "caution", "planned", PLAIN, ill(code), {"plan.injections": "none"}, ill("epilepsy"))
        for code in ("liver_severe", "heart_failure_severe", "heart_disease_severe")
    ),
    Pair("amide-reduce", "caution", "planned", PLAIN, born("1961-03-17"), {"plan.injections": "none"},
         born("1961-03-18")),
    Pair("aspirin-ibuprofen", "caution", "prescribed", prescribed("ibuprofen"), thinned("aspirin"), PARACETAMOL,
         thinned("clopidogrel")),
]  # fmt: skip


def seen(code: str, moment: str, *edits: Edits) -> set[str]:
    """Give the severities with which a code is found at a moment; what was given in case 1 is looked at elsewhere."""
    merged: dict[str, Any] = {"operation.injections": "none", "prescriptions": "none"}
    for one in edits:
        merged |= one
    hits = value_of("drug_conflicts", merged).hits
    return {hit.severity for hit in hits if (hit.code, hit.moment) == (code, moment)}


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: pair.code)
def test_a_record_has_the_conflict_with_the_pair_and_not_with_half_of_it(pair: Pair) -> None:
    """Sources: those of the rows of table drug-conflict (specification 3.5)."""
    assert {pair.severity} == seen(pair.code, pair.moment, pair.drug, pair.patient)
    assert set() == seen(pair.code, pair.moment, pair.unlike, pair.patient)
    assert set() == seen(pair.code, pair.moment, pair.drug, pair.harmless)


def test_every_code_of_the_table_has_its_case() -> None:
    """Nothing of 3.5 is left out."""
    assert {row.text("code") for row in read_tables().table("drug-conflict")} == {pair.code for pair in PAIRS}
