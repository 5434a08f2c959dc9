"""What was performed > what happened, what stays in the mouth, and which sockets there are (specification 3.7)."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC
from typing import Any

from docgen.answer import Answer
from docgen.clinical.teeth import tooth_jaw
from docgen.facts.fact import Fact, Known, NeedMissing, Reading
from docgen.facts.procedure import any_of, performed, planned

TAKEN_OUT = ("whole", "in_pieces", "crown_only")
TAKES_OUT = ("removal", "coronectomy", "root_removal")
"""Procedures that leave a socket."""


def _operation_recorded(reading: Reading) -> bool:
    return None not in (reading.value("operation.started_at"), reading.value("operation.ended_at"))


def _operation_minutes(reading: Reading) -> Known:
    """Count elapsed minutes, so that a night in which the clocks change counts right."""
    started, ended = reading.moment("operation.started_at"), reading.moment("operation.ended_at")
    minutes = int((ended.astimezone(UTC) - started.astimezone(UTC)).total_seconds() // 60)
    if minutes < 0:
        raise NeedMissing(("operation.ended_at",))
    return Known(minutes, ("design",), f"{started:%H:%M} - {ended:%H:%M} = {minutes} min")


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


def _done(reading: Reading) -> list[tuple[str, Any]]:
    """Give path and row of each procedure that was begun; one not done answers nothing but that."""
    rows = enumerate(performed(reading))
    return [(f"operation.procedures[{n}]", row) for n, row in rows if row.performed != "not_done"]


def _complications(reading: Reading) -> bool:
    found = {f"{path}.complications": row.complications for path, row in _done(reading)}
    return any_of({path: None if items is None else bool(items) for path, items in found.items()})


def _is_there(group: Any) -> bool | None:
    """Tell whether a group is recorded; a word for none or not applicable is a no."""
    return False if isinstance(group, Answer) else True if group.recorded_names else None


def _any_group(*fields: str) -> Callable[[Reading], bool]:
    def recorded(reading: Reading) -> bool:
        rows = _done(reading)
        return any_of({f"{path}.{field}": _is_there(getattr(row, field)) for path, row in rows for field in fields})

    return recorded


def _any_row(field: str, *yes: Any) -> Callable[[Reading], bool]:
    def recorded(reading: Reading) -> bool:
        given = {f"{path}.{field}": getattr(row, field) for path, row in _done(reading)}
        return any_of({p: value if value in (None, Answer.NOT_KNOWN) else value in yes for p, value in given.items()})

    return recorded


def _stitches_or_pack(reading: Reading) -> bool:
    if reading.request.dated:
        return _any_group("sutures", "dressing")(reading)
    steps = {p: reading.value(p) for p in reading.expand("plan.procedures[].extra_steps")}
    return any_of({p: None if v is None else not {"stitches", "membrane"}.isdisjoint(v) for p, v in steps.items()})


def _operation_stopped(reading: Reading) -> bool:
    """Say whether the work at a tooth was begun and not finished; before the operation none was."""
    return reading.request.dated and any(row.performed == "stopped" for row in performed(reading))


def _one_stitch(reading: Reading) -> bool:
    """Say whether a single stitch was placed in all; a count nobody recorded is none known to be single."""
    counts = [getattr(row.sutures, "count", None) for _, row in _done(reading) if _is_there(row.sutures)]
    return counts == [1]


def _dressing_stays(reading: Reading) -> bool:
    stays: dict[str, Any] = {}
    for path, row in _done(reading):
        if _is_there(row.dressing) is False:
            continue
        resorbable = getattr(row.dressing, "resorbable", None)
        stays[f"{path}.dressing.resorbable"] = None if resorbable is None else not resorbable
    return any_of(stays)


def _sockets(reading: Reading) -> dict[str, tuple[str, bool | None]]:
    """Give each row's tooth, and whether it was taken out whole or in part; undated: whether that is proposed."""
    fdi = reading.fact("tooth_fdi")
    if not reading.request.dated:
        rows = [(f"plan.procedures[{n}].procedure", row.tooth, row.procedure) for n, row in enumerate(planned(reading))]
        codes = TAKES_OUT
    else:
        rows = [(f"{path}.tooth_out", row.tooth, row.tooth_out) for path, row in _done(reading)]
        codes = TAKEN_OUT
    return {p: (fdi.get(str(tooth), ""), None if code is None else code in codes) for p, tooth, code in rows}


def _socket_in(reading: Reading, jaw: str) -> bool:
    found = {
        path: (tooth, out) for path, (tooth, out) in _sockets(reading).items() if not tooth or tooth_jaw(tooth) == jaw
    }
    return any_of({path: out if tooth or not out else None for path, (tooth, out) in found.items()})


def _lower_socket(reading: Reading) -> bool:
    return _socket_in(reading, "lower")


def _upper_socket_only(reading: Reading) -> bool:
    if reading.known("lower_socket") is True or not _socket_in(reading, "upper"):
        return False
    return not reading.fact("lower_socket")


def _syringe_line(reading: Reading) -> bool:
    """One no settles it; before the operation nobody is asked for the syringe, and there is no line."""
    given = reading.value("aftercare.syringe_given")
    if given is False or (given is None and not reading.request.dated):
        return False
    return bool(reading.fact("lower_socket") and reading.need("aftercare.syringe_given"))


def _nose_precautions(reading: Reading) -> bool:
    """Say yes after an opening, and for each tooth at risk that came out; unknown counts as yes."""
    if reading.request.dated and reading.known("sinus_opened") is True:
        return True
    parts = {
        path: out and (reading.of_tooth("sinus_at_risk", tooth) if tooth else None)
        for path, (tooth, out) in _sockets(reading).items()
    }
    if any_of(parts):
        return True
    return bool(reading.request.dated and reading.fact("sinus_opened"))


ROWS = ("operation.procedures",)

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
    Fact("operation_stopped", ROWS, _operation_stopped, ("field",), False),
    Fact("one_stitch", ROWS, _one_stitch, ("field",), False),
    Fact("dressing_stays", ROWS, _dressing_stays, ("field",)),
    Fact("lower_socket", (*ROWS, "plan.procedures", "tooth_fdi"), _lower_socket, ("design",)),
    Fact("upper_socket_only", (*ROWS, "plan.procedures", "tooth_fdi", "lower_socket"), _upper_socket_only, ("design",)),
    Fact("syringe_line", ("lower_socket", "aftercare.syringe_given"), _syringe_line, ("cp",)),
    Fact(
        "nose_precautions",
        (*ROWS, "plan.procedures", "tooth_fdi", "sinus_opened", "sinus_at_risk"),
        _nose_precautions,
        ("cp",),
        True,
    ),
)
