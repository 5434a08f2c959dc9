"""The likelihood tables > typed rows with conditions, sorted so that the order of the files decides nothing."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import Final

from docgen.answer import Answer
from docgen.clinical.likelihood.inputs import INPUT_NAMES, UNKNOWN, Inputs, Value
from docgen.clinical.likelihood.settings import SETTING_NAMES, RiskSettings
from docgen.clinical.table import Cell, Row, Tables
from docgen.clinical.table_file import parse_number
from docgen.values import dataclass

_OPERATORS: Final = frozenset({"is", "in", "over", "at_least"})
_LAST_RANK: Final = 1_000_000  # a base row stands after every stratum


@dataclass(frozen=True)
class Condition:
    """One axis input compared with the value of a row."""

    input: str
    operator: str
    values: tuple[str, ...]
    """Codes for `is` and `in`; one number for `over` and `at_least`."""

    def holds(self, inputs: Inputs) -> bool | None:
        """Tell whether the input fulfils the condition; None if the input is unknown."""
        value = inputs.value(self.input)
        if value is UNKNOWN:
            return None
        if self.operator in ("over", "at_least"):
            return self._reaches(value)
        return any(code in self.values for code in _codes(value))

    def _reaches(self, value: Value) -> bool:
        if isinstance(value, bool) or not isinstance(value, int | Fraction):
            return False
        limit = parse_number(self.values[0])
        return value > limit or (value == limit and self.operator == "at_least")


@dataclass(frozen=True)
class LikelihoodRow:
    """A row of the base, ratio or word table with its conditions read."""

    row: Row
    when: tuple[Condition, ...]
    """All must hold."""
    under: tuple[tuple[str, str], ...] = ()
    """Setting and value under which the row is in use."""

    @property
    def id(self) -> str:
        """The row's id."""
        return self.row.id

    def holds(self, inputs: Inputs) -> bool | None:
        """Tell whether all conditions hold; None if an unknown input decides."""
        parts = [condition.holds(inputs) for condition in self.when]
        if False in parts:
            return False
        return None if None in parts else True

    def unknown_inputs(self, inputs: Inputs) -> tuple[str, ...]:
        """Name the inputs of the conditions that nobody answered."""
        return tuple(c.input for c in self.when if c.holds(inputs) is None)

    def in_use(self, settings: RiskSettings) -> bool:
        """Tell whether the settings leave the row in use."""
        return all(settings.text(name) == value for name, value in self.under)


@dataclass(frozen=True)
class BaseRow(LikelihoodRow):
    """An absolute probability of one event."""

    rank: int = _LAST_RANK
    value: Fraction = Fraction(0)
    never_below: tuple[str, str] | None = None
    """Input and value of a patient this one's figure may not fall below."""
    or_more_when: tuple[Condition, ...] = ()
    """Where the words add "or more"."""

    @property
    def is_upper_bound(self) -> bool:
        """Tell whether the source says "below" this figure."""
        return self.row.text("bound", "") == "below"


@dataclass(frozen=True)
class RatioRow(LikelihoodRow):
    """A ratio, or a floor."""

    value: Fraction = Fraction(0)
    axis: str = ""
    measure: str = ""
    corroboration: Mapping[str, tuple[str, ...] | None] | None = None
    """Event to the sources that found the factor for it; None where the ratio was measured on this very event."""

    @property
    def is_floor(self) -> bool:
        """Tell whether the row is an absolute minimum."""
        return self.row.text("role") == "floor"

    @property
    def by_envelope(self) -> bool:
        """Tell whether the row acts through the difficulty total."""
        return self.row.text("envelope", "no") == "yes"

    @property
    def is_protective(self) -> bool:
        """Tell whether the ratio lowers a figure."""
        return not self.is_floor and self.value < 1

    @property
    def study(self) -> str:
        """The study the ratio is from."""
        return self.row.source[0]

    def acts_on(self, event: str) -> bool:
        """Tell whether the row names this event."""
        return event in (self.corroboration or {})

    def corroborated_by(self, event: str) -> tuple[str, ...] | None:
        """Name the sources that found the same factor for the event; None if measured on the event itself."""
        return (self.corroboration or {})[event]


@dataclass(frozen=True)
class WordRow(LikelihoodRow):
    """A factor, or a whole event, that has words and no figure."""

    events: tuple[str, ...] = ()

    @property
    def is_event(self) -> bool:
        """Tell whether the event itself is worded by this row."""
        return self.row.text("role") == "event"


@dataclass(frozen=True)
class RiskRows:
    """All rows of the engine."""

    bases: tuple[BaseRow, ...]
    """By rank, then id."""
    ratios: tuple[RatioRow, ...]
    """Ratios and floors, by id."""
    words: tuple[WordRow, ...]
    caps: Mapping[str, Row]
    """By event."""
    events: Mapping[str, Row]
    """By event, in the order of the file."""


@cache
def risk_rows(tables: Tables) -> RiskRows:
    """
    Read the rows of the engine.

    Errors: TableFault for a condition on an input or setting there is not, or an unknown source key.
    """
    bases = [_base_row(row) for row in tables.table("likelihood-base")]
    ratios = [_ratio_row(row, tables) for row in tables.table("likelihood-ratio")]
    words = [_word_row(row) for row in tables.table("likelihood-words")]
    return RiskRows(
        bases=tuple(sorted(bases, key=lambda r: (r.rank, r.id))),
        ratios=tuple(sorted(ratios, key=lambda r: r.id)),
        words=tuple(sorted(words, key=lambda r: r.id)),
        caps={row.id: row for row in tables.table("likelihood-cap")},
        events={row.id: row for row in tables.table("likelihood-event")},
    )


def _base_row(row: Row) -> BaseRow:
    rank = row.whole("rank") if row.text("role") == "stratum" else _LAST_RANK
    below = row.texts("never_below")
    return BaseRow(
        row=row,
        when=_conditions(row, "when"),
        under=_under(row),
        rank=rank,
        value=row.number("value"),
        never_below=(below[0], below[1]) if below else None,
        or_more_when=_conditions(row, "or_more_when"),
    )


def _ratio_row(row: Row, tables: Tables) -> RatioRow:
    corroboration: dict[str, tuple[str, ...] | None] = {}
    for pair in row.list("events"):
        event, by = pair if isinstance(pair, tuple) and len(pair) == 2 else ("", "")
        if not isinstance(event, str) or not event:
            raise row.fault("events are a list of names with sources")
        keys = tuple(str(key) for key in by) if isinstance(by, tuple) else ()
        if by != "this" and not isinstance(by, tuple):
            raise row.fault("an event has the word this, or a list of sources")
        for key in (*keys, *row.texts("contradicted_by")):
            tables.source(key)
        corroboration[event] = None if by == "this" else keys
    is_ratio = row.text("role") == "ratio"
    if is_ratio and len(row.source) != 1:
        raise row.fault("a ratio is of one study")
    return RatioRow(
        row=row,
        when=_conditions(row, "when"),
        under=_under(row),
        value=row.number("value"),
        axis=row.text("axis") if is_ratio else "",
        measure=row.text("measure") if is_ratio else "",
        corroboration=corroboration,
    )


def _word_row(row: Row) -> WordRow:
    return WordRow(row=row, when=_conditions(row, "when"), events=row.texts("events"))


def _under(row: Row) -> tuple[tuple[str, str], ...]:
    pairs = []
    for cell in row.list("under"):
        match cell:
            case (str(name), "is", str(value)) if name in SETTING_NAMES:
                pairs.append((name, value))
            case _:
                raise row.fault("under is a list of [setting, is, value]")
    return tuple(pairs)


def _conditions(row: Row, column: str) -> tuple[Condition, ...]:
    return tuple(_condition(row, cell) for cell in row.list(column))


def _condition(row: Row, cell: Cell) -> Condition:
    match cell:
        case (str(name), str(operator), value) if name in INPUT_NAMES and operator in _OPERATORS:
            values = value if isinstance(value, tuple) else (value,)
            return Condition(name, operator, tuple(str(v) for v in values))
    raise row.fault("a condition is [input, is | in | over | at_least, value]")


def _codes(value: Value) -> tuple[str, ...]:
    match value:
        case bool():
            return ("yes" if value else "no",)
        case tuple():
            return value
        case Answer():
            return ()
        case _:
            return (str(value),)
