"""What pain killers add up to in a day, against the limits of an adult: both sides of each boundary."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from clinical_patients import TABLES

from docgen.clinical.analgesic import Asked, Prescribed, Total, analgesic_totals
from docgen.clinical.history import Condition, History

WELL = History(alcohol="none", weight_kg=Fraction(70), patient_is_minor=False)
ASKED = Asked(WELL)


def row(name: str, dose: str = "500", times: int = 1, most: str | None = None, **changed: Any) -> Prescribed:
    """Give a prescription; its most of a day is what it adds up to, unless named."""
    plain = Prescribed(
        name,
        "prescriptions[0]",
        Fraction(dose),
        times,
        Fraction(6),
        3,
        Fraction(most) if most else Fraction(dose) * times,
        "over_the_counter",
    )
    return replace(plain, **changed)


def totals(*rows: Prescribed, asked: Asked = ASKED) -> tuple[Total, ...]:
    """Judge some prescriptions."""
    return analgesic_totals(rows, asked, TABLES)


def judged(*rows: Prescribed, asked: Asked = ASKED) -> tuple[str, tuple[str, ...]]:
    """Give verdict and reasons of the only pain killer."""
    (found,) = totals(*rows, asked=asked)
    return found.verdict, found.reasons


@pytest.mark.parametrize(
    ("name", "supply", "passes", "fails"),
    [
        ("paracetamol", "over_the_counter", "4000", "4001"),  # ETG-AN, ELMS: 4 g in 24 h
        ("paracetamol", "prescribed", "4000", "4001"),
        ("ibuprofen", "over_the_counter", "1200", "1201"),  # ELMS, DAN-AU: 1.2 g
        ("ibuprofen", "prescribed", "2400", "2401"),  # ELMS, NAT-NSAID: 2.4 g
        ("ibuprofen", "given_here", "2400", "2401"),
    ],
)
def test_a_day_reaches_the_ceiling_and_does_not_pass_it(name: str, supply: str, passes: str, fails: str) -> None:
    """Reference 5.1 and 9: 4.0 g of paracetamol passes, 1.2 g over the counter, 2.4 g only if prescribed."""
    assert ("ok", ()) == judged(row(name, passes, supply=supply))
    assert ("stop", ("over_ceiling", "maximum_over_ceiling")) == judged(row(name, fails, supply=supply))
    assert ("stop", ("maximum_over_ceiling",)) == judged(row(name, "400", 1, fails, supply=supply))
    assert ("stop", ("over_ceiling",)) == judged(row(name, fails, 1, passes, supply=supply))


def test_4_5_grams_of_paracetamol_fail() -> None:
    """Reference 9, extra edge tests: 4.0 g passes, 4.5 g fails."""
    assert "ok" == judged(row("paracetamol", "1000", 4))[0]
    assert "stop" == judged(row("paracetamol", "900", 5))[0]


@pytest.mark.parametrize(
    ("name", "short", "enough"),
    [("paracetamol", "3.9", "4"), ("ibuprofen", "5.9", "6")],  # ETG-AN, ELMS
)
def test_the_gap_between_two_doses(name: str, short: str, enough: str) -> None:
    """Stop under 4 hours (paracetamol) or 6 (ibuprofen), specification 3.4."""
    assert ("stop", ("gap_too_short",)) == judged(row(name, hours_apart=Fraction(short)))
    assert ("ok", ()) == judged(row(name, hours_apart=Fraction(enough)))


def test_all_rows_of_a_drug_add_up_whatever_it_is_called() -> None:
    """Synonyms joined, combinations split, salts dropped (specification 3.4)."""
    rows = row("Paracetamol", "1000", 3), row("acetaminophen + codeine phosphate", "500", 2)
    found = {one.inn: one for one in totals(*rows)}

    assert {"paracetamol": Fraction(4000), "codeine": Fraction(1000)} == {i: t.mg_per_day for i, t in found.items()}
    assert ("ok", ()) == (found["paracetamol"].verdict, found["paracetamol"].reasons)
    assert "stop" == totals(*rows, row("paracetamol", "1"))[0].verdict


def test_the_strictest_ceiling_of_the_supplies_counts_for_the_sum() -> None:
    """A prescribed dose adds to what is bought; the sum is held against the lower ceiling."""
    rows = row("ibuprofen", "400", 2, supply="prescribed"), row("ibuprofen", "400", 2)
    (found,) = totals(*rows)

    assert (Fraction(1200), Fraction(1600), "stop") == (found.ceiling_mg, found.mg_per_day, found.verdict)


@pytest.mark.parametrize(
    ("history", "reason"),
    [
        (replace(WELL, weight_kg=Fraction("49.9")), "light_weight"),  # memory
        (replace(WELL, conditions=(Condition("liver_severe", "medical.conditions[0]"),)), "liver_severe"),  # memory
        (replace(WELL, alcohol="heavy"), "heavy_alcohol"),  # memory
    ],
)
def test_paracetamol_with_caution(history: History, reason: str) -> None:
    """Lower if light (under 50 kg), liver disease, alcohol (reference 5.1); ibuprofen is not concerned here."""
    assert ("caution", (reason,)) == judged(row("paracetamol"), asked=Asked(history))
    assert ("ok", ()) == judged(row("ibuprofen"), asked=Asked(history))


@pytest.mark.parametrize("history", [replace(WELL, weight_kg=Fraction(50)), replace(WELL, alcohol="some"), WELL])
def test_paracetamol_without_caution(history: History) -> None:
    """50 kg is not light, and some alcohol is not heavy."""
    assert ("ok", ()) == judged(row("paracetamol"), asked=Asked(history))


def test_aspirin_after_an_extraction_is_a_stop() -> None:
    """SDCEP-PAIN: do not prescribe."""
    assert ("stop", ("aspirin_after_extraction", "no_ceiling")) == judged(row("aspirin", "300"))


@pytest.mark.parametrize(("days", "expected"), [(3, ("no_ceiling",)), (4, ("opioid_long", "no_ceiling"))])
def test_an_opioid_over_three_days_is_a_caution(days: int, expected: tuple[str, ...]) -> None:
    """ADA24: rarely over 3 days."""
    assert ("caution", expected) == judged(row("codeine", "30", 4, days=days))


def test_a_minor_gets_the_note_that_no_child_dose_is_held() -> None:
    """The limits are those of an adult (specification 3.4); a stop stays one."""
    minor = Asked(replace(WELL, patient_is_minor=True))

    assert ("caution", ("no_child_dose",)) == judged(row("ibuprofen", "200"), asked=minor)
    assert ("stop", ("over_ceiling", "maximum_over_ceiling", "no_child_dose")) == judged(
        row("ibuprofen", "1201"), asked=minor
    )


def test_a_pain_killer_without_a_figure_says_so_and_another_drug_is_no_pain_killer() -> None:
    """Naproxen has no ceiling here, and is not called ok; amoxicillin is not added up."""
    (found,) = totals(row("naproxen", "500", 2), row("amoxicillin", "500", 3))

    assert ("naproxen", None, "caution", ("no_ceiling",)) == (
        found.inn,
        found.ceiling_mg,
        found.verdict,
        found.reasons,
    )


@pytest.mark.parametrize("field", ["dose_mg", "times_per_day", "hours_apart", "max_mg_per_day", "supply"])
def test_a_prescription_with_a_gap_is_never_ok(field: str) -> None:
    """What nobody wrote down is listed by its path, and the sum is not given as if it were whole."""
    (found,) = totals(row("ibuprofen", "400", 3, **{field: None}))

    assert ("caution", ("not_all_answered",), (f"prescriptions[0].{field}",)) == (
        found.verdict,
        found.reasons,
        found.unanswered,
    )
    assert (found.mg_per_day is None) == (field in ("dose_mg", "times_per_day"))


def test_a_proved_stop_stays_though_something_is_unanswered() -> None:
    """Another row without a dose can only add."""
    found = judged(row("paracetamol", "1000", 5), row("paracetamol", dose_mg=None))

    assert ("stop", ("over_ceiling", "maximum_over_ceiling", "not_all_answered")) == found


def test_only_questions_that_matter_for_the_drug_are_open() -> None:
    """Weight, liver and alcohol are asked for paracetamol; days for an opioid; the age for each."""
    questions = ("conditions", "alcohol", "weight", "minor")
    asked = Asked(History(), tuple((question, (question,)) for question in questions))

    assert questions == totals(row("paracetamol"), asked=asked)[0].unanswered
    assert ("minor",) == totals(row("ibuprofen"), asked=asked)[0].unanswered
    assert ("prescriptions[0].days", "minor") == totals(row("codeine", days=None), asked=asked)[0].unanswered


def test_each_total_names_its_sources() -> None:
    """Ceiling and rules with their keys; a rule of memory has none."""
    assert ("ETG-AN", "ELMS") == totals(row("paracetamol"))[0].source
    assert ("ADA24",) == totals(row("codeine", days=4))[0].source
    assert Fraction(6) == totals(row("paracetamol"), row("paracetamol", hours_apart=Fraction(8)))[0].hours_apart
