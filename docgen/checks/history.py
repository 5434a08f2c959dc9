"""The history against itself: one list for allergies, and each drug in the list rules look at."""

from __future__ import annotations

import re
from collections.abc import Iterator

from docgen.answer import Answer
from docgen.checks.free_text import free_texts
from docgen.checks.look import Check, Finding, Look
from docgen.clinical.medicine import drug_classes
from docgen.problem import say

ALLERGY_GROUPS = {"penicillin": "penicillin", "cephalosporin": "cephalosporin", "macrolide": "macrolide",
                  "nsaid": "nsaid", "amide": "amide_la"}  # fmt: skip
"""Class of a drug > group of an allergy to it."""
GROUPS_BY_NAME = ("penicillin", "latex", "chlorhexidine", "iodine", "sulfite")
_ALLERGIC = re.compile(r"all?erg", re.IGNORECASE)
_WORD = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*")


def _airway_without_allergy(look: Look) -> Iterator[Finding]:
    allergies = look.case.fields.medical.allergies
    if not isinstance(allergies, tuple) or any(item.group == "nsaid" for item in allergies):
        return
    for path, condition in look.items("medical.conditions"):
        if condition.code == "aspirin_sensitive_airway":
            yield Finding(
                "medical.allergies",
                say("%(path)s names an allergy that medical.allergies lacks", path=f"{path}.code"),
                say("keep one list: add the allergy with group nsaid, or correct the condition"),
            )


def _allergy_in_words(look: Look) -> Iterator[Finding]:
    allergies = look.case.fields.medical.allergies
    if not isinstance(allergies, tuple):
        return
    listed = {item.group for item in allergies}
    for path, words in free_texts(look):
        if path.startswith("medical.allergies") or not _ALLERGIC.search(words):
            continue
        if not {group for word in _WORD.findall(words) for group in _groups_of(word, look)} <= listed:
            yield Finding(
                path,
                say("%(path)s names an allergy that medical.allergies lacks", path=path),
                say("add it to medical.allergies, where every rule looks, or correct the words"),
            )


def _allergy_group(look: Look) -> Iterator[Finding]:
    for path, item in look.items("medical.allergies"):
        if not isinstance(item.substance, str) or item.group is None:
            continue
        groups = _groups_of(item.substance, look)
        if groups and item.group not in groups:
            yield Finding(
                f"{path}.group",
                say("%(path)s is not the group of %(substance)s", path=f"{path}.group", substance=f"{path}.substance"),
                say("check with the patient today which of the two is right"),
            )


def _groups_of(name: str, look: Look) -> set[str]:
    groups = {ALLERGY_GROUPS[c] for c in drug_classes(name, look.tables) if c in ALLERGY_GROUPS}
    return groups | {group for group in GROUPS_BY_NAME if name.strip().lower() == group}


def _valve(look: Look) -> Iterator[Finding]:
    heart = look.words("medical.endocarditis_heart")
    if heart is None or "prosthetic_valve" in heart:
        return
    for path, drug in look.items("medical.antithrombotics"):
        if drug.indication == "mechanical_valve":
            yield Finding(
                "medical.endocarditis_heart",
                say("%(path)s names a valve that medical.endocarditis_heart lacks", path=f"{path}.indication"),
                say("add prosthetic_valve to medical.endocarditis_heart, or correct the indication"),
            )


def _steroid(look: Look) -> Iterator[Finding]:
    if look.case.fields.medical.steroid_or_immunosuppressant is not False:
        return
    for path, drug in look.items("medical.medications"):
        if isinstance(drug.inn, str) and "steroid_or_immunosuppressant" in drug_classes(drug.inn, look.tables):
            yield Finding(
                "medical.steroid_or_immunosuppressant",
                say("medical.steroid_or_immunosuppressant is no, but %(path)s is one", path=f"{path}.inn"),
                say("check with the patient today which of the two is right"),
            )


def _inr_not_applicable(look: Look) -> Iterator[Finding]:
    if look.known("takes_vka") is True and look.case.fields.medical.inr is Answer.NOT_APPLICABLE:
        yield Finding(
            "medical.inr",
            say("medical.inr is answered not_applicable, but a drug of medical.antithrombotics needs it"),
            say("give the last INR, or not_known"),
        )


HISTORY = (
    Check("allergy-differs", _airway_without_allergy),
    Check("allergy-differs", _allergy_in_words),
    Check("allergy-differs", _allergy_group),
    Check("history-differs", _valve),
    Check("history-differs", _steroid),
    Check("na-contradicted", _inr_not_applicable),
)
