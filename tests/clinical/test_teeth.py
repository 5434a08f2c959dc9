"""Tooth numbers in three notations (reference, section 6), and what follows from a number alone."""

from __future__ import annotations

import re
from typing import Final

import pytest

from docgen.clinical.teeth import (
    ALL_TEETH,
    Notation,
    NotATooth,
    are_neighbors,
    from_fdi,
    possible_teeth,
    to_fdi,
    tooth_class,
    tooth_jaw,
    tooth_palmer,
    tooth_side,
    tooth_universal,
)

# FDI Universal Palmer, copied from the tables of reference section 6 (rules FDI-W, POCKD4, FDI-SSD)
WRITTEN_OUT: Final = """
18 1 UR8, 17 2 UR7, 16 3 UR6, 15 4 UR5, 14 5 UR4, 13 6 UR3, 12 7 UR2, 11 8 UR1,
21 9 UL1, 22 10 UL2, 23 11 UL3, 24 12 UL4, 25 13 UL5, 26 14 UL6, 27 15 UL7, 28 16 UL8,
38 17 LL8, 37 18 LL7, 36 19 LL6, 35 20 LL5, 34 21 LL4, 33 22 LL3, 32 23 LL2, 31 24 LL1,
41 25 LR1, 42 26 LR2, 43 27 LR3, 44 28 LR4, 45 29 LR5, 46 30 LR6, 47 31 LR7, 48 32 LR8,
55 A URE, 54 B URD, 53 C URC, 52 D URB, 51 E URA, 61 F ULA, 62 G ULB, 63 H ULC, 64 I ULD, 65 J ULE,
75 K LLE, 74 L LLD, 73 M LLC, 72 N LLB, 71 O LLA, 81 P LRA, 82 Q LRB, 83 R LRC, 84 S LRD, 85 T LRE
"""
ROWS: Final = tuple(tuple(row.split()) for row in re.split(r",\s*", WRITTEN_OUT.strip()))


def test_the_table_lists_all_52_teeth() -> None:
    """The written table and the program know the same teeth."""
    assert 52 == len(ROWS)
    assert sorted(ALL_TEETH) == sorted(row[0] for row in ROWS)


@pytest.mark.parametrize(("fdi", "universal", "palmer"), ROWS)
def test_a_tooth_has_one_number_in_each_notation_both_ways(fdi: str, universal: str, palmer: str) -> None:
    """Check values 32 to 34: the written table, and back again to the same tooth."""
    assert (universal, palmer) == (tooth_universal(fdi), tooth_palmer(fdi))
    names: dict[Notation, str] = {"fdi": fdi, "universal": universal, "palmer": palmer}
    for notation, number in names.items():
        assert number == from_fdi(fdi, notation)
        assert fdi == to_fdi(number, notation)


@pytest.mark.parametrize(("fdi", "universal", "palmer"), ROWS)
def test_side_and_jaw_are_those_of_palmers_quadrant(fdi: str, universal: str, palmer: str) -> None:
    """Palmer's letters spell jaw and side, independently of the FDI quadrant."""
    assert {"U": "upper", "L": "lower"}[palmer[0]] == tooth_jaw(fdi)
    assert {"R": "right", "L": "left"}[palmer[1]] == tooth_side(fdi)


@pytest.mark.parametrize(
    ("number", "notation"),
    [
        ("19", "fdi"),
        ("29", "fdi"),
        ("56", "fdi"),
        ("08", "fdi"),
        ("38 ", "fdi"),
        ("0", "universal"),
        ("33", "universal"),
        ("51", "universal"),
        ("U", "universal"),
        ("a", "universal"),
        ("1d", "universal"),
        ("UR9", "palmer"),
        ("URF", "palmer"),
        ("8", "palmer"),
        ("", "fdi"),
    ],
)
def test_a_number_no_tooth_has_is_refused(number: str, notation: Notation) -> None:
    """Supernumerary numbers, other variants and blanks are no teeth."""
    with pytest.raises(NotATooth):
        to_fdi(number, notation)


def test_the_same_digits_name_different_teeth_in_two_systems() -> None:
    """Reference section 6: 18 is the upper right third molar, or the lower left second molar."""
    assert ("18", "37") == (to_fdi("18", "fdi"), to_fdi("18", "universal"))


@pytest.mark.parametrize(
    ("fdi", "expected"),
    [
        ("38", "lower_third"),
        ("48", "lower_third"),
        ("18", "upper_third"),
        ("28", "upper_third"),
        ("17", "upper_posterior"),
        ("24", "upper_posterior"),
        ("46", "lower_posterior"),
        ("34", "lower_posterior"),
        ("13", "anterior"),
        ("41", "anterior"),
        ("55", "primary"),
        ("81", "primary"),
    ],
)
def test_a_tooth_belongs_to_the_class_its_figures_were_measured_on(fdi: str, expected: str) -> None:
    """The classes are those of the specification, section 3.2."""
    assert expected == tooth_class(fdi)


@pytest.mark.parametrize(
    ("fdi", "other", "expected"),
    [
        ("38", "37", True),
        ("37", "38", True),
        ("38", "36", False),
        ("38", "38", False),
        ("11", "21", True),
        ("31", "41", True),
        ("11", "41", False),
        ("51", "61", True),
        ("51", "11", False),
        ("12", "21", False),
        ("54", "55", True),
    ],
)
def test_neighbors_stand_side_by_side_in_one_jaw(fdi: str, other: str, expected: bool) -> None:
    """Same quadrant and one apart, or the two central incisors of a jaw (specification 3.3)."""
    assert expected is are_neighbors(fdi, other)


def test_a_number_without_notation_may_mean_several_teeth() -> None:
    """18 is FDI's upper right third molar and Universal's lower left second molar; LL8 and 48 are one tooth each."""
    assert possible_teeth("18") == ("18", "37")
    assert possible_teeth("LL8") == ("38",)
    assert possible_teeth("48") == ("48",)
    assert possible_teeth("99") == ()
