"""Tooth items, patient and plan > the estimates of the risk engine and the table that prints (specification 3.7, 4)."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from docgen.answer import Answer
from docgen.clinical.likelihood import (
    UNKNOWN,
    Estimate,
    Inputs,
    RiskRow,
    RiskSettings,
    estimates_of_tooth,
    missing_must_print,
    risk_settings,
    risk_table,
)
from docgen.facts.fact import Fact, Known, NeedMissing, Reading
from docgen.facts.procedure import planned
from docgen.facts.teeth import ToothItem, tooth_items

TOUCHED = {"singing", "wind_instrument", "public_speaking", "taste_work"}
"""What a numb lip or tongue would touch in a patient's life (specification 3.7)."""

NERVE_EVENTS = ("ian_temporary", "ian_permanent", "ln_temporary", "ln_permanent", "cor_ian", "cor_ln")

RISK_SETTINGS = (
    "any_complication_ratios", "score_envelope", "depth_reference", "max_ratio_studies", "contradicted_ratios",
    "lingual_flap", "ln_permanent", "dry_socket_non_smoker", "film_sign_floor", "tuberosity_event", "orn_unit",
    "coronectomy_ian", "memory_figures", "protective_ratios", "words",
)  # fmt: skip


def _settings(reading: Reading) -> RiskSettings:
    return risk_settings({name: reading.setting(f"risk.{name}") for name in RISK_SETTINGS})


def _answer(value: Any) -> Any:
    """Turn a recorded answer into an axis input: nothing recorded and not known hold no condition."""
    return UNKNOWN if value is None or value is Answer.NOT_KNOWN else value


def _of_fact(reading: Reading, name: str, tooth: str = "") -> Any:
    """Give a fact as an axis input, what is assumed in its place included."""
    try:
        value = reading.fact(name)
    except NeedMissing:
        return UNKNOWN
    return value.get(tooth, UNKNOWN) if tooth and isinstance(value, dict) else value


def _inputs(reading: Reading, item: ToothItem, procedure: Any) -> Inputs:
    """Gather the axis inputs of one tooth."""
    fields = reading.case.value
    at = item.path
    extra = procedure.extra_steps if isinstance(procedure.extra_steps, tuple) else ()
    drugs = fields("medical.antiresorptives")
    indications = {drug.indication for drug in drugs} if isinstance(drugs, tuple) else set()
    indication = "cancer" if "cancer" in indications else next(iter(sorted(map(str, indications))), None)
    planned_injections = fields("plan.injections")
    return Inputs(
        fdi=item.fdi,
        procedure=_answer(procedure.procedure),
        surgical=_answer(procedure.surgical),
        incision=_answer(procedure.incision),
        lingual_flap=_answer(procedure.lingual_flap),
        air_driven=_answer(procedure.air_driven),
        eruption=_answer(fields(f"{at}.eruption")),
        depth=_answer(fields(f"{at}.depth")),
        ramus=_answer(fields(f"{at}.ramus")),
        winter_class=_of_fact(reading, "winter_class", item.fdi),
        pederson_total=_of_fact(reading, "pederson_total", item.fdi),
        canal_relation=_answer(fields(f"{at}.canal.relation")),
        ct_position=_answer(fields(f"{at}.canal.ct_position")),
        film_sign_strong=_of_fact(reading, "film_sign_strong", item.fdi),
        root_shapes=_answer(fields(f"{at}.root_shape")),
        sinus_relation=_answer(fields(f"{at}.sinus.relation")),
        sinus_overlap_fraction=_answer(fields(f"{at}.sinus.overlap_fraction")),
        age_years=_of_fact(reading, "age_at_operation_years"),
        sex=_answer(fields("patient.sex")),
        smoking_status=_answer(fields("medical.smoking.status")),
        hormonal_contraception=_answer(fields("medical.hormonal_contraception")),
        previous_infection=_answer(fields(f"{at}.previous_infection")),
        bleeding_patient_class=_of_fact(reading, "bleeding_patient_class"),
        mronj_group=_of_fact(reading, "mronj_group"),
        antiresorptive_indication=_answer(indication),
        orn_risk=_of_fact(reading, "orn_risk"),
        operator_is_trainee=_of_fact(reading, "operator_is_trainee"),
        coronectomy_discussed=_of_fact(reading, "coronectomy_to_discuss") is True or "coronectomy" in extra,
        injection_planned=isinstance(planned_injections, tuple) and bool(planned_injections),
        nerve_seen=UNKNOWN,
    )


def _estimates(reading: Reading) -> Known:
    settings = _settings(reading)
    fdi = reading.fact("tooth_fdi")
    procedures = {fdi.get(str(p.tooth)): p for p in planned(reading)}
    found: list[Estimate] = []
    for item in tooth_items(reading):
        procedure = procedures.get(item.fdi)
        if not item.path:
            raise NeedMissing(("teeth",))
        if procedure is not None:
            found += estimates_of_tooth(_inputs(reading, item, procedure), settings, reading.tables)
    sources = tuple(dict.fromkeys(s for e in found for s in e.sources))
    return Known(tuple(found), sources)


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
    must_print: bool
    touches_life: bool
    """True if what matters to the patient is touched by it."""
    or_more: bool


@dataclass(frozen=True)
class RiskTable:
    """All rows a patient is told, by what they count against."""

    of_thousand: tuple[RiskLine, ...]
    of_hundred_thousand: tuple[RiskLine, ...]
    in_words: tuple[RiskWords, ...]
    """Events without a figure."""
    coronectomy: tuple[RiskLine, ...]
    several_teeth: bool


@dataclass(frozen=True)
class RiskWords:
    """An event that is told in words only."""

    event: str
    teeth: tuple[str, ...]
    must_print: bool


def _line(row: RiskRow, matters: bool) -> RiskLine:
    printed = row.estimate.printed
    assert printed is not None
    return RiskLine(row.event, printed.affected, printed.not_affected, printed.denominator,
                    printed.frame.replace(" ", "_"), row.fdis, row.must_print,
                    matters and row.event in NERVE_EVENTS, row.estimate.or_more)  # fmt: skip


def _table(reading: Reading) -> RiskTable:
    estimates = reading.fact("risk_estimates")
    lacking = missing_must_print(estimates)
    if lacking:
        raise NeedMissing(("teeth",))
    matters = reading.value("patient.matters")
    touches = isinstance(matters, tuple) and not TOUCHED.isdisjoint(matters)
    rows = [r for r in risk_table(estimates) if not r.estimate.staff_only and r.estimate.column != "review"]
    lines = [(r, _line(r, touches)) for r in rows if r.estimate.printed is not None]
    main = [line for row, line in lines if row.estimate.column == "removal"]
    return RiskTable(
        tuple(line for line in main if line.denominator == 1000),
        tuple(line for line in main if line.denominator != 1000),
        tuple(RiskWords(r.event, r.fdis, r.must_print) for r in rows if r.estimate.printed is None
              and r.estimate.state == "words"),
        tuple(line for row, line in lines if row.estimate.column == "coronectomy"),
        len({e.fdi for e in estimates}) > 1,
    )  # fmt: skip


@dataclass(frozen=True)
class RatioLine:
    """A ratio that was applied."""

    row: str
    measure: str
    value: Decimal
    source: tuple[str, ...]
    composite: bool
    corroborated_by: tuple[str, ...]
    by_envelope: bool


@dataclass(frozen=True)
class TraceLine:
    """How one figure came about, for the clinician (specification 4.6)."""

    event: str
    tooth: str
    has_figure: bool
    base_percent: Decimal
    base_source: tuple[str, ...]
    ratios: tuple[RatioLine, ...]
    raw_percent: Decimal
    floor_reached: bool
    cap_percent: Decimal | None
    cap_reached: bool
    affected: int
    denominator: int
    not_used: tuple[str, ...]
    not_assessed: tuple[str, ...]
    words: tuple[str, ...]


def decimal_of(value: Fraction, places: int) -> Decimal:
    """Write a fraction with a number of decimals, half away from zero; for the trace only, never for a document's figure."""
    scaled = value * 10**places
    whole = (2 * scaled.numerator + scaled.denominator) // (2 * scaled.denominator)
    return Decimal(whole).scaleb(-places)


def _trace_line(estimate: Estimate) -> TraceLine | None:
    trace, printed = estimate.trace, estimate.printed
    if trace.base is None or printed is None or trace.probability is None:
        return None
    ratios = tuple(RatioLine(a.row, a.measure, decimal_of(a.value, 2), a.source, a.scope != "this", a.corroborated_by,
                             a.by_envelope) for a in trace.applied)  # fmt: skip
    return TraceLine(
        estimate.event, estimate.fdi, True, decimal_of(trace.base.probability * 100, 4), trace.base.source, ratios,
        decimal_of(trace.probability * 100, 4), bool(trace.floor and trace.floor.reached),
        decimal_of(trace.cap.value * 100, 4) if trace.cap else None, bool(trace.cap and trace.cap.reached),
        printed.affected, printed.denominator, tuple(dict.fromkeys(n.row for n in trace.not_used)),
        trace.not_assessed, trace.words,
    )  # fmt: skip


def _trace(reading: Reading) -> tuple[TraceLine, ...]:
    lines = [_trace_line(estimate) for estimate in reading.fact("risk_estimates")]
    return tuple(line for line in lines if line is not None)


@dataclass(frozen=True)
class SourceLine:
    """A source of the figures printed."""

    key: str
    title: str


def _sources(reading: Reading) -> tuple[SourceLine, ...]:
    found = {key for e in reading.fact("risk_estimates") if e.printed is not None for key in e.sources}
    return tuple(SourceLine(key, reading.tables.source(key).title) for key in sorted(found))


INPUTS = (
    "teeth", "plan.procedures", "plan.injections", "patient.sex", "medical.smoking", "medical.hormonal_contraception",
    "medical.antiresorptives", "winter_class", "pederson_total", "film_sign_strong", "age_at_operation_years",
    "bleeding_patient_class", "mronj_group", "orn_risk", "operator_is_trainee", "coronectomy_to_discuss",
)  # fmt: skip

RISK = (
    Fact("risk_estimates", (*INPUTS, *(f"settings.risk.{name}" for name in RISK_SETTINGS)), _estimates, ("design",)),
    Fact("risk_table", ("risk_estimates", "patient.matters"), _table, ("design",)),
    Fact("risk_trace", ("risk_estimates",), _trace, ("design",)),
    Fact("risk_sources", ("risk_estimates",), _sources, ("design",)),
    Fact("risk_must_print", ("risk_estimates",), lambda r: not missing_must_print(r.fact("risk_estimates")),
         ("design",), False),
)

__all__ = ["RISK", "RiskLine", "RiskTable", "TraceLine"]
