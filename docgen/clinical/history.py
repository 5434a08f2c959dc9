"""What a patient's history says, as far as rules about drugs look at it; who reads it from a case stands in facts."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from docgen.clinical.medicine import drug_classes, plain_inn
from docgen.clinical.table import Tables
from docgen.values import dataclass

GROUP_CLASSES: Final = {
    "penicillin": "penicillin",
    "cephalosporin": "cephalosporin",
    "macrolide": "macrolide",
    "nsaid": "nsaid",
    "amide_la": "amide",
}
"""Group of an allergy > class of the drugs in it."""
GROUPS_BY_NAME: Final = ("chlorhexidine", "iodine", "latex")
"""Groups known by the word in the name of a drug: povidone-iodine."""


@dataclass(frozen=True)
class Condition:
    """One recorded illness."""

    code: str
    path: str
    """Its row: medical.conditions[0]."""


@dataclass(frozen=True)
class TakenDrug:
    """One drug the patient takes."""

    name: str
    path: str
    """Where its name stands: medical.medications[0].inn."""
    is_antithrombotic: bool = False


@dataclass(frozen=True)
class Allergy:
    """One allergy or intolerance."""

    path: str
    """Its row: medical.allergies[0]."""
    substance: str = ""
    group: str = "other"
    severity: str = "not_known"
    """anaphylaxis, urticaria_angioedema, rash, intolerance, or not_known: then no milder rule is used."""


@dataclass(frozen=True)
class History:
    """The answers some rules need; what nobody answered is listed, never taken as no."""

    conditions: tuple[Condition, ...] = ()
    taken: tuple[TakenDrug, ...] = ()
    allergies: tuple[Allergy, ...] = ()
    alcohol: str = "not_recorded"
    """none, some, heavy, not_known or not_recorded."""
    pregnancy: str = "not_recorded"
    """yes, no, not_known or not_recorded."""
    pregnancy_weeks: int | None = None
    is_breast_feeding: bool = False
    inr_is_stable: str = "not_recorded"
    """yes, no, not_known or not_recorded."""
    age_years: int | None = None
    patient_is_minor: bool | None = None
    weight_kg: Fraction | None = None
    unanswered: tuple[str, ...] = ()
    """Paths that would settle what is open."""

    def condition(self, codes: tuple[str, ...]) -> Condition | None:
        """Find the first recorded condition among some codes."""
        return next((one for one in self.conditions if one.code in codes), None)

    def takes(self, classes: tuple[str, ...], inns: tuple[str, ...], tables: Tables) -> tuple[str, str] | None:
        """Find the first taken drug of some classes or names; its INN and path."""
        for drug in self.taken:
            for inn in plain_inn(drug.name, tables):
                if inn in inns or not drug_classes(inn, tables).isdisjoint(classes):
                    return inn, drug.path
        return None


def allergy_groups(allergy: Allergy, tables: Tables) -> frozenset[str]:
    """Name the groups an allergy belongs to: the recorded one, and those of its substance."""
    name, classes = allergy.substance.strip().lower(), drug_classes(allergy.substance, tables)
    by_substance = {group for group, member in GROUP_CLASSES.items() if member in classes or group == name}
    by_name = {group for group in (*GROUPS_BY_NAME, "sulfite") if group == name}
    return frozenset({allergy.group} | by_substance | by_name) - {"other"}


def allergy_matches(allergy: Allergy, inn: str, tables: Tables) -> str | None:
    """
    Tell why a plain INN is what a patient is allergic to: the group, or the INN itself; None if it is not.

    Sulfite is no drug, and is looked for in cartridges elsewhere.
    """
    classes, words = drug_classes(inn, tables), inn.replace("-", " ").split()
    for group in sorted(allergy_groups(allergy, tables)):
        if GROUP_CLASSES.get(group) in classes or (group in GROUPS_BY_NAME and group in words):
            return group
    return inn if inn in plain_inn(allergy.substance, tables) else None
