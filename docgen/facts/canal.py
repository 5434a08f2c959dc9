"""Findings at the nerve canal and the sinus > whether they are at risk, tooth by tooth (specification 3.2)."""

from __future__ import annotations

from collections.abc import Callable

from docgen.answer import Answer
from docgen.clinical.teeth import tooth_class
from docgen.facts.fact import Fact, NeedMissing, Reading
from docgen.facts.teeth import ALL_LOWER, PER_TOOTH, UPPER, ToothItem, per_tooth, tooth_items


def _canal_at_risk(reading: Reading, item: ToothItem) -> bool:
    """Any part yes settles it; else a part nobody knows leaves it open (rule 7 of 1.2)."""
    canal = f"{item.path}.canal"
    relation, signs = reading.value(f"{canal}.relation"), reading.value(f"{canal}.film_signs")
    position, contact = reading.value(f"{canal}.ct_position"), reading.value(f"{canal}.ct_contact")
    if relation == "overlapping" or contact is True or position in ("lingual", "between_roots"):
        return True
    if isinstance(signs, tuple) and signs:
        return True
    parts = ((relation, f"{canal}.relation"), (signs, f"{canal}.film_signs"))
    unknown = [path for value, path in parts if value is None or value is Answer.NOT_KNOWN]
    if unknown:
        raise NeedMissing(tuple(unknown), asked=Answer.NOT_KNOWN in (relation, signs))
    return False


def _film_sign_strong(reading: Reading, item: ToothItem) -> bool:
    signs = reading.need(f"{item.path}.canal.film_signs")
    if isinstance(signs, Answer):
        return False
    return not {"canal_diversion", "white_line_lost", "root_darkening"}.isdisjoint(signs)


def _sinus_at_risk(reading: Reading) -> dict[str, bool]:
    found: dict[str, bool] = {}
    for item in tooth_items(reading):
        upper = tooth_class(item.fdi) in UPPER
        clear = bool(item.path) and reading.value(f"{item.path}.sinus.relation") == "clear"
        erupted = bool(item.path) and reading.value(f"{item.path}.eruption") == "erupted"
        found[item.fdi] = upper and not (clear and erupted)
    return found


def _any_tooth(name: str) -> Callable[[Reading], bool]:
    """Make the yes/no of a per-tooth fact over all teeth in question."""
    return lambda reading: any(v is True for v in reading.fact(name).values())


CANAL = ("teeth[].canal.relation", "teeth[].canal.film_signs", "teeth[].canal.ct_position", "teeth[].canal.ct_contact")

CANALS = (
    Fact("canal_at_risk", (*PER_TOOTH, *CANAL), per_tooth(_canal_at_risk, ALL_LOWER), ("ATIEH10", "SU17")),
    Fact("canal_at_risk_anywhere", ("canal_at_risk",), _any_tooth("canal_at_risk"), ("ATIEH10", "SU17")),
    Fact(
        "film_sign_strong",
        (
            *PER_TOOTH,
            "teeth[].canal.film_signs",
        ),
        per_tooth(_film_sign_strong, ALL_LOWER),
        ("EBD17",),
    ),
    Fact(
        "sinus_at_risk",
        (*PER_TOOTH, "teeth[].sinus.relation", "teeth[].eruption"),
        _sinus_at_risk,
        ("ROTH07", "HASEG16"),
    ),
    Fact("sinus_at_risk_anywhere", ("sinus_at_risk",), _any_tooth("sinus_at_risk"), ("ROTH07", "HASEG16"), True),
)
