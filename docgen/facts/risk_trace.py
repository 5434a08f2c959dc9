"""The estimates > how each printed figure came about, for the clinician (specification 4.6)."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

from docgen.clinical.likelihood import Estimate, missing_must_print
from docgen.facts.fact import Fact, Known, Reading
from docgen.facts.risk_line import told_as
from docgen.values import dataclass


@dataclass(frozen=True)
class RatioLine:
    """A ratio that was applied."""

    row: str
    measure: str
    value: Decimal
    source: tuple[str, ...]
    composite: bool
    corroborated_by: tuple[str, ...]
    by_envelope: bool


@dataclass(frozen=True)
class TraceLine:
    """How one figure came about, for the clinician (specification 4.6)."""

    event: str
    tooth: str
    has_figure: bool
    staff_only: bool
    """The patient is not told this figure."""
    base_percent: Decimal
    base_source: tuple[str, ...]
    ratios: tuple[RatioLine, ...]
    raw_percent: Decimal
    floor_reached: bool
    cap_percent: Decimal | None
    cap_reached: bool
    affected: int
    denominator: int
    frame: str
    """about, as_many_as, fewer_than."""
    low_percent: Decimal | None
    high_percent: Decimal | None
    """Ends of the range in other reports; None where none with a source is held."""
    range_source: tuple[str, ...]
    not_used: tuple[str, ...]
    not_assessed: tuple[str, ...]
    words: tuple[str, ...]


def decimal_of(value: Fraction, places: int) -> Decimal:
    """Write a fraction with up to some decimals, half away from zero: for the trace only, never for a figure."""
    scaled = value * 10**places
    whole = (2 * scaled.numerator + scaled.denominator) // (2 * scaled.denominator)
    while places and whole % 10 == 0:  # a zero at the end would claim a precision nobody has
        whole, places = whole // 10, places - 1
    return Decimal(whole).scaleb(-places)


def _end(bounds: list[Fraction], choose: Callable[[list[Fraction]], Fraction]) -> Decimal | None:
    """Give one end of the range in other reports, in percent."""
    return decimal_of(choose(bounds) * 100, 4) if bounds else None


def _trace_line(estimate: Estimate) -> TraceLine | None:
    trace, printed = estimate.trace, estimate.printed
    if trace.base is None or printed is None or trace.probability is None:
        return None
    ratios = tuple(
        RatioLine(
            a.row, a.measure, decimal_of(a.value, 2), a.source, a.scope != "this", a.corroborated_by, a.by_envelope
        )
        for a in trace.applied
    )
    sourced = [r for r in trace.reported if r.source]  # a bound from memory is held, and does not print
    return TraceLine(
        told_as(estimate),
        estimate.fdi,
        True,
        estimate.staff_only,
        decimal_of(trace.base.probability * 100, 4),
        trace.base.source,
        ratios,
        decimal_of(trace.probability * 100, 4),
        bool(trace.floor and trace.floor.reached),
        decimal_of(trace.cap.value * 100, 4) if trace.cap else None,
        bool(trace.cap and trace.cap.reached),
        printed.affected,
        printed.denominator,
        printed.frame.replace(" ", "_"),
        _end([r.low for r in sourced if r.low is not None], min),
        _end([r.high for r in sourced if r.high is not None], max),
        tuple(dict.fromkeys(key for r in sourced for key in r.source)),
        tuple(dict.fromkeys(n.row for n in trace.not_used)),
        trace.not_assessed,
        trace.words,
    )


def _trace(reading: Reading) -> Known:
    estimates = reading.fact("risk_estimates")
    lines = tuple(line for estimate in estimates if (line := _trace_line(estimate)) is not None)
    sources = tuple(dict.fromkeys(key for estimate in estimates for key in estimate.sources))
    return Known(lines, sources, "; ".join(_in_one_line(line) for line in lines))


def _in_one_line(line: TraceLine) -> str:
    """Write the arithmetic of one figure in identifiers and numbers (specification 4.6)."""
    ratios = [f"{r.measure} {r.value} {r.row} {' '.join(r.source)}" for r in line.ratios]
    parts = [
        f"{line.event} {line.tooth}",
        f"base {line.base_percent} % {' '.join(line.base_source)}",
        *ratios,
        f"{line.raw_percent} %",
        f"cap {line.cap_percent} %{' reached' if line.cap_reached else ''}"
        if line.cap_percent is not None
        else "no cap",
        f"printed {line.affected} of {line.denominator}",
    ]
    return " | ".join(parts)


@dataclass(frozen=True)
class SourceLine:
    """A source of the figures printed."""

    key: str
    title: str


def _sources(reading: Reading) -> tuple[SourceLine, ...]:
    found = {key for e in reading.fact("risk_estimates") if e.printed is not None for key in e.sources}
    return tuple(SourceLine(key, reading.tables.source(key).title) for key in sorted(found))


RISK_TRACE = (
    Fact("risk_trace", ("risk_estimates",), _trace, ("design",)),
    Fact("risk_sources", ("risk_estimates",), _sources, ("design",)),
    Fact(
        "risk_must_print",
        ("risk_estimates",),
        lambda r: not missing_must_print(r.fact("risk_estimates")),
        ("design",),
        False,
    ),
)
