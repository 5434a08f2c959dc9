"""The estimates > leaving the root beside taking out the whole tooth, figure by figure (specification 4.4, C9)."""

from __future__ import annotations

from dataclasses import dataclass, replace

from docgen.clinical.likelihood import risk_table
from docgen.facts.fact import Fact, Known, Reading
from docgen.facts.risk_line import RiskLine, frequency_of, risk_line


@dataclass(frozen=True)
class ChoiceRow:
    """One event under each of the two choices, and under the third way the second may end."""

    compared: str
    whole_tooth: RiskLine | None
    root_stays: RiskLine | None
    root_comes_out: RiskLine | None
    only_if_left: bool
    """The event cannot happen where the whole tooth is taken."""


@dataclass(frozen=True)
class RootChoice:
    """Removal and coronectomy side by side, for the teeth whose root may stay."""

    rows: tuple[ChoiceRow, ...]
    teeth: tuple[str, ...]
    root_moves: str
    """Code of the event that is told in words, the migration of the root; empty where it does not apply."""


COMPARED = (
    ("lip", "ian_temporary", "cor_ian_root_stays", "cor_ian_root_out"),
    ("lip_lasting", "ian_permanent", "cor_ian_permanent_root_stays", "cor_ian_permanent_root_out"),
    ("tongue", "ln_temporary", "cor_ln", ""),
    ("dry_socket", "dry_socket", "cor_dry_socket", ""),
    ("infection", "infection", "cor_infection", ""),
    ("root_later", "", "cor_failed", ""),
    ("root_pulp", "", "cor_pulp", ""),
)
"""Code of the row, and the events of its three columns."""

MIGRATION = "cor_migration"


def _root_choice(reading: Reading) -> Known:
    """Compare the teeth with figures of a coronectomy only: of several, each figure is the highest."""
    estimates = reading.fact("risk_estimates")
    teeth = {e.fdi for e in estimates if e.column == "coronectomy" and e.state == "figure"}
    mine = [e for e in estimates if e.fdi in teeth]
    told = [row for row in risk_table(mine) if row.estimate.printed]
    found = {row.event: risk_line(row, False, len(teeth)) for row in told}
    if reading.setting("risk.words") == "on":
        words = {row.event: frequency_of(row.estimate, reading.tables) for row in told}
        found = {event: replace(line, frequency=words[event]) for event, line in found.items()}
    rows = tuple(
        ChoiceRow(code, found.get(whole), found.get(stays), found.get(out), not whole)
        for code, whole, stays, out in COMPARED
        if stays in found
    )
    moves = any(e.event == MIGRATION and e.state == "words" for e in mine)
    sources = tuple(dict.fromkeys(key for e in mine for key in e.sources))
    return Known(RootChoice(rows, tuple(sorted(teeth)), MIGRATION if moves else ""), sources)


CHOICES = (Fact("root_choice", ("risk_estimates", "settings.risk.words"), _root_choice, ("DALLE17", "MARTIN15")),)
