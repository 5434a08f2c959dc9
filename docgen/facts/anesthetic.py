"""Injections, weight and regime > doses against limits, planned and given (specification 3.6)."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any

from docgen.answer import Answer
from docgen.clinical.anesthetic import (
    DrugSums,
    EpinephrineLimit,
    Injection,
    Totals,
    drug_dose_mg,
    drug_sums,
    drugs_of,
    epinephrine_dose_ug,
    epinephrine_limit,
    low_epinephrine_reasons,
    weight_for_dosing_kg,
)
from docgen.facts.dose_sheet import decimal_down, decimal_up, dose_sheet, room_left
from docgen.facts.fact import Fact, Known, NeedMissing, Reading, Unknown
from docgen.facts.medical import codes, inns


def _number(value: Any) -> Fraction | None:
    return None if value is None or isinstance(value, Answer) else Fraction(value)


def _weight(reading: Reading) -> Fraction:
    dosing = reading.value("patient.dosing_weight_kg")
    weight = weight_for_dosing_kg(_number(reading.need("patient.weight_kg")), _number(dosing), reading.tables)
    if weight is None:
        raise NeedMissing(("patient.weight_kg",))
    return weight


def injections(reading: Reading, path: str) -> tuple[Injection, ...]:
    """
    Give the injections of a list for the arithmetic.

    Errors: NeedMissing, if one lacks drug, percent or volume.
    """
    rows = reading.need(path)
    found = []
    for index, row in enumerate(rows if isinstance(rows, tuple) else ()):
        inn, percent = reading.need(f"{path}[{index}].inn"), reading.need(f"{path}[{index}].percent")
        volume = reading.need(f"{path}[{index}].volume_ml")
        constrictor = None if isinstance(row.vasoconstrictor, Answer) else row.vasoconstrictor
        if constrictor == "epinephrine" and not isinstance(row.dilution, int):
            raise NeedMissing((f"{path}[{index}].dilution",))
        found.append(
            Injection(
                inn=inn,
                percent=Fraction(percent),
                volume_ml=Fraction(volume),
                vasoconstrictor=constrictor,
                dilution=row.dilution if isinstance(row.dilution, int) else None,
                cartridge_ml=_number(row.cartridge_ml),
            )
        )
    return tuple(found)


def _dosing_weight_advised(reading: Reading) -> bool:
    """Say whether severe obesity asks for a lean or ideal weight that nobody has set."""
    dosing = reading.value("patient.dosing_weight_kg")
    return "obesity_severe" in codes(reading) and (dosing is None or isinstance(dosing, Answer))


def _other_beta_blockers(reading: Reading) -> tuple[str, ...]:
    """Name the drugs in -olol that bring no lower limit, for a note."""
    return low_epinephrine_reasons((), inns(reading, "medical.medications"), reading.tables).other_beta_blockers


def _weight_or_none(reading: Reading) -> Fraction | None:
    try:
        weight: Fraction = reading.fact("la_weight_kg")
    except NeedMissing:
        return None
    return weight


def _history(reading: Reading) -> tuple[tuple[tuple[str, ...], tuple[str, ...]], tuple[str, ...]]:
    """Give the conditions and the drugs taken, each empty if it is not known, and what is lacking."""
    conditions: tuple[str, ...] = ()
    drugs: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    try:
        conditions = tuple(sorted(codes(reading)))
    except NeedMissing as lack:
        missing += lack.needs
    try:
        drugs = inns(reading, "medical.medications")
    except NeedMissing as lack:
        missing += lack.needs
    return (conditions, drugs), missing


def _epinephrine_limit(reading: Reading) -> Known | Unknown:
    """
    Take the lower cap as long as weight or history is not known, and say that it is assumed.

    One reason for the lower cap is enough: what else is not known of the history could change nothing.
    """
    weight = _weight_or_none(reading)
    needs: tuple[str, ...] = () if weight is not None else ("patient.weight_kg",)
    present, missing = _history(reading)
    found = low_epinephrine_reasons(*present, reading.tables)
    is_settled = bool(found.reasons) or not missing
    limit = epinephrine_limit(weight, found if is_settled else None, reading.tables)
    needs += () if is_settled else missing
    return Unknown(needs, assumed=limit) if limit.assumed else Known(limit, limit.source)


def _sums(path: str) -> Callable[[Reading], Known]:
    def stated(reading: Reading) -> Known:
        rows = injections(reading, path)
        sums = drug_sums(
            rows,
            reading.fact("la_weight_kg"),
            reading.setting("la.regime"),
            reading.tables,
            reading.setting("la.combine"),
            reading.setting("la.memory_rows") == "approved",
        )
        sources = tuple(dict.fromkeys(s for d in sums.drugs if d.limit for s in d.limit.source))
        return Known(sums, sources, working(rows, sums))

    return stated


def _totals(path: str, sums: str) -> Callable[[Reading], Totals]:
    def stated(reading: Reading) -> Totals:
        found: DrugSums = reading.fact(sums)
        return Totals(
            drugs=found.drugs,
            combine=found.combine,
            epinephrine_ug=epinephrine_dose_ug(injections(reading, path)),
            epinephrine_limit=reading.fact("epinephrine_limit_ug"),
            without_row=tuple(d.inn for d in found.drugs if d.limit is None),
        )

    return stated


def _doses(path: str) -> Callable[[Reading], dict[str, Fraction | None]]:
    def stated(reading: Reading) -> dict[str, Fraction | None]:
        rows = injections(reading, path)
        return {inn: drug_dose_mg(rows, inn) for inn in drugs_of(rows)}

    return stated


def _epinephrine(path: str) -> Callable[[Reading], Fraction | None]:
    return lambda reading: epinephrine_dose_ug(injections(reading, path))


def _share_of_epinephrine(word: str) -> Callable[[Reading], Fraction]:
    def stated(reading: Reading) -> Fraction:
        limit: EpinephrineLimit = reading.fact("epinephrine_limit_ug")
        return Fraction(reading.fact(f"epinephrine_ug_{word}") / limit.ug)

    return stated


def working(rows: tuple[Injection, ...], totals: DrugSums) -> str:
    """Write the arithmetic of a list of injections: doses up and limits down where they do not end."""
    terms = [f"{_short(decimal_up(r.volume_ml, 4))} mL x {_short(decimal_up(r.percent, 4))} % x 10" for r in rows]
    drugs = [
        f"{d.inn} {_short(decimal_up(d.dose_mg, 4))} mg / "
        f"{_short(decimal_down(d.limit.mg, 4)) if d.limit else 'no limit'}"
        for d in totals.drugs
    ]
    return "; ".join([" + ".join(terms), *drugs])


def _short(value: Decimal | None) -> str:
    return "-" if value is None else f"{value:f}".rstrip("0").rstrip(".")


def _part(name: str, pick: Callable[[Any], Any]) -> Callable[[Reading], Any]:
    """Make a fact of one part of the totals; a drug without a limit leaves it unknown, never partial."""

    def stated(reading: Reading) -> Any:
        found = pick(reading.fact(name))
        if found is None:
            raise NeedMissing(("settings.la.regime",))
        return found

    return stated


def _limits(name: str) -> Callable[[Reading], Known]:
    """Make the fact of each drug's limit, None for one without a row, with the sources of the rows."""

    def stated(reading: Reading) -> Known:
        drugs = reading.fact(name).drugs
        sources = dict.fromkeys(key for d in drugs if d.limit for key in d.limit.source)
        return Known({d.inn: d.limit.mg if d.limit else None for d in drugs}, tuple(sources))

    return stated


def _planned_drugs(reading: Reading) -> tuple[str, ...]:
    """Name each planned drug once, in the order of the plan."""
    rows = reading.need("plan.injections")
    return tuple(dict.fromkeys(row.inn for row in rows if isinstance(row.inn, str))) if isinstance(rows, tuple) else ()


LISTS = {"planned": "plan.injections", "given": "operation.injections"}
WEIGHT = ("patient.weight_kg", "patient.dosing_weight_kg")
REGIME = ("la_weight_kg", "settings.la.regime", "settings.la.combine", "settings.la.memory_rows")


def _drugs(word: str) -> tuple[Fact, ...]:
    """Make the facts of the drugs of one list of injections."""
    path, sums = LISTS[word], f"la_drugs_{word}"
    return (
        Fact(f"la_dose_mg_{word}", (path,), _doses(path), ("EPICALC",)),
        Fact(sums, (path, *REGIME), _sums(path), ("DDH", "PFIZER")),
        Fact(f"la_limit_mg_{word}", (sums,), _limits(sums), ("DDH", "ARTI", "MEPI", "PRILO", "UKSPC")),
        Fact(f"la_fraction_{word}", (sums,), _part(sums, lambda t: {d.inn: d.fraction for d in t.drugs}), ("PFIZER",)),
        Fact(f"la_combined_{word}", (sums,), _part(sums, lambda t: t.combined), ("PFIZER", "memory")),
    )


def _epinephrine_of(word: str) -> tuple[Fact, ...]:
    """Make the facts of the epinephrine of one list of injections."""
    dose = f"epinephrine_ug_{word}"
    return (
        Fact(dose, (LISTS[word],), _epinephrine(LISTS[word]), ("EPICALC",)),
        Fact(f"epinephrine_fraction_{word}", (dose, "epinephrine_limit_ug"), _share_of_epinephrine(word), ("EPICALC",)),
    )


def _all_of(word: str) -> tuple[Fact, ...]:
    """Make the facts that hold drugs and epinephrine of one list against each other."""
    path, sums, totals = LISTS[word], f"la_drugs_{word}", f"la_totals_{word}"
    needs = (path, sums, "epinephrine_limit_ug")
    sheet = (totals, "epinephrine_limit_ug", "la_weight_kg", "settings.la.regime")
    return (
        Fact(totals, needs, _totals(path, sums), ("EPICALC", "DDH", "PFIZER")),
        Fact(f"la_limiting_term_{word}", (totals,), _part(totals, lambda t: t.limiting), ("DDH",)),
        Fact(f"la_remaining_ml_{word}", (totals, path), room_left(lambda r: injections(r, path), totals), ("DDH",)),
        Fact(f"la_over_limit_{word}", (totals,), _part(totals, lambda t: t.over_limit), ("DDH",)),
        Fact(f"dose_sheet_{word}", sheet, dose_sheet(totals), ("EPICALC", "DDH", "PFIZER")),
    )


def _both(make: Callable[[str], tuple[Fact, ...]]) -> tuple[Fact, ...]:
    """Put the facts of what is planned and of what was given side by side, in the order of the specification."""
    return tuple(fact for pair in zip(make("planned"), make("given"), strict=True) for fact in pair)


ANESTHETIC = (
    Fact("planned_drugs", ("plan.injections",), _planned_drugs, ("field",)),
    Fact("la_weight_kg", WEIGHT, _weight, ("cp",)),
    Fact("dosing_weight_advised", ("medical.conditions", "patient.dosing_weight_kg"), _dosing_weight_advised, ("cp",)),
    *_both(_drugs),
    Fact(
        "epinephrine_limit_ug",
        ("la_weight_kg", "medical.conditions", "medical.medications"),
        _epinephrine_limit,
        ("MEDILIB", "EXAM", "PFIZER"),
    ),
    Fact("other_beta_blockers", ("medical.medications",), _other_beta_blockers, ("PFIZER",)),
    *_both(_epinephrine_of),
    *_both(_all_of),
)
