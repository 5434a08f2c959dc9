"""Sides, jaws, kinds, reasons, nerves of the teeth at hand > the small facts that keep a patient's sentences true."""

from __future__ import annotations

from docgen.clinical.teeth import tooth_jaw, tooth_side
from docgen.facts.fact import Fact, Known, Reading
from docgen.facts.procedure import performed
from docgen.facts.teeth import ALL_LOWER


def _worked_on(reading: Reading) -> list[str]:
    """Give the teeth at which something was done; undated: those the plan is about."""
    if not reading.request.dated:
        return list(reading.fact("teeth_in_question"))
    fdi = reading.fact("tooth_fdi")
    done = [str(row.tooth) for row in performed(reading) if row.performed not in (None, "not_done")]
    return [fdi[tooth] for tooth in done if tooth in fdi]


def _work_on_both_sides(reading: Reading) -> bool:
    return len({tooth_side(tooth) for tooth in _worked_on(reading)}) > 1


def _work_in_upper_jaw(reading: Reading) -> bool:
    return any(tooth_jaw(tooth) == "upper" for tooth in _worked_on(reading))


def _named_matters(reading: Reading) -> tuple[str, ...]:
    """Keep what has a name; what has none is told in the patient's own words beside it."""
    matters = reading.need("patient.matters")
    return tuple(code for code in matters if code != "other") if isinstance(matters, tuple) else ()


def _named_indications(reading: Reading) -> dict[str, tuple[str, ...]]:
    """Keep the reasons that have a name; the others stand in plain words beside them."""
    fdi, found = reading.fact("tooth_fdi"), {}
    for path in reading.expand("teeth[]"):
        tooth, reasons = fdi.get(str(reading.value(f"{path}.tooth"))), reading.value(f"{path}.indication")
        if tooth and isinstance(reasons, tuple):
            found[tooth] = tuple(code for code in reasons if code != "other")
    return found


def _teeth_on_nerve(reading: Reading) -> tuple[str, ...]:
    """Name the lower wisdom teeth of which a CT shows that a root touches the canal."""
    fdi, asked = reading.fact("tooth_fdi"), reading.fact("teeth_in_question")
    found = {
        fdi.get(str(reading.value(f"{path}.tooth")), "")
        for path in reading.expand("teeth[]")
        if reading.value(f"{path}.canal.ct_contact") is True
    }
    return tuple(tooth for tooth in asked if tooth in found and reading.fact("tooth_class")[tooth] == ALL_LOWER)


def _teeth_near_nerve(reading: Reading) -> tuple[str, ...]:
    """Name the teeth whose root may lie very close to the nerve, though another may still be unknown; none on it."""
    result, touching = reading.result("canal_at_risk"), reading.fact("teeth_on_nerve")
    values = result.value if isinstance(result, Known) else result.partial
    return tuple(sorted(tooth for tooth, at_risk in values.items() if at_risk is True and tooth not in touching))


def _primary_planned(reading: Reading) -> bool:
    return any(reading.fact("tooth_class")[tooth] == "primary" for tooth in reading.fact("teeth_in_question"))


WORKED_ON = ("operation.procedures", "teeth_in_question", "tooth_fdi")

TOLD = (
    Fact("work_on_both_sides", WORKED_ON, _work_on_both_sides, ("design",)),
    Fact("work_in_upper_jaw", WORKED_ON, _work_in_upper_jaw, ("design",)),
    Fact("named_matters", ("patient.matters",), _named_matters, ("field",)),
    Fact("named_indications", ("teeth[].tooth", "teeth[].indication", "tooth_fdi"), _named_indications, ("field",)),
    Fact(
        "teeth_on_nerve",
        ("teeth[].tooth", "teeth[].canal.ct_contact", "teeth_in_question", "tooth_class", "tooth_fdi"),
        _teeth_on_nerve,
        ("ATIEH10",),
    ),
    Fact("teeth_near_nerve", ("canal_at_risk", "teeth_on_nerve"), _teeth_near_nerve, ("ATIEH10", "SU17")),
    Fact("primary_planned", ("teeth_in_question", "tooth_class"), _primary_planned, ("design",)),
)
