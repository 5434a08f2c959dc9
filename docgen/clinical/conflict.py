"""
Ordered drugs against what is known of the patient > hits, each with code, severity and source (table drug-conflict).

What was not answered brings no hit here; who reads the history lists it.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from docgen.clinical.history import Allergy, History, allergy_groups, allergy_matches
from docgen.clinical.medicine import drug_classes, plain_inn
from docgen.clinical.nsaid import NsaidVerdict
from docgen.clinical.table import Row, Tables
from docgen.values import dataclass

SEVERITIES: Final = ("stop", "stop_unless_departure", "caution", "note")
"""Gravest first."""
_ASPIRIN: Final = "acetylsalicylic acid"


@dataclass(frozen=True)
class OrderedDrug:
    """One drug somebody plans, gave or prescribed."""

    name: str
    path: str
    """Its row: plan.injections[0]."""
    moment: str
    """planned, given or prescribed."""
    percent: Fraction | None = None
    technique: str = ""
    """block, infiltration ...; empty if it is no injection of local anesthetic."""
    vasoconstrictor: str = ""
    """Empty if there is none."""


@dataclass(frozen=True)
class Conflict:
    """One ordered drug that does not fit the patient."""

    code: str
    """A code of specification 3.5."""
    severity: str
    """stop, stop_unless_departure, caution or note."""
    moment: str
    """planned, given or prescribed."""
    ordered_inn: str
    ordered_path: str
    other: str
    """An INN, or the code of a condition, allergy group or finding."""
    other_path: str
    source: tuple[str, ...]


@dataclass(frozen=True)
class _Part:
    """One plain INN of an ordered drug; the vasoconstrictor of a cartridge is one too."""

    inn: str
    path: str
    drug: OrderedDrug
    number: int
    """Of the ordered drug."""
    is_vasoconstrictor: bool = False


@dataclass(frozen=True)
class _Other:
    """One drug that an ordered one may meet."""

    inn: str
    path: str
    is_taken: bool
    is_antithrombotic: bool = False


Met = tuple[str, str]
"""What an ordered drug meets, and where it stands."""


@dataclass(frozen=True)
class _Scene:
    """Everything a row is held against."""

    parts: tuple[_Part, ...]
    history: History
    nsaid: NsaidVerdict
    tables: Tables
    memory_rows_approved: bool


def find_conflicts(
    ordered: tuple[OrderedDrug, ...],
    history: History,
    nsaid: NsaidVerdict,
    tables: Tables,
    memory_rows_approved: bool = False,
) -> tuple[Conflict, ...]:
    """
    Hold each ordered drug against drugs taken and ordered, allergies, conditions, age and answers; gravest first.

    Several injections of one drug give one hit. Of two ordered drugs, the plan is not held against what was given.
    Source: table drug-conflict.
    """
    scene = _Scene(_parts(ordered, tables), history, nsaid, tables, memory_rows_approved)
    hits: dict[tuple[str, ...], Conflict] = {}
    for row in tables.table("drug-conflict"):
        for part in scene.parts:
            for other, path, severity in _hits(row, part, scene):
                code, moment = row.text("code"), part.drug.moment
                hit = Conflict(code, severity, moment, part.inn, part.path, other, path, row.source)
                hits.setdefault((code, moment, part.inn, other), hit)
    return tuple(sorted(hits.values(), key=lambda hit: SEVERITIES.index(hit.severity)))


def is_ordered(
    ordered: tuple[OrderedDrug, ...], classes: tuple[str, ...], inns: tuple[str, ...], tables: Tables
) -> bool:
    """Tell whether a drug of some classes or names is ordered, vasoconstrictors included."""
    return any(
        part.inn in inns or not drug_classes(part.inn, tables).isdisjoint(classes) for part in _parts(ordered, tables)
    )


def _parts(ordered: tuple[OrderedDrug, ...], tables: Tables) -> tuple[_Part, ...]:
    found = []
    for number, drug in enumerate(ordered):
        found += [_Part(inn, f"{drug.path}.inn", drug, number) for inn in plain_inn(drug.name, tables)]
        if drug.vasoconstrictor:
            found.append(_Part(drug.vasoconstrictor, f"{drug.path}.vasoconstrictor", drug, number, True))
    return tuple(found)


def _hits(row: Row, part: _Part, scene: _Scene) -> Iterator[tuple[str, str, str]]:
    severity = row.text("severity")
    if scene.memory_rows_approved:
        severity = row.text("severity_approved", severity)
    if row.id == "same-allergy":
        yield from _same_allergy(row, part, scene)
    elif row.id == "drug-twice":
        yield from ((*met, severity) for met in _twice(row, part, scene))
    elif _is_meant(row, part, scene.tables):
        yield from ((*met, severity) for met in _met(row, part, scene))


def _is_meant(row: Row, part: _Part, tables: Tables) -> bool:
    """Tell whether a row is about this ordered drug."""
    classes = drug_classes(part.inn, tables)
    if part.inn not in row.texts("drug_inns") and classes.isdisjoint(row.texts("drug_classes")):
        return False
    if "in_cartridge" in row and not part.is_vasoconstrictor:
        return False
    if "technique" in row and row.text("technique") != part.drug.technique:
        return False
    percent = part.drug.percent
    return "percent_from" not in row or (percent is not None and percent >= row.number("percent_from"))


def _met(row: Row, part: _Part, scene: _Scene) -> Iterator[Met]:
    """Find everything of the patient that a row names."""
    if "alone" in row:
        yield part.drug.technique, f"{part.drug.path}.technique"
    for other in _others(part, scene):
        if (other.is_taken or "taken_only" not in row) and _is_other(row, other, scene.tables):
            yield other.inn, other.path
    for condition in scene.history.conditions:
        if condition.code in row.texts("conditions"):
            yield condition.code, f"{condition.path}.code"
    for allergy in scene.history.allergies:
        groups = allergy_groups(allergy, scene.tables).intersection(row.texts("allergy_groups"))
        if groups and ("allergy_severities" not in row or allergy.severity in row.texts("allergy_severities")):
            yield min(groups), f"{allergy.path}.group"
    yield from _met_answers(row, scene)
    yield from _met_age(row, scene.history)


def _others(part: _Part, scene: _Scene) -> Iterator[_Other]:
    """Go through the drugs an ordered one may meet: those taken, and those ordered beside it."""
    for drug in scene.history.taken:
        for inn in plain_inn(drug.name, scene.tables):
            yield _Other(inn, drug.path, True, drug.is_antithrombotic)
    for one in scene.parts:
        if one.number != part.number and {part.drug.moment, one.drug.moment} != {"planned", "given"}:
            yield _Other(one.inn, one.path, False)


def _is_other(row: Row, other: _Other, tables: Tables) -> bool:
    return other.inn in row.texts("inns") or not drug_classes(other.inn, tables).isdisjoint(row.texts("classes"))


def _met_answers(row: Row, scene: _Scene) -> Iterator[Met]:
    """Find what single answers say; an answer that could be the dangerous one counts as it."""
    history, nsaid, findings = scene.history, scene.nsaid, row.texts("findings")
    if "alcohol" in findings and history.alcohol != "none":
        known = history.alcohol in ("some", "heavy")
        yield "alcohol" if known else f"alcohol_{history.alcohol}", "medical.alcohol"
    if "pregnancy" in findings and history.pregnancy in ("yes", "not_known"):
        yield "pregnancy" if history.pregnancy == "yes" else "pregnancy_not_known", "medical.pregnancy.state"
    unstable = {"no": "inr_unstable", "not_known": "inr_not_known"}.get(history.inr_is_stable)
    if "inr_unstable" in findings and unstable and history.takes(("vka",), (), scene.tables):
        yield unstable, "medical.inr.stable"
    if f"nsaid_{nsaid.verdict}" in findings:
        yield nsaid.reasons[0], nsaid.reason_paths[0]


def _met_age(row: Row, history: History) -> Iterator[Met]:
    age = history.age_years
    if "age_under" in row and age is not None and age < row.number("age_under"):
        yield f"age_under_{row.whole('age_under')}", "patient.birth_date"
    if "age_from" in row and age is not None and age >= row.number("age_from"):
        yield f"age_{row.whole('age_from')}", "patient.birth_date"
    if "minor" in row and history.patient_is_minor:
        yield "minor", "patient.birth_date"


def _same_allergy(row: Row, part: _Part, scene: _Scene) -> Iterator[tuple[str, str, str]]:
    """Find allergies to an ordered drug or its group; an intolerance is milder, but not of a penicillin."""
    for allergy in scene.history.allergies:
        reason = allergy_matches(allergy, part.inn, scene.tables)
        if reason is None:
            continue
        strict = allergy.severity != "intolerance" or _is_strict(row, allergy, part, scene.tables)
        place = "substance" if reason == part.inn else "group"
        yield reason, f"{allergy.path}.{place}", row.text("severity" if strict else "milder")


def _is_strict(row: Row, allergy: Allergy, part: _Part, tables: Tables) -> bool:
    named = allergy_groups(allergy, tables) | drug_classes(part.inn, tables)
    return not named.isdisjoint(row.texts("milder_not_for"))


def _twice(row: Row, part: _Part, scene: _Scene) -> Iterator[Met]:
    """Find an ordered drug among those taken, and a second drug of the class; two ordered ones are said once."""
    is_of_class = not drug_classes(part.inn, scene.tables).isdisjoint(row.texts("drug_classes"))
    earlier = {one.path for one in scene.parts if one.number < part.number}
    for other in _others(part, scene):
        if other.is_taken and other.inn == part.inn:
            yield other.inn, other.path
        elif is_of_class and _is_other(row, other, scene.tables):
            has_own_row = other.inn == _ASPIRIN and other.is_antithrombotic
            if not has_own_row and (other.is_taken or other.path in earlier):
                yield other.inn, other.path
