"""How long a document is kept, what may be erased, and that a clock alone erases nothing."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from docgen.case import find_setting
from docgen.issue.entry import Action, Entry, KeptFile, Life, Paper
from docgen.issue.retention import Due, Retention, check_erasure, due, retention_in, retention_of, setting_of

PAPER = Paper("consent", "3", "en", "clinic", "r", "c", "t", (), "2026-03-24", "docgen test")
ISSUED = date(2026, 3, 24)


def _life(*notes: tuple[tuple[str, str], ...], on_hold: bool = False, erased: bool = False) -> Life:
    entries = tuple(
        Entry(seq, datetime(2026, 3, 24, tzinfo=UTC), Action.ISSUED, 7, "M. Holt", PAPER, "", (), None, "", note, "",
              "", "")
        for seq, note in enumerate(notes)
    )  # fmt: skip
    return Life(7, PAPER, Action.ISSUED, (KeptFile("pdf", "0" * 64, 1),), entries, "", "", on_hold, erased)


@pytest.mark.parametrize(
    ("until", "years", "expected"),
    [
        (date(2041, 3, 17), None, Retention("record", 2041)),
        (date(2041, 3, 17), "2", Retention("kind", 2028)),
        (None, "30", Retention("kind", 2056)),
        (None, None, Retention("unset")),
    ],
)
def test_the_class_of_a_kind_comes_from_the_settings(until: date | None, years: str | None, expected: object) -> None:
    """The clinic's own years for a kind win over those of the record; without any it is kept."""
    assert retention_of(until, years, ISSUED) == expected


def test_the_setting_of_a_kind_is_one_a_clinic_can_write() -> None:
    """The name is known to the clinic's file for every kind."""
    found = find_setting(setting_of("safety-sheet"))

    assert found is not None
    assert found.optional


def test_a_note_is_read_back_and_holds_no_day() -> None:
    """The register learns a year only: a child's last day of keeping would tell the birthday."""
    kept = retention_of(date(2041, 3, 17), None, ISSUED)

    assert kept.note == (("retention", "record"), ("kept_until", "2041"))
    assert retention_in(_life(kept.note)) == kept
    assert retention_in(_life(Retention("unset").note)) == retention_in(_life()) == Retention("unset")
    assert retention_in(_life(kept.note, (), Retention("kind", 2050).note, ())) == Retention("kind", 2050)


def test_the_last_day_of_the_year_still_counts() -> None:
    """Kept until the end of 2041 means: over on the first day of 2042."""
    kept = Retention("record", 2041)

    assert [False, True] == [kept.is_over(date(2041, 12, 31)), kept.is_over(date(2042, 1, 1))]
    assert not Retention("unset").is_over(date(2999, 1, 1))


def test_due_lists_what_is_over_and_says_what_is_held() -> None:
    """Over and not erased: listed; a hold is named; unset, running, erased or without files: not listed."""
    over, running = Retention("record", 2030).note, Retention("record", 2031).note
    lives = [
        _life(over),
        _life(over, on_hold=True),
        _life(over, erased=True),
        _life(running),
        _life(),
        replace(_life(over), files=()),
    ]

    assert list(due(lives, date(2031, 6, 1))) == [
        Due(7, "consent", Retention("record", 2030), on_hold=False),
        Due(7, "consent", Retention("record", 2030), on_hold=True),
    ]


@pytest.mark.parametrize(
    ("life", "early", "codes"),
    [
        (_life(Retention("record", 2030).note), False, []),
        (_life(Retention("record", 2031).note), False, ["erasure-too-early"]),
        (_life(), False, ["erasure-too-early"]),
        (_life(Retention("record", 2031).note), True, []),
        (_life(Retention("record", 2030).note, on_hold=True), True, ["on-hold"]),
        (_life(on_hold=True), False, ["erasure-too-early", "on-hold"]),
    ],
)
def test_what_stands_against_erasure(life: Life, early: bool, codes: list[str]) -> None:
    """A time that runs can be passed over by who decides it, a legal hold never."""
    found = check_erasure(life, date(2031, 6, 1), before_due=early)

    assert codes == [problem.code for problem in found]
    assert all("000007" in problem.in_words() for problem in found)
