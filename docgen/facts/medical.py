"""The medical history > facts that change risk, advice and who must be asked (specification 3.4)."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from docgen.answer import Answer
from docgen.clinical.age import completed_years
from docgen.clinical.medicine import analgesic_ceiling, drug_classes, plain_inn
from docgen.facts.fact import Fact, NeedMissing, Reading

CLASS_ORDER = ("none", "antiplatelet", "vka", "doac", "other")
"""By the figure of 4.4, lowest first; "other" takes the figure of doac."""

STOP_CONDITIONS = (
    "aspirin_sensitive_airway",
    "peptic_ulcer_active",
    "nsaid_ulcer_past",
    "heart_failure_severe",
    "kidney_severe",
    "liver_severe",
)
CAUTION_CONDITIONS = ("hypertension", "hypertension_severe", "asthma", "inflammatory_bowel", "bleeding_disorder")


def cut(reading: Reading, name: str) -> Fraction:
    """Give a cut of the rules by its row in table clinical-cut, where its source and status stand."""
    return reading.tables.table("clinical-cut").row(name).number("value")


def items(reading: Reading, path: str) -> tuple[Any, ...]:
    """Give the items of a list that must be answered; the word none gives no items."""
    value = reading.need(path)
    return value if isinstance(value, tuple) else ()


def codes(reading: Reading) -> set[str]:
    """Give the codes of the recorded conditions."""
    return {item.code for item in items(reading, "medical.conditions") if isinstance(item.code, str)}


def inns(reading: Reading, path: str) -> tuple[str, ...]:
    """Give the INNs of a drug list, synonyms joined."""
    return tuple(
        name
        for item in items(reading, path)
        if isinstance(item.inn, str)
        for name in plain_inn(item.inn, reading.tables)
    )


def classes_of(reading: Reading, names: tuple[str, ...]) -> set[str]:
    """Give every class some drugs belong to."""
    return {found for name in names for found in drug_classes(name, reading.tables)}


def _bleeding_patient_class(reading: Reading) -> str:
    found = ["none"]
    for name in inns(reading, "medical.antithrombotics"):
        mine = [c for c in ("doac", "vka", "antiplatelet") if c in drug_classes(name, reading.tables)]
        found.append(mine[0] if mine else "other")
    return max(found, key=CLASS_ORDER.index)


def _takes_vka(reading: Reading) -> bool:
    return "vka" in classes_of(reading, inns(reading, "medical.antithrombotics"))


def _years_on(drug: Any, until: date) -> Fraction | None:
    if isinstance(drug.started_on, date):
        stop = drug.stopped_on if isinstance(drug.stopped_on, date) else until
        return Fraction(completed_years(drug.started_on, stop))
    return None if drug.years is None or isinstance(drug.years, Answer) else Fraction(drug.years)


def _mronj_group(reading: Reading) -> str:
    drugs = items(reading, "medical.antiresorptives")
    previous = reading.need("medical.previous_mronj")
    if previous is True:
        return "higher"
    if not drugs:
        return "none"
    if any(drug.indication == "cancer" for drug in drugs) or reading.need("medical.steroid_or_immunosuppressant"):
        return "higher"
    years = [_years_on(drug, reading.fact("reference_date")) for drug in drugs]
    if any(y is None for y in years):
        raise NeedMissing(("medical.antiresorptives",))
    higher_from = cut(reading, "mronj_higher_from")
    return "higher" if any(y is not None and y >= higher_from for y in years) else "low"


def _orn_risk(reading: Reading) -> bool:
    given = reading.need("medical.jaw_radiotherapy.given")
    return given is True


@dataclass(frozen=True)
class NsaidVerdict:
    """Whether ibuprofen and its like may be given, and for which reasons."""

    verdict: str
    """stop, avoid, caution or ok."""
    reasons: tuple[str, ...]
    """Codes of conditions, classes and findings."""


def _nsaid_verdict(reading: Reading) -> NsaidVerdict:
    conditions = codes(reading)
    allergies = [a for a in items(reading, "medical.allergies") if a.group == "nsaid"]
    taken = inns(reading, "medical.medications")
    thinners = inns(reading, "medical.antithrombotics")
    pregnant = reading.need("medical.pregnancy.state")
    weeks = reading.value("medical.pregnancy.weeks")
    late = pregnant == "yes" and (not isinstance(weeks, int) or weeks >= cut(reading, "third_trimester_from"))
    stop = [
        *("nsaid_allergy" for a in allergies if a.severity != "intolerance"),
        *(c for c in STOP_CONDITIONS if c in conditions),
        *(["late_pregnancy"] if late else []),
    ]
    if stop:
        return NsaidVerdict("stop", tuple(dict.fromkeys(stop)))
    avoid = [*(["antithrombotic"] if thinners else []), *(n for n in ("lithium", "methotrexate") if n in taken)]
    if avoid:
        return NsaidVerdict("avoid", tuple(avoid))
    caution = [
        *(c for c in ("ssri", "antihypertensive") if c in classes_of(reading, taken)),
        *(c for c in CAUTION_CONDITIONS if c in conditions),
        *("nsaid_intolerance" for _ in allergies),
        *(["age_65"] if reading.fact("patient_age_years") >= cut(reading, "nsaid_caution_from") else []),
        *(["pregnancy"] if pregnant == "yes" else []),
        *(["breast_feeding"] if reading.value("medical.breast_feeding") is True else []),
    ]
    return NsaidVerdict("caution" if caution else "ok", tuple(dict.fromkeys(caution)))


@dataclass(frozen=True)
class AnalgesicTotal:
    """What one drug adds up to in a day, against its ceiling."""

    inn: str
    mg_per_day: Any
    ceiling_mg: Any
    """None if no ceiling is held for the drug."""
    over: bool
    source: tuple[str, ...]


def _analgesic_totals(reading: Reading) -> tuple[AnalgesicTotal, ...]:
    totals: dict[str, list[Any]] = {}
    rows = items(reading, "prescriptions")
    for index, row in enumerate(rows):
        for field in ("inn", "dose_mg", "times_per_day", "supply"):
            reading.need(f"prescriptions[{index}].{field}")
        for name in plain_inn(row.inn, reading.tables):
            totals.setdefault(name, []).append(row)
    found = []
    for name, mine in totals.items():
        given = sum((row.dose_mg * row.times_per_day for row in mine), start=mine[0].dose_mg * 0)
        ceilings = [c for row in mine if (c := analgesic_ceiling(name, row.supply, reading.tables)) is not None]
        strictest = min(ceilings, key=lambda c: c.mg_per_day, default=None)
        most = max((row.max_mg_per_day for row in mine if row.max_mg_per_day is not None), default=None)
        over = strictest is not None and (given > strictest.mg_per_day or (most or 0) > strictest.mg_per_day)
        found.append(
            AnalgesicTotal(
                name,
                given,
                int(strictest.mg_per_day) if strictest else None,
                bool(over),
                strictest.source if strictest else ("field",),
            )
        )
    return tuple(found)


ANTIBIOTICS = {"penicillin", "cephalosporin", "macrolide", "tetracycline"}


def _ordered(reading: Reading, inn: str) -> bool:
    return inn in inns(reading, "prescriptions")


HISTORY = ("medical.conditions", "medical.medications", "medical.antithrombotics", "medical.allergies")

MEDICAL = (
    Fact("bleeding_patient_class", ("medical.antithrombotics",), _bleeding_patient_class, ("SDCEP-BR",)),
    Fact(
        "takes_blood_thinner",
        ("bleeding_patient_class",),
        lambda r: r.fact("bleeding_patient_class") != "none",
        ("SDCEP-BR",),
    ),
    Fact("takes_vka", ("medical.antithrombotics",), _takes_vka, ("SDCEP-BR",)),
    Fact(
        "mronj_group",
        ("medical.antiresorptives", "medical.previous_mronj", "medical.steroid_or_immunosuppressant"),
        _mronj_group,
        ("SDCEP-M16", "SDCEP-MR", "SDCEP-MF"),
        "higher",
    ),
    Fact("orn_risk", ("medical.jaw_radiotherapy.given",), _orn_risk, ("KHOO21",), True),
    Fact(
        "nsaid_verdict",
        ("medical.breast_feeding", *HISTORY, "medical.pregnancy", "patient_age_years"),
        _nsaid_verdict,
        ("ELMS", "MOSTOFI", "NAT-NSAID", "SDCEP-PAIN"),
        NsaidVerdict("caution", ("not_all_answered",)),
    ),
    Fact(
        "nsaid_is_ok",
        ("nsaid_verdict",),
        lambda r: r.fact("nsaid_verdict").verdict == "ok",
        ("ELMS", "MOSTOFI", "NAT-NSAID", "SDCEP-PAIN"),
    ),
    Fact("analgesic_totals", ("prescriptions",), _analgesic_totals, ("ETG-AN", "ELMS", "DAN-AU", "SDCEP-PAIN")),
    Fact(
        "antibiotic_ordered",
        ("prescriptions",),
        lambda r: not ANTIBIOTICS.isdisjoint(classes_of(r, inns(r, "prescriptions"))) or _ordered(r, "metronidazole"),
        ("field",),
    ),
    Fact("metronidazole_ordered", ("prescriptions",), lambda r: _ordered(r, "metronidazole"), ("METDENT",)),
    Fact("nsaid_ordered", ("prescriptions",), lambda r: "nsaid" in classes_of(r, inns(r, "prescriptions")), ("field",)),
)
