"""Difficulty: classes, totals and bands against the check values of the reference, section 9."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest
from clinical_patients import POSITIONS, TABLES

from docgen.clinical.position import (
    NotScored,
    RootTiming,
    kim_band,
    kim_total,
    pederson_band,
    pederson_bands,
    pederson_total,
    root_timing,
    winter_class,
    yuasa_flag,
)


@pytest.mark.parametrize(
    ("degrees", "expected"),
    [
        ("10", "vertical"),  # check 1 [IJD21] [JCM21]
        ("11", "mesioangular"),
        ("79", "mesioangular"),
        ("80", "horizontal"),
        ("-10", "vertical"),
        ("-11", "distoangular"),
        ("120", "other"),  # check 2 [IJD21] [SCIN]
        ("-95", "other"),
        ("100", "horizontal"),
        ("101", "other"),
        ("-79", "distoangular"),
        ("-80", "other"),
        ("10.4", "vertical"),  # whole degrees first, a half away from zero (specification 3.2)
        ("10.5", "mesioangular"),
        ("-10.5", "distoangular"),
        ("79.5", "horizontal"),
        ("100.5", "other"),
        ("-79.5", "other"),
        ("180", "other"),
        ("-180", "other"),
    ],
)
def test_an_angle_falls_into_one_class(degrees: str, expected: str) -> None:
    """Every angle has a class, gaps between whole degrees included."""
    assert expected == winter_class(Fraction(degrees), TABLES)


@pytest.mark.parametrize(("degrees", "expected"), [("101", "horizontal"), ("110", "horizontal"), ("111", "other")])
def test_the_clinic_may_let_class_other_begin_at_111(degrees: str, expected: str) -> None:
    """Under the reading of IJD21 the gap 101 to 110 counts as horizontal."""
    assert expected == winter_class(Fraction(degrees), TABLES, other_from=111)


def test_an_angle_beyond_half_a_turn_is_refused() -> None:
    """181 degrees is a slip of the pen."""
    with pytest.raises(ValueError, match="between -180 and 180"):
        winter_class(Fraction(181), TABLES)


@pytest.mark.parametrize(
    ("position", "total", "p8", "p7"),
    [
        (("vertical", "A", "III"), 7, "moderate", "very"),  # check 3 [DPOCK], bands [PDI18]
        (("mesioangular", "C", "I"), 5, "moderate", "moderate"),  # check 4 [DPOCK]
        (("distoangular", "C", "III"), 10, "very", "very"),  # check 5 [PDI18] [MEDASS]
        (("mesioangular", "A", "I"), 3, "slight", "slight"),  # check 6 [PDI18] [MEDASS]
        (("horizontal", "B", "II"), 6, "moderate", "moderate"),  # check 7 [PDI18] [MEDASS]
        (("transverse", "B", "II"), 6, "moderate", "moderate"),
    ],
)
def test_pederson_points_add_up_to_the_published_totals(
    position: tuple[str, str, str], total: int, p8: str, p7: str
) -> None:
    """Totals and bands of the checks; 7 is the one total whose band differs between the sets."""
    assert total == pederson_total("38", *position, TABLES)
    assert {"p8": p8, "p7": p7} == pederson_bands(total, TABLES)


def test_the_36_positions_spread_over_the_totals_as_counted() -> None:
    """Reference 1.3 (derived): 3:1, 4:3, 5:6, 6:8, 7:8, 8:6, 9:3, 10:1."""
    totals = Counter(pederson_total("48", *position, TABLES) for position in POSITIONS)
    assert {3: 1, 4: 3, 5: 6, 6: 8, 7: 8, 8: 6, 9: 3, 10: 1} == dict(totals)


def test_8_of_36_positions_change_their_band_with_the_set() -> None:
    """Reference 1.3 (derived)."""
    bands = [pederson_bands(pederson_total("48", *position, TABLES), TABLES) for position in POSITIONS]
    assert 8 == sum(band["p8"] != band["p7"] for band in bands)


@pytest.mark.parametrize("fdi", ["18", "28", "17", "46", "31", "75"])
def test_pederson_refuses_every_tooth_but_lower_thirds(fdi: str) -> None:
    """Check 11 (1.8): FDI 18 and 28 are refused, and so is any tooth the index was not made for."""
    with pytest.raises(NotScored):
        pederson_total(fdi, "vertical", "A", "I", TABLES)


def test_class_other_has_no_points_and_nothing_is_missing() -> None:
    """An inverted tooth is graded by the surgeon; its band stays not scorable."""
    total = pederson_total("38", "other", "C", "III", TABLES)
    assert "not_scorable" == total
    assert "not_scorable" == pederson_band(total, "p8", TABLES)


@pytest.mark.parametrize("position", [("sideways", "A", "I"), ("vertical", "D", "I"), ("vertical", "A", "IV")])
def test_an_unknown_entry_is_no_position(position: tuple[str, str, str]) -> None:
    """A code the index has no points for is refused, not scored as 0."""
    with pytest.raises(ValueError, match="no "):
        pederson_total("38", *position, TABLES)


@pytest.mark.parametrize("total", [2, 11])
def test_a_total_no_position_gives_has_no_band(total: int) -> None:
    """Totals run from 3 to 10."""
    with pytest.raises(ValueError, match="no position"):
        pederson_band(total, "p8", TABLES)


@pytest.mark.parametrize(
    ("winter", "level", "ratio", "reverse", "total", "band"),
    [
        ("other", 4, "0.2", True, 12, "extreme"),  # check 8 [KIM19] [JCM21]
        ("mesioangular", 1, "0.7", False, 3, "slight"),  # check 9 [JCM21]
        ("distoangular", 4, "0.2", False, 11, "extreme"),  # case 7 of the specification
        ("vertical", 2, "2/3", False, 7, "moderate"),  # 2/3 and 1/3 themselves belong to the middle
        ("vertical", 3, "1/3", False, 8, "very"),
        ("horizontal", 1, "0.34", False, 5, "moderate"),
    ],
)
def test_the_extended_index_adds_up_to_the_published_totals(
    winter: str, level: int, ratio: str, reverse: bool, total: int, band: str
) -> None:
    """Totals and bands of KIM19 with the definitions of JCM21."""
    found = kim_total("48", winter, level, Fraction(ratio), reverse, TABLES)
    assert (total, band) == (found, kim_band(found, TABLES))


@pytest.mark.parametrize("winter", ["other", "transverse"])
def test_the_extended_index_leaves_other_classes_to_the_surgeon(winter: str) -> None:
    """Only a reversed crown is scored whatever its angle."""
    found = kim_total("48", winter, 2, Fraction(1, 2), False, TABLES)
    assert ("not_scorable", "not_scorable") == (found, kim_band(found, TABLES))


def test_the_extended_index_refuses_upper_teeth_and_impossible_measures() -> None:
    """It was made for lower third molars, and lengths are not negative."""
    with pytest.raises(NotScored):
        kim_total("28", "vertical", 2, Fraction(1, 2), False, TABLES)
    with pytest.raises(ValueError, match="below 0"):
        kim_total("38", "vertical", 2, Fraction(-1, 2), False, TABLES)
    with pytest.raises(ValueError, match="no points"):
        kim_total("38", "vertical", 5, Fraction(1, 2), False, TABLES)


@pytest.mark.parametrize(
    ("depth", "ramus", "shapes", "expected"),
    [
        ("C", "I", ("straight",), True),  # any of the three [DT17]
        ("A", "III", ("straight",), True),
        ("A", "I", ("curved", "bulbous"), True),
        ("B", "II", ("straight",), False),
        ("C", None, None, True),
        ("B", "II", None, None),
        (None, "I", ("straight",), None),
    ],
)
def test_the_yuasa_flag_is_any_of_three_signs(
    depth: str | None, ramus: str | None, shapes: tuple[str, ...] | None, expected: bool | None
) -> None:
    """One sign decides; an unknown one decides nothing."""
    assert expected is yuasa_flag(depth, ramus, shapes)


@pytest.mark.parametrize(
    ("formed", "apex", "expected"),
    [
        ("1", "open", RootTiming("complete", favorable=False)),
        ("0.5", "closed", RootTiming("complete", favorable=False)),
        ("0.3", "open", RootTiming("early", favorable=False)),
        ("1/3", "open", RootTiming("forming", favorable=True)),  # one to two thirds [FACT]
        ("0.5", "open", RootTiming("forming", favorable=True)),
        ("2/3", None, RootTiming("forming", favorable=True)),
        ("0.7", "open", RootTiming("forming", favorable=False)),
        (None, "open", None),
        (None, None, None),
    ],
)
def test_roots_are_staged_by_what_is_formed(formed: str | None, apex: str | None, expected: RootTiming | None) -> None:
    """A closed apex completes a root; an unknown fraction is never made up from age."""
    assert expected == root_timing(None if formed is None else Fraction(formed), apex)


def test_more_than_a_whole_root_is_refused() -> None:
    """A fraction lies between 0 and 1."""
    with pytest.raises(ValueError, match="between 0 and 1"):
        root_timing(Fraction(3, 2), None)
