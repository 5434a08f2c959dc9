"""The addendum to a signed note: it names the note, adds every item in order, and changes nothing else."""

from __future__ import annotations

import copy
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from conftest import ADDENDUM_ONLY, ISSUED_ON, drop, example_tree, pick, put

from docgen.generate import Examined, Made

ON = ISSUED_ON[ADDENDUM_ONLY]
KIND = "addendum"


@pytest.fixture
def tree() -> dict[str, Any]:
    """Give the example that holds no more than an addendum needs."""
    return copy.deepcopy(example_tree(ADDENDUM_ONLY))


@pytest.fixture
def text(made: Callable[..., Made]) -> Callable[[dict[str, Any]], str]:
    """Give a function that makes the review text of the addendum of a tree, each block on one line."""

    def make(tree: dict[str, Any], on: date = ON) -> str:
        (content,) = made(tree, KIND, on=on, formats=("text",)).files.values()
        return content.decode().replace("\n        ", " ").replace("\u00a0", " ")

    return make


@pytest.fixture
def refused(looked: Callable[..., Examined]) -> Callable[..., set[tuple[str, str]]]:
    """Give a function that gives what refuses the addendum of a tree: codes with paths."""

    def look(tree: dict[str, Any], on: date = ON) -> set[tuple[str, str]]:
        return {(p.code, p.path) for p in looked(tree, KIND, on=on).problems.refusing}

    return look


def test_it_names_the_signed_note(text: Callable[..., str], tree: dict[str, Any]) -> None:
    """Number in six digits, who signed it and when, the day of the operation, each tooth with what was done."""
    said = text(tree)

    assert "PAIR    Operative note │ number 000042\n" in said
    assert "PAIR    Signed by │ Cordula Kestwin, registration number 000150 (sample), Dental register (sample)" in said
    assert "PAIR    Signed on │ 9 July 2026, 15:10\n" in said
    assert "PAIR    Operation on │ 9 July 2026\n" in said
    assert "PAIR    Tooth │ lower left wisdom tooth (third molar), 38 FDI, LL8 Palmer: removal\n" in said
    assert "PAIR    Tooth │ upper left wisdom tooth (third molar), 28 FDI, UL8 Palmer: not done\n" in said
    assert "LEAD    The signed note stands unchanged." in said


def test_each_addition_stands_with_author_and_moment_in_order(text: Callable[..., str], tree: dict[str, Any]) -> None:
    """What the record lists prints in the order of the record, to the letter."""
    said = text(tree)
    first, second = (one["text"] for one in tree["operation"]["addenda"])
    heads = [said.index(f"H3      {head}\n") for head in ("9 July 2026, 19:25, Dunstan Fellwater",
                                                         "10 July 2026, 08:40, Cordula Kestwin")]  # fmt: skip
    places = [heads[0], said.index(first), heads[1], said.index(second)]

    assert places == sorted(places)


@pytest.mark.parametrize(("number", "printed"), [("1", "000001"), ("999999", "999999"), ("1234567", "1234567")])
def test_a_number_has_six_digits_at_least(
    text: Callable[..., str], tree: dict[str, Any], number: str, printed: str
) -> None:
    """A longer number keeps all its digits, without a mark between thousands."""
    put(tree, "addendum.note_number", number)

    assert f"Operative note │ number {printed}\n" in text(tree)


def test_who_signs_a_signed_copy_and_one_still_to_be_signed(
    made: Callable[..., Made], tree: dict[str, Any], text: Callable[..., str]
) -> None:
    """With its moment the signature is dated; without, the copy says on every page that nobody has signed it."""
    (signed,) = made(tree, KIND, on=ON, formats=()).documents.values()
    dated = text(tree)
    drop(tree, "addendum.signed_at")
    (unsigned,) = made(tree, KIND, on=ON, formats=()).documents.values()

    assert "unsigned" not in [mark.code for mark in signed.furniture.marks]
    assert "AT      10 July 2026, 08:50 │ Date and time" in dated
    assert "unsigned" in [mark.code for mark in unsigned.furniture.marks]
    assert "AT      10 July 2026, 08:50 │" not in text(tree)


def test_a_trainee_signs_with_the_name_of_the_supervisor(text: Callable[..., str], tree: dict[str, Any]) -> None:
    """Who answers for a trainee is named; for anybody else the line is not there."""
    line = "PAIR    In training, supervised by │ Cordula Kestwin\n"
    other = text(tree)
    put(tree, "addendum.signed_by", "df")

    assert line in text(tree)
    assert line not in other


@pytest.mark.parametrize(
    "path",
    [
        "addendum.note_number", "addendum.signed_by", "operation.signed_by", "operation.signed_at",
        "operation.started_at", "operation.addenda", "operation.addenda[1].text", "operation.addenda[0].by",
        "operation.addenda[0].at", "operation.procedures[1].tooth",
    ],
)  # fmt: skip
def test_what_it_needs(refused: Callable[..., set[tuple[str, str]]], tree: dict[str, Any], path: str) -> None:
    """Without note number, signature of the note, tooth or any part of an addition there is no addendum."""
    drop(tree, path)

    assert ("missing-field", path) in refused(tree)


def test_a_tooth_that_words_and_number_name_differently_is_refused(
    refused: Callable[..., set[tuple[str, str]]], tree: dict[str, Any]
) -> None:
    """The addendum names teeth, so number and words are held against each other as in the note."""
    put(tree, "operation.procedures[0].side", "right")

    assert {("tooth-side-mismatch", "operation.procedures[0].tooth")} == refused(tree)


def test_what_happened_can_always_be_added_to(
    refused: Callable[..., set[tuple[str, str]]], fenwright: dict[str, Any]
) -> None:
    """A fault that the note carries with its reason the addendum carries too: it may be there to explain it."""
    fenwright["addendum"] = example_tree(ADDENDUM_ONLY)["addendum"] | {"signed_by": "mh"}
    fenwright["operation"]["addenda"] = [{"text": "Why late.", "by": "mh", "at": "2026-07-10T08:40"}]
    put(fenwright, "consent.signed_at.patient", "2026-03-17T10:20")
    without = refused(fenwright)
    fenwright["departures"] = [{"code": "consent-after-start", "reason": "Urgent.", "by": "mh", "on": "2026-03-17"}]

    assert {("consent-after-start", "consent.signed_at.patient")} == without
    assert set() == refused(fenwright)


def test_the_note_of_the_same_case_still_reads_as_it_did(
    made: Callable[..., Made], looked: Callable[..., Examined], fenwright: dict[str, Any]
) -> None:
    """The group addendum changes no letter of another kind, whoever is named in it."""
    kinds = ("operative-note", "aftercare", "reply")
    before = made(fenwright, *kinds, on=date(2026, 7, 10), formats=("text",)).files
    fenwright["addendum"] = {**pick(example_tree(ADDENDUM_ONLY), "addendum"), "signed_by": "nobody"}

    assert before == made(fenwright, *kinds, on=date(2026, 7, 10), formats=("text",)).files
