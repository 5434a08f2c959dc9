"""What only the patient's physician can settle > whether to write to the physician, and why (specification 3.4)."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from docgen.clinical.thinners import is_dual_antiplatelet
from docgen.facts.fact import Fact, Known, NeedMissing, Reading
from docgen.facts.medical import inns, items
from docgen.facts.thinners import DECIDED, TAKEN

ASK = "ask_physician"


def _inr_is(verdict: str, reading: Reading) -> bool:
    return bool(reading.fact("takes_vka") and reading.fact("inr_verdict") == verdict)


def _inr_repeat_on_day(reading: Reading) -> bool:
    return bool(reading.fact("issued_on_operation_day")) and _inr_is("repeat_test", reading)


def _asked(reading: Reading) -> bool:
    """Say whether the guidance or a clinician's decision is to ask."""
    decisions = reading.value(DECIDED)
    if isinstance(decisions, tuple) and any(one.decision == ASK for one in decisions):
        return True
    return any(one.decision == ASK for one in reading.fact("antithrombotic_rule"))


def _dual(reading: Reading) -> bool:
    return is_dual_antiplatelet(inns(reading, TAKEN), reading.tables)


def _recent_event(reading: Reading) -> bool:
    events = {f"{TAKEN}[{n}].recent_event": drug.recent_event for n, drug in enumerate(items(reading, TAKEN))}
    if any(isinstance(event, str) for event in events.values()):
        return True
    lacking = tuple(path for path, event in events.items() if event is None)
    if lacking:
        raise NeedMissing(lacking)
    return False


def _endocarditis(reading: Reading) -> bool:
    """Ask if the rule leaves it to the clinician, or cannot say; a list nobody asked about is only missing."""
    verdict = reading.result("endocarditis_verdict")
    if isinstance(verdict, Known):
        return bool(verdict.value == "clinician_decides")
    if reading.value("medical.endocarditis_heart") is None:
        raise NeedMissing(("medical.endocarditis_heart",))
    return True


def _planned_conflict(code: str, reading: Reading) -> bool:
    """Say whether a drug of the plan hits a row of 3.5, or could hit it for all that was answered."""
    conflicts = reading.fact("drug_conflicts")
    if any(hit.code == code and hit.moment == "planned" for hit in conflicts.hits):
        return True
    lacking = tuple(path for path in conflicts.unanswered if path.startswith(ANSWERING))
    if reading.value("plan.injections") is None:
        lacking = (*lacking, "plan.injections")
    if lacking:
        raise NeedMissing(lacking)
    return False


ANSWERING = ("medical.medications", "medical.conditions")
"""Lists that bring the two conflicts with epinephrine."""

PARTS: dict[str, Callable[[Reading], bool]] = {
    "inr_delay": partial(_inr_is, "delay"),
    "inr_repeat_on_day": _inr_repeat_on_day,
    "ask_physician": _asked,
    "mronj_higher": lambda r: bool(r.fact("mronj_group") == "higher"),
    "jaw_radiotherapy": lambda r: bool(r.fact("orn_risk")),
    "dual_antiplatelet": _dual,
    "recent_event": _recent_event,
    "endocarditis": _endocarditis,
    "tca_maoi_epinephrine": partial(_planned_conflict, "tca-maoi-epinephrine"),
    "heart_epinephrine": partial(_planned_conflict, "heart-epinephrine"),
}
"""Reason > whether it holds."""


def _reasons(reading: Reading) -> tuple[str, ...]:
    """Name every reason that holds; one is enough, and only without one an unanswered question leaves it open."""
    found: list[str] = []
    lacking: list[NeedMissing] = []
    for code, holds in PARTS.items():
        try:
            found += [code] if holds(reading) else []
        except NeedMissing as missing:
            lacking.append(missing)
    if lacking and not found:
        needs = dict.fromkeys(need for one in lacking for need in one.needs)
        raise NeedMissing(tuple(needs), asked=all(one.asked for one in lacking))
    return tuple(found)


NEEDS = (
    TAKEN,
    DECIDED,
    "plan.injections",
    "medical.endocarditis_heart",
    "issued_on_operation_day",
    "takes_vka",
    "inr_verdict",
    "antithrombotic_rule",
    "mronj_group",
    "orn_risk",
    "endocarditis_verdict",
    "drug_conflicts",
)

QUERY = (
    Fact("physician_query_reasons", NEEDS, _reasons, ("design",)),
    Fact(
        "physician_query_needed",
        ("physician_query_reasons",),
        lambda r: bool(r.fact("physician_query_reasons")),
        ("design",),
        True,
    ),
)
