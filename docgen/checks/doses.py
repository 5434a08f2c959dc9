"""Doses: local anesthetic against its limits, and pain killers against the most of a day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from docgen.answer import Answer
from docgen.checks.look import Check, Finding, Lift, Look
from docgen.clinical.anesthetic import LowReasons, Totals, epinephrine_limit
from docgen.clinical.medicine import plain_inn
from docgen.facts import Unknown
from docgen.problem import Severity, say

BEFORE = ("consent", "safety-sheet")
NOTE = ("operative-note",)
OF_AMOUNTS = frozenset({"over_ceiling", "maximum_over_ceiling", "gap_too_short"})
"""Stops that a smaller amount or a longer gap would lift; any other is about the drug itself."""


def _planned_over(look: Look) -> Iterator[Finding]:
    if _is_over(look, "planned"):
        yield Finding(
            "plan.injections",
            say("the doses of plan.injections pass a limit of the clinic's regime"),
            say("reduce the planned injections; docgen facts shows each dose and its limit"),
        )


def _given_over(look: Look) -> Iterator[Finding]:
    if _is_over(look, "given"):
        yield Finding(
            "operation.injections",
            say("the doses of operation.injections pass a limit of the clinic's regime"),
            say("explain it; doses and times stay as they were given"),
        )


def _is_over(look: Look, name: str) -> bool:
    """
    Tell whether a dose passes its limit.

    The low limit of epinephrine, assumed because nobody has recorded an answer yet, convicts no dose on its own: then
    the dose is held against the limit of a healthy patient, and the drugs against their own and against their sum.
    """
    if look.known(f"la_over_limit_{name}") is not True:
        return False
    limit, totals = look.stated["epinephrine_limit_ug"], look.known(f"la_totals_{name}")
    if isinstance(limit, Unknown) and not limit.asked:
        most = epinephrine_limit(look.known("la_weight_kg"), LowReasons((), (), ()), look.tables)
        return replace(totals, epinephrine_limit=most).over_limit is True
    return True


def _without_row(look: Look) -> Iterator[Finding]:
    name, path = ("given", "operation.injections") if look.operation_is_over else ("planned", "plan.injections")
    totals = look.known(f"la_totals_{name}")
    if not isinstance(totals, Totals):
        return
    for item_path, item in look.items(path):
        if isinstance(item.inn, str) and set(plain_inn(item.inn, look.tables)) & set(totals.without_row):
            yield Finding(
                f"{item_path}.inn",
                say("%(path)s has no limit in the clinic's regime; its total is marked so", path=f"{item_path}.inn"),
                say("approve the row of the table (settings la.memory_rows), or use another drug"),
            )


def _no_weight(look: Look) -> Iterator[Finding]:
    path = "operation.injections" if look.operation_is_over else "plan.injections"
    rows = [item for _, item in look.items(path)]
    if not rows or look.case.fields.patient.weight_kg is not None:
        return
    many = look.tables.table("clinical-cut").row("many_cartridges_over").number("value")
    sedated = look.case.fields.plan.anesthesia == "local_with_sedation"
    matters = sedated or look.known("patient_is_minor") is not False or _cartridges(rows) > many
    yield Finding(
        "patient.weight_kg",
        say("patient.weight_kg is missing: no limit is computed for %(path)s", path=path),
        say("weigh the patient and enter weight_kg and weight_on"),
        None if matters else Severity.NOTE,
    )


def _cartridges(rows: list[Any]) -> Fraction:
    """Add up volume over cartridge; a row that lacks one of them adds nothing."""
    return sum(
        (
            Fraction(row.volume_ml) / Fraction(row.cartridge_ml)
            for row in rows
            if isinstance(row.volume_ml, Decimal) and isinstance(row.cartridge_ml, Decimal)
        ),
        Fraction(0),
    )


def _expired(look: Look) -> Iterator[Finding]:
    operated = look.day("operation.started_at")
    for path, item in look.items("operation.injections"):
        if operated and item.expiry is not None and item.expiry < operated:
            yield Finding(
                f"{path}.expiry",
                say("%(path)s lies before the day of the operation", path=f"{path}.expiry"),
                say("correct the date, or record the incident"),
            )


def _over_own_maximum(look: Look) -> Iterator[Finding]:
    for path, row in look.items("prescriptions"):
        most = row.max_mg_per_day
        if not isinstance(most, Decimal) or not isinstance(row.dose_mg, Decimal) or row.times_per_day is None:
            continue
        if not isinstance(row.times_per_day, Answer) and row.dose_mg * row.times_per_day > most:
            yield Finding(
                f"{path}.max_mg_per_day",
                say("the doses of %(path)s pass %(most)s", path=path, most=f"{path}.max_mg_per_day"),
                say("lower dose or times a day"),
            )


def _stopped_total(look: Look) -> Iterator[Finding]:
    """Refuse what the totals stop, at the rows that bring it about (fact analgesic_totals)."""
    totals = {total.inn: total for total in look.known("analgesic_totals") or () if total.verdict == "stop"}
    rows = [(path, _stopped_inns(row, totals, look)) for path, row in look.items("prescriptions")]
    for inn, total in totals.items():
        mine = [path for path, inns in rows if inn in inns]
        if total.over:
            path = mine[-1]
            yield Finding(
                f"{path}.dose_mg",
                say("the doses of prescriptions up to %(path)s pass the most of a day", path=path),
                say("lower dose, times a day or max_mg_per_day"),
            )
        for path in mine:
            if path in total.too_soon:
                yield Finding(
                    f"{path}.hours_apart",
                    say("%(path)s is shorter than the shortest gap between two doses", path=f"{path}.hours_apart"),
                    say("set a longer gap"),
                )
            if not OF_AMOUNTS.issuperset(total.stops):
                yield Finding(
                    f"{path}.inn",
                    say("%(path)s is not given for pain after this operation (analgesic_totals)", path=f"{path}.inn"),
                    say("choose another pain killer"),
                )


def _stopped_inns(row: Any, totals: dict[str, Any], look: Look) -> set[str]:
    """Name the stopped drugs a row holds, itself or as a part."""
    return set(plain_inn(row.inn, look.tables)) & set(totals) if isinstance(row.inn, str) else set()


DOSES = (
    Check("dose-over-limit", _planned_over, kinds=BEFORE),
    Check("dose-over-limit", _given_over, kinds=NOTE, of_operation=True, departure=Lift.NOTE),
    Check("la-no-row", _without_row, Severity.NOTE, (*BEFORE, "operative-note")),
    Check("dose-no-weight", _no_weight, kinds=("safety-sheet", "operative-note"), departure=Lift.NOTE),
    Check("batch-expired", _expired, kinds=NOTE, of_operation=True, departure=Lift.NOTE),
    Check("daily-dose", _over_own_maximum, of_operation=True),
    Check("daily-dose", _stopped_total, of_operation=True),
)
