"""What the engine gives back: one estimate for each tooth and event, with the whole way it was reached."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from fractions import Fraction
from typing import Literal

from docgen.clinical.likelihood.inputs import Value
from docgen.values import dataclass

State = Literal["figure", "words", "not_assessed", "does_not_apply", "no_figures_for_procedure"]
Frame = Literal["about", "as many as", "fewer than"]
Column = Literal["removal", "coronectomy", "review"]


@dataclass(frozen=True)
class Printed:
    """A rounded figure in the one format patients get: both frames over one denominator."""

    affected: int
    not_affected: int
    denominator: Literal[1000, 100_000]
    frame: Frame

    @property
    def probability(self) -> Fraction:
        """The figure as a probability, for comparing."""
        return Fraction(self.affected, self.denominator)


@dataclass(frozen=True)
class BaseUsed:
    """The absolute figure everything starts from."""

    row: str
    probability: Fraction
    source: tuple[str, ...]
    tag: str
    is_upper_bound: bool
    """The source says "below" this figure."""


@dataclass(frozen=True)
class Applied:
    """A ratio that changed the figure."""

    row: str
    axis: str
    measure: str
    """OR or RR."""
    value: Fraction
    ci: tuple[Fraction, ...]
    """Lower and upper bound; empty where the source gives none."""
    source: tuple[str, ...]
    tag: str
    scope: str
    """this = measured on this event; any_complication = on a composite."""
    corroborated_by: tuple[str, ...]
    """Sources that found the same factor for this event; empty where it was measured on it."""
    contradicted_by: tuple[str, ...]
    by_envelope: bool
    """Raised by the score envelope."""


@dataclass(frozen=True)
class Bound:
    """A floor or a cap."""

    row: str
    value: Fraction
    source: tuple[str, ...]
    tag: str
    reached: bool
    """It changed the figure."""


@dataclass(frozen=True)
class NotUsed:
    """A ratio that names the event and did not act, and why."""

    row: str
    why: Literal[
        "condition_does_not_hold",
        "not_corroborated",
        "composite_ratios_off",
        "contradicted",
        "envelope_off",
        "protective_off",
        "memory_not_approved",
        "smaller_on_axis",
        "outside_best_studies",
    ]
    seen: tuple[tuple[str, Value], ...] = ()
    """The inputs that did not fit, with their values."""


@dataclass(frozen=True)
class Reported:
    """A published range the figure may be seen against."""

    low: Fraction | None
    high: Fraction | None
    source: tuple[str, ...]
    note: str


@dataclass(frozen=True)
class Trace:
    """How one figure was reached, for the staff page."""

    base: BaseUsed | None = None
    applied: tuple[Applied, ...] = ()
    """Odds ratios first, then relative risks, protective ones last."""
    odds_before: Fraction | None = None
    odds_ratio_product: Fraction = Fraction(1)
    odds_after: Fraction | None = None
    relative_risk_product: Fraction = Fraction(1)
    combined: Fraction | None = None
    """After the ratios, before floor and cap."""
    floor: Bound | None = None
    """The highest floor that holds."""
    cap: Bound | None = None
    probability: Fraction | None = None
    """After floor and cap, unrounded."""
    not_used: tuple[NotUsed, ...] = ()
    not_assessed: tuple[str, ...] = ()
    """Inputs nobody answered that could have changed the figure."""
    words: tuple[str, ...] = ()
    """Word rows that hold, by id."""
    reported: tuple[Reported, ...] = ()
    as_if: tuple[str, str] | None = None
    """Input and value this run was made with instead of the recorded one; None for the patient as recorded."""
    rival: Trace | None = None
    """The lower of two runs, where a patient's figure may not fall below another's."""
    editions: Mapping[str, str] = field(default_factory=dict)
    """Likelihood tables and their editions."""


@dataclass(frozen=True)
class Estimate:
    """One event for one tooth: a figure, words, or the reason why there is neither."""

    event: str
    fdi: str
    state: State
    per: Literal["tooth", "patient"]
    column: Column
    must_print: bool
    """Printed however rare it is, for this tooth."""
    staff_only: bool
    trace: Trace
    printed: Printed | None = None
    probability: Fraction | None = None
    """Unrounded, after floor and cap."""
    or_more: bool = False
    """The words add "or more"."""

    @property
    def words(self) -> tuple[str, ...]:
        """Word rows that hold, by id."""
        return self.trace.words

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of all sources behind the figure, in order of use."""
        used = (self.trace.base.source if self.trace.base else (), *(a.source for a in self.trace.applied))
        corroborating = (a.corroborated_by for a in self.trace.applied)
        bounds = (b.source for b in (self.trace.floor, self.trace.cap) if b and b.reached)
        return tuple(dict.fromkeys(key for keys in (*used, *corroborating, *bounds) for key in keys))
