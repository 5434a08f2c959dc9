"""The class lists against the text of the specification, section 3.5, word for word; endings catch no wrong name."""

from __future__ import annotations

import pytest
from clinical_patients import TABLES

from docgen.clinical.anesthetic import low_epinephrine_reasons
from docgen.clinical.medicine import drug_classes, known_inns

# Specification 3.5, "Class lists", as written there.
LISTS = {
    "vka": "warfarin, acenocoumarol, phenprocoumon, fluindione",
    "doac": "apixaban, dabigatran, rivaroxaban, edoxaban",
    "antiplatelet": "acetylsalicylic acid, clopidogrel, prasugrel, ticagrelor, ticlopidine, dipyridamole, cilostazol",
    "nsaid": "acetylsalicylic acid, ibuprofen, dexibuprofen, naproxen, diclofenac, aceclofenac, ketoprofen, "
    "dexketoprofen, flurbiprofen, indometacin, ketorolac, mefenamic acid, meloxicam, piroxicam, nimesulide, "
    "celecoxib, etoricoxib",
    "ssri": "citalopram, escitalopram, fluoxetine, fluvoxamine, paroxetine, sertraline",
    "tca": "amitriptyline, nortriptyline, clomipramine, imipramine, desipramine, doxepin, trimipramine, dosulepin, "
    "lofepramine",
    "maoi": "phenelzine, tranylcypromine, isocarboxazid, moclobemide, selegiline, rasagiline",
    "beta_blocker_non_selective": "propranolol, nadolol, timolol, sotalol, pindolol, oxprenolol, carvedilol, labetalol",
    "statin": "simvastatin, atorvastatin, lovastatin, pravastatin, rosuvastatin, fluvastatin, pitavastatin",
    "ergot": "ergometrine, methylergometrine, ergotamine",
    "opioid": "codeine, dihydrocodeine, tramadol, tapentadol, hydrocodone, oxycodone, morphine",
    "antihypertensive": "-pril, -sartan, -dipine, -olol, carvedilol, labetalol, hydrochlorothiazide, chlortalidone, "
    "indapamide, furosemide, torasemide, bumetanide, spironolactone, doxazosin, methyldopa",
    "penicillin": "amoxicillin, ampicillin, co-amoxiclav, phenoxymethylpenicillin, benzylpenicillin, flucloxacillin, "
    "piperacillin",
    "cephalosporin": "cef-",
    "macrolide": "erythromycin, clarithromycin, azithromycin, roxithromycin, spiramycin, josamycin",
    "tetracycline": "-cycline",
    "amide": "lidocaine, articaine, mepivacaine, prilocaine, bupivacaine, levobupivacaine, ropivacaine",
    "antiresorptive": "-dronic acid, -dronate, denosumab, romosozumab",
    "antiangiogenic": "bevacizumab, aflibercept, sunitinib, sorafenib",
    "steroid_or_immunosuppressant": "prednisolone, prednisone, methylprednisolone, dexamethasone, hydrocortisone, "
    "methotrexate, azathioprine, ciclosporin, tacrolimus, mycophenolate",
    "other_known": "paracetamol, metronidazole, lithium, clindamycin, chlorhexidine",
    "sedative": "midazolam, diazepam, temazepam, nitrous oxide",
    "vasoconstrictor": "epinephrine, levonordefrin, felypressin",  # specification 2.6, operation.injections[]
}
KEYED = {
    "SDCEP-DOAC": {"apixaban", "dabigatran", "rivaroxaban", "edoxaban"},
    "PFIZER": {"propranolol", "nadolol"},
    "SMILES": {"amoxicillin", "ampicillin", "co-amoxiclav"},
}
WRITTEN = {"name": "{}", "suffix": "-{}", "prefix": "{}-"}


@pytest.mark.parametrize("name", LISTS)
def test_a_class_holds_the_drugs_of_the_specification(name: str) -> None:
    """Each list, word for word; nothing added, nothing lost."""
    rows = [row for row in TABLES.table("drug-class") if row.text("class") == name]
    listed = [WRITTEN[row.text("match", "name")].format(row.text("inn")) for row in rows]

    assert LISTS[name].split(", ") == listed


def test_there_is_no_other_class() -> None:
    """Every class of the table is one of the specification."""
    assert set(LISTS) == {row.text("class") for row in TABLES.table("drug-class")}


@pytest.mark.parametrize("key", KEYED)
def test_a_keyed_membership_names_its_source(key: str) -> None:
    """Membership is memory unless keyed: the keys of the specification, and no other."""
    keyed = {row.text("inn") for row in TABLES.table("drug-class") if key in row.source}

    assert KEYED[key] == keyed


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("ramipril", {"antihypertensive"}),
        ("losartan", {"antihypertensive"}),
        ("nifedipine", {"antihypertensive"}),
        ("atenolol", {"antihypertensive"}),
        ("stanozolol", set()),  # a steroid of muscle
        ("cefuroxime", {"cephalosporin"}),
        ("minocycline", {"tetracycline"}),
        ("zoledronic acid", {"antiresorptive"}),
        ("risedronate sodium", {"antiresorptive"}),
        ("medronic acid", set()),  # a tracer of bone scans
        ("medronate", set()),
        ("oxidronate", set()),
        ("cyclizine", set()),
        ("recefalin", set()),  # only names that begin with cef
        ("prilocaine", {"amide"}),  # begins with an ending of another class
        ("dipyridamole", {"antiplatelet"}),
    ],
)
def test_an_ending_catches_the_names_of_its_class_only(name: str, expected: set[str]) -> None:
    """Names in -pril, -sartan, -dipine, -olol, -cycline, cef- and -dronic acid (specification 3.5)."""
    assert expected == drug_classes(name, TABLES)


def test_no_listed_drug_is_caught_by_an_ending_of_a_class_it_is_not_listed_in() -> None:
    """Full names that an ending or beginning of another row also catches: only beta-blockers, named on purpose."""
    endings = [row for row in TABLES.table("drug-class") if row.text("match", "name") != "name"]
    full = {
        (row.text("class"), row.text("inn"))
        for row in TABLES.table("drug-class")
        if row.text("match", "name") == "name"
    }
    caught = {
        inn
        for inn in known_inns(TABLES)
        for row in endings
        if row.text("class") in drug_classes(inn, TABLES) and (row.text("class"), inn) not in full
    }

    assert {"propranolol", "nadolol", "timolol", "pindolol", "oxprenolol"} == caught


def test_only_beta_blockers_are_noted_beside_the_epinephrine_limit() -> None:
    """Any other name in -olol is a note (specification 3.6); a steroid that ends so is none."""
    found = low_epinephrine_reasons((), ("bisoprolol", "stanozolol", "propranolol"), TABLES)

    assert ("bisoprolol",) == found.other_beta_blockers
    assert ("beta_blocker_non_selective",) == found.reasons
