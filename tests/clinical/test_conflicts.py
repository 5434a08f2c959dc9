"""Each row of specification 3.5 as a case with its trigger and without it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import pytest
from clinical_patients import TABLES

from docgen.clinical.conflict import OrderedDrug, find_conflicts
from docgen.clinical.history import Allergy, Condition, History, TakenDrug
from docgen.clinical.nsaid import NsaidVerdict

OK = NsaidVerdict("ok", ())
ANSWERED = History(alcohol="none", pregnancy="no", inr_is_stable="yes", age_years=30, patient_is_minor=False)
"""An adult with everything answered and nothing that matters."""


def planned(
    name: str, vasoconstrictor: str = "", *, percent: str = "2", technique: str = "infiltration"
) -> OrderedDrug:
    """Give an injection of the plan."""
    return OrderedDrug(name, "plan.injections[0]", "planned", Fraction(percent), technique, vasoconstrictor)


def prescribed(name: str, index: int = 0) -> OrderedDrug:
    """Give a drug to take home."""
    return OrderedDrug(name, f"prescriptions[{index}]", "prescribed")


def known(
    *taken: str,
    condition: str = "",
    allergy: Allergy | None = None,
    thinner: str = "",
    alcohol: str = "none",
    pregnancy: str = "no",
    inr_is_stable: str = "yes",
    age_years: int | None = 30,
    patient_is_minor: bool | None = False,
) -> History:
    """Give a history: drugs taken, and one thing that matters."""
    drugs = [TakenDrug(name, f"medical.medications[{index}].inn") for index, name in enumerate(taken)]
    drugs += [TakenDrug(thinner, "medical.antithrombotics[0].inn", True)] if thinner else []
    return History(
        conditions=(Condition(condition, "medical.conditions[0]"),) if condition else (),
        taken=tuple(drugs),
        allergies=(allergy,) if allergy else (),
        alcohol=alcohol,
        pregnancy=pregnancy,
        inr_is_stable=inr_is_stable,
        age_years=age_years,
        patient_is_minor=patient_is_minor,
    )


def allergic(group: str, severity: str = "rash", substance: str = "") -> Allergy:
    """Give an allergy."""
    return Allergy("medical.allergies[0]", substance, group, severity)


def hits(
    ordered: OrderedDrug, history: History, *beside: OrderedDrug, nsaid: NsaidVerdict = OK, approved: bool = False
) -> list[tuple[str, str, str]]:
    """Give code, severity and other of each hit."""
    found = find_conflicts((ordered, *beside), history, nsaid, TABLES, approved)
    return [(hit.code, hit.severity, hit.other) for hit in found]


@dataclass(frozen=True)
class Pair:
    """An ordered drug, a history that brings the hit, and both sides that do not."""

    code: str
    severity: str
    other: str
    ordered: OrderedDrug
    history: History
    unlike: OrderedDrug
    """Another drug under the same history."""
    harmless: History = ANSWERED
    """The same drug under another history."""


EPI = planned("mepivacaine", "epinephrine")
PLAIN = planned("mepivacaine")
CAINE = planned("lidocaine")
BLOCK = planned("lidocaine", technique="block")
ALLERGIES = [  # specification 3.5, same-allergy (design)
    ("penicillin", "amoxicillin"),
    ("cephalosporin", "cefalexin"),
    ("macrolide", "azithromycin"),
    ("nsaid", "naproxen"),
    ("chlorhexidine", "chlorhexidine"),
    ("iodine", "povidone-iodine"),
    ("latex", "latex"),
]
PAIRS = [
    *(
        Pair(
            "same-allergy",
            "stop",
            group,
            prescribed(drug),
            known(allergy=allergic(group)),
            prescribed("paracetamol"),
            known(allergy=allergic("other", substance="pollen")),
        )
        for group, drug in ALLERGIES
    ),
    Pair("same-allergy", "stop", "amide_la", CAINE, known(allergy=allergic("amide_la")), prescribed("paracetamol")),
    # SMILES (first part memory): any severity
    *(
        Pair(
            "penicillin-allergy",
            "stop",
            "penicillin",
            prescribed("ampicillin"),
            known(allergy=allergic("penicillin", severity)),
            prescribed("clindamycin"),
        )
        for severity in ("anaphylaxis", "urticaria_angioedema", "rash", "intolerance", "not_known")
    ),
    # SMILES: cephalosporins not after anaphylaxis, angioedema, urticaria
    *(
        Pair(
            "cephalosporin-allergy",
            "stop",
            "penicillin",
            prescribed("cefuroxime"),
            known(allergy=allergic("penicillin", severity)),
            prescribed("clindamycin"),
            known(allergy=allergic("penicillin", harmless)),
        )
        for severity, harmless in (
            ("anaphylaxis", "rash"),
            ("urticaria_angioedema", "intolerance"),
            ("not_known", "rash"),
        )
    ),
    # SDCEP-PAIN, cp
    Pair("drug-twice", "caution", "paracetamol", prescribed("acetaminophen"), known("paracetamol"),
         prescribed("codeine")),
    Pair("drug-twice", "caution", "naproxen", prescribed("ibuprofen"), known("naproxen"), prescribed("paracetamol")),
    # METDENT
    *(
        Pair("metronidazole-alcohol", "caution", other, prescribed("metronidazole"), known(alcohol=alcohol),
             prescribed("clindamycin"))
        for alcohol, other in (("some", "alcohol"), ("heavy", "alcohol"), ("not_known", "alcohol_not_known"),
                               ("not_recorded", "alcohol_not_recorded"))
    ),
    # METDENT, SDCEP-VKA
    *(
        Pair("antibiotic-warfarin", "caution", "warfarin", prescribed(drug), known(thinner="warfarin"),
             prescribed("clindamycin"), known(thinner="apixaban"))
        for drug in ("metronidazole", "clarithromycin", "doxycycline", "amoxicillin")
    ),
    # METDENT, SDCEP-DI
    Pair("macrolide-statin", "stop_unless_departure", "simvastatin", prescribed("azithromycin"), known("simvastatin"),
         prescribed("doxycycline"), known("ramipril")),
    # METDENT
    *(
        Pair("macrolide-lidocaine", "caution", drug, CAINE, known(drug), PLAIN, known("azithromycin"))
        for drug in ("erythromycin", "clarithromycin")
    ),
    Pair("macrolide-lidocaine", "caution", "lidocaine", prescribed("clarithromycin"), known("lidocaine"),
         prescribed("azithromycin")),
    # ARTI
    *(
        Pair("sulfite", "stop", "sulfite", planned("mepivacaine", constrictor),
             known(allergy=allergic("sulfite", severity)), PLAIN, known(allergy=allergic("latex")))
        for constrictor, severity in (("epinephrine", "rash"), ("levonordefrin", "anaphylaxis"),
                                      ("felypressin", "not_known"), ("epinephrine", "intolerance"))
    ),
    # UKSPC
    Pair("amide-allergy", "stop", "amide_la", CAINE, known(allergy=allergic("amide_la", "intolerance")),
         prescribed("paracetamol"), known(allergy=allergic("latex"))),
    # PFIZER
    Pair("betablocker-epinephrine", "caution", "propranolol", EPI, known("propranolol"), PLAIN, known("bisoprolol")),
    # PFIZER, YAGIELA
    Pair("tca-maoi-epinephrine", "caution", "amitriptyline", EPI, known("amitriptyline"), PLAIN, known("sertraline")),
    Pair("tca-maoi-epinephrine", "caution", "selegiline", EPI, known("selegiline"), PLAIN, known("lithium")),
    # PFIZER
    Pair("ergot-epinephrine", "stop", "ergometrine", EPI, known("ergometrine"), PLAIN, known("codeine")),
    # YAGIELA (hours memory)
    Pair("cocaine-epinephrine", "stop", "cocaine_recent", EPI, known(condition="cocaine_recent"), PLAIN,
         known(condition="asthma")),
    # memory
    *(
        Pair("heart-epinephrine", "caution", code, EPI, known(condition=code), PLAIN, known(condition="hypertension"))
        for code in ("infarction_under_6_months", "angina_unstable", "hyperthyroid_uncontrolled", "phaeochromocytoma")
    ),
    # memory
    Pair("felypressin-pregnancy", "caution", "pregnancy", planned("prilocaine", "felypressin", percent="3"),
         known(pregnancy="yes"), EPI),
    Pair("felypressin-pregnancy", "caution", "pregnancy_not_known", planned("prilocaine", "felypressin", percent="3"),
         known(pregnancy="not_known"), EPI),
    # DDH, DH255
    Pair("methaemoglobin", "stop", "methaemoglobinaemia", planned("prilocaine"), known(condition="methaemoglobinaemia"),
         planned("mepivacaine"), known(condition="asthma")),
    *(
        Pair("methaemoglobin", "caution", "methaemoglobinaemia", planned(drug), known(condition="methaemoglobinaemia"),
             planned("bupivacaine"), known(condition="asthma"))
        for drug in ("articaine", "lidocaine")
    ),
    # ARTI
    Pair("articaine-age", "stop", "age_under_4", planned("articaine"), known(age_years=3, patient_is_minor=True), CAINE,
         known(age_years=4, patient_is_minor=True)),
    # DENTCARE
    Pair("bupivacaine-child", "stop", "minor", planned("bupivacaine"), known(age_years=17, patient_is_minor=True),
         CAINE, known(age_years=18)),
    # GAFFEN09, cp
    Pair("block-4-percent", "note", "block", planned("articaine", percent="4", technique="block"), ANSWERED,
         planned("articaine", percent="3.9", technique="block")),
    # SDCEP-BR
    Pair("block-unstable-inr", "note", "inr_unstable", BLOCK, known(thinner="warfarin", inr_is_stable="no"), CAINE,
         known(thinner="warfarin")),
    Pair("block-unstable-inr", "note", "inr_not_known", BLOCK, known(thinner="warfarin", inr_is_stable="not_known"),
         CAINE, known(thinner="apixaban", inr_is_stable="not_known")),
    # ARTI, UKSPC (cut of 65 memory)
    *(
        Pair("amide-reduce", "caution", code, CAINE, known(condition=code), prescribed("codeine"),
             known(condition="kidney_severe"))
        for code in ("liver_severe", "heart_failure_severe", "heart_disease_severe")
    ),
    Pair("amide-reduce", "caution", "minor", CAINE, known(age_years=17, patient_is_minor=True), prescribed("codeine")),
    Pair("amide-reduce", "caution", "age_65", CAINE, known(age_years=65), prescribed("codeine"), known(age_years=64)),
    # NAT-NSAID
    Pair("aspirin-ibuprofen", "caution", "acetylsalicylic acid", prescribed("ibuprofen"), known(thinner="aspirin"),
         prescribed("paracetamol"), known(thinner="clopidogrel")),
]  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: f"{pair.code}-{pair.other}-{pair.ordered.name}")
def test_a_conflict_is_found_with_its_trigger_and_only_with_it(pair: Pair) -> None:
    """Specification 3.5, row by row: the drug with the trigger, another drug with it, the drug without it."""
    assert (pair.code, pair.severity, pair.other) in hits(pair.ordered, pair.history)
    assert pair.code not in {code for code, _, _ in hits(pair.unlike, pair.history)}
    if pair.code != "block-4-percent":  # no history lifts it
        assert pair.code not in {code for code, _, _ in hits(pair.ordered, pair.harmless)}


def test_every_code_of_the_table_has_a_pair_here() -> None:
    """A row nobody tries does not count; those of the NSAID verdict stand below."""
    tried = {pair.code for pair in PAIRS} | {"nsaid-stop", "nsaid-avoid", "nsaid-caution"}

    assert {row.text("code") for row in TABLES.table("drug-conflict")} == tried
    assert len(tried) == 26  # the codes of specification 3.5


@pytest.mark.parametrize(
    ("verdict", "expected"),
    [
        ("stop", ("nsaid-stop", "stop", "asthma")),
        ("avoid", ("nsaid-avoid", "stop_unless_departure", "asthma")),
        ("caution", ("nsaid-caution", "caution", "asthma")),
    ],
)
def test_an_ordered_nsaid_follows_the_verdict(verdict: str, expected: tuple[str, str, str]) -> None:
    """Specification 3.5: stop, stop unless a departure, caution, as nsaid_verdict says."""
    judged = NsaidVerdict(verdict, ("asthma",), (), ("medical.conditions[0]",))

    assert [expected] == hits(prescribed("diclofenac"), ANSWERED, nsaid=judged)
    assert [] == hits(prescribed("paracetamol"), ANSWERED, nsaid=judged)
    assert [] == hits(prescribed("diclofenac"), ANSWERED, nsaid=OK)


@pytest.mark.parametrize(
    ("group", "drug", "severity", "expected"),
    [
        ("macrolide", "azithromycin", "intolerance", "caution"),
        ("nsaid", "ibuprofen", "intolerance", "caution"),
        ("penicillin", "amoxicillin", "intolerance", "stop"),  # "not for penicillin"
        ("macrolide", "azithromycin", "rash", "stop"),
        ("macrolide", "azithromycin", "not_known", "stop"),
    ],
)
def test_an_intolerance_is_a_caution_but_not_of_penicillin(group: str, drug: str, severity: str, expected: str) -> None:
    """Specification 3.5, same-allergy: stop (intolerance: caution, not for penicillin)."""
    found = hits(prescribed(drug), known(allergy=allergic(group, severity)))

    assert ("same-allergy", expected, group) in found


@pytest.mark.parametrize(
    ("substance", "group", "drug", "expected"),
    [
        ("Clindamycin hydrochloride", "other", "clindamycin", "clindamycin"),
        ("adrenaline", "other", "epinephrine", "epinephrine"),
        ("paracetamol + codeine", "other", "codeine phosphate", "codeine"),
        ("amoxicillin", "other", "flucloxacillin", "penicillin"),  # the substance tells the group
        ("penicillin", "other", "ampicillin", "penicillin"),
        ("aspirin", "nsaid", "ketoprofen", "nsaid"),
    ],
)
def test_an_allergy_is_known_by_substance_and_by_group(substance: str, group: str, drug: str, expected: str) -> None:
    """An ordered drug that is the substance, or in the class of the group; synonyms, salts and combinations."""
    found = hits(prescribed(drug), known(allergy=allergic(group, "rash", substance)))

    assert ("same-allergy", "stop", expected) in found


@pytest.mark.parametrize(
    ("substance", "group", "drug", "place"),
    [
        ("clindamycin", "other", "clindamycin", "substance"),
        ("paracetamol + codeine", "other", "codeine", "substance"),
        ("", "macrolide", "erythromycin", "group"),
        ("erythromycin", "macrolide", "erythromycin", "group"),  # the group goes before the name
        ("povidone-iodine", "iodine", "povidone-iodine", "group"),
    ],
)
def test_an_allergy_is_reported_where_the_record_names_it(substance: str, group: str, drug: str, place: str) -> None:
    """The substance itself at .substance, its group at .group."""
    (hit,) = find_conflicts((prescribed(drug),), known(allergy=allergic(group, "rash", substance)), OK, TABLES)

    assert ("same-allergy", f"medical.allergies[0].{place}") == (hit.code, hit.other_path)


def test_a_vasoconstrictor_is_ordered_like_a_drug() -> None:
    """An allergy to epinephrine is found in the cartridge, at the place where it stands."""
    found = find_conflicts((EPI,), known(allergy=allergic("other", "rash", "epinephrine")), OK, TABLES)

    assert [("epinephrine", "plan.injections[0].vasoconstrictor")] == [(h.ordered_inn, h.ordered_path) for h in found]


def test_sulfite_is_looked_for_in_cartridges_only() -> None:
    """Epinephrine given against a reaction is no cartridge (ARTI)."""
    given = OrderedDrug("epinephrine", "operation.drugs_given[0]", "given")

    assert [] == hits(given, known(allergy=allergic("sulfite")))


def test_a_combination_is_split_on_both_sides() -> None:
    """Each part meets what it meets, alone."""
    assert [("drug-twice", "caution", "codeine")] == hits(prescribed("paracetamol + codeine"), known("codeine"))
    assert [("drug-twice", "caution", "paracetamol")] == hits(
        prescribed("paracetamol"), known("tramadol + acetaminophen")
    )


def test_two_ordered_nsaids_are_said_once() -> None:
    """A second NSAID is ordered beside the first (specification 3.5, drug-twice)."""
    found = find_conflicts((prescribed("ibuprofen"), prescribed("naproxen", 1)), ANSWERED, OK, TABLES)

    assert [("drug-twice", "prescriptions[1].inn", "prescriptions[0].inn")] == [
        (hit.code, hit.ordered_path, hit.other_path) for hit in found
    ]


def test_low_dose_aspirin_has_its_own_row() -> None:
    """Aspirin for the heart is no second NSAID; aspirin taken for pain is (specification 3.5, drug-twice)."""
    assert ["aspirin-ibuprofen"] == [code for code, _, _ in hits(prescribed("ibuprofen"), known(thinner="aspirin"))]
    assert [] == hits(prescribed("naproxen"), known(thinner="aspirin"))
    assert [("drug-twice", "caution", "acetylsalicylic acid")] == hits(prescribed("naproxen"), known("aspirin"))
    assert [("drug-twice", "caution", "acetylsalicylic acid")] == hits(prescribed("aspirin"), known(thinner="aspirin"))


def test_ordered_drugs_meet_each_other_but_the_plan_does_not_meet_what_was_given() -> None:
    """A macrolide for home meets the lidocaine of the day (METDENT); a plan that was changed meets nothing."""
    given = OrderedDrug("lidocaine", "operation.injections[0]", "given", Fraction(2), "infiltration")
    antibiotic = OrderedDrug("clarithromycin", "plan.antibiotic", "planned")

    assert [("macrolide-lidocaine", "caution", "lidocaine")] == hits(prescribed("clarithromycin"), ANSWERED, given)
    assert [("macrolide-lidocaine", "caution", "lidocaine")] == hits(antibiotic, ANSWERED, CAINE)
    assert [] == hits(antibiotic, ANSWERED, given)


def test_several_injections_of_one_drug_are_said_once_and_the_gravest_first() -> None:
    """One hit for each drug, moment and reason; stop before caution before note."""
    second = OrderedDrug("articaine", "plan.injections[1]", "planned", Fraction(4), "block", "epinephrine")
    first = planned("articaine", "epinephrine", percent="4", technique="block")
    found = find_conflicts((first, second), known("amitriptyline", age_years=3, patient_is_minor=True), OK, TABLES)

    assert [
        ("articaine-age", "stop", "plan.injections[0].inn"),
        ("tca-maoi-epinephrine", "caution", "plan.injections[0].vasoconstrictor"),
        ("amide-reduce", "caution", "plan.injections[0].inn"),
        ("block-4-percent", "note", "plan.injections[0].inn"),
    ] == [(hit.code, hit.severity, hit.ordered_path) for hit in found]


def test_a_memory_stop_waits_for_the_clinic() -> None:
    """Felypressin in pregnancy is a caution, and a stop once approved (specification 3.5)."""
    ordered, history = planned("prilocaine", "felypressin", percent="3"), known(pregnancy="yes")

    assert ("felypressin-pregnancy", "caution", "pregnancy") in hits(ordered, history)
    assert ("felypressin-pregnancy", "stop", "pregnancy") in hits(ordered, history, approved=True)
    assert ("amide-reduce", "caution", "age_65") in hits(CAINE, known(age_years=70), approved=True)


def test_an_unknown_age_brings_no_hit() -> None:
    """Nothing is guessed; the fact lists the birth date as unanswered."""
    nobody = known(age_years=None, patient_is_minor=None)

    assert [] == hits(planned("articaine"), nobody)
    assert [] == hits(planned("bupivacaine"), nobody)


def test_each_hit_names_where_both_sides_stand_and_its_source() -> None:
    """Moment, paths and source of a hit are those of the record and the table."""
    (hit,) = find_conflicts((EPI,), known("ramipril", "propranolol"), OK, TABLES)

    assert ("planned", "epinephrine", "propranolol", "medical.medications[1].inn", ("PFIZER",)) == (
        hit.moment,
        hit.ordered_inn,
        hit.other,
        hit.other_path,
        hit.source,
    )
