"""The estimates > leaving the root beside taking out the whole tooth, figure by figure (specification 4.4, C9)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from docgen.clinical.likelihood import risk_table
from docgen.facts.fact import Fact, Known, Reading
from docgen.facts.risk import life_is_touched
from docgen.facts.risk_line import RiskLine, frequency_of, risk_line
from docgen.values import dataclass


@dataclass(frozen=True)
class ChoiceRow:
    """One event under each of the two choices, and under the third way the second may end."""

    compared: str
    whole_tooth: RiskLine | None
    root_stays: RiskLine | None
    root_comes_out: RiskLine | None
    only_if_left: bool
    """The event cannot happen where the whole tooth is taken."""
    none_seen_if_left: bool
    """The study of roots that stayed saw none, so there is no figure to print."""
    touches_life: bool
    """True if what matters to the patient is touched by it."""
    common_denominator: int | None
    """Where the columns count against different numbers: the smaller of them; a rarer figure says it is below one."""


@dataclass(frozen=True)
class RootChoice:
    """Removal and coronectomy side by side, for the teeth whose root may stay."""

    rows: tuple[ChoiceRow, ...]
    teeth: tuple[str, ...]
    root_moves: str
    """Code of the event that is told in words, the migration of the root; empty where it does not apply."""


NONE_SEEN = "none_seen"
"""In place of an event: row cor_ln says of its study that no numbness lasted (specification 4.4, [DALLE17])."""

COMPARED = (
    ("lip", "ian_temporary", "cor_ian_root_stays", "cor_ian_root_out"),
    ("lip_lasting", "ian_permanent", "cor_ian_permanent_root_stays", "cor_ian_permanent_root_out"),
    ("tongue", "ln_temporary", "cor_ln", ""),
    ("tongue_lasting", "ln_permanent", NONE_SEEN, ""),
    ("dry_socket", "dry_socket", "cor_dry_socket", ""),
    ("infection", "infection", "cor_infection", ""),
    ("root_later", "", "cor_failed", ""),
    ("root_pulp", "", "cor_pulp", ""),
)
"""Code of the row, and the events of its three columns."""

MIGRATION = "cor_migration"


def _row(code: str, events: tuple[str, str, str], found: Mapping[str, RiskLine]) -> ChoiceRow:
    """Set the figures of one event side by side; what each counts against may differ, and that is said."""
    whole, stays, out = (found.get(event) for event in events)
    printed = [line for line in (whole, stays, out) if line is not None]
    counted = {line.denominator for line in printed}
    return ChoiceRow(
        code,
        whole,
        stays,
        out,
        only_if_left=not events[0],
        none_seen_if_left=events[1] == NONE_SEEN,
        touches_life=any(line.touches_life for line in printed),
        common_denominator=min(counted) if len(counted) > 1 else None,
    )


def _root_choice(reading: Reading) -> Known:
    """Compare the teeth with figures of a coronectomy only: of several, each figure is the highest."""
    estimates = reading.fact("risk_estimates")
    teeth = {e.fdi for e in estimates if e.column == "coronectomy" and e.state == "figure"}
    mine = [e for e in estimates if e.fdi in teeth]
    told = [row for row in risk_table(mine) if row.estimate.printed]
    touches = life_is_touched(reading)
    found = {row.event: risk_line(row, touches, len(teeth)) for row in told}
    if reading.setting("risk.words") == "on":
        words = {row.event: frequency_of(row.estimate, reading.tables) for row in told}
        found = {event: replace(line, frequency=words[event]) for event, line in found.items()}
    rows = tuple(
        _row(code, (whole, stays, out), found)
        for code, whole, stays, out in COMPARED
        if stays in found or (stays == NONE_SEEN and whole in found and "cor_ln" in found)
    )
    moves = any(e.event == MIGRATION and e.state == "words" for e in mine)
    sources = tuple(dict.fromkeys(key for e in mine for key in e.sources))
    return Known(RootChoice(rows, tuple(sorted(teeth)), MIGRATION if moves else ""), sources)


CHOICES = (
    Fact(
        "root_choice",
        ("risk_estimates", "patient.matters", "settings.risk.words"),
        _root_choice,
        ("DALLE17", "MARTIN15"),
    ),
)
