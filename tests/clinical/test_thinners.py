"""Blood thinners: the INR, the guidance and the next dose, on both sides of each boundary."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from clinical_patients import TABLES
from hypothesis import given
from hypothesis import strategies as st

from docgen.clinical.next_dose import next_dose
from docgen.clinical.table import TableFault
from docgen.clinical.thinners import (
    Guidance,
    Thinner,
    antithrombotic_rule,
    inr_is_old_unless_stable,
    inr_too_high,
    inr_verdict,
    is_dual_antiplatelet,
    thinner_class,
)

ROME = ZoneInfo("Europe/Rome")
START = datetime(2026, 1, 20, 9, 10, tzinfo=ROME)


def _verdict(value: str, hours: int, minutes: int = 0, *, rule: str, stable: bool = False) -> str:
    taken = (START.astimezone(UTC) - timedelta(hours=hours, minutes=minutes)).astimezone(ROME)
    return inr_verdict(Fraction(value), taken, START, stable, rule, TABLES).verdict


@pytest.mark.parametrize(
    ("value", "hours", "minutes", "rule", "stable", "expected"),
    [
        ("3.5", 20, 0, "to_3_5", False, "proceed"),  # up to 3.5 and within 24 h [CDA24]
        ("3.6", 20, 0, "to_3_5", False, "delay"),
        ("3.51", 20, 0, "to_3_5", False, "delay"),
        ("3.9", 20, 0, "below_4", False, "proceed"),  # check 39 of the reference [SDCEP-VKA]
        ("4.0", 20, 0, "below_4", False, "delay"),  # check 39
        ("3.0", 80, 0, "below_4", True, "repeat_test"),  # check 39
        ("3.99", 20, 0, "below_4", False, "proceed"),
        ("3.9", 20, 0, "to_3_5", False, "delay"),
        ("2.8", 24, 0, "to_3_5", False, "proceed"),  # 24 h 00 min is included (specification 3.4)
        ("2.8", 24, 1, "to_3_5", False, "repeat_test"),
        ("2.8", 24, 1, "to_3_5", True, "repeat_test"),  # only SDCEP-VKA knows 72 h
        ("2.8", 24, 0, "below_4", False, "proceed"),
        ("2.8", 24, 1, "below_4", False, "repeat_test"),
        ("2.8", 24, 1, "below_4", True, "proceed"),
        ("2.8", 72, 0, "below_4", True, "proceed"),  # 72 h 00 min is included
        ("2.8", 72, 1, "below_4", True, "repeat_test"),
        ("2.8", 0, 0, "below_4", True, "proceed"),
        ("2.8", 0, -1, "below_4", True, "repeat_test"),  # taken after the start
        ("4.0", 100, 0, "below_4", True, "delay"),  # the value goes before the age
        ("4.0", 0, -30, "below_4", True, "delay"),
    ],
)
def test_an_inr_has_its_verdict(value: str, hours: int, minutes: int, rule: str, stable: bool, expected: str) -> None:
    """The value first, then the age in whole elapsed minutes at the start."""
    assert expected == _verdict(value, hours, minutes, rule=rule, stable=stable)


def test_case_5_has_its_two_verdicts() -> None:
    """Section 7: 3.0 taken 88 h 40 min before the start: repeat; 2.8 taken 20 h before: proceed."""
    first = inr_verdict(Fraction(3), datetime(2026, 1, 16, 16, 30, tzinfo=ROME), START, True, "to_3_5", TABLES)
    second = inr_verdict(Fraction("2.8"), datetime(2026, 1, 19, 13, 10, tzinfo=ROME), START, True, "to_3_5", TABLES)

    assert ("repeat_test", 88 * 60 + 40, ("CDA24",)) == (first.verdict, first.age_minutes, first.source)
    assert ("proceed", 20 * 60) == (second.verdict, second.age_minutes)


@pytest.mark.parametrize(
    ("taken", "start", "age", "expected"),
    [
        # 29 March 2026: the clocks go from 02:00 to 03:00; a day by the clock is 23 hours
        ("2026-03-28T09:00", "2026-03-29T09:00", 23 * 60, "proceed"),
        ("2026-03-28T08:00", "2026-03-29T09:00", 24 * 60, "proceed"),
        ("2026-03-28T07:59", "2026-03-29T09:00", 24 * 60 + 1, "repeat_test"),
        # 25 October 2026: 03:00 comes back as 02:00; a day by the clock is 25 hours
        ("2026-10-24T09:00", "2026-10-25T09:00", 25 * 60, "repeat_test"),
        ("2026-10-24T10:00", "2026-10-25T09:00", 24 * 60, "proceed"),
        # 02:30 comes twice that night: the reading that makes the test older counts
        ("2026-10-24T02:30", "2026-10-25T02:30", 25 * 60, "repeat_test"),
        ("2026-10-25T02:40", "2026-10-25T02:20", 40, "repeat_test"),
    ],
)
def test_an_age_is_elapsed_when_the_clocks_change(taken: str, start: str, age: int, expected: str) -> None:
    """Whole elapsed minutes, not hours of the wall clock."""
    found = inr_verdict(
        Fraction("2.8"),
        datetime.fromisoformat(taken).replace(tzinfo=ROME),
        datetime.fromisoformat(start).replace(tzinfo=ROME),
        False,
        "below_4",
        TABLES,
    )

    assert (age, expected) == (found.age_minutes, found.verdict)


def test_stability_matters_only_between_the_two_ages() -> None:
    """Under below_4 between 24 h and 72 h; under to_3_5 never."""

    def matters(hours: int, minutes: int, rule: str) -> bool:
        taken = START - timedelta(hours=hours, minutes=minutes)
        return inr_is_old_unless_stable(taken, START, rule, TABLES)

    assert [False, True, True, False] == [matters(h, m, "below_4") for h, m in ((24, 0), (24, 1), (72, 0), (72, 1))]
    assert not matters(48, 0, "to_3_5")


def test_a_moment_without_zone_and_a_rule_there_is_not_are_refused() -> None:
    """Without a zone nobody knows how old a test is."""
    with pytest.raises(ValueError, match="time zone"):
        inr_verdict(Fraction(2), datetime(2026, 1, 19), START, True, "to_3_5", TABLES)
    with pytest.raises(TableFault, match="no row to_9"):
        inr_too_high(Fraction(2), "to_9", TABLES)


@given(
    value=st.fractions(min_value=0, max_value=6),
    hours=st.integers(min_value=-5, max_value=100),
    stable=st.booleans(),
)
def test_the_stricter_rule_never_lets_more_go_on(value: Fraction, hours: int, stable: bool) -> None:
    """What may go on up to 3.5 and within 24 h may go on below 4 as well."""
    taken = START - timedelta(hours=hours)
    strict, wide = (inr_verdict(value, taken, START, stable, rule, TABLES).verdict for rule in ("to_3_5", "below_4"))

    assert strict != "proceed" or wide == "proceed"


@pytest.mark.parametrize(
    ("inns", "expected"),
    [
        ((), "none"),
        (("acetylsalicylic acid",), "antiplatelet"),
        (("warfarin",), "vka"),
        (("apixaban",), "doac"),
        (("enoxaparin",), "other"),  # any other INN of the list, heparins among them
        (("acetylsalicylic acid", "clopidogrel"), "antiplatelet"),
        (("acetylsalicylic acid", "warfarin"), "vka"),
        (("warfarin", "apixaban"), "doac"),
        (("enoxaparin", "warfarin"), "other"),
    ],
)
def test_a_blood_thinner_has_its_class(inns: tuple[str, ...], expected: str) -> None:
    """Several drugs have the class with the larger figure (specification 3.4)."""
    assert expected == thinner_class(inns, TABLES)


def _rule(
    *drugs: tuple[str, list[time] | None, str | None],
    low: bool = False,
    guidance: str = "sdcep_2022",
    inr: str = "proceed",
) -> tuple[Guidance, ...]:
    taken = [Thinner((inn,), None if times is None else tuple(times), event) for inn, times, event in drugs]
    return antithrombotic_rule(taken, low, guidance, inr, TABLES)


MORNING, NOON, EVENING = time(11, 59), time(12, 0), time(20, 0)


@pytest.mark.parametrize(
    ("inn", "times", "decision", "reason"),
    [
        ("apixaban", [time(8), EVENING], "miss_dose", "doac_missed"),  # check 40 [SDCEP-DOAC]
        ("dabigatran", [time(8), EVENING], "miss_dose", "doac_missed"),
        ("rivaroxaban", [time(8)], "delay_dose", "doac_delayed"),  # check 40
        ("edoxaban", [time(8)], "delay_dose", "doac_delayed"),
        ("rivaroxaban", [time(18)], "no_change", "doac_no_morning_dose"),  # check 40: evening takers unchanged
        ("apixaban", [MORNING, EVENING], "miss_dose", "doac_missed"),
        ("apixaban", [NOON, EVENING], "no_change", "doac_no_morning_dose"),
        ("dabigatran", [MORNING], "miss_dose", "doac_missed"),
        ("dabigatran", [NOON], "no_change", "doac_no_morning_dose"),
        ("rivaroxaban", [MORNING], "delay_dose", "doac_delayed"),
        ("rivaroxaban", [NOON], "no_change", "doac_no_morning_dose"),
        ("apixaban", None, "ask_physician", "dose_times_not_known"),
        ("apixaban", [], "ask_physician", "dose_times_not_known"),
    ],
)
def test_a_direct_anticoagulant_before_a_higher_risk(
    inn: str, times: list[time] | None, decision: str, reason: str
) -> None:
    """Miss or delay the dose taken before 12:00; 12:00 itself is no morning dose."""
    (found,) = _rule((inn, times, "none"))

    assert (inn, decision, (reason,)) == (found.inn, found.decision, found.reasons)


def test_a_direct_anticoagulant_elsewhere() -> None:
    """Continue at low risk [SDCEP-D2]; ask the physician where the clinic follows no guidance."""
    (low,) = _rule(("apixaban", [time(8), EVENING], "none"), low=True)
    (asked,) = _rule(("apixaban", [time(8), EVENING], "none"), guidance="ask_physician")
    (low_and_asked,) = _rule(("apixaban", None, "none"), low=True, guidance="ask_physician")

    assert ("continue", ("SDCEP-D2",)) == (low.decision, low.source)
    assert ("ask_physician", ("design",)) == (asked.decision, asked.source)
    assert "continue" == low_and_asked.decision


@pytest.mark.parametrize(
    ("event", "source"),
    [
        ("clot_under_3_months", ("memory",)),
        ("stent_under_3_months", ("memory",)),
        ("cardioversion_planned", ("SDCEP-D2",)),
    ],
)
@pytest.mark.parametrize("inn", ["warfarin", "apixaban", "acetylsalicylic acid", "clopidogrel"])
def test_a_recent_event_asks_the_physician_first(event: str, source: tuple[str, ...], inn: str) -> None:
    """Before any rule of a class, low risk or not."""
    for low in (True, False):
        (found,) = _rule((inn, [time(8)], event), low=low)
        assert ("ask_physician", (event,), source) == (found.decision, found.reasons, found.source)


def test_what_nobody_knows_of_a_recent_event_asks_the_physician() -> None:
    """Unknown is never no."""
    (found,) = _rule(("warfarin", [time(18)], None))

    assert ("ask_physician", ("recent_event_not_known",)) == (found.decision, found.reasons)


def test_a_heparin_asks_the_physician() -> None:
    """No rule is held for another class."""
    (found,) = _rule(("enoxaparin", [time(8)], "none"), low=True)

    assert ("ask_physician", ("other_class",)) == (found.decision, found.reasons)


@pytest.mark.parametrize("inr", ["proceed", "repeat_test", "delay"])
def test_warfarin_goes_on_and_names_the_inr(inr: str) -> None:
    """Treat without stopping; the INR has its own verdict [SDCEP-VKA]."""
    (found,) = _rule(("warfarin", [time(18)], "none"), inr=inr)

    assert ("continue", False, ("vka", f"inr_{inr}")) == (found.decision, found.longer_bleeding, found.reasons)


@pytest.mark.parametrize(
    ("drugs", "expected"),
    [
        (["acetylsalicylic acid"], [("aspirin_alone", False)]),  # continue aspirin [CDA24]
        (["clopidogrel"], [("other_antiplatelet", True)]),
        (["acetylsalicylic acid", "clopidogrel"], [("dual_antiplatelet", True), ("dual_antiplatelet", True)]),
        (["acetylsalicylic acid", "warfarin"], [("other_antiplatelet", True), ("vka", False)]),
    ],
)
def test_antiplatelets_go_on(drugs: list[str], expected: list[tuple[str, bool]]) -> None:
    """One aspirin as always; any other, or two together, with longer bleeding to be expected."""
    found = _rule(*[(inn, [time(8)], "none") for inn in drugs])

    assert {"continue"} == {one.decision for one in found}
    assert expected == [(one.reasons[0], one.longer_bleeding) for one in found]


def test_two_antiplatelets_are_dual_whether_in_one_row_or_two() -> None:
    """A combination counts by its parts; the same drug twice is one."""
    assert is_dual_antiplatelet(("acetylsalicylic acid", "ticagrelor"), TABLES)
    assert not is_dual_antiplatelet(("acetylsalicylic acid", "acetylsalicylic acid"), TABLES)
    assert not is_dual_antiplatelet(("acetylsalicylic acid", "warfarin"), TABLES)


@pytest.mark.parametrize(
    ("decision", "times", "hemostasis", "at", "not_before"),
    [
        ("delay_dose", [time(8)], (2, 26, 10, 10), (2, 26, 14, 10), (2, 26, 14, 10)),  # from 4 h on [SDCEP-DOAC]
        ("miss_dose", [time(8), time(20)], (2, 26, 16, 0), (2, 26, 20, 0), (2, 26, 20, 0)),
        ("miss_dose", [time(8), time(20)], (2, 26, 16, 1), (2, 26, 20, 1), (2, 26, 20, 1)),
        ("no_change", [time(18)], (2, 26, 17, 59), (2, 26, 18, 0), (2, 26, 17, 59)),
        ("no_change", [time(18)], (2, 26, 18, 0), (2, 27, 18, 0), (2, 26, 18, 0)),
        ("delay_dose", [time(8)], (3, 29, 0, 30), (3, 29, 5, 30), (3, 29, 5, 30)),  # the night of 29 March
        ("continue", [time(2, 30)], (3, 28, 23, 0), (3, 29, 3, 30), (3, 28, 23, 0)),  # 02:30 does not exist
    ],
)
def test_the_next_dose_is_counted_out(
    decision: str, times: list[time], hemostasis: tuple[int, ...], at: tuple[int, ...], not_before: tuple[int, ...]
) -> None:
    """By the clock for what goes on, by elapsed hours for what was delayed."""
    found = next_dose(decision, times, _rome(hemostasis), TABLES)

    assert found is not None
    assert (_rome(at), _rome(not_before)) == (found.at, found.not_before)


def test_a_decision_that_fits_no_pattern_gives_no_time() -> None:
    """Nothing is counted out for a delayed dose of two a day, a missed one of one, or an open question."""
    hemostasis = _rome((2, 26, 10, 10))
    cases: list[tuple[str, list[time]]] = [
        ("delay_dose", [time(8), time(20)]),
        ("miss_dose", [time(8)]),
        ("continue", []),
        ("ask_physician", [time(8)]),
    ]

    assert {None} == {next_dose(decision, times, hemostasis, TABLES) for decision, times in cases}


def _rome(parts: tuple[int, ...]) -> datetime:
    numbers: Any = parts
    return datetime(2026, *numbers, tzinfo=ROME)
