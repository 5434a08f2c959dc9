"""
The estimates of several teeth > one row for each event with the highest figure and the teeth that have it.

Figures of several teeth are never added: the highest is printed, and that more teeth mean a higher chance.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from docgen.clinical.likelihood.outcome import Estimate
from docgen.values import dataclass

_SHOWN = frozenset({"figure", "words"})


@dataclass(frozen=True)
class RiskRow:
    """One event as the patient reads it."""

    event: str
    estimate: Estimate
    """The one with the highest figure."""
    fdis: tuple[str, ...]
    """All teeth with that figure, lowest FDI number first."""
    must_print: bool
    several_teeth: bool
    """The event was estimated for more than one tooth: the chance of all is higher."""


def risk_table(estimates: Iterable[Estimate]) -> tuple[RiskRow, ...]:
    """
    Give one row per event: must-print rows first, then falling figure, worded rows last in each part.

    Equal figures stand in alphabetical order of the event, so the order of teeth and rows changes nothing.
    """
    by_event: dict[str, list[Estimate]] = {}
    for found in estimates:
        if found.state in _SHOWN:
            by_event.setdefault(found.event, []).append(found)
    rows = [_highest(event, found) for event, found in by_event.items()]
    return tuple(sorted(rows, key=lambda row: (not row.must_print, -_figure(row.estimate), row.event)))


def missing_must_print(estimates: Iterable[Estimate]) -> tuple[tuple[str, str], ...]:
    """Name event and tooth of every must-print figure that an unknown input keeps back, in order of both."""
    missing = {(e.event, e.fdi) for e in estimates if e.must_print and e.state == "not_assessed"}
    return tuple(sorted(missing))


def _highest(event: str, found: list[Estimate]) -> RiskRow:
    ranked = sorted(found, key=lambda e: (-_figure(e), -(e.probability or 0), int(e.fdi)))
    top = ranked[0]
    equal = sorted({e.fdi for e in ranked if _figure(e) == _figure(top)}, key=int)
    return RiskRow(
        event=event,
        estimate=top,
        fdis=tuple(equal),
        must_print=any(e.must_print for e in found),
        several_teeth=top.per == "tooth" and len({e.fdi for e in found}) > 1,
    )


def _figure(found: Estimate) -> Fraction:
    return found.printed.probability if found.printed else Fraction(-1)
