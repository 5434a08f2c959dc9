"""Limits as the safety sheet prints them (specification 5.7)."""

from __future__ import annotations

from decimal import Decimal

from docgen.facts.dose_sheet import decimal_down
from docgen.facts.fact import Fact, Known, Reading


def _epinephrine_limit_shown_ug(reading: Reading) -> Decimal | None:
    return decimal_down(reading.fact("epinephrine_limit_ug").ug)


def _antibiotic_window_minutes(reading: Reading) -> Known:
    row = reading.tables.table("safety-sheet").row("antibiotic_before_cut")
    return Known(row.whole("value"), row.source)


SHEET = (
    Fact("epinephrine_limit_shown_ug", ("epinephrine_limit_ug",), _epinephrine_limit_shown_ug, ("MEDILIB", "EXAM")),
    Fact("antibiotic_window_minutes", (), _antibiotic_window_minutes, ("WHO-19", "WHO-CL", "WHO-FRCA")),
)
