"""One row of the table of risks > the words and numbers that print (specification 3.7, 4.2 step 7)."""

from __future__ import annotations

from dataclasses import replace

from docgen.clinical.likelihood import Estimate, RiskRow, frequency_word
from docgen.clinical.table import Tables
from docgen.values import dataclass

NERVE_EVENTS = ("ian_", "ln_", "cor_ian", "cor_ln")
"""Beginnings of the events that touch lip and tongue."""

TOLD_AS = {
    "tuberosity_large": "tuberosity_large",
    "orn_socket": "orn_socket",
    **dict.fromkeys(("bleeding_antiplatelet", "bleeding_vka", "bleeding_doac"), "bleeding_any_later"),
}
"""Base row > code of the event's words, where two published definitions share one event (1.3, 4.4)."""


def told_as(estimate: Estimate) -> str:
    """Give the code whose words define the event as the figure's source measured it."""
    base = estimate.trace.base
    return TOLD_AS.get(base.row, estimate.event) if base else estimate.event


def frequency_of(estimate: Estimate, tables: Tables) -> str:
    """Give the official word for the unrounded figure; none for a figure that is only a bound."""
    base = estimate.trace.base
    if estimate.probability is None or (base is not None and base.is_upper_bound):
        return ""
    return frequency_word(estimate.probability, tables)


@dataclass(frozen=True)
class RiskLine:
    """One row of the table, ready to print."""

    event: str
    affected: int
    not_affected: int
    denominator: int
    frame: str
    """about, as_many_as, fewer_than."""
    teeth: tuple[str, ...]
    of_some_teeth: bool
    """True if other teeth of the plan have a smaller figure."""
    must_print: bool
    touches_life: bool
    """True if what matters to the patient is touched by it."""
    or_more: bool
    frequency: str = ""
    """Word of the official band; empty unless the clinic lets such words print (risk.words)."""
    only_these_teeth: bool = False
    """The event cannot happen at any other tooth of the plan."""


def risk_line(row: RiskRow, matters: bool, teeth: int) -> RiskLine:
    """Make a row ready to print; `teeth` is how many teeth the table is about."""
    printed = row.estimate.printed
    if printed is None:
        raise ValueError(row.event)
    return RiskLine(
        told_as(row.estimate),
        printed.affected,
        printed.not_affected,
        printed.denominator,
        printed.frame.replace(" ", "_"),
        row.fdis,
        row.several_teeth and len(row.fdis) < teeth,
        row.must_print,
        matters and row.event.startswith(NERVE_EVENTS),
        row.estimate.or_more,
    )


def line_of_its_teeth(row: RiskRow, told: list[Estimate], matters: bool) -> RiskLine:
    """Make a row that says at which teeth: the event belongs to them alone, or is likeliest there."""
    estimated = {e.fdi for e in told if e.event == row.event}  # where it does not apply there is no estimate
    able = {e.fdi for e in told if e.event == row.event and e.state in ("figure", "words")}
    only = row.estimate.per == "tooth" and set(row.fdis) == estimated and estimated < {e.fdi for e in told}
    return replace(risk_line(row, matters, len(able)), only_these_teeth=only)
