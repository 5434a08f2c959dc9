"""
An INR, a drug list and a day > what published guidance says of blood thinners, beside the clinician's own decision.

Nothing here decides: it is what the clinician's decision is held against, and never an instruction to a patient.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, time
from fractions import Fraction
from typing import Literal

from docgen.clinical.medicine import drug_classes
from docgen.clinical.table import Row, Tables
from docgen.values import dataclass

InrRule = Literal["to_3_5", "below_4"]
DoacGuidance = Literal["ask_physician", "sdcep_2022"]
CLASSES = ("none", "antiplatelet", "vka", "doac", "other")
"""By the figure of bleeding, lowest first; "other" takes the figure of doac."""


@dataclass(frozen=True)
class InrVerdict:
    """Whether an INR lets the operation go on."""

    verdict: str
    """proceed, repeat_test or delay."""
    age_minutes: int
    """At the start, in whole elapsed minutes; negative if the blood was taken later."""
    source: tuple[str, ...]


def inr_too_high(value: Fraction, rule: str, tables: Tables) -> bool:
    """
    Tell whether an INR alone makes the operation wait.

    Errors: TableFault for a rule there is not.
    Source: table inr-rule (to_3_5: CDA24; below_4: SDCEP-VKA).
    """
    row = tables.table("inr-rule").row(rule)
    return value > row.number("highest") if "highest" in row else value >= row.number("below")


def inr_verdict(
    value: Fraction, taken_at: datetime, start: datetime, is_stable: bool, rule: str, tables: Tables
) -> InrVerdict:
    """
    Judge an INR: its value first, then its age at the start of the operation.

    Ages are elapsed, whatever the clocks did in between; the last minute of 24 and 72 hours is included. A clock
    time that a night has twice counts as the one that makes the test older.
    Errors: ValueError for a moment without time zone.
    Source: table inr-rule.
    """
    row = tables.table("inr-rule").row(rule)
    age = _minutes(min(_readings(taken_at)), max(_readings(start)))
    if inr_too_high(value, rule, tables):
        return InrVerdict("delay", age, row.source)
    hours = row.number("hours_if_stable" if is_stable else "hours")
    taken_later = _minutes(max(_readings(taken_at)), min(_readings(start))) < 0
    return InrVerdict("repeat_test" if taken_later or age > hours * 60 else "proceed", age, row.source)


def inr_is_old_unless_stable(taken_at: datetime, start: datetime, rule: str, tables: Tables) -> bool:
    """Tell whether the age of a test is one at which only stable values hold."""
    steady, other = (inr_verdict(Fraction(1), taken_at, start, stable, rule, tables) for stable in (True, False))
    return steady.verdict != other.verdict


def _readings(moment: datetime) -> tuple[datetime, datetime]:
    """Give both instants a clock time may mean; they differ only in a night in which the clocks change."""
    if moment.tzinfo is None:
        raise ValueError("a moment carries its time zone")
    first, second = (moment.replace(fold=fold).astimezone(UTC) for fold in (0, 1))
    return first, second


def _minutes(earlier: datetime, later: datetime) -> int:
    return int((later - earlier).total_seconds() // 60)


def thinner_class(inns: Sequence[str], tables: Tables) -> str:
    """
    Name the class of a blood thinner, or of a combination the one with the larger figure; other if no list holds it.

    Source: table drug-class (SDCEP-BR, SDCEP-DOAC).
    """
    found = []
    for inn in inns:
        mine = [name for name in ("doac", "vka", "antiplatelet") if name in drug_classes(inn, tables)]
        found.append(mine[0] if mine else "other")
    return max(found, key=CLASSES.index, default="none")


@dataclass(frozen=True)
class Thinner:
    """One blood thinner as it is taken."""

    inns: tuple[str, ...]
    """Plain INNs; several of a combination."""
    dose_times: tuple[time, ...] | None
    """Usual clock times; None: not known."""
    recent_event: str | None
    """A code, or none; None: not known."""


@dataclass(frozen=True)
class Guidance:
    """What the guidance says of one blood thinner."""

    inn: str
    decision: str
    """A code of the clinician's decisions."""
    longer_bleeding: bool
    reasons: tuple[str, ...]
    source: tuple[str, ...]
    """Source keys, or the tag of a rule without one."""


def antithrombotic_rule(
    thinners: Sequence[Thinner], is_low: bool, guidance: str, inr: str, tables: Tables
) -> tuple[Guidance, ...]:
    """
    Say for each blood thinner what the guidance would do; what it needs and nobody knows asks the physician.

    `is_low`: bleeding category low; `guidance` is the clinic's for direct oral anticoagulants, `inr` the verdict.
    Source: table antithrombotic-guidance.
    """
    taken = {inn for one in thinners for inn in one.inns}
    return tuple(_guidance(one, taken, is_low, guidance, inr, tables) for one in thinners)


def is_dual_antiplatelet(inns: Sequence[str], tables: Tables) -> bool:
    """Tell whether two or more antiplatelets are taken together."""
    return len({inn for inn in inns if "antiplatelet" in drug_classes(inn, tables)}) > 1


def _guidance(one: Thinner, taken: set[str], is_low: bool, guidance: str, inr: str, tables: Tables) -> Guidance:
    rows = tables.table("antithrombotic-guidance")
    kind = thinner_class(one.inns, tables)
    if kind == "other":
        row = rows.row("other_class")
    elif one.recent_event != "none":
        row = rows.row(one.recent_event or "recent_event_not_known")
    elif kind == "vka":
        row = rows.row("vka")
    elif kind == "doac":
        row = rows.row("doac_low") if is_low else _doac(one, guidance, tables)
    elif is_dual_antiplatelet(tuple(taken), tables):
        row = rows.row("dual_antiplatelet")
    else:
        alone = taken == set(rows.row("aspirin_alone").texts("inns"))
        row = rows.row("aspirin_alone" if alone else "other_antiplatelet")
    reasons = (row.id, f"inr_{inr}") if row.id == "vka" else (row.id,)
    longer = row.text("longer_bleeding", "no") == "yes"
    return Guidance(" + ".join(one.inns), row.text("decision"), longer, reasons, row.source or (row.tag,))


def _doac(one: Thinner, guidance: str, tables: Tables) -> Row:
    """Find the row of a direct oral anticoagulant before an operation of the higher category."""
    rows = tables.table("antithrombotic-guidance")
    if guidance != "sdcep_2022":
        return rows.row("doac_higher_asked")
    if not one.dose_times:
        return rows.row("dose_times_not_known")
    for row in (rows.row("doac_missed"), rows.row("doac_delayed")):
        if set(row.texts("inns")) & set(one.inns):
            is_morning = min(one.dose_times).hour < row.whole("before_hour")
            return row if is_morning else rows.row("doac_no_morning_dose")
    return rows.row("other_class")
