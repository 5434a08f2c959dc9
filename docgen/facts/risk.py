"""Tooth items, patient and plan > the estimates of the risk engine and the table that prints (specification 3.7, 4)."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from docgen.answer import Answer
from docgen.clinical.likelihood import (
    UNKNOWN,
    Estimate,
    Inputs,
    RiskSettings,
    estimate,
    estimates_of_tooth,
    missing_must_print,
    risk_settings,
    risk_table,
)
from docgen.facts.fact import Fact, Known, NeedMissing, Reading
from docgen.facts.procedure import performed, planned
from docgen.facts.risk_line import RiskLine, frequency_of, line_of_its_teeth, risk_line
from docgen.facts.teeth import ToothItem, tooth_items
from docgen.values import dataclass

TOUCHED = {"singing", "wind_instrument", "public_speaking", "taste_work"}
"""What a numb lip or tongue would touch in a patient's life (specification 3.7)."""

RISK_SETTINGS = (
    "any_complication_ratios",
    "score_envelope",
    "depth_reference",
    "max_ratio_studies",
    "contradicted_ratios",
    "lingual_flap",
    "ln_permanent",
    "dry_socket_non_smoker",
    "film_sign_floor",
    "tuberosity_event",
    "orn_unit",
    "coronectomy_ian",
    "memory_figures",
    "protective_ratios",
    "words",
)


def _settings(reading: Reading) -> RiskSettings:
    return risk_settings({name: reading.setting(f"risk.{name}") for name in RISK_SETTINGS})


def _answer(value: Any) -> Any:
    """Turn a recorded answer into an axis input: nothing recorded and not known hold no condition."""
    return UNKNOWN if value is None or value is Answer.NOT_KNOWN else value


def _of_fact(reading: Reading, name: str, tooth: str = "") -> Any:
    """Give a fact as an axis input, what is assumed in its place included."""
    try:
        return reading.of_tooth(name, tooth) if tooth else reading.fact(name)
    except NeedMissing:
        return UNKNOWN


def _coronectomy_discussed(reading: Reading, item: ToothItem, procedure: Any) -> bool:
    """Say whether leaving the root is a choice for this tooth: planned, canal at risk, or nobody knows."""
    if procedure.procedure == "coronectomy":
        return True
    at_risk = _of_fact(reading, "canal_at_risk", item.fdi)
    return at_risk is True or (at_risk is UNKNOWN and _of_fact(reading, "coronectomy_to_discuss") is True)


def _inputs(reading: Reading, item: ToothItem, procedure: Any) -> Inputs:
    """Gather the axis inputs of one tooth."""
    fields = reading.value
    at = item.path
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
        coronectomy_discussed=_coronectomy_discussed(reading, item, procedure),
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


def life_is_touched(reading: Reading) -> bool:
    """Tell whether what matters to the patient needs lip and tongue."""
    matters = reading.value("patient.matters")
    return isinstance(matters, tuple) and not TOUCHED.isdisjoint(matters)


def _table(reading: Reading) -> RiskTable:
    estimates = reading.fact("risk_estimates")
    lacking = missing_must_print(estimates)
    if lacking:
        raise NeedMissing(("teeth",))
    touches = life_is_touched(reading)
    told = [e for e in estimates if not e.staff_only and e.column != "review"]
    rows = risk_table(told)
    lines = [(r, line_of_its_teeth(r, told, touches)) for r in rows if r.estimate.printed is not None]
    if reading.setting("risk.words") == "on":
        lines = [(r, replace(line, frequency=frequency_of(r.estimate, reading.tables))) for r, line in lines]
    main = [line for row, line in lines if row.estimate.column == "removal"]
    return RiskTable(
        tuple(line for line in main if line.denominator == 1000),
        tuple(line for line in main if line.denominator != 1000),
        tuple(
            RiskWords(r.event, r.fdis, r.must_print)
            for r in rows
            if r.estimate.printed is None and r.estimate.state == "words" and r.estimate.column == "removal"
        ),
        tuple(line for row, line in lines if row.estimate.column == "coronectomy"),
        len({e.fdi for e in estimates}) > 1,
    )


EXPOSURE_EVENTS = ("ian_seen_temporary", "ian_seen_permanent")
"""Figures for a nerve that was seen in the socket: told in the reply letter, never before the operation."""


def _exposure_figures(reading: Reading) -> Known:
    """Give the figures of what was performed where the nerve was seen; no setting changes them."""
    fdi, found = reading.fact("tooth_fdi"), []
    for row in performed(reading):
        if row.nerve_seen is True and row.tooth in fdi:
            inputs = Inputs(fdi=fdi[row.tooth], procedure=_answer(row.performed), nerve_seen=True)
            found += [estimate(event, inputs, RiskSettings(), reading.tables) for event in EXPOSURE_EVENTS]
    rows = [row for row in risk_table(found) if row.estimate.printed is not None]
    sources = tuple(dict.fromkeys(s for row in rows for s in row.estimate.sources))
    return Known(tuple(risk_line(row, False, len({e.fdi for e in found})) for row in rows), sources or ("TAY04",))


INPUTS = (
    "teeth",
    "plan.procedures",
    "plan.injections",
    "patient.sex",
    "medical.smoking",
    "medical.hormonal_contraception",
    "medical.antiresorptives",
    "winter_class",
    "pederson_total",
    "film_sign_strong",
    "age_at_operation_years",
    "bleeding_patient_class",
    "mronj_group",
    "orn_risk",
    "operator_is_trainee",
    "coronectomy_to_discuss",
)

RISK = (
    Fact(
        "risk_estimates",
        (
            "canal_at_risk",
            "teeth_in_question",
            "tooth_fdi",
            *INPUTS,
            *(f"settings.risk.{name}" for name in RISK_SETTINGS),
        ),
        _estimates,
        ("design",),
    ),
    Fact("risk_table", ("risk_estimates", "patient.matters", "settings.risk.words"), _table, ("design",)),
    Fact("exposure_figures", ("operation.procedures", "tooth_fdi"), _exposure_figures, ("TAY04",)),
)
