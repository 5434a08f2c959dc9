"""The medical history > facts that change risk, advice and who must be asked (specification 3.4)."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from typing import Any

from docgen.answer import Answer
from docgen.clinical.age import completed_months, completed_years
from docgen.clinical.medicine import drug_classes, plain_inn
from docgen.facts.fact import Fact, NeedMissing, Reading
from docgen.facts.pain import PAIN


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
    """
    Give the INNs of a drug list, synonyms joined.

    Errors: NeedMissing, if a drug of the list has no name: it could be any.
    """
    rows = items(reading, path)
    nameless = tuple(f"{path}[{index}].inn" for index, row in enumerate(rows) if not isinstance(row.inn, str))
    if nameless:
        raise NeedMissing(nameless)
    return tuple(name for row in rows for name in plain_inn(row.inn, reading.tables))


def classes_of(reading: Reading, names: tuple[str, ...]) -> set[str]:
    """Give every class some drugs belong to."""
    return {found for name in names for found in drug_classes(name, reading.tables)}


def _years_on(drug: Any, path: str, until: date) -> Fraction:
    """
    Count the completed years on a bone drug: as recorded, else from its dates.

    Errors: NeedMissing, if neither is recorded, or it ends before it starts.
    """
    if drug.years is not None and not isinstance(drug.years, Answer):
        return Fraction(drug.years)
    if not isinstance(drug.started_on, date):
        raise NeedMissing((f"{path}.started_on", f"{path}.years"))
    stop = drug.stopped_on if isinstance(drug.stopped_on, date) else until
    if stop < drug.started_on:
        raise NeedMissing((f"{path}.started_on", f"{path}.stopped_on"))
    return Fraction(completed_years(drug.started_on, stop))


def _is_washed_out(drug: Any, reading: Reading) -> bool:
    """Tell whether a stopped denosumab counts no more, by the clinic's setting."""
    if reading.setting("mronj.denosumab_washout") != "nine_months" or not isinstance(drug.stopped_on, date):
        return False
    if not isinstance(drug.inn, str) or "denosumab" not in plain_inn(drug.inn, reading.tables):
        return False
    last = drug.last_dose_on if isinstance(drug.last_dose_on, date) else drug.stopped_on
    day_before = reading.fact("reference_date") - timedelta(days=1)
    return completed_months(last, day_before) >= cut(reading, "denosumab_counts_months")


def _mronj_group(reading: Reading) -> str:
    if reading.value("medical.previous_mronj") is True:
        return "higher"
    path = "medical.antiresorptives"
    drugs = [(f"{path}[{i}]", drug) for i, drug in enumerate(items(reading, path)) if not _is_washed_out(drug, reading)]
    if not drugs:
        reading.need("medical.previous_mronj")
        return "none"
    if any(drug.indication == "cancer" for _, drug in drugs):
        return "higher"
    if reading.value("medical.steroid_or_immunosuppressant") is True:
        return "higher"
    return _group_by_years(reading, drugs)


def _group_by_years(reading: Reading, drugs: list[tuple[str, Any]]) -> str:
    """Give the group by the years on a drug; low only if everything that could raise it is answered."""
    until, higher_from = reading.fact("reference_date"), cut(reading, "mronj_higher_from")
    open_needs: list[str] = []
    for path, drug in drugs:
        try:
            if _years_on(drug, path, until) >= higher_from:
                return "higher"
        except NeedMissing as missing:
            open_needs += missing.needs
        if not isinstance(drug.indication, str):
            open_needs.append(f"{path}.indication")
    for path in ("medical.previous_mronj", "medical.steroid_or_immunosuppressant"):
        reading.need(path)
    if open_needs:
        raise NeedMissing(tuple(open_needs))
    return "low"


def _mronj_reasons(reading: Reading) -> tuple[str, ...]:
    """Say what puts the patient into the higher group, in the order of the rule; an assumed group has no reason."""
    if reading.known("mronj_group") != "higher":
        return ()
    path = "medical.antiresorptives"
    taken = reading.value(path)
    drugs = [(f"{path}[{i}]", drug) for i, drug in enumerate(taken if isinstance(taken, tuple) else ())]
    counted = [(at, drug) for at, drug in drugs if not _is_washed_out(drug, reading)]
    holds = {
        "previous_mronj": reading.value("medical.previous_mronj") is True,
        "cancer": any(drug.indication == "cancer" for _, drug in counted),
        "steroid": bool(counted) and reading.value("medical.steroid_or_immunosuppressant") is True,
        "years": any(_is_past_review(reading, at, drug) for at, drug in counted),
    }
    return tuple(code for code, held in holds.items() if held)


def _is_past_review(reading: Reading, path: str, drug: Any) -> bool:
    try:
        return _years_on(drug, path, reading.fact("reference_date")) >= cut(reading, "mronj_higher_from")
    except NeedMissing:
        return False


def _orn_risk(reading: Reading) -> bool:
    given = reading.need("medical.jaw_radiotherapy.given")
    return given is True


ANTIBIOTICS = {"penicillin", "cephalosporin", "macrolide", "tetracycline"}


def _ordered(reading: Reading, inn: str) -> bool:
    return inn in inns(reading, "prescriptions")


MRONJ = (
    "medical.antiresorptives",
    "medical.previous_mronj",
    "medical.steroid_or_immunosuppressant",
    "reference_date",
    "settings.mronj.denosumab_washout",
)

BONES = (
    Fact("mronj_group", MRONJ, _mronj_group, ("SDCEP-M16", "SDCEP-MR", "SDCEP-MF"), "higher"),
    Fact("mronj_reasons", (*MRONJ, "mronj_group"), _mronj_reasons, ("SDCEP-M16", "SDCEP-MR", "SDCEP-MF")),
    Fact("orn_risk", ("medical.jaw_radiotherapy.given",), _orn_risk, ("KHOO21",), True),
)

MEDICAL = (
    *PAIN,
    Fact(
        "antibiotic_ordered",
        ("prescriptions",),
        lambda r: not ANTIBIOTICS.isdisjoint(classes_of(r, inns(r, "prescriptions"))) or _ordered(r, "metronidazole"),
        ("field",),
    ),
    Fact("metronidazole_ordered", ("prescriptions",), lambda r: _ordered(r, "metronidazole"), ("METDENT",)),
    Fact("nsaid_ordered", ("prescriptions",), lambda r: "nsaid" in classes_of(r, inns(r, "prescriptions")), ("field",)),
)
