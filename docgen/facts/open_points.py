"""The facts above > what is open and what is assumed in its place, for the staff page (specification 5.2)."""

from __future__ import annotations

from docgen.facts.fact import Fact, Reading, Unknown
from docgen.values import dataclass


@dataclass(frozen=True)
class OpenPoint:
    """A fact the text acts on although something it needs is not known."""

    name: str
    """The fact; its words say what is not computed, or what is assumed."""
    needs: tuple[str, ...]
    """Paths that would settle it."""


WATCHED = (
    "interpreter_needed",
    "winter_class",
    "pederson_total",
    "kim_total",
    "yuasa_flag",
    "root_timing",
    "canal_at_risk",
    "sinus_at_risk",
    "coronectomy_to_discuss",
    "difficulty_case",
    "bleeding_category",
    "emphysema_caution",
    "bleeding_patient_class",
    "inr_verdict",
    "antithrombotic_rule",
    "mronj_group",
    "orn_risk",
    "endocarditis_rule",
    "nsaid_verdict",
    "physician_query_needed",
    "la_totals_planned",
    "epinephrine_limit_ug",
)
"""Facts of the plan, in their order; what only an operation can answer is no open point before it."""


def _open_points(reading: Reading) -> tuple[OpenPoint, ...]:
    results = {name: reading.result(name) for name in WATCHED}
    return tuple(OpenPoint(name, result.needs) for name, result in results.items() if isinstance(result, Unknown))


OPEN_POINTS = (Fact("open_points", WATCHED, _open_points, ("design",)),)
