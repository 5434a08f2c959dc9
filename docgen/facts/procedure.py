"""The plan and what was performed > facts of the procedure (specification 3.3 and the second half of 3.7)."""

from __future__ import annotations

from typing import Any

from docgen.answer import Answer
from docgen.clinical.teeth import are_neighbors, tooth_jaw
from docgen.facts.fact import Fact, Known, NeedMissing, Reading

TAKEN_OUT = ("whole", "in_pieces", "crown_only")


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


def _bleeding_category(reading: Reading) -> str:
    items = planned(reading)
    if all(item.procedure == "drainage" for item in items):
        return "low"
    fdi = reading.fact("tooth_fdi")
    teeth = [fdi.get(str(item.tooth), "") for item in items]
    simple = all(i.procedure == "removal" and i.surgical is False and i.incision is False for i in items)
    apart = not any(are_neighbors(a, b) for n, a in enumerate(teeth) for b in teeth[n + 1 :] if a and b)
    return "low" if simple and len(items) <= 3 and apart else "higher"


def _anesthesia_is(kind: str) -> Any:
    return lambda reading: reading.need("plan.anesthesia") == kind


def _coronectomy_to_discuss(reading: Reading) -> bool:
    at_risk = reading.fact("canal_at_risk")
    fdi = reading.fact("tooth_fdi")
    present = {
        fdi.get(str(reading.value(f"{p}.tooth"))): reading.value(f"{p}.present") for p in reading.expand("teeth[]")
    }
    return any(value is True and present.get(tooth) != "root_only" for tooth, value in at_risk.items())


def _coronectomy_planned(reading: Reading) -> bool:
    return any(item.procedure == "coronectomy" for item in planned(reading))


def _emphysema_caution(reading: Reading) -> str:
    """Look at what was performed once it is recorded, else at the plan."""
    rows = reading.value("operation.procedures")
    if isinstance(rows, tuple) and rows:
        uses = [(r.handpiece == "air_driven", r.lingual_flap_raised is True) for r in rows]
    else:
        items = planned(reading)
        if any(item.air_driven is None for item in items) and reading.fact("procedure_is_surgical"):
            raise NeedMissing(("plan.procedures[0].air_driven",))
        uses = [(item.air_driven is True, item.lingual_flap is True) for item in items]
    if any(air and flap for air, flap in uses):
        return "caution"
    return "mention" if any(air for air, _ in uses) else "no"


def _performed_differences(reading: Reading) -> dict[str, str]:
    """Say for each tooth: same, other_procedure, added, left_out, stopped."""
    fdi = reading.fact("tooth_fdi")
    proposed = {fdi.get(str(i.tooth)): i.procedure for i in planned(reading)}
    rows = performed(reading)
    lacking = [
        f"operation.procedures[{i}].{name}"
        for i, row in enumerate(rows)
        for name in ("tooth", "performed")
        if getattr(row, name) is None
    ]
    if lacking:
        raise NeedMissing(tuple(lacking))
    done = {fdi.get(str(i.tooth)): i.performed for i in rows}
    found: dict[str, str] = {}
    for tooth, what in done.items():
        if tooth is None:
            raise NeedMissing(("operation.procedures",))
        if what in ("not_done", "stopped"):
            found[tooth] = "left_out" if what == "not_done" else "stopped"
        elif tooth not in proposed:
            found[tooth] = "added"
        else:
            found[tooth] = "same" if proposed[tooth] == what else "other_procedure"
    return {**found, **{t: "left_out" for t in proposed if t and t not in done}}


def _complications(reading: Reading) -> bool:
    found = False
    for index, _ in enumerate(performed(reading)):
        found = bool(reading.need(f"operation.procedures[{index}].complications")) or found
    return found


def _any_group(field: str) -> Any:
    def recorded(reading: Reading) -> bool:
        values: dict[str, Any] = {}
        for index, row in enumerate(performed(reading)):
            group = getattr(row, field)
            there = group if isinstance(group, Answer) else bool(getattr(group, "model_fields_set", None)) or None
            if row.performed == "not_done":
                continue
            values[f"operation.procedures[{index}].{field}"] = False if isinstance(there, Answer) else there
        return any_of(values)

    return recorded


def _any_row(field: str, *yes: Any) -> Any:
    def recorded(reading: Reading) -> bool:
        rows = performed(reading)
        return any_of(
            {
                f"operation.procedures[{i}].{field}": None
                if getattr(r, field) is None
                else Answer.NOT_KNOWN
                if getattr(r, field) is Answer.NOT_KNOWN
                else getattr(r, field) in yes
                for i, r in enumerate(rows)
                if r.performed != "not_done"
            }
        )

    return recorded


def _stitches_or_pack(reading: Reading) -> bool:
    if not reading.request.dated:
        steps = {p: reading.value(p) for p in reading.expand("plan.procedures[].extra_steps")}
        return any_of({p: None if v is None else not {"stitches", "membrane"}.isdisjoint(v) for p, v in steps.items()})
    return bool(_any_group("sutures")(reading)) or bool(_any_group("dressing")(reading))


def _dressing_stays(reading: Reading) -> bool:
    rows = performed(reading)
    return any(getattr(r.dressing, "resorbable", None) is False for r in rows)


def _taken_out(reading: Reading) -> list[str]:
    """Give the FDI numbers of teeth taken out, whole or in part; for an undated leaflet those proposed."""
    fdi = reading.fact("tooth_fdi")
    if not reading.request.dated:
        kinds = ("removal", "coronectomy", "root_removal")
        return [fdi[i.tooth] for i in planned(reading) if i.procedure in kinds and i.tooth in fdi]
    rows = performed(reading)
    lacking = [
        f"operation.procedures[{i}].tooth_out"
        for i, r in enumerate(rows)
        if r.tooth_out is None and r.performed != "not_done"
    ]
    if lacking:
        raise NeedMissing(tuple(lacking))
    return [fdi[r.tooth] for r in rows if r.tooth_out in TAKEN_OUT and r.tooth in fdi]


def _lower_socket(reading: Reading) -> bool:
    return any(tooth_jaw(tooth) == "lower" for tooth in _taken_out(reading))


def _upper_socket_only(reading: Reading) -> bool:
    jaws = {tooth_jaw(tooth) for tooth in _taken_out(reading)}
    return jaws == {"upper"}


def _syringe_line(reading: Reading) -> bool:
    if not reading.fact("lower_socket"):
        return False
    return bool(reading.need("aftercare.syringe_given"))


def _nose_precautions(reading: Reading) -> bool:
    if reading.request.dated and reading.fact("sinus_opened"):
        return True
    return bool(_taken_out(reading)) and bool(reading.fact("sinus_at_risk_anywhere"))


def _operation_recorded(reading: Reading) -> bool:
    return None not in (reading.value("operation.started_at"), reading.value("operation.ended_at"))


def _operation_minutes(reading: Reading) -> Known:
    started, ended = reading.moment("operation.started_at"), reading.moment("operation.ended_at")
    minutes = int((ended - started).total_seconds() // 60)
    if minutes < 0:
        raise NeedMissing(("operation.ended_at",))
    return Known(minutes, ("design",), f"{started:%H:%M} - {ended:%H:%M} = {minutes} min")


ROWS = ("operation.procedures",)

PROCEDURE = (
    Fact("procedure_is_surgical", ("plan.procedures[].surgical",), _surgical, ("cp",)),
    Fact("operator_is_trainee", ("plan.operator", "practitioners[].trainee"), _trainee, ("field",)),
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
        ("plan.procedures[].air_driven", "operation.procedures[].handpiece"),
        _emphysema_caution,
        ("KLUP14",),
        "mention",
    ),
)

OPERATION = (
    Fact("operation_recorded", ("operation.started_at", "operation.ended_at"), _operation_recorded, ("design",), False),
    Fact(
        "operation_minutes",
        ("clinic.time_zone", "operation.started_at", "operation.ended_at"),
        _operation_minutes,
        ("design",),
    ),
    Fact("performed_differences", ("tooth_fdi", "plan.procedures", *ROWS), _performed_differences, ("design",)),
    Fact(
        "performed_differs",
        ("performed_differences",),
        lambda r: any(v != "same" for v in r.fact("performed_differences").values()),
        ("design",),
    ),
    Fact("complications_occurred", ROWS, _complications, ("field",)),
    Fact("fragment_left", ROWS, _any_group("fragment"), ("field",)),
    Fact("sinus_opened", ROWS, _any_row("sinus_opening", "under_3_mm", "3_mm_or_more"), ("field",)),
    Fact("nerve_seen", ROWS, _any_row("nerve_seen", True), ("field",)),
    Fact("specimen_taken", ("operation.specimens",), lambda r: bool(r.need("operation.specimens")), ("field",)),
    Fact("stitches_or_pack", (*ROWS, "plan.procedures[].extra_steps"), _stitches_or_pack, ("field",)),
    Fact("dressing_stays", ROWS, _dressing_stays, ("field",)),
    Fact("lower_socket", (*ROWS, "plan.procedures", "tooth_fdi"), _lower_socket, ("design",)),
    Fact("upper_socket_only", (*ROWS, "plan.procedures", "tooth_fdi"), _upper_socket_only, ("design",)),
    Fact("syringe_line", ("lower_socket", "aftercare.syringe_given"), _syringe_line, ("cp",)),
    Fact(
        "nose_precautions",
        (*ROWS, "plan.procedures", "tooth_fdi", "sinus_opened", "sinus_at_risk_anywhere"),
        _nose_precautions,
        ("cp",),
        True,
    ),
)
