"""Tooth items, numbers and settings > facts of teeth: names, classes, position, difficulty (specification 3.2)."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from typing import Any

from docgen.answer import Answer
from docgen.clinical.position import (
    NOT_SCORABLE,
    kim_band,
    kim_points,
    kim_total,
    pederson_band,
    pederson_bands,
    pederson_points,
    pederson_total,
    root_timing,
    winter_class,
    yuasa_flag,
)
from docgen.clinical.teeth import (
    NotATooth,
    to_fdi,
    tooth_class,
    tooth_jaw,
    tooth_palmer,
    tooth_side,
    tooth_universal,
)
from docgen.facts.fact import Fact, Known, NeedMissing, Reading
from docgen.values import dataclass

TOOTH_PATHS = (
    "referral.teeth",
    "plan.procedures[].tooth",
    "operation.procedures[].tooth",
    "consent.teeth",
    "teeth[].tooth",
)
"""Every place where a tooth number stands for a decision or a finding."""


def _tooth_fdi(reading: Reading) -> dict[str, str]:
    """Give the FDI number for each number as written; a number that is no tooth is left to gate 3."""
    notation = reading.need("record.tooth_notation")
    found: dict[str, str] = {}
    for written in _written(reading):
        try:
            found[written] = to_fdi(written, notation)
        except NotATooth:
            continue
    return found


def _written(reading: Reading) -> Iterator[str]:
    for pattern in TOOTH_PATHS:
        for path in reading.expand(pattern) if "[]" in pattern else (pattern,):
            value = reading.value(path)
            if isinstance(value, str):
                yield value
            elif isinstance(value, tuple):
                yield from value
    images = reading.value("imaging")
    for image in images if isinstance(images, tuple) else ():
        yield from image.teeth if isinstance(image.teeth, tuple) else ()


@dataclass(frozen=True)
class ToothItem:
    """One tooth the document is about, and where its findings stand."""

    fdi: str
    path: str
    """Of the tooth item; empty if there is none."""


def tooth_items(reading: Reading) -> tuple[ToothItem, ...]:
    """List the teeth in question with their items, in FDI order."""
    fdi = reading.fact("tooth_fdi")
    paths = {fdi.get(str(reading.value(f"{path}.tooth"))): path for path in reading.expand("teeth[]")}
    return tuple(ToothItem(tooth, paths.get(tooth, "")) for tooth in reading.fact("teeth_in_question"))


def per_tooth(function: Callable[[Reading, ToothItem], Any], *classes: str) -> Callable[[Reading], Known]:
    """
    Make a fact of one value for each tooth in question; other classes are not applicable.

    Errors: NeedMissing with the needs of every tooth that lacks one, and the values of the others.
    """

    def stated(reading: Reading) -> Known:
        values: dict[str, Any] = {}
        working: list[str] = []
        lacking: list[NeedMissing] = []
        for item in tooth_items(reading):
            try:
                found = Answer.NOT_APPLICABLE
                if not classes or tooth_class(item.fdi) in classes:
                    found = function(reading, _with_findings(item))
            except NeedMissing as missing:
                lacking.append(missing)
                continue
            values[item.fdi] = found.value if isinstance(found, Known) else found
            working += [f"{item.fdi}: {found.working}"] if isinstance(found, Known) else []
        if lacking:
            needs = dict.fromkeys(need for one in lacking for need in one.needs)
            raise NeedMissing(tuple(needs), asked=all(one.asked for one in lacking), partial=values)
        return Known(values, working="; ".join(working))

    return stated


def _with_findings(item: ToothItem) -> ToothItem:
    if not item.path:
        raise NeedMissing(("teeth",))
    return item


def _of_each(function: Callable[[str], str]) -> Callable[[Reading], dict[str, str]]:
    """Make a fact of one value for each tooth named anywhere in the case, by its FDI number."""
    return lambda reading: {tooth: function(tooth) for tooth in sorted(set(reading.fact("tooth_fdi").values()))}


def _any_class(*classes: str) -> Callable[[Reading], bool]:
    return lambda reading: any(reading.fact("tooth_class")[t] in classes for t in reading.fact("teeth_in_question"))


def _winter(reading: Reading, item: ToothItem) -> str:
    degrees = reading.value(f"{item.path}.angle_degrees")
    if degrees is not None and not isinstance(degrees, Answer):
        return winter_class(Fraction(degrees), reading.tables, int(reading.setting("difficulty.other_from")))
    recorded = reading.value(f"{item.path}.angle_class")
    if isinstance(recorded, str):
        return recorded
    raise NeedMissing((f"{item.path}.angle_degrees",), asked=degrees is Answer.NOT_KNOWN)


def _pederson(reading: Reading, item: ToothItem) -> Known | str:
    winter = reading.of_tooth("winter_class", item.fdi)
    if winter == "other":
        return NOT_SCORABLE
    depth, ramus = reading.need(f"{item.path}.depth"), reading.need(f"{item.path}.ramus")
    if isinstance(ramus, Answer):  # not applicable is no answer for a lower third molar
        raise NeedMissing((f"{item.path}.ramus",))
    total = pederson_total(item.fdi, winter, depth, ramus, reading.tables)
    return Known(total, working=_sum(pederson_points(winter, depth, ramus, reading.tables)))


def _sum(points: tuple[tuple[str, int], ...]) -> str:
    """Write points as a sum of keys and figures."""
    return f"{' + '.join(f'{key} {number}' for key, number in points)} = {sum(number for _, number in points)}"


@dataclass(frozen=True)
class Bands:
    """The band of a total, and what both band sets call it."""

    band: str
    band_set: str
    p8: str
    p7: str
    sets_differ: bool


def _pederson_band(reading: Reading, item: ToothItem) -> Bands | str:
    total = reading.of_tooth("pederson_total", item.fdi)
    if total == NOT_SCORABLE:
        return NOT_SCORABLE
    chosen = reading.setting("difficulty.band_set")
    both = pederson_bands(total, reading.tables)
    return Bands(pederson_band(total, chosen, reading.tables), chosen, both["p8"], both["p7"], both["p8"] != both["p7"])


def _kim(reading: Reading, item: ToothItem) -> Any:
    """Score a fully impacted tooth; nothing recorded under kim is unknown, not inapplicable."""
    kim = reading.value(f"{item.path}.kim")
    if isinstance(kim, Answer) or reading.need(f"{item.path}.eruption") != "fully_impacted":
        return Answer.NOT_APPLICABLE
    reverse = bool(reading.need(f"{item.path}.kim.reverse"))
    winter = "" if reverse else reading.of_tooth("winter_class", item.fdi)
    if winter in ("other", "transverse"):
        return NOT_SCORABLE
    level, ratio = reading.need(f"{item.path}.kim.level"), Fraction(reading.need(f"{item.path}.kim.space_ratio"))
    total = kim_total(item.fdi, winter, level, ratio, reverse, reading.tables)
    return Known(total, working=_sum(kim_points(winter, level, ratio, reverse, reading.tables)))


def _kim_band(reading: Reading, item: ToothItem) -> Any:
    total = reading.of_tooth("kim_total", item.fdi)
    return kim_band(total, reading.tables) if isinstance(total, int) else total


def _yuasa(reading: Reading, item: ToothItem) -> bool:
    answers = [reading.value(f"{item.path}.{name}") for name in ("depth", "ramus", "root_shape")]
    depth, ramus, shapes = (None if isinstance(a, Answer) else a for a in answers)
    flag = yuasa_flag(depth, ramus, shapes)
    if flag is None:
        parts = zip(("depth", "ramus", "root_shape"), (depth, ramus, shapes), strict=True)
        lacking = tuple(f"{item.path}.{name}" for name, part in parts if part is None)
        raise NeedMissing(lacking, asked=None not in answers)
    return flag


def _root_timing(reading: Reading, item: ToothItem) -> Any:
    """Judge how far the roots have grown; those of a primary tooth are on their way out, so it says nothing there."""
    if tooth_class(item.fdi) == "primary":
        return Answer.NOT_APPLICABLE
    fraction, apex = reading.value(f"{item.path}.root_fraction"), reading.value(f"{item.path}.apex")
    timing = root_timing(
        None if fraction is None or isinstance(fraction, Answer) else Fraction(fraction),
        None if isinstance(apex, Answer) else apex,
    )
    if timing is None:
        raise NeedMissing((f"{item.path}.root_fraction",), asked=fraction is Answer.NOT_KNOWN)
    return timing


ALL_LOWER = "lower_third"
UPPER = ("upper_third", "upper_posterior")

PER_TOOTH = ("teeth[].tooth", "teeth_in_question", "tooth_fdi")
"""What every fact of one value for each tooth needs to find its tooth items."""

NUMBERS = (
    Fact("tooth_fdi", ("imaging", "record.tooth_notation", *TOOTH_PATHS), _tooth_fdi, ("FDI-W", "FDI-SSD")),
    Fact("tooth_universal", ("tooth_fdi",), _of_each(tooth_universal), ("FDI-W", "FDI-SSD")),
    Fact("tooth_palmer", ("tooth_fdi",), _of_each(tooth_palmer), ("FDI-W", "FDI-SSD")),
    Fact("tooth_side", ("tooth_fdi",), _of_each(tooth_side), ("FDI-W",)),
    Fact("tooth_jaw", ("tooth_fdi",), _of_each(tooth_jaw), ("FDI-W",)),
    Fact("tooth_class", ("tooth_fdi",), _of_each(tooth_class), ("FDI-W",)),
    Fact("tooth_words", ("tooth_fdi",), _of_each(str), ("LOC-QA",)),
)

TEETH = (
    Fact("lower_third_planned", ("teeth_in_question", "tooth_class"), _any_class("lower_third"), ("design",)),
    Fact(
        "third_molar_planned",
        ("teeth_in_question", "tooth_class"),
        _any_class("lower_third", "upper_third"),
        ("design",),
    ),
    Fact("upper_posterior_planned", ("teeth_in_question", "tooth_class"), _any_class(*UPPER), ("design",)),
    Fact("several_teeth_planned", ("teeth_in_question",), lambda r: len(r.fact("teeth_in_question")) > 1, ("design",)),
    Fact(
        "winter_class",
        (*PER_TOOTH, "teeth[].angle_degrees", "teeth[].angle_class", "settings.difficulty.other_from"),
        per_tooth(_winter, "lower_third", "upper_third"),
        ("IJD21", "SCIN"),
    ),
    Fact(
        "pederson_total",
        (*PER_TOOTH, "winter_class", "teeth[].depth", "teeth[].ramus"),
        per_tooth(_pederson, ALL_LOWER),
        ("PDI18",),
    ),
    Fact(
        "pederson_band",
        (*PER_TOOTH, "pederson_total", "settings.difficulty.band_set"),
        per_tooth(_pederson_band, ALL_LOWER),
        ("PDI18", "DPOCK"),
    ),
    Fact(
        "kim_total",
        (*PER_TOOTH, "teeth[].eruption", "winter_class", "teeth[].kim"),
        per_tooth(_kim, ALL_LOWER),
        ("KIM19", "JCM21"),
    ),
    Fact(
        "kim_band",
        (
            *PER_TOOTH,
            "kim_total",
        ),
        per_tooth(_kim_band, ALL_LOWER),
        ("KIM19",),
    ),
    Fact(
        "yuasa_flag",
        (*PER_TOOTH, "teeth[].depth", "teeth[].ramus", "teeth[].root_shape"),
        per_tooth(_yuasa, ALL_LOWER),
        ("DT17",),
    ),
    Fact(
        "root_timing",
        (*PER_TOOTH, "teeth[].root_fraction", "teeth[].apex"),
        per_tooth(_root_timing),
        ("cp", "AAOMS14", "FACT"),
    ),
)
