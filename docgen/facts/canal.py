"""Findings at the nerve canal and the sinus > whether they are at risk, tooth by tooth (specification 3.2)."""

from __future__ import annotations

from collections.abc import Callable

from docgen.answer import Answer
from docgen.clinical.teeth import tooth_class
from docgen.facts.fact import Fact, Known, NeedMissing, Reading, Unknown
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
    parts = {f"{canal}.relation": relation, f"{canal}.film_signs": signs}
    if position in ("buccal", "below") or contact is Answer.NOT_KNOWN:
        parts[f"{canal}.ct_contact"] = contact  # a CT that was taken has to say it
    unknown = [path for path, value in parts.items() if value is None or value is Answer.NOT_KNOWN]
    if unknown:
        raise NeedMissing(tuple(unknown), asked=all(parts[path] is Answer.NOT_KNOWN for path in unknown))
    return False


def _film_sign_strong(reading: Reading, item: ToothItem) -> bool:
    signs = reading.need(f"{item.path}.canal.film_signs")
    if isinstance(signs, Answer):
        return False
    return not {"canal_diversion", "white_line_lost", "root_darkening"}.isdisjoint(signs)


def _tooth_at_sinus(reading: Reading, item: ToothItem) -> bool:
    """Say no for a lower tooth, and for an upper one that is clear and erupted."""
    if tooth_class(item.fdi) not in UPPER:
        return False
    if not item.path:
        raise NeedMissing(("teeth",))
    answers = {f"{item.path}.sinus.relation": "clear", f"{item.path}.eruption": "erupted"}
    given = {path: reading.value(path) for path in answers}
    if any(isinstance(given[path], str) and given[path] != safe for path, safe in answers.items()):
        return True
    unknown = [path for path, answer in given.items() if not isinstance(answer, str)]
    if unknown:
        raise NeedMissing(tuple(unknown), asked=all(given[path] is Answer.NOT_KNOWN for path in unknown))
    return False


def _sinus_at_risk(reading: Reading) -> Known | Unknown:
    """Take each tooth for itself; one nobody can place counts as at risk."""
    found: dict[str, bool] = {}
    lacking: dict[str, NeedMissing] = {}
    for item in tooth_items(reading):
        try:
            found[item.fdi] = _tooth_at_sinus(reading, item)
        except NeedMissing as missing:
            lacking[item.fdi] = missing
    if not lacking:
        return Known(found)
    needs = dict.fromkeys(need for one in lacking.values() for need in one.needs)
    asked = all(one.asked for one in lacking.values())
    return Unknown(tuple(needs), asked, found | dict.fromkeys(lacking, True), found)


def _any_tooth(name: str) -> Callable[[Reading], bool]:
    """Make the yes/no over all teeth in question: one yes settles it, else one unknown leaves it open."""

    def stated(reading: Reading) -> bool:
        result = reading.result(name)
        values = result.value if isinstance(result, Known) else result.partial
        if any(value is True for value in values.values()):
            return True
        if isinstance(result, Unknown):
            raise NeedMissing(result.needs, asked=result.asked)
        return False

    return stated


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
