"""Names of drugs, their classes and the ceilings of pain killers (specification 3.5, reference 5.1)."""

from __future__ import annotations

from fractions import Fraction

import pytest
from clinical_patients import TABLES

from docgen.clinical.medicine import analgesic_ceiling, drug_classes, is_known_drug, known_inns, plain_inn


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("Aspirin", ("acetylsalicylic acid",)),
        ("acetaminophen", ("paracetamol",)),
        ("Adrenaline tartrate", ("epinephrine",)),
        ("lignocaine hydrochloride", ("lidocaine",)),
        ("warfarin sodium", ("warfarin",)),
        ("diclofenac  potassium", ("diclofenac",)),
        ("paracetamol + codeine phosphate", ("paracetamol", "codeine")),
        ("mefenamic acid", ("mefenamic acid",)),
        ("sodium", ("sodium",)),
        ("", ()),
    ],
)
def test_a_name_is_brought_to_plain_inn(name: str, expected: tuple[str, ...]) -> None:
    """Lower case, salts dropped, synonyms joined, combinations split at +."""
    assert expected == plain_inn(name, TABLES)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("warfarin", {"vka"}),
        ("Apixaban", {"doac"}),  # SDCEP-DOAC
        ("aspirin", {"antiplatelet", "nsaid"}),
        ("ibuprofen", {"nsaid"}),
        ("sertraline", {"ssri"}),
        ("amitriptyline hydrochloride", {"tca"}),
        ("moclobemide", {"maoi"}),
        ("propranolol", {"beta_blocker_non_selective", "antihypertensive"}),  # PFIZER
        ("carvedilol", {"beta_blocker_non_selective", "antihypertensive"}),
        ("bisoprolol", {"antihypertensive"}),
        ("amlodipine", {"antihypertensive"}),
        ("lidocaine", {"amide"}),
        ("cefalexin", {"cephalosporin"}),
        ("doxycycline", {"tetracycline"}),
        ("alendronic acid", {"antiresorptive"}),
        ("alendronate sodium", {"antiresorptive"}),
        ("denosumab", {"antiresorptive"}),
        ("sunitinib", {"antiangiogenic"}),
        ("ibuprofen + codeine", {"nsaid", "opioid"}),
        ("salbutamol", set()),
    ],
)
def test_a_drug_belongs_to_the_classes_of_the_lists(name: str, expected: set[str]) -> None:
    """The class lists of the specification, section 3.5; a drug of no list has no class."""
    assert expected == drug_classes(name, TABLES)


def test_a_drug_is_known_if_every_part_of_it_is() -> None:
    """A combination with one unknown part is unknown, unless the clinic adds the name."""
    assert is_known_drug("Paracetamol + codeine", TABLES)
    assert not is_known_drug("paracetamol + salbutamol", TABLES)
    assert is_known_drug("paracetamol + salbutamol", TABLES, also=["Salbutamol"])
    assert not is_known_drug("piperacillin + tazobactam", TABLES)
    assert not is_known_drug("", TABLES)
    assert {"warfarin", "apixaban", "nitrous oxide"} <= set(known_inns(TABLES))
    assert "pril" not in known_inns(TABLES)


@pytest.mark.parametrize(
    "name", ["amoxicillin + clavulanic acid", "Amoxicillin trihydrate + clavulanate potassium", "co-amoxiclav"]
)
def test_co_amoxiclav_is_known_by_its_inn_and_is_a_penicillin(name: str) -> None:
    """SMILES: co-amoxiclav stands in the list; clavulanic acid is never given alone, and makes no drug unknown."""
    assert is_known_drug(name, TABLES)
    assert {"penicillin"} == drug_classes(name, TABLES)
    assert "co-amoxiclav" in plain_inn(name, TABLES)


@pytest.mark.parametrize(
    ("name", "supply", "mg", "hours"),
    [
        ("paracetamol", "over_the_counter", "4000", "4"),  # ETG-AN, ELMS
        ("acetaminophen", "prescribed", "4000", "4"),
        ("ibuprofen", "over_the_counter", "1200", "6"),  # ELMS, DAN-AU
        ("ibuprofen", "prescribed", "2400", "6"),  # ELMS, NAT-NSAID
        ("ibuprofen", "given_here", "2400", "6"),
    ],
)
def test_a_pain_killer_has_the_ceiling_of_its_supply(name: str, supply: str, mg: str, hours: str) -> None:
    """Edge tests of the reference, section 9: 4.0 g of paracetamol, 1.2 and 2.4 g of ibuprofen."""
    found = analgesic_ceiling(name, supply, TABLES)
    assert found is not None
    assert (Fraction(mg), Fraction(hours), "found") == (found.mg_per_day, found.hours_apart, found.tag)
    assert found.source


def test_a_pain_killer_without_a_figure_has_no_ceiling() -> None:
    """Naproxen is not held, and nothing is made up for it."""
    assert analgesic_ceiling("naproxen", "prescribed", TABLES) is None
