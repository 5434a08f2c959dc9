"""What only staff reads: the last page of the clinic's consent, cautions, and what is added below a signed note."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from conftest import ISSUED_ON, LANGUAGES, example_files, example_tree, put

from docgen.generate import CaseFiles, Made


def said(printed: bytes) -> str:
    """Give a review text with its spaces alike."""
    return printed.decode().replace("\u00a0", " ")


def staff_page(made: Callable[..., Made], name: str, files: CaseFiles | None = None) -> str:
    """Give the review text of the staff page of an example."""
    wish = {"on": ISSUED_ON[name], "language": LANGUAGES.get(name, ""), "copies": ("clinic",), "formats": ("text",)}
    (printed,) = made(files or example_files(name), "consent", **wish).files.values()
    return said(printed).partition("SEC     staff")[2]


def test_each_figure_says_line_by_line_how_it_came_about(made: Callable[..., Made]) -> None:
    """Base, ratio, result, other reports and what was left out are lines with a label, in this order."""
    page = staff_page(made, "fenwright")
    socket = page.partition("P       dry socket (alveolar osteitis)")[2].partition("\nP ")[0]

    assert ["Ratio", "Result", "Elsewhere", "Left out, or in words"] == re.findall("PAIR    (.*?) │", socket)
    assert "RR 1.98 for combined_pill (TANG22)" in socket
    assert "22.968 per cent; printed: about 230 of 1,000; cap of 37 per cent not reached" in socket


def test_settings_stand_by_group_with_words_where_there_are_words(made: Callable[..., Made]) -> None:
    """The key is what the clinic writes in its file; a value that has words has them before it."""
    settings = staff_page(made, "fenwright").partition("H3      Settings of the clinic used here")[2]

    assert (
        "PAIR    la │ combine: sum_of_fractions; memory_rows: off; regime: limits taught in the UK (uk_taught)"
        in settings
    )
    assert "PAIR    reading │ words_per_minute: 200" in settings


def test_a_conflict_is_a_caution_and_begins_with_how_severe_it_is(made: Callable[..., Made]) -> None:
    """It stands behind the bar (page design, section 5), not in a list."""
    page = staff_page(made, "malvasio")

    assert "CAUTION Caution: epinephrine." in page
    assert "LI      Caution" not in page


def test_a_caution_begins_with_that_word(made: Callable[..., Made]) -> None:
    """Whatever a template cautions against; who only skims the page sees the word."""
    tree = example_tree("fenwright")
    put(tree, "plan.injections[0].volume_ml", "20")
    put(tree, "departures", [{"code": "dose-over-limit", "reason": "Asked for.", "by": "mh", "on": "2026-03-17"}])
    put(tree, "operation.injections[0].volume_ml", "20")
    (note,) = made(tree, "operative-note", on=ISSUED_ON["fenwright"], formats=("text",)).files.values()

    assert "CAUTION Caution: The dose given is over the limit." in said(note)


@pytest.mark.parametrize(("name", "is_said"), [("malvasio", True), ("fenwright", False)])
def test_a_plan_over_the_stricter_limit_says_so(made: Callable[..., Made], name: str, is_said: bool) -> None:
    """250.0 per cent by the way the clinic does not go by: over its limit, for a clinician to decide."""
    page = staff_page(made, name)

    assert is_said == ("CAUTION Caution: All drugs together are over the limit by the stricter way to add them" in page)
    assert is_said == ("(250.0 per cent of the lower limit)" in page)


def test_the_discharge_stands_below_the_signature(made: Callable[..., Made]) -> None:
    """The note is signed before the patient leaves (note-late): what is added afterwards is not above the name."""
    (note,) = made(
        example_files("fenwright"), "operative-note", on=ISSUED_ON["fenwright"], formats=("text",)
    ).files.values()
    lines = said(note)

    assert lines.index("AT      17 March 2026, 10:55") < lines.index("PAIR    Discharged │ 17 March 2026, 11:00")


def test_findings_stand_below_the_name_of_their_tooth(made: Callable[..., Made]) -> None:
    """In the letter after several teeth: no line of one tooth can be read as of another."""
    wish: dict[str, Any] = {"on": ISSUED_ON["kestrelmoor"], "formats": ("text",)}
    (letter,) = made(example_files("kestrelmoor"), "reply", **wish).files.values()
    seen = said(letter).partition("PAIR    Seen at operation")
    above = seen[0].rstrip().rpartition("\n")[2]

    assert above.startswith("P       upper right wisdom tooth (third molar), 18 FDI")
    assert 4 == said(letter).count("PAIR    Lesion seen │")
