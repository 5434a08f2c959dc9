"""The table of risks as it prints: words of the chosen definitions, and of frequencies (specification 1.3)."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from case_facts import CONSENT, Edits, value_of

UPPER: Edits = {
    "teeth[0].tooth": "28",
    "teeth[0].jaw": "upper",
    "teeth[0].ramus": None,
    "teeth[0].sinus": {"relation": "clear", "overlap_fraction": "0"},
    "plan.procedures[0].tooth": "28",
    "plan.procedures[0].jaw": "upper",
    "medical.jaw_radiotherapy": {"given": "yes", "finished_on": "2019-05-01", "dose_gy": "60", "field": "neck"},
}
"""An upper wisdom tooth of a jaw that had radiation."""


def told(edits: Edits) -> dict[str, Any]:
    """Give every row with a figure, by the code of its words."""
    table = value_of("risk_table", edits, CONSENT)
    return {line.event: line for line in (*table.of_thousand, *table.of_hundred_thousand)}


@pytest.mark.parametrize(
    ("setting", "value", "event", "affected"),
    [
        ("risk.tuberosity_event", "any_fragment", "tuberosity", 130),  # SHMULY22: 12.1 % at 30 or less
        ("risk.tuberosity_event", "large_fragment", "tuberosity_large", 12),  # SAYED19: 1.2 %
        ("risk.orn_unit", "patient", "orn", 220),  # KHOO21: 16/73, OR 6.5, held at 22 %
        ("risk.orn_unit", "socket", "orn_socket", 220),  # 33/389 with OR 6.5, held at 22 %
    ],
)
def test_the_words_of_a_row_are_those_of_the_chosen_definition(
    setting: str, value: str, event: str, affected: int
) -> None:
    """The printed sentence defines the event: another size or another unit has other words, not only another number."""
    found = told(UPPER | {f"settings.{setting}": value})

    assert affected == found[event].affected
    assert {event} == {name for name in found if name.startswith(event.partition("_")[0])}


def test_a_socket_without_surgery_has_the_figure_of_sockets() -> None:
    """KHOO21: 33 of 389 sockets, against 16 of 73 patients."""
    simple = UPPER | {"plan.procedures[0].surgical": "no", "plan.procedures[0].incision": "no"}
    unit = "settings.risk.orn_unit"

    assert 85 == told(simple | {unit: "socket"})["orn_socket"].affected
    assert 220 == told(simple | {unit: "patient"})["orn"].affected


def test_words_for_frequencies_print_only_if_the_clinic_wants_them() -> None:
    """EC-FREQ, from the unrounded figure; off by default (PIF-VERB)."""
    assert {""} == {line.frequency for line in told({}).values()}

    found = told({"settings.risk.words": "on"})
    assert {
        "ian_temporary": "common",
        "ian_permanent": "uncommon",
        "dry_socket": "very_common",
        "jaw_fracture": "very_rare",
        "emphysema": "rare",
        "injection_numbness": "very_rare",
    }.items() <= {event: line.frequency for event, line in found.items()}.items()


def test_a_figure_that_is_only_a_bound_has_no_word() -> None:
    """Below 1 % (memory, approved) is fewer than 10 of 1,000, and says nothing of how often it is."""
    found = told(UPPER | {"settings.risk.words": "on", "settings.risk.memory_figures": "on"})["root_in_sinus"]

    assert ("fewer_than", 10, "") == (found.frame, found.affected, found.frequency)


def test_the_range_in_other_reports_has_a_source_at_each_end() -> None:
    """A bound from memory is held and does not print: of dry socket the low end, of a damaged neighbor none."""
    lines = {line.event: line for line in value_of("risk_trace", {}, CONSENT)}

    dry, neighbor = lines["dry_socket"], lines["adjacent_damage"]
    assert (Decimal("0.5"), None, ("SAYED19",)) == (dry.low_percent, dry.high_percent, dry.range_source)
    assert (None, None, ()) == (neighbor.low_percent, neighbor.high_percent, neighbor.range_source)
    assert {"any_complication"} == {event for event, line in lines.items() if line.staff_only}
