"""Doses as they print: strengths as written, limits cut, doses raised, in the sheet and in the working."""

from __future__ import annotations

from decimal import Decimal

from case_facts import CONSENT, Edits, facts_of, value_of

from docgen.facts import Known

WEAK: Edits = {
    "plan.injections": [
        {"inn": "bupivacaine", "percent": "0.25", "vasoconstrictor": "epinephrine", "dilution": "200000",
         "volume_ml": "1.75", "cartridge_ml": "1.8", "technique": "infiltration", "site": "38"}
    ],
    "settings.la.regime": "canada",
    "patient.weight_kg": "61.237",
}  # fmt: skip


def test_a_strength_is_never_rounded() -> None:
    """0.25 % is not 0.2 %, and 2 % prints with one decimal."""
    (weak,), rooms = (
        value_of("la_remaining_ml_planned", WEAK, CONSENT),
        value_of("la_remaining_ml_planned", {}, CONSENT),
    )

    assert Decimal("0.25") == weak.percent
    assert {"2.0"} == {str(room.percent) for room in rooms}


def test_the_sheet_raises_a_dose_and_cuts_a_limit() -> None:
    """1.75 mL of 0.25 % are 4.375 mg; 2 mg/kg of 61.237 kg are 122.474 mg (CAN22)."""
    sheet = value_of("dose_sheet_planned", WEAK, CONSENT)

    assert (Decimal("4.4"), Decimal("122.4")) == (sheet.drugs[0].dose_mg, sheet.drugs[0].limit_mg)
    assert (Decimal("61.2"), Decimal("8.8")) == (sheet.weight_kg, sheet.epinephrine_ug)


def test_the_working_shows_no_limit_above_the_exact_one() -> None:
    """6.6 mg/kg of 60.00009 kg are 396.000594 mg: four decimals, cut."""
    edits: Edits = {
        "plan.injections": [WEAK["plan.injections"][0] | {"inn": "mepivacaine"}],
        "settings.la.regime": "us_label",
        "patient.weight_kg": "60.00009",
    }
    result = facts_of(edits, CONSENT)["la_drugs_planned"]

    assert isinstance(result, Known)
    assert "1.75 mL x 0.25 % x 10; mepivacaine 4.375 mg / 396.0005" == result.working
