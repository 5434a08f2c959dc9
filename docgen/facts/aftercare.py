"""The end of the operation, injections and stitches > the timetable at home (specification 3.8)."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from fractions import Fraction
from typing import Any, Literal
from zoneinfo import ZoneInfo

from docgen.answer import Answer
from docgen.clinical import timetable
from docgen.clinical.advice import Advice, read_advice
from docgen.facts.fact import Fact, Known, NeedMissing, Reading
from docgen.facts.medical import inns, items
from docgen.facts.procedure import performed
from docgen.values import dataclass

Timed = Callable[..., Any]


def _ended(reading: Reading) -> datetime | None:
    """Give the end of the operation; None for the undated leaflet, which counts days and hours instead."""
    return reading.moment("operation.ended_at") if reading.request.dated else None


def _sourced(value: Any, since: datetime | None = None) -> Any:
    """Carry the source of a window over to the fact, with the arithmetic from the moment it counts from."""
    if value is None or isinstance(value, str):
        return Known(value, ("cp",))
    windows = value if isinstance(value, tuple) else (value,)
    source = getattr(windows[0], "source", None) or (getattr(windows[0], "tag", "cp"),)
    return Known(value, source, "; ".join(_counted(window, since) for window in windows) if since else "")


def _counted(window: timetable.Hours | timetable.Days, since: datetime) -> str:
    """Write a window as figures: 2026-03-17 10:40 + 24 h = 2026-03-18 10:40, or 2026-03-17 + 7 d = 2026-03-24."""
    if isinstance(window, timetable.Days):
        ends = dict.fromkeys([(f"{window.from_day} d", str(window.from_on)), (f"{window.to_day} d", str(window.to_on))])
        return ", ".join(f"{since:%Y-%m-%d} + {added} = {until}" for added, until in ends)
    hours = ((window.from_hours, window.from_at), (window.to_hours, window.to_at))
    steps = dict.fromkeys((_short(number), f"{at:%Y-%m-%d %H:%M}") for number, at in hours)
    return ", ".join(f"{since:%Y-%m-%d %H:%M} + {added} = {until}" for added, until in steps)


def _short(hours: Fraction) -> str:
    return f"{hours} h" if hours.denominator == 1 else f"{hours * 60} min"


def _after(function: Timed) -> Callable[[Reading], Any]:
    def stated(reading: Reading) -> Any:
        ended = _ended(reading)
        return _sourced(function(ended, reading.tables), ended)

    return stated


def _numb_window(reading: Reading) -> Any:
    path = "operation.injections" if reading.request.dated else "plan.injections"
    drugs, ended = inns(reading, path), _ended(reading)
    last: datetime | None = None
    if reading.request.dated:
        times = [row.at for row in items(reading, path)]
        # one without a time may have been the last: then the end of the operation counts, which is no earlier
        last = max(times).replace(tzinfo=ZoneInfo(reading.need("clinic.time_zone"))) if _all(times) else None
    return _sourced(timetable.numb_window(drugs, last, ended, reading.tables), last or ended)


def _all(times: list[Any]) -> bool:
    return bool(times) and None not in times


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
        if not sutures.recorded_names:
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
    longest = max(found, key=lambda w: w.to_day)
    return Known(Stitches(False, longest), ("cp",), _counted(longest, ended) if ended else "")


def _syringe(function: Timed) -> Callable[[Reading], Any]:
    def stated(reading: Reading) -> Any:
        if not reading.fact("syringe_line"):
            return Answer.NOT_APPLICABLE
        return _after(function)(reading)

    return stated


def _last_day(reading: Reading) -> Any:
    watch: Literal[5, 7] = 5 if reading.setting("aftercare.dry_socket_watch_days") == "5" else 7
    ended = _ended(reading)
    return _sourced(timetable.dry_socket_last_day(ended, reading.tables, watch), ended)


def _review(reading: Reading) -> Any:
    """Give the date of the review, or day 7; the undated leaflet knows no date."""
    review, ended = reading.value("follow_up.review_at") if reading.request.dated else None, _ended(reading)
    return _sourced(timetable.review_on(_zoned(reading, review), ended, reading.tables), ended)


def _zoned(reading: Reading, moment: Any) -> datetime | None:
    zone = reading.need("clinic.time_zone")
    return moment.replace(tzinfo=ZoneInfo(zone)) if isinstance(moment, datetime) else None


def _by_anesthesia(function: Timed) -> Callable[[Reading], Any]:
    def stated(reading: Reading) -> Any:
        ended = _ended(reading)
        window = function(reading.need("plan.anesthesia"), ended, reading.tables)
        return Answer.NOT_APPLICABLE if window is None else _sourced(window, ended)

    return stated


def _if_yes(name: str, function: Timed) -> Callable[[Reading], Any]:
    def stated(reading: Reading) -> Any:
        return _after(function)(reading) if reading.fact(name) else Answer.NOT_APPLICABLE

    return stated


def _jaw_at_risk(reading: Reading) -> bool:
    """Before the operation nobody is asked, and it counts as no."""
    if not reading.request.dated and reading.value("aftercare.jaw_at_risk") is None:
        return False
    return bool(reading.need("aftercare.jaw_at_risk"))


def _head_raised(reading: Reading) -> bool:
    """Say that the first nights want one more pillow: after every operation, once it has ended."""
    _ended(reading)
    return True


def _mronj_check(reading: Reading) -> Any:
    if reading.fact("mronj_group") == "none":
        return Answer.NOT_APPLICABLE
    approved = reading.setting("risk.memory_figures") == "on"
    ended = _ended(reading)
    window = timetable.mronj_check(ended, reading.tables, approved)
    return Answer.NOT_APPLICABLE if window is None else _sourced(window, ended)


def _next_blood_thinner(reading: Reading) -> Any:
    """Give clock time and date of the next doses; the leaflet without dates knows none yet."""
    if not reading.fact("takes_blood_thinner"):
        return Answer.NOT_APPLICABLE
    if not reading.request.dated:
        raise NeedMissing(("operation.hemostasis_at",))
    return reading.fact("next_antithrombotic_dose")


def _settling(reading: Reading) -> Known:
    ended = _ended(reading)
    found = timetable.settling(ended, reading.tables)
    counted = _sourced((found.stiff_jaw, found.bruising), ended)
    return Known(found, counted.sources, counted.working)


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
    Fact("after_head_raised", END, _head_raised, ("cp",)),
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
        _settling,
        ("HSE-WT", "NHS-LIKE"),
    ),
    Fact("after_drive_from", (*END, "plan.anesthesia"), _by_anesthesia(T.drive_from), ("HSE-WT", "NHS-LIKE")),
    Fact("after_escort_until", (*END, "plan.anesthesia"), _by_anesthesia(T.escort_until), ("HSE-WT", "NHS-LIKE")),
    Fact("after_sinus_until", (*END, "nose_precautions"), _if_yes("nose_precautions", T.sinus_until), ("cp",)),
    Fact("jaw_at_risk", ("aftercare.jaw_at_risk",), _jaw_at_risk, ("field",)),
    Fact("after_soft_diet_until", (*END, "jaw_at_risk"), _if_yes("jaw_at_risk", T.soft_diet_until), ("STAFNE",)),
    Fact("after_nerve_call", END, _after(T.nerve_call), ("LOESCH03",)),
    Fact("after_mronj_check", (*END, "mronj_group", "settings.risk.memory_figures"), _mronj_check, ("memory",)),
    Fact(
        "after_next_blood_thinner",
        ("takes_blood_thinner", "next_antithrombotic_dose"),
        _next_blood_thinner,
        ("SDCEP-DOAC",),
    ),
)
