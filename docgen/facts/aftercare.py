"""The end of the operation, injections and stitches > the timetable at home (specification 3.8)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal
from zoneinfo import ZoneInfo

from docgen.answer import Answer
from docgen.clinical import timetable
from docgen.clinical.advice import Advice, read_advice
from docgen.clinical.next_dose import next_dose
from docgen.facts.fact import Fact, Known, NeedMissing, Reading
from docgen.facts.medical import inns, items
from docgen.facts.procedure import performed

Timed = Callable[..., Any]


def _ended(reading: Reading) -> datetime | None:
    """Give the end of the operation; None for the undated leaflet, which counts days and hours instead."""
    return reading.moment("operation.ended_at") if reading.request.dated else None


def _sourced(value: Any) -> Any:
    """Carry the source of a window over to the fact."""
    if value is None or isinstance(value, str):
        return Known(value, ("cp",))
    first = value[0] if isinstance(value, tuple) else value
    return Known(value, first.source if getattr(first, "source", None) else (getattr(first, "tag", "cp"),))


def _after(function: Timed) -> Callable[[Reading], Any]:
    return lambda reading: _sourced(function(_ended(reading), reading.tables))


def _numb_window(reading: Reading) -> Any:
    path = "operation.injections" if reading.request.dated else "plan.injections"
    drugs = inns(reading, path)
    last: datetime | None = None
    if reading.request.dated:
        zone = ZoneInfo(reading.need("clinic.time_zone"))
        times = [row.at for row in items(reading, path) if isinstance(row.at, datetime)]
        last = max(times).replace(tzinfo=zone) if times else _ended(reading)
    return _sourced(timetable.numb_window(drugs, last, _ended(reading), reading.tables))


@dataclass(frozen=True)
class Stitches:
    """When stitches go: a window of days, or removal at the review."""

    at_review: bool
    days: Any
    """None if they are taken out at the review."""


def _suture_window(reading: Reading) -> Any:
    """Take the window of the stitches that stay longest; no stitches: not applicable."""
    if not reading.request.dated:
        return Answer.NOT_APPLICABLE
    ended, found = _ended(reading), []
    for index, row in enumerate(performed(reading)):
        path, sutures = f"operation.procedures[{index}].sutures", row.sutures
        if row.performed == "not_done" or isinstance(sutures, Answer):
            continue
        if not sutures.model_fields_set:
            raise NeedMissing((path,))
        for name in ("material", "size", "resorbable"):
            reading.need(f"{path}.{name}")
        window = timetable.suture_window(sutures.material, sutures.size, sutures.resorbable, ended, reading.tables)
        if window == "at_review":
            return Known(Stitches(True, None), ("cp",))
        if window is not None:
            found.append(window)
    if not found:
        return Answer.NOT_APPLICABLE
    return Known(Stitches(False, max(found, key=lambda w: w.to_day)), ("cp",))


def _syringe(function: Timed) -> Callable[[Reading], Any]:
    def stated(reading: Reading) -> Any:
        if not reading.fact("syringe_line"):
            return Answer.NOT_APPLICABLE
        return _sourced(function(_ended(reading), reading.tables))

    return stated


def _last_day(reading: Reading) -> Any:
    watch: Literal[5, 7] = 5 if reading.setting("aftercare.dry_socket_watch_days") == "5" else 7
    return _sourced(timetable.dry_socket_last_day(_ended(reading), reading.tables, watch))


def _review(reading: Reading) -> Any:
    """Give the date of the review, or day 7; the undated leaflet knows no date."""
    review = reading.value("follow_up.review_at") if reading.request.dated else None
    return _sourced(timetable.review_on(_zoned(reading, review), _ended(reading), reading.tables))


def _zoned(reading: Reading, moment: Any) -> datetime | None:
    zone = reading.need("clinic.time_zone")
    return moment.replace(tzinfo=ZoneInfo(zone)) if isinstance(moment, datetime) else None


def _by_anesthesia(function: Timed) -> Callable[[Reading], Any]:
    def stated(reading: Reading) -> Any:
        window = function(reading.need("plan.anesthesia"), _ended(reading), reading.tables)
        return Answer.NOT_APPLICABLE if window is None else _sourced(window)

    return stated


def _if_yes(name: str, function: Timed) -> Callable[[Reading], Any]:
    def stated(reading: Reading) -> Any:
        return _sourced(function(_ended(reading), reading.tables)) if reading.fact(name) else Answer.NOT_APPLICABLE

    return stated


def _jaw_at_risk(reading: Reading) -> bool:
    return reading.value("aftercare.jaw_at_risk") is True


def _mronj_check(reading: Reading) -> Any:
    if reading.fact("mronj_group") == "none":
        return Answer.NOT_APPLICABLE
    approved = reading.setting("risk.memory_figures") == "on"
    window = timetable.mronj_check(_ended(reading), reading.tables, approved)
    return Answer.NOT_APPLICABLE if window is None else _sourced(window)


@dataclass(frozen=True)
class NextDose:
    """When one blood thinner is taken next."""

    inn: str
    at: datetime


def _next_blood_thinner(reading: Reading) -> Any:
    if not reading.fact("takes_blood_thinner"):
        return Answer.NOT_APPLICABLE
    decisions = {d.inn: d for d in items(reading, "plan.antithrombotic_decisions")}
    hemostasis = reading.moment("operation.hemostasis_at")
    doses = []
    for index, drug in enumerate(items(reading, "medical.antithrombotics")):
        decided = decisions.get(drug.inn)
        if decided is None or decided.decision in (None, "ask_physician") or not isinstance(drug.dose_times, tuple):
            raise NeedMissing(
                ("plan.antithrombotic_decisions",)
                if decided is None or decided.decision is None
                else (f"medical.antithrombotics[{index}].dose_times",)
            )
        at = next_dose(decided.decision, drug.dose_times, hemostasis, reading.tables)
        if at is None:
            raise NeedMissing((f"medical.antithrombotics[{index}].dose_times",))
        doses.append(NextDose(drug.inn, at.at))
    return tuple(doses)


def _advice(reading: Reading) -> Advice:
    return read_advice(reading.tables)


END = ("operation.ended_at", "clinic.time_zone")
T = timetable

AFTERCARE = (
    Fact("advice", (), _advice, ("COPPICE", "WORTHING", "BENSI18", "STAFNE", "STATP", "NHS-LIKE", "HSE-WT", "ETG-AN")),
    Fact("after_numb_window", (*END, "operation.injections", "plan.injections"), _numb_window, ("DENTCARE", "MALAMED")),
    Fact("after_gauze_times", END, _after(T.gauze_times), ("cp", "COPPICE")),
    Fact(
        "after_gauze_minutes",
        ("after_gauze_times",),
        lambda r: tuple(int(one.from_hours * 60) for one in r.fact("after_gauze_times")),
        ("cp", "COPPICE"),
    ),
    Fact("after_rinse_from", END, _after(T.rinse_from), ("HSE-WT", "NHS-LIKE")),
    Fact("after_suture_window", (*END, "operation.procedures"), _suture_window, ("cp",)),
    Fact("after_syringe_from", (*END, "syringe_line"), _syringe(T.syringe_from), ("cp",)),
    Fact("after_syringe_until", (*END, "syringe_line"), _syringe(T.syringe_until), ("cp",)),
    Fact("after_dry_socket_window", END, _after(T.dry_socket_window), ("KUS22", "COCHAO22")),
    Fact("after_dry_socket_last_day", (*END, "settings.aftercare.dry_socket_watch_days"), _last_day, ("KUS22", "cp")),
    Fact("after_review_on", (*END, "follow_up.review_at"), _review, ("cp",)),
    Fact("after_worse_after", END, _after(T.worse_after), ("cp",)),
    Fact(
        "after_settling",
        END,
        lambda r: Known(T.settling(_ended(r), r.tables), ("HSE-WT", "NHS-LIKE")),
        ("HSE-WT", "NHS-LIKE"),
    ),
    Fact("after_drive_from", (*END, "plan.anesthesia"), _by_anesthesia(T.drive_from), ("HSE-WT", "NHS-LIKE")),
    Fact("after_escort_until", (*END, "plan.anesthesia"), _by_anesthesia(T.escort_until), ("HSE-WT", "NHS-LIKE")),
    Fact("after_sinus_until", (*END, "nose_precautions"), _if_yes("nose_precautions", T.sinus_until), ("cp",)),
    Fact("jaw_at_risk", ("aftercare.jaw_at_risk",), _jaw_at_risk, ("field",)),
    Fact("after_soft_diet_until", (*END, "jaw_at_risk"), _if_yes("jaw_at_risk", T.soft_diet_until), ("STAFNE",)),
    Fact("after_nerve_call", END, _after(T.nerve_call), ("LOESCH03",)),
    Fact("after_mronj_check", (*END, "mronj_group"), _mronj_check, ("memory",)),
    Fact(
        "after_next_blood_thinner",
        ("takes_blood_thinner", "plan.antithrombotic_decisions"),
        _next_blood_thinner,
        ("SDCEP-DOAC",),
    ),
)
