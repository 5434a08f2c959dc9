"""P2 to P7 under every value of every risk setting alone and in all pairs (specification 4.2, issue 3)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import combinations, product
from typing import Any, Final

import pytest
from clinical_patients import POSITIONS, TABLES, A, at, printed, upper
from test_likelihood_properties import ANGULATIONS_BY_POINTS, DEPTHS, EVENTS, HARDER, RAMI

from docgen.clinical.likelihood import SETTING_VALUES, UNKNOWN, Inputs, RiskSettings, estimates_of_tooth, risk_table
from docgen.clinical.likelihood.rows import risk_rows

POSITION_EVENTS: Final = ("ian_temporary", "ian_permanent")
CANALS: Final = ("clear", "touching", "overlapping")

PATIENTS: Final[dict[str, Inputs]] = {
    "deep": at("mesioangular", "C", "I", canal_relation="overlapping", age_years=34, film_sign_strong=True),
    "high": at("vertical", "A", "I", smoking_status="current", hormonal_contraception="combined"),
    "upper": upper(eruption="fully_impacted", root_shapes=("divergent",), sinus_relation="all_roots_overlap"),
    "crown": at("horizontal", "B", "II", procedure="coronectomy", coronectomy_discussed=True),
    "other": replace(A, winter_class="other", depth="C", ramus="III", pederson_total="not_scorable"),
    "ill": replace(
        A, fdi="46", bleeding_patient_class="vka", mronj_group="higher", antiresorptive_indication="cancer",
        orn_risk=True, prevention=("chlorhexidine_gel", "antibiotic"),
    ),
}  # fmt: skip
"""One tooth for each branch of the tables; hypothesis takes the rest in test_likelihood_properties."""

PAIRS: Final = tuple(combinations(SETTING_VALUES, 2))
"""Every two settings; the product of their values holds each value alone too, beside the other's default."""


def _chosen(names: tuple[str, str]) -> Iterator[RiskSettings]:
    for values in product(*(SETTING_VALUES[name] for name in names)):
        together: dict[str, Any] = dict(zip(names, values, strict=True))
        yield RiskSettings(**together)


@cache
def _events_of(name: str) -> tuple[str, ...]:
    """Name the events a row of which looks at an input; the total reaches those of depth by the envelope."""
    rows = risk_rows(TABLES)
    looked_at = {"depth", name} if name == "pederson_total" else {name}
    bases = {row.row.text("event") for row in rows.bases if looked_at & {c.input for c in row.when}}
    ratios = [row for row in rows.ratios if looked_at & {c.input for c in row.when}]
    return tuple(event for event in EVENTS if event in bases or any(row.acts_on(event) for row in ratios))


@cache
def _figure(event: str, patient: Inputs, chosen: RiskSettings) -> Fraction:
    return printed(event, patient, chosen)


@pytest.fixture(autouse=True)
def _forget() -> Iterator[None]:
    """Keep the figures of one pair only."""
    yield
    _figure.cache_clear()


def test_every_harmful_input_reaches_an_event() -> None:
    """No property below is empty: each input whose harm is ordered stands in a row of some event."""
    assert [] == [name for name in HARDER if not _events_of(name)]


@pytest.mark.parametrize("names", PAIRS, ids=" ".join)
def test_p2_holds_for_every_two_settings(names: tuple[str, str]) -> None:
    """P2: one step worse in angulation, depth, ramus or canal prints no smaller figure of the nerve."""
    for chosen in _chosen(names):
        for (winter, depth, ramus), canal in product(POSITIONS, CANALS):
            here = {e: _placed(e, winter, depth, ramus, canal, chosen) for e in POSITION_EVENTS}
            for worse in _one_step_worse(winter, depth, ramus, canal):
                smaller = [e for e in POSITION_EVENTS if _placed(e, *worse, chosen) < here[e]]
                assert [] == smaller, (chosen, worse)


@cache
def _tooth_at(winter: str, depth: str, ramus: str, canal: str) -> Inputs:
    return at(winter, depth, ramus, canal_relation=canal, age_years=34)


def _placed(event: str, winter: str, depth: str, ramus: str, canal: str, chosen: RiskSettings) -> Fraction:
    return _figure(event, _tooth_at(winter, depth, ramus, canal), chosen)


def _one_step_worse(winter: str, depth: str, ramus: str, canal: str) -> Iterator[tuple[str, str, str, str]]:
    yield from ((w, depth, ramus, canal) for w in _next(winter, ANGULATIONS_BY_POINTS))
    yield from ((winter, d, ramus, canal) for d in _next(depth, DEPTHS))
    yield from ((winter, depth, r, canal) for r in _next(ramus, RAMI))
    yield from ((winter, depth, ramus, c) for c in _next(canal, CANALS))


def _next(value: str, steps: tuple[str, ...]) -> tuple[str, ...]:
    return steps[steps.index(value) + 1 :][:1]


@pytest.mark.parametrize("names", PAIRS, ids=" ".join)
def test_p3_holds_for_every_two_settings(names: tuple[str, str]) -> None:
    """P3: answering an unknown with its most harmful value lowers no number."""
    for chosen, patient, (name, values) in product(_chosen(names), PATIENTS.values(), HARDER.items()):
        blank: dict[str, Any] = {name: UNKNOWN}
        worst: dict[str, Any] = {name: values[-1]}
        for event in _events_of(name):
            asked = _figure(event, replace(patient, **blank), chosen)
            assert asked <= _figure(event, replace(patient, **worst), chosen), (name, event, chosen)


@pytest.mark.parametrize("names", PAIRS, ids=" ".join)
def test_p4_to_p6_hold_for_every_two_settings(names: tuple[str, str]) -> None:
    """P4: permanent <= temporary; P5: raw <= printed <= cap; P6: the order of the teeth changes nothing."""
    for chosen in _chosen(names):
        everybody = [estimates_of_tooth(p, chosen, TABLES, nerve_review=True) for p in PATIENTS.values()]
        for found in everybody:
            figures = {e.event: e.printed.probability for e in found if e.printed is not None}
            for nerve in ("ian", "ln", "ian_seen"):
                lasting, passing = f"{nerve}_permanent", f"{nerve}_temporary"
                if lasting in figures:
                    assert figures[lasting] <= figures[passing], chosen
            for one in (e for e in found if e.printed is not None and e.probability is not None):
                assert one.probability <= one.printed.probability
                assert one.trace.cap is None or one.printed.probability <= one.trace.cap.value
        two = [*everybody[0], *everybody[2]]
        assert risk_table(two) == risk_table(list(reversed(two)))


@pytest.mark.parametrize("names", PAIRS, ids=" ".join)
def test_p7_holds_for_every_two_settings(names: tuple[str, str]) -> None:
    """P7: a smoker, a pill user, an older patient, a raised lingual flap never print less."""
    harms = ("smoking_status", "hormonal_contraception", "lingual_flap", "age_years")
    for chosen, patient, name in product(_chosen(names), PATIENTS.values(), harms):
        for event in _events_of(name):
            figures = [_figure(event, replace(patient, **{name: value}), chosen) for value in HARDER[name]]
            assert sorted(figures) == figures, (name, event, chosen)
