"""
One tooth's inputs > an estimate for each event: a figure with its whole way, words, or why there is neither.

Estimates for a conversation, not a forecast for a patient. The seven steps of section 4.2 of the specification;
nothing else may produce a number.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from typing import Final

from docgen.clinical.likelihood.candidates import Candidates, find_candidates
from docgen.clinical.likelihood.combination import Combination, apply_relative_risk, combine, largest_per_axis
from docgen.clinical.likelihood.inputs import UNKNOWN, Inputs
from docgen.clinical.likelihood.outcome import (
    Applied,
    BaseUsed,
    Bound,
    Estimate,
    Frame,
    NotUsed,
    Reported,
    State,
    Trace,
)
from docgen.clinical.likelihood.printing import print_probability
from docgen.clinical.likelihood.rows import BaseRow, RatioRow, RiskRows, risk_rows
from docgen.clinical.likelihood.settings import RiskSettings
from docgen.clinical.table import Cell, Row, Tables
from docgen.clinical.table_file import parse_number
from docgen.values import dataclass

_TEETH_KEPT: Final = 64
"""Every document of a pack asks for the same teeth."""

MEASURED_PROCEDURES: Final = frozenset({"removal", "root_removal", "coronectomy"})
"""All figures were measured on these; for any other procedure the surgeon's words stand instead."""

_TABLES: Final = ("likelihood-base", "likelihood-cap", "likelihood-event", "likelihood-ratio", "likelihood-words")


@dataclass(frozen=True)
class _Start:
    """The base row that was found, or what is missing to find one."""

    row: BaseRow | None
    not_assessed: tuple[str, ...]
    not_used: tuple[NotUsed, ...]


def estimate(event: str, inputs: Inputs, settings: RiskSettings, tables: Tables) -> Estimate:
    """
    Estimate one event for one tooth.

    Errors: ValueError for an event there is not.
    Source: the tables likelihood-*; each figure carries its rows, sources and editions.
    """
    rows = risk_rows(tables)
    if event not in rows.events:
        raise ValueError(f"no event {event}")
    start = _find_base(event, inputs, settings, rows)
    words = tuple(row.id for row in rows.words if event in row.events and row.holds(inputs))
    state = _state(event, inputs, rows, start)
    trace = Trace(
        not_used=start.not_used,
        not_assessed=("procedure",) if inputs.value("procedure") is UNKNOWN else start.not_assessed,
        words=words if state in ("figure", "words") else (),
        reported=_reported(rows.events[event]),
        editions={name: tables.editions[name] for name in _TABLES},
    )
    if state != "figure" or start.row is None:
        return _outcome(event, inputs, rows, state, trace)
    trace = _reckon(event, start.row, inputs, settings, rows, trace)
    if start.row.never_below is not None:
        trace = _higher_run(event, start.row.never_below, inputs, settings, tables, trace)
    return _with_figure(_outcome(event, inputs, rows, state, trace), start.row, inputs)


@lru_cache(maxsize=_TEETH_KEPT)
def estimates_of_tooth(
    inputs: Inputs, settings: RiskSettings, tables: Tables, nerve_review: bool = False
) -> tuple[Estimate, ...]:
    """
    Estimate every event that applies to a tooth, in the order of the event table.

    The figures for a nerve seen in the socket are for the reply letter only (`nerve_review`).
    """
    events = risk_rows(tables).events
    wanted = [event for event, row in events.items() if nerve_review or row.text("column") != "review"]
    found = (estimate(event, inputs, settings, tables) for event in wanted)
    return tuple(e for e in found if e.state != "does_not_apply")


def _find_base(event: str, inputs: Inputs, settings: RiskSettings, rows: RiskRows) -> _Start:
    not_assessed: list[str] = []
    not_used: list[NotUsed] = []
    for row in rows.bases:
        if row.row.text("event") != event or not row.in_use(settings):
            continue
        holds = row.holds(inputs)
        if holds is None:
            not_assessed += row.unknown_inputs(inputs)
        elif holds and row.row.tag == "memory" and not settings.memory_figures:
            not_used.append(NotUsed(row.id, "memory_not_approved"))
        elif holds:
            return _Start(row, tuple(dict.fromkeys(not_assessed)), tuple(not_used))
    return _Start(None, tuple(dict.fromkeys(not_assessed)), tuple(not_used))


def _state(event: str, inputs: Inputs, rows: RiskRows, start: _Start) -> State:
    worded = any(row.is_event and event in row.events and row.holds(inputs) for row in rows.words)
    if start.row is None and not worded and not start.not_assessed:
        return "does_not_apply"
    procedure = inputs.value("procedure")
    if procedure is UNKNOWN:
        return "not_assessed"
    if procedure not in MEASURED_PROCEDURES:
        return "no_figures_for_procedure"
    if start.row is not None:
        return "figure"
    return "words" if worded else "not_assessed"


def _reckon(event: str, base: BaseRow, inputs: Inputs, settings: RiskSettings, rows: RiskRows, trace: Trace) -> Trace:
    """Take steps 2 to 5: candidates, combination, floor, cap."""
    found = find_candidates(event, inputs, settings, rows.ratios)
    together = combine(base.value, found.raising, settings.max_ratio_studies)
    easing = largest_per_axis(found.protective) if settings.max_ratio_studies else ()
    combined = together.probability
    for row in easing:
        combined = apply_relative_risk(combined, row.value)
    floor = _floor(found.floors, combined)
    raised = max(combined, floor.value) if floor else combined
    cap = _cap(rows.caps.get(event), raised)
    return replace(
        trace,
        base=BaseUsed(base.id, base.value, base.row.source, base.row.tag, base.is_upper_bound),
        applied=tuple(_applied(row, event) for row in (*together.ratios, *easing)),
        odds_before=_odds(base.value),
        odds_ratio_product=together.odds_ratio_product,
        odds_after=_odds(base.value, together.odds_ratio_product),
        relative_risk_product=_product(together.relative_risk_product, easing),
        combined=combined,
        floor=floor,
        cap=cap,
        probability=min(raised, cap.value) if cap else raised,
        not_used=(*trace.not_used, *found.not_used, *_outdone(found, together, easing)),
        not_assessed=tuple(dict.fromkeys((*trace.not_assessed, *found.not_assessed))),
    )


def _higher_run(
    event: str, as_if: tuple[str, str], inputs: Inputs, settings: RiskSettings, tables: Tables, own: Trace
) -> Trace:
    """Run again as another patient, whose figure this one's may not fall below; keep the higher run."""
    name, value = as_if
    other = estimate(event, _as_if(inputs, name, value), settings, tables).trace
    other = replace(other, as_if=as_if)
    if other.probability is None or own.probability is None or own.probability >= other.probability:
        return replace(own, rival=other)
    return replace(other, rival=own, words=own.words)


def _as_if(inputs: Inputs, name: str, value: str) -> Inputs:
    values = {field: getattr(inputs, field) for field in Inputs.__dataclass_fields__}
    return Inputs(**{**values, name: value})


def _outcome(event: str, inputs: Inputs, rows: RiskRows, state: State, trace: Trace) -> Estimate:
    row = rows.events[event]
    per, column = row.text("per"), row.text("column")
    counts = state not in ("does_not_apply", "no_figures_for_procedure")
    return Estimate(
        event=event,
        fdi=inputs.fdi,
        state=state,
        per="patient" if per == "patient" else "tooth",
        column="coronectomy" if column == "coronectomy" else "review" if column == "review" else "removal",
        must_print=counts and row.text("must_print", "no") == "yes",
        staff_only=row.text("staff_only", "no") == "yes",
        trace=trace,
    )


def _with_figure(worded: Estimate, base: BaseRow, inputs: Inputs) -> Estimate:
    trace = worded.trace
    if trace.probability is None or trace.base is None:
        raise AssertionError("a figure has a base")
    frame: Frame = "about"
    if trace.cap and trace.cap.reached:
        frame = "as many as"
    elif trace.base.is_upper_bound:
        frame = "fewer than"
    return replace(
        worded,
        printed=print_probability(trace.probability, frame),
        probability=trace.probability,
        or_more=bool(base.or_more_when) and all(c.holds(inputs) for c in base.or_more_when),
    )


def _floor(floors: Iterable[RatioRow], combined: Fraction) -> Bound | None:
    highest = max(floors, key=lambda row: row.value, default=None)
    if highest is None:
        return None
    return Bound(highest.id, highest.value, highest.row.source, highest.row.tag, highest.value > combined)


def _cap(row: Row | None, probability: Fraction) -> Bound | None:
    if row is None:
        return None
    value = row.number("value")
    return Bound(row.id, value, row.source, row.tag, probability > value)


def _applied(row: RatioRow, event: str) -> Applied:
    return Applied(
        row=row.id,
        axis=row.axis,
        measure=row.measure,
        value=row.value,
        ci=row.row.numbers("ci"),
        source=row.row.source,
        tag=row.row.tag,
        scope=row.row.text("scope"),
        corroborated_by=row.corroborated_by(event) or (),
        contradicted_by=row.row.texts("contradicted_by"),
        by_envelope=row.by_envelope,
    )


def _outdone(found: Candidates, together: Combination, easing: tuple[RatioRow, ...]) -> list[NotUsed]:
    """Say of each candidate that did not act whether a larger one of its axis did, or its study was left out."""
    acting = {*(row.id for row in together.ratios), *(row.id for row in easing)}
    axes = {row.axis for row in (*together.ratios, *easing)}
    return [
        NotUsed(row.id, "smaller_on_axis" if row.axis in axes else "outside_best_studies")
        for row in (*found.raising, *found.protective)
        if row.id not in acting
    ]


def _reported(event: Row) -> tuple[Reported, ...]:
    return tuple(_range(event, cell) for cell in event.list("reported"))


def _range(event: Row, cell: Cell) -> Reported:
    parts: dict[str, Cell] = {}
    for pair in cell if isinstance(cell, tuple) else ():
        match pair:
            case (str(name), value):
                parts[name] = value
            case _:
                raise event.fault("a reported range has low, high, source and note")
    source = parts.get("source", ())
    bounds = {name: parse_number(str(parts[name])) if name in parts else None for name in ("low", "high")}
    keys = tuple(str(key) for key in source) if isinstance(source, tuple) else ()
    return Reported(bounds["low"], bounds["high"], keys, str(parts.get("note", "")))


def _odds(probability: Fraction, ratio: Fraction = Fraction(1)) -> Fraction:
    return probability / (1 - probability) * ratio


def _product(start: Fraction, rows: Iterable[RatioRow]) -> Fraction:
    for row in rows:
        start *= row.value
    return start
