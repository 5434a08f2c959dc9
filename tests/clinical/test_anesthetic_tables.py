"""The written tables of clinical-reference.md 3.2 to 3.4: cartridges, their contents, and published answers."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

import pytest
from clinical_patients import TABLES

from docgen.clinical.anesthetic import (
    EpinephrineLimit,
    Injection,
    LowReasons,
    Room,
    add_up,
    drug_dose_mg,
    epinephrine_dose_ug,
    epinephrine_limit,
    remaining,
)

SIZES: Final = ("1.7", "1.8", "2.2")
HEALTHY: Final = LowReasons((), (), ())


def cartridge(inn: str, percent: str, dilution: int | None, ml: str, volume_ml: str | None = None) -> Injection:
    """Give an injection of one cartridge, or of another volume out of it."""
    return Injection(
        inn=inn,
        percent=Fraction(percent),
        volume_ml=Fraction(volume_ml or ml),
        vasoconstrictor="epinephrine" if dilution else None,
        dilution=dilution,
        cartridge_ml=Fraction(ml),
    )


@pytest.mark.parametrize(
    ("percent", "mg"),
    [
        ("0.5", ("8.5", "9", "11")),  # 9 MALAMED
        ("2", ("34", "36", "44")),  # MEPI, MALAMED, UKSPC
        ("3", ("51", "54", "66")),  # MEPI, MALAMED
        ("4", ("68", "72", "88")),  # 72 MALAMED
    ],
)
def test_a_cartridge_holds_the_milligrams_of_the_table(percent: str, mg: tuple[str, ...]) -> None:
    """Reference 3.2; where no key is named, derived there."""
    found = tuple(drug_dose_mg([cartridge("lidocaine", percent, None, ml)], "lidocaine") for ml in SIZES)
    assert tuple(map(Fraction, mg)) == found


@pytest.mark.parametrize(
    ("dilution", "ug", "healthy", "cardiac"),
    [
        (50_000, ("34", "36", "44"), ("5.88", "5.56", "4.55"), ("1.18", "1.11", "0.91")),
        (80_000, ("21.25", "22.5", "27.5"), ("9.41", "8.89", "7.27"), ("1.88", "1.78", "1.45")),  # UKSPC2, UKSPC
        (100_000, ("17", "18", "22"), ("11.76", "11.11", "9.09"), ("2.35", "2.22", "1.82")),  # EPICALC
        (200_000, ("8.5", "9", "11"), ("23.53", "22.22", "18.18"), ("4.71", "4.44", "3.64")),
    ],
)
def test_epinephrine_of_the_table_of_cartridges(
    dilution: int, ug: tuple[str, ...], healthy: tuple[str, ...], cardiac: tuple[str, ...]
) -> None:
    """Reference 3.3 (derived): microgram in a cartridge, and cartridges at 0.2 and 0.04 mg within the two places."""
    rows = [cartridge("bupivacaine", "0.01", dilution, ml) for ml in SIZES]  # so weak that no milligram limits
    assert tuple(map(Fraction, ug)) == tuple(epinephrine_dose_ug([row]) for row in rows)
    for limit_ug, published in ((200, healthy), (40, cardiac)):
        limit = EpinephrineLimit(Fraction(limit_ug), "cap", (), False, (), "found")
        for row, wanted in zip(rows, published, strict=True):
            found = remaining(row, add_up([row], Fraction(80), "us_label", limit, TABLES))
            assert found is not None
            assert found.in_all.cartridges is not None
            assert abs(found.in_all.cartridges - Fraction(wanted)) <= Fraction("0.005")


@pytest.mark.parametrize(
    ("kg", "row", "regime", "ml", "tenths", "whole"),
    [
        # ETG3, check 25: 490 mg are 24.5 mL of 2 %
        ("70", cartridge("lidocaine", "2", None, "2.2"), "us_label", "24.5", "11.1", 11),
        # AUS08: prilocaine 6 of 2.2 mL (its 3 % solution); mepivacaine 2 % 7 (308 mg), above its own 300 mg: 6 here
        ("70", cartridge("prilocaine", "3", None, "2.2"), "australia_older", "13.3", "6.0", 6),
        ("70", cartridge("mepivacaine", "2", None, "2.2"), "australia_older", "15", "6.8", 6),
        # PRILO: 600 mg are 15 mL, 8 cartridges
        ("75", cartridge("prilocaine", "4", None, "1.8"), "us_label", "15", "8.3", 8),
        # DDH, 150 lb at 3.2 mg/lb: epinephrine limits to 11 cartridges, 19.8 mL; 20 mL before the cartridge is whole
        ("68.04", cartridge("lidocaine", "2", 100_000, "1.8"), "us_label", "20", "11.1", 11),
        # ARTI, 150 lb: 7 cartridges of 1.7 mL, 11.9 mL
        ("68.0388555", cartridge("articaine", "4", 200_000, "1.7"), "us_label", "11.9", "7.0", 7),
    ],
)
def test_published_volumes_rounded_down(kg: str, row: Injection, regime: str, ml: str, tenths: str, whole: int) -> None:
    """Reference 3.4: mL to 0.1, cartridges to 0.1 and to whole, all down."""
    weight = Fraction(kg)
    found = remaining(row, add_up([row], weight, regime, epinephrine_limit(weight, HEALTHY, TABLES), TABLES))
    assert found is not None
    room = found.in_all
    assert (Fraction(ml), Fraction(tenths), whole) == (room.printed_ml, room.cartridges_tenths, room.whole_cartridges)


@pytest.mark.parametrize(
    ("mg", "mg_per_ml", "exact", "tenths", "published"),
    [
        (60, 30, "1.176", "1.1", "1.2"),  # 20 lb, 3 % [MEPI, check 28]
        (60, 20, "1.765", "1.7", "1.8"),  # 20 lb, 2 %
        (270, 30, "5.294", "5.2", "5.3"),  # ceiling of a child on that label, 3 %
        (180, 20, "5.294", "5.2", "5.3"),  # and 2 %
    ],
)
def test_the_labels_of_mepivacaine_round_to_the_nearest_and_docgen_down(
    mg: int, mg_per_ml: int, exact: str, tenths: str, published: str
) -> None:
    """MEPI: no child's row is held, the arithmetic of a 1.7 mL cartridge is the label's within 0.1."""
    room = Room(Fraction(mg, mg_per_ml), "drug", Fraction("1.7"))
    assert room.cartridges is not None
    assert room.cartridges_tenths is not None
    assert abs(room.cartridges - Fraction(exact)) <= Fraction("0.001")
    assert Fraction(tenths) == room.cartridges_tenths
    assert abs(room.cartridges_tenths - Fraction(published)) <= Fraction("0.1")
