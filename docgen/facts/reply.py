"""What was done, if anything was > facts of the letter after the visit (specification 5.5)."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from docgen.clinical import timetable
from docgen.clinical.teeth import tooth_jaw
from docgen.facts.fact import Fact, Known, NeedMissing, Reading
from docgen.facts.procedure import performed
from docgen.values import dataclass

STAYED = {"whole": "nothing", "in_pieces": "nothing", "crown_only": "root"}
"""What stays in place, by the codes of `tooth_out`; of any other answer the tooth does."""


def _operation_entered(reading: Reading) -> bool:
    return reading.value("operation") is not None


def _during_operation(name: str) -> Any:
    """Make a fact that is no where no operation is recorded, whatever of it is unknown (rule 7 of 1.2: and)."""

    def stated(reading: Reading) -> bool:
        return bool(reading.fact("operation_recorded") and reading.fact(name))

    return stated


def _teeth_of_which_stays(part: str) -> Any:
    """Make a fact that names the teeth of which nothing, the root, or the tooth stays in place."""

    def stated(reading: Reading) -> tuple[str, ...]:
        fdi, found = reading.fact("tooth_fdi"), []
        for index, row in enumerate(performed(reading)):
            is_done = row.performed != "not_done"
            if is_done:
                reading.need(f"operation.procedures[{index}].tooth_out")
            if row.tooth not in fdi:
                raise NeedMissing((f"operation.procedures[{index}].tooth",))
            stays = STAYED.get(str(row.tooth_out), "tooth") if is_done else "tooth"
            found += [fdi[row.tooth]] if stays == part else []
        return tuple(sorted(found))

    return stated


def _lower_jaw_operated(reading: Reading) -> bool:
    """Say whether something was done at a lower tooth: only there does the nerve of the tongue run."""
    if not reading.fact("operation_recorded"):
        return False
    fdi = reading.fact("tooth_fdi")
    rows = performed(reading)
    lacking = [f"operation.procedures[{n}].tooth" for n, row in enumerate(rows) if row.tooth not in fdi]
    if lacking:
        raise NeedMissing(tuple(lacking))
    return any(row.performed != "not_done" and tooth_jaw(fdi[row.tooth]) == "lower" for row in rows)


def _outlook_holds(reading: Reading) -> dict[str, bool]:
    """Say of each tooth whether its outlook from before still holds: nothing was done, or it was stopped."""
    fdi, teeth = reading.fact("tooth_fdi"), reading.fact("teeth_in_question")
    rows = performed(reading) if reading.fact("operation_recorded") else ()
    treated = {fdi.get(row.tooth) for row in rows if row.performed not in UNCHANGED}
    return {tooth: tooth not in treated for tooth in teeth}


UNCHANGED = ("not_done", "stopped")
"""What was performed where the tooth is as it was before."""


def _review_is_over(reading: Reading) -> bool:
    """Say whether the review of the appointment has been held: a visit is recorded on its day or later."""
    review_at, visits = reading.value("follow_up.review_at"), reading.value("follow_up.visits")
    days = [visit.on for visit in visits] if isinstance(visits, tuple) else []
    return isinstance(review_at, datetime) and any(isinstance(day, date) and day >= review_at.date() for day in days)


@dataclass(frozen=True)
class Solution:
    """One solution that was injected, however often."""

    inn: str
    percent: Any
    vasoconstrictor: Any
    dilution: Any


def _injected_solutions(reading: Reading) -> tuple[Solution, ...]:
    rows = reading.need("operation.injections")
    found = (
        Solution(r.inn, r.percent, r.vasoconstrictor, r.dilution) for r in (rows if isinstance(rows, tuple) else ())
    )
    return tuple(dict.fromkeys(found))


def _decision_maker_is_named(reading: Reading) -> bool:
    """Say whether a letter names who decides; capacity is presumed until somebody has judged it."""
    return reading.value("consent.capacity") == "assessed_lacks" and not reading.fact("guardian_is_named")


def _nerve_review(reading: Reading) -> Known:
    months = timetable.nerve_review(reading.tables)
    return Known(months, months.source)


REPLY = (
    Fact(
        "decision_maker_is_named",
        ("consent.capacity", "guardian_is_named"),
        _decision_maker_is_named,
        ("GMC-MDU",),
    ),
    Fact("operation_entered", ("operation",), _operation_entered, ("design",)),
    Fact("result_expected", ("operation_recorded", "specimen_taken"), _during_operation("specimen_taken"), ("field",)),
    Fact(
        "upper_posterior_operated",
        ("operation_recorded", "upper_posterior_planned"),
        _during_operation("upper_posterior_planned"),
        ("design",),
    ),
    Fact(
        "operated_differently",
        ("operation_recorded", "performed_differs"),
        _during_operation("performed_differs"),
        ("design",),
    ),
    Fact("injected_solutions", ("operation.injections",), _injected_solutions, ("field",)),
    Fact("teeth_removed", ("operation.procedures", "tooth_fdi"), _teeth_of_which_stays("nothing"), ("field",)),
    Fact("roots_left", ("operation.procedures", "tooth_fdi"), _teeth_of_which_stays("root"), ("field",)),
    Fact("teeth_left", ("operation.procedures", "tooth_fdi"), _teeth_of_which_stays("tooth"), ("field",)),
    Fact(
        "lower_jaw_operated",
        ("operation_recorded", "operation.procedures", "tooth_fdi"),
        _lower_jaw_operated,
        ("LOESCH03",),
    ),
    Fact(
        "outlook_holds",
        ("operation.procedures", "tooth_fdi", "teeth_in_question", "operation_recorded"),
        _outlook_holds,
        ("design",),
    ),
    Fact("review_is_over", ("follow_up.review_at", "follow_up.visits"), _review_is_over, ("field",)),
    Fact("nerve_review", (), _nerve_review, ("LOESCH03",)),
)
