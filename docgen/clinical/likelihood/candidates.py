"""The ratio rows of one event > those that act under the clinic's settings, and why the others don't."""

from __future__ import annotations

from collections.abc import Sequence

from docgen.clinical.likelihood.inputs import Inputs
from docgen.clinical.likelihood.outcome import NotUsed
from docgen.clinical.likelihood.rows import RatioRow
from docgen.clinical.likelihood.settings import RiskSettings
from docgen.values import dataclass


@dataclass(frozen=True)
class Candidates:
    """The ratio rows of one event, sorted by what they may do."""

    raising: tuple[RatioRow, ...]
    """Ratios of 1 and above whose conditions hold."""
    protective: tuple[RatioRow, ...]
    """Ratios below 1 whose conditions hold; they act last."""
    floors: tuple[RatioRow, ...]
    not_used: tuple[NotUsed, ...]
    not_assessed: tuple[str, ...]
    """Inputs nobody answered."""


def find_candidates(event: str, inputs: Inputs, settings: RiskSettings, rows: Sequence[RatioRow]) -> Candidates:
    """Sort the ratio and floor rows that name an event; a row of an unchosen setting is not even listed."""
    holding: list[RatioRow] = []
    not_used: list[NotUsed] = []
    not_assessed: list[str] = []
    for row in rows:
        if not row.acts_on(event) or not row.in_use(settings):
            continue
        kept_out = _kept_out(row, event, settings)
        holds = row.holds(inputs)
        if holds is False:
            misfits = tuple((c.input, inputs.value(c.input)) for c in row.when if c.holds(inputs) is False)
            not_used.append(NotUsed(row.id, "condition_does_not_hold", misfits))
        elif kept_out is not None:
            not_used.append(kept_out)
        elif holds is None:
            not_assessed += row.unknown_inputs(inputs)
        else:
            holding.append(row)
    return Candidates(
        raising=tuple(row for row in holding if not row.is_floor and not row.is_protective),
        protective=tuple(row for row in holding if row.is_protective),
        floors=tuple(row for row in holding if row.is_floor),
        not_used=tuple(not_used),
        not_assessed=tuple(dict.fromkeys(not_assessed)),
    )


def _kept_out(row: RatioRow, event: str, settings: RiskSettings) -> NotUsed | None:
    """Tell why the settings keep a row out, whatever its conditions."""
    if row.row.tag == "memory" and not settings.memory_figures:
        return NotUsed(row.id, "memory_not_approved")
    if row.by_envelope and not settings.score_envelope:
        return NotUsed(row.id, "envelope_off")
    corroborated_by = row.corroborated_by(event)
    if corroborated_by is not None and settings.any_complication_ratios == "never":
        return NotUsed(row.id, "composite_ratios_off")
    if corroborated_by == ():
        return NotUsed(row.id, "not_corroborated")
    if row.row.texts("contradicted_by") and settings.contradicted_ratios == "wording":
        return NotUsed(row.id, "contradicted")
    if row.is_protective and not settings.protective_ratios:
        return NotUsed(row.id, "protective_off")
    return None
