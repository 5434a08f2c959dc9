"""The plan and what was performed > facts of the procedure (specification 3.3 and the second half of 3.7)."""

from __future__ import annotations

from typing import Any

from docgen.answer import Answer
from docgen.clinical.teeth import are_neighbors
from docgen.facts.fact import Fact, Known, NeedMissing, Reading, Unknown


def planned(reading: Reading) -> tuple[Any, ...]:
    """Give the proposed procedures."""
    items = reading.need("plan.procedures")
    return items if isinstance(items, tuple) else ()


def performed(reading: Reading) -> tuple[Any, ...]:
    """Give the performed procedures."""
    items = reading.need("operation.procedures")
    return items if isinstance(items, tuple) else ()


def any_of(values: dict[str, Any]) -> bool:
    """
    Say whether any answer is yes: one yes settles it, else one unknown leaves it open (rule 7 of 1.2).

    Errors: NeedMissing with the paths nobody answered.
    """
    if any(v is True for v in values.values()):
        return True
    open_paths = [path for path, v in values.items() if v is None or v is Answer.NOT_KNOWN]
    if open_paths:
        raise NeedMissing(tuple(open_paths), asked=all(values[p] is Answer.NOT_KNOWN for p in open_paths))
    return False


def _surgical(reading: Reading) -> bool:
    planned(reading)
    return any_of({p: reading.value(p) for p in reading.expand("plan.procedures[].surgical")})


def _trainee(reading: Reading) -> bool:
    operator = reading.need("plan.operator")
    people = reading.need("practitioners")
    for index, person in enumerate(people if isinstance(people, tuple) else ()):
        if person.id == operator:
            return bool(reading.need(f"practitioners[{index}].trainee"))
    raise NeedMissing(("practitioners",))


def _pressing(reading: Reading) -> bool:
    return bool(reading.need("referral.urgency") != "not_urgent")


def _bleeding_category(reading: Reading) -> str:
    """Give low to a drainage alone and to few plain removals apart from each other; everything else is higher."""
    rows = [(f"plan.procedures[{n}]", row) for n, row in enumerate(planned(reading))]
    if rows and all(row.procedure == "drainage" for _, row in rows):
        return "low"
    done = {row.procedure for _, row in rows} - {None}
    if not rows or len(rows) > MOST_LOW or done - {"removal"} or _surgical_step(rows) or _side_by_side(reading, rows):
        return "higher"
    lacking = [f"{path}.{name}" for path, row in rows for name in LOW_NEEDS if getattr(row, name) is None]
    if lacking:
        raise NeedMissing(tuple(lacking))
    return "low"


LOW_NEEDS = ("tooth", "procedure", "surgical", "incision")
MOST_LOW = 3
"""Removals of up to three teeth have the low category (SDCEP-BR)."""


def _surgical_step(rows: list[tuple[str, Any]]) -> bool:
    return any(row.surgical is True or row.incision is True for _, row in rows)


def _side_by_side(reading: Reading, rows: list[tuple[str, Any]]) -> bool:
    fdi = reading.fact("tooth_fdi")
    teeth = [fdi[row.tooth] for _, row in rows if row.tooth in fdi]
    return any(are_neighbors(one, other) for n, one in enumerate(teeth) for other in teeth[n + 1 :])


def _anesthesia_is(kind: str) -> Any:
    return lambda reading: reading.need("plan.anesthesia") == kind


def _coronectomy_to_discuss(reading: Reading) -> bool:
    """One lower third molar at risk, its crown still there, settles it; else one unknown leaves it open."""
    fdi = reading.fact("tooth_fdi")
    present = {fdi.get(str(reading.value(f"{p}.tooth"))): f"{p}.present" for p in reading.expand("teeth[]")}
    result = reading.result("canal_at_risk")
    at_risk = result.value if isinstance(result, Known) else result.partial
    crowned = {}
    for tooth in (tooth for tooth, risk in at_risk.items() if risk is True):
        found = reading.value(present[tooth])
        crowned[present[tooth]] = None if found is None else found != "root_only"
    if not any(crowned.values()) and isinstance(result, Unknown):
        raise NeedMissing(result.needs, asked=result.asked)
    return any_of(crowned)


def _coronectomy_planned(reading: Reading) -> bool:
    planned(reading)
    codes = {p: reading.value(p) for p in reading.expand("plan.procedures[].procedure")}
    return any_of({p: None if code is None else code == "coronectomy" for p, code in codes.items()})


def _air_and_flap(reading: Reading) -> dict[str, tuple[Any, Any]]:
    """Give each row's air-driven handpiece and lingual flap: as performed once that is recorded, else as planned."""
    rows = reading.value("operation.procedures")
    if not (isinstance(rows, tuple) and rows):
        items = enumerate(planned(reading))
        return {f"plan.procedures[{n}].air_driven": (row.air_driven, row.lingual_flap) for n, row in items}
    return {
        f"operation.procedures[{n}].handpiece": (
            row.handpiece if row.handpiece is None else row.handpiece == "air_driven",
            row.lingual_flap_raised,
        )
        for n, row in enumerate(rows)
        if row.performed != "not_done"
    }


def _air_level(air: Any, flap: Any) -> str:
    """Give no, mention or caution of one row, or nothing if an answer is lacking that decides."""
    if air in (False, Answer.NOT_APPLICABLE):
        return "no"
    if air is True and flap is not None and flap is not Answer.NOT_KNOWN:
        return "caution" if flap is True else "mention"
    return ""


def _emphysema_caution(reading: Reading) -> str | Unknown:
    """Take the highest of the rows; what is not known counts as mention where the procedure is surgical."""
    uses = _air_and_flap(reading)
    levels = {path: _air_level(air, flap) for path, (air, flap) in uses.items()}
    if "caution" in levels.values():
        return "caution"
    unknown = [path for path, level in levels.items() if not level]
    if unknown:
        sure = any(air is True for air, _ in uses.values()) or reading.known("procedure_is_surgical") is not False
        asked = all(Answer.NOT_KNOWN in uses[path] for path in unknown)
        return Unknown(tuple(unknown), asked, "mention" if sure else "no")
    return "mention" if "mention" in levels.values() else "no"


PROCEDURE = (
    Fact("procedure_is_surgical", ("plan.procedures[].surgical",), _surgical, ("cp",)),
    Fact("operator_is_trainee", ("plan.operator", "practitioners[].trainee"), _trainee, ("field",)),
    Fact("referral_is_pressing", ("referral.urgency",), _pressing, ("cp",)),
    Fact(
        "bleeding_category",
        (
            "tooth_fdi",
            "plan.procedures",
        ),
        _bleeding_category,
        ("GIZMO", "SDCEP-BR"),
        "higher",
    ),
    Fact("sedation_planned", ("plan.anesthesia",), _anesthesia_is("local_with_sedation"), ("field",)),
    Fact("general_elsewhere", ("plan.anesthesia",), _anesthesia_is("general_elsewhere"), ("field",)),
    Fact(
        "coronectomy_to_discuss",
        ("teeth[].tooth", "tooth_fdi", "canal_at_risk", "teeth[].present"),
        _coronectomy_to_discuss,
        ("DALLE17", "DEVINE16"),
        True,
    ),
    Fact("coronectomy_planned", ("plan.procedures[].procedure",), _coronectomy_planned, ("DALLE17",)),
    Fact(
        "emphysema_caution",
        (
            "plan.procedures[].air_driven",
            "plan.procedures[].lingual_flap",
            "operation.procedures[].handpiece",
            "operation.procedures[].lingual_flap_raised",
            "procedure_is_surgical",
        ),
        _emphysema_caution,
        ("KLUP14", "cp"),
        "mention",
    ),
)
