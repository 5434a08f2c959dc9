"""Table patient-advice > the figures that a patient's text prints beside its timetable, each with its source."""

from __future__ import annotations

from dataclasses import fields

from docgen.clinical.table import Tables
from docgen.values import dataclass


@dataclass(frozen=True)
class Span:
    """A figure, or the two ends of one."""

    start: int
    end: int
    measure: str
    """minutes, hours, days, weeks or teaspoons."""
    source: tuple[str, ...]
    tag: str


@dataclass(frozen=True)
class Advice:
    """Every such figure by its row."""

    bleeding_pressure: Span
    cold_pack_on: Span
    cold_pack_off: Span
    late_bleeding: Span
    jaw_watch: Span
    open_socket: Span
    salt_in_a_glass: Span
    pain_peak: Span
    stiff_jaw: Span
    days_off_work: Span


ELSEWHERE = {"bleeding_pressure": "timetable", "stiff_jaw": "timetable"}
"""Rows that stand with the timetable, which uses them too: a figure is held once."""


def read_advice(tables: Tables) -> Advice:
    """Give the figures of the edition in use."""
    names = [one.name for one in fields(Advice)]
    rows = {name: tables.table(ELSEWHERE.get(name, "patient-advice")).row(name) for name in names}
    return Advice(**{
        name: Span(row.whole("from"), row.whole("to"), row.text("measure"), row.source, row.tag)
        for name, row in rows.items()
    })  # fmt: skip
