"""Ordered drugs against the history > conflicts (specification 3.5)."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from docgen.answer import Answer
from docgen.clinical.conflict import Conflict, OrderedDrug, find_conflicts, is_ordered
from docgen.clinical.nsaid import NsaidVerdict
from docgen.facts.fact import Fact, Known, Reading
from docgen.facts.history import TAKEN, read_history
from docgen.values import dataclass

SINGLE = (("plan.antibiotic", "planned"), ("plan.sedation", "planned"), ("operation.antibiotic", "given"))
"""Groups that order one drug, with the moment."""
LISTS = (
    ("plan.injections", "planned"),
    ("operation.injections", "given"),
    ("operation.drugs_given", "given"),
    ("prescriptions", "prescribed"),
)
"""Lists of ordered drugs, with the moment."""


@dataclass(frozen=True)
class Conflicts:
    """What speaks against the ordered drugs, and what nobody answered."""

    hits: tuple[Conflict, ...]
    """Gravest first."""
    unanswered: tuple[str, ...]
    """Paths of the history that matter for the ordered drugs."""


def _drug_conflicts(reading: Reading) -> Known | Conflicts:
    ordered = ordered_drugs(reading)
    if not ordered:
        return Conflicts((), ())
    nsaid = NsaidVerdict("ok", ())
    if is_ordered(ordered, ("nsaid",), (), reading.tables):
        nsaid = reading.fact("nsaid_verdict")
    history = read_history(reading, _questions(reading, ordered)).history
    approved = (
        is_ordered(ordered, (), ("felypressin",), reading.tables) and reading.setting("la.memory_rows") == "approved"
    )
    hits = find_conflicts(ordered, history, nsaid, reading.tables, approved)
    sources = dict.fromkeys(key for hit in hits for key in hit.source)
    unanswered = dict.fromkeys((*history.unanswered, *nsaid.unanswered))
    return Known(Conflicts(hits, tuple(unanswered)), tuple(sources))


def ordered_drugs(reading: Reading) -> tuple[OrderedDrug, ...]:
    """Gather what is planned, given and prescribed, in this order; a row without a name orders nothing yet."""
    found = []
    for group, moment in SINGLE:
        inn = reading.value(f"{group}.inn")
        found += [OrderedDrug(inn, group, moment)] if isinstance(inn, str) else []
    for path, moment in LISTS:
        rows = reading.value(path)
        for index, row in enumerate(rows if isinstance(rows, tuple) else ()):
            if isinstance(row.inn, str):
                found.append(_ordered(row, f"{path}[{index}]", moment))
    return tuple(found)


def _ordered(row: Any, path: str, moment: str) -> OrderedDrug:
    if not path.startswith(("plan.injections", "operation.injections")):
        return OrderedDrug(row.inn, path, moment)
    percent = None if row.percent is None or isinstance(row.percent, Answer) else Fraction(row.percent)
    constrictor = row.vasoconstrictor if isinstance(row.vasoconstrictor, str) else ""
    return OrderedDrug(row.inn, path, moment, percent, row.technique or "", constrictor)


def _questions(reading: Reading, ordered: tuple[OrderedDrug, ...]) -> tuple[str, ...]:
    """Name what must be known of the patient for these drugs."""
    tables = reading.tables
    asked = ["conditions", *TAKEN, "allergies"]
    asked += ["alcohol"] if is_ordered(ordered, (), ("metronidazole",), tables) else []
    asked += ["pregnancy"] if is_ordered(ordered, (), ("felypressin",), tables) else []
    asked += ["age", "minor"] if is_ordered(ordered, ("amide",), (), tables) else []
    if any(drug.technique == "block" for drug in ordered):
        taken = read_history(reading, ("antithrombotics",)).history
        asked += ["inr"] if taken.takes(("vka",), (), tables) else []
    return tuple(asked)


CONFLICTS = (
    Fact(
        "drug_conflicts",
        (
            *(path for path, _ in (*SINGLE, *LISTS)),
            *(f"medical.{name}" for name in TAKEN),
            "medical.conditions",
            "medical.allergies",
            "medical.alcohol",
            "medical.pregnancy",
            "medical.inr",
            "patient_age_years",
            "patient_is_minor",
            "nsaid_verdict",
            "settings.la.memory_rows",
        ),
        _drug_conflicts,
        ("design",),
    ),
)
