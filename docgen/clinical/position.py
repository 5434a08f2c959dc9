"""
How a third molar lies > Winter class, difficulty totals and bands, root stage.

The totals grade an operation, they forecast no time and link to no risk but by the likelihood engine's envelope.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Final, Literal

from docgen.clinical.rounding import half_away_from_zero
from docgen.clinical.table import Table, Tables
from docgen.clinical.teeth import tooth_class
from docgen.values import dataclass

NOT_SCORABLE: Final = "not_scorable"
"""Nothing is missing, but the index has no points for this class: the surgeon grades the tooth."""

Total = int | Literal["not_scorable"]
BandSet = Literal["p8", "p7"]
RootStage = Literal["early", "forming", "complete"]

_THIRD: Final = Fraction(1, 3)
_TWO_THIRDS: Final = Fraction(2, 3)
_CLASSES: Final = ("vertical", "mesioangular", "horizontal", "distoangular", "transverse", "other")


class NotScored(ValueError):
    """The index was made for lower third molars; for this tooth or entry it gives no total."""


@dataclass(frozen=True)
class RootTiming:
    """How far the roots are formed."""

    stage: RootStage
    favorable: bool
    """From one to two thirds formed with an open apex: usually the easier time."""


def winter_class(angle_degrees: Fraction, tables: Tables, other_from: int = 101) -> str:
    """
    Class the angle between the long axes of third and second molar, plus = tipped mesially.

    Units: degrees, -180 to 180, rounded half away from zero first. `other_from` 111 counts 101-110 as horizontal.
    Errors: ValueError outside the range.
    Source: table winter-class.
    """
    if not -180 <= angle_degrees <= 180:
        raise ValueError("an angle lies between -180 and 180 degrees")
    degrees = half_away_from_zero(angle_degrees)
    for row in tables.table("winter-class"):
        in_use = "other_from" not in row or row.whole("other_from") == other_from
        if in_use and row.number("low") <= degrees <= row.number("high"):
            return row.text("class")
    return "other"


def pederson_total(fdi: str, winter: str, depth: str, ramus: str, tables: Tables) -> Total:
    """
    Add up Pederson's points of a lower third molar: 3 to 10, or not scorable for class other.

    Errors: NotScored for any other tooth, upper third molars above all; ValueError for an unknown entry.
    Source: table pederson (PDI18).
    """
    _require_lower_third(fdi)
    if _known_class(winter) == "other":
        return NOT_SCORABLE
    return sum(points for _, points in pederson_points(winter, depth, ramus, tables))


def pederson_points(winter: str, depth: str, ramus: str, tables: Tables) -> tuple[tuple[str, int], ...]:
    """Name the rows of Pederson's index that apply, each with its points."""
    return _parts(tables.table("pederson"), f"relation_{winter}", f"depth_{depth}", f"ramus_{ramus}")


def pederson_band(total: Total, band_set: BandSet, tables: Tables) -> str:
    """
    Name the band of a total: slight, moderate or very; not scorable stays so.

    Errors: ValueError for a total no position gives.
    Source: table pederson-band (p8: PDI18; p7: DPOCK).
    """
    return _band(total, tables.table("pederson-band"), band_set)


def pederson_bands(total: Total, tables: Tables) -> dict[BandSet, str]:
    """Name the band in either set; they differ at 7, where both are printed."""
    return {"p8": pederson_band(total, "p8", tables), "p7": pederson_band(total, "p7", tables)}


def kim_total(fdi: str, winter: str, level: int, space_ratio: Fraction, reverse: bool, tables: Tables) -> Total:
    """
    Add up the extended index of a fully impacted lower third molar: 3 to 12.

    Units: `space_ratio` = distance second molar to ramus / width of the third molar; `level` 1 to 4.
    A crown that points rootward (`reverse`) is scored whatever its angle; otherwise other and transverse are not.
    Errors: NotScored for any other tooth; ValueError for an unknown entry or a ratio below 0.
    Source: table kim (KIM19, JCM21). The point for a lesion is of one study only (KU20) and not added.
    """
    _require_lower_third(fdi)
    if space_ratio < 0:
        raise ValueError("a ratio of two lengths is not below 0")
    if not reverse and _known_class(winter) in ("other", "transverse"):
        return NOT_SCORABLE
    return sum(points for _, points in kim_points(winter, level, space_ratio, reverse, tables))


def kim_points(
    winter: str, level: int, space_ratio: Fraction, reverse: bool, tables: Tables
) -> tuple[tuple[str, int], ...]:
    """Name the rows of the extended index that apply, each with its points."""
    space = "wide" if space_ratio > _TWO_THIRDS else "narrow" if space_ratio < _THIRD else "middle"
    relation = "reverse" if reverse else winter
    return _parts(tables.table("kim"), f"relation_{relation}", f"level_{level}", f"space_{space}")


def kim_band(total: Total, tables: Tables) -> str:
    """Name the band of the extended index: slight, moderate, very or extreme."""
    return _band(total, tables.table("kim-band"), "kim")


def yuasa_flag(depth: str | None, ramus: str | None, root_shapes: Iterable[str] | None) -> bool | None:
    """
    Mark a difficult lower third molar: depth C, ramus III or bulbous roots; None if an unknown part decides.

    Source: DT17.
    """
    parts = (
        None if depth is None else depth == "C",
        None if ramus is None else ramus == "III",
        None if root_shapes is None else "bulbous" in root_shapes,
    )
    if True in parts:
        return True
    return None if None in parts else False


def root_timing(root_fraction: Fraction | None, apex: str | None) -> RootTiming | None:
    """
    Stage the roots by their formed fraction (0-1) and the apex (open, closed); never by age.

    None if the fraction is needed and not known.
    Errors: ValueError outside 0-1.
    Source: AAOMS14, FACT; that a root under a third makes the tooth spin is memory.
    """
    if root_fraction is not None and not 0 <= root_fraction <= 1:
        raise ValueError("a formed fraction lies between 0 and 1")
    if apex == "closed" or root_fraction == 1:
        return RootTiming("complete", favorable=False)
    if root_fraction is None:
        return None
    if root_fraction < _THIRD:
        return RootTiming("early", favorable=False)
    return RootTiming("forming", favorable=root_fraction <= _TWO_THIRDS)


def _require_lower_third(fdi: str) -> None:
    if tooth_class(fdi) != "lower_third":
        raise NotScored("the index scores lower third molars only")


def _known_class(winter: str) -> str:
    if winter not in _CLASSES:
        raise ValueError(f"no class {winter}")
    return winter


def _parts(table: Table, *parts: str) -> tuple[tuple[str, int], ...]:
    known = {row.id: row.whole("points") for row in table}
    for part in parts:
        if part not in known:
            raise ValueError(f"no points for {part}")
    return tuple((part, known[part]) for part in parts)


def _band(total: Total, table: Table, band_set: str) -> str:
    if isinstance(total, str):
        return NOT_SCORABLE
    for row in table:
        if row.text("set") == band_set and row.number("low") <= total <= row.number("high"):
            return row.text("band")
    raise ValueError("no position gives this total")
