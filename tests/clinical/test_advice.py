"""The figures of a patient's text beside the timetable: the values of the clinical reference, each with its source."""

from __future__ import annotations

import pytest

from docgen.clinical.advice import read_advice
from docgen.clinical.table_file import read_tables

TABLES = read_tables()


@pytest.mark.parametrize(
    ("name", "start", "end", "measure", "source"),
    [
        ("bleeding_pressure", 15, 20, "minutes", ("COPPICE",)),  # reference 4.5, A5
        ("cold_pack_on", 20, 20, "minutes", ("WORTHING",)),  # A8
        ("cold_pack_off", 20, 20, "minutes", ("WORTHING",)),  # A8
        ("late_bleeding", 9, 9, "days", ("BENSI18",)),  # 2.5, "from 2 h to 9 days"
        ("jaw_watch", 4, 4, "weeks", ("STAFNE",)),  # A14, 2.5
        ("open_socket", 8, 8, "weeks", ("STATP",)),  # 5.4
        ("salt_in_a_glass", 1, 1, "teaspoons", ("NHS-LIKE", "HSE-WT")),  # A4
        ("pain_peak", 2, 3, "days", ("ETG-AN",)),  # 2.7, worst at 48 to 72 hours
        ("stiff_jaw", 7, 10, "days", ("HSE-WT", "NHS-LIKE")),  # 2.7, A2
        ("days_off_work", 1, 2, "days", ("HSE-WT", "NHS-LIKE")),  # A12
    ],
)
def test_a_figure_is_that_of_the_reference(
    name: str, start: int, end: int, measure: str, source: tuple[str, ...]
) -> None:
    """Value, unit and source key as clinical-reference.md gives them."""
    found = getattr(read_advice(TABLES), name)

    assert (start, end, measure, source) == (found.start, found.end, found.measure, found.source)


@pytest.mark.parametrize(
    ("name", "value", "tag"),
    [
        ("third_trimester_from", 28, "memory"),  # specification 3.4, nsaid_verdict
        ("nsaid_caution_from", 65, "memory"),  # specification 3.4
        ("mronj_higher_from", 5, "found"),  # SDCEP-M16, SDCEP-MF: past the five-year review
        ("many_cartridges_over", 3, "design"),  # specification 6, dose-no-weight
        ("oldest_patient", 120, "design"),  # specification 2.2
    ],
)
def test_a_cut_is_that_of_the_specification(name: str, value: int, tag: str) -> None:
    """Cuts of rules stand in a table with their status, not in the program."""
    row = TABLES.table("clinical-cut").row(name)

    assert (value, tag) == (row.number("value"), row.tag)
