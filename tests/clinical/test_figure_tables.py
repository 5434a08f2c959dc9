"""The tables themselves: a row without source or tag is refused, a released edition never changes."""

from __future__ import annotations

import hashlib
from fractions import Fraction
from pathlib import Path
from typing import Final

import pytest
import yaml
from clinical_patients import TABLES

from docgen.clinical import table_file
from docgen.clinical.likelihood import Printed, ordering_faults, print_probability
from docgen.clinical.likelihood.ordering import ORDERED
from docgen.clinical.likelihood.rows import risk_rows
from docgen.clinical.rounding import probability_outward
from docgen.clinical.table import TAGS_WITH_SOURCE, TableFault, Tables
from docgen.clinical.table_file import parse_number, read_tables

SHIPPED: Final = Path(table_file.__file__).parent / "tables"
HEAD: Final = 'table: trial\nedition: "1"\nunit: mg\nnumbers: [value]\ncolumns: [words]\nrows:\n'


def _read(folder: Path, rows: str, name: str = "trial.1.yaml") -> Tables:
    (folder / "sources.yaml").write_text("BOOK: A book\n")
    (folder / name).write_text(HEAD + rows)
    return read_tables(folder)


def test_a_row_with_source_and_tag_is_read_exactly(tmp_path: Path) -> None:
    """Numbers become exact fractions, everything else stays text."""
    rows = "  - {id: a, value: 88/370, words: no, source: BOOK, tag: found}\n  - {id: b, value: 1.20 %, tag: memory}\n"
    table = _read(tmp_path, rows).table("trial")
    assert (Fraction(88, 370), "no", ("BOOK",), "found") == (
        table.row("a").number("value"),
        table.row("a").text("words"),
        table.row("a").source,
        table.row("a").tag,
    )
    assert Fraction("0.012") == table.row("b").number("value")


@pytest.mark.parametrize(
    ("rows", "what"),
    [
        ("  - {id: a, value: '1', tag: found}\n", "needs a source"),
        ("  - {id: a, value: '1', source: [], tag: derived}\n", "needs a source"),
        ("  - {id: a, value: '1', source: BOOK}\n", "needs a status tag"),
        ("  - {id: a, value: '1', source: BOOK, tag: certain}\n", "needs a status tag"),
        ("  - {id: a, value: '1', source: OTHER, tag: found}\n", "no source OTHER"),
        ("  - {id: a, value: one, source: BOOK, tag: found}\n", "column value: not a number"),
        ("  - {id: a, value: '', source: BOOK, tag: found}\n", "column value: is empty"),
        ("  - {id: a, vlaue: '1', source: BOOK, tag: found}\n", "column vlaue is not declared"),
        ("  - {id: a, value: '1', value: '2', source: BOOK, tag: found}\n", "key given twice: value"),
        ("  - {id: a, source: BOOK, tag: found}\n  - {id: a, source: BOOK, tag: found}\n", "id is given twice"),
        ("  - {value: '1', source: BOOK, tag: found}\n", "a row has an id"),
        ("  - words\n", "a row has an id"),
    ],
)
def test_a_faulty_row_is_refused_with_its_place(tmp_path: Path, rows: str, what: str) -> None:
    """The message names table, edition and row, and what is wrong."""
    with pytest.raises(TableFault, match=what) as caught:
        _read(tmp_path, rows)
    assert "trial" in str(caught.value)


def test_the_fault_of_a_row_names_table_edition_and_row(tmp_path: Path) -> None:
    """Faults of tables name table, row and edition (house, section 8)."""
    with pytest.raises(TableFault, match="table trial, edition 1, row a: needs a source"):
        _read(tmp_path, "  - {id: a, value: '1', tag: found}\n")


def test_a_file_stands_under_its_own_name_and_edition(tmp_path: Path) -> None:
    """A second edition copied without a new number is refused."""
    with pytest.raises(TableFault, match=r"file named trial\.2\.yaml"):
        _read(tmp_path, "  - {id: a, source: BOOK, tag: found}\n", name="trial.2.yaml")


def test_the_newest_edition_counts_unless_another_is_asked_for(tmp_path: Path) -> None:
    """An issued document keeps the edition it used; 10 is newer than 9."""
    (tmp_path / "sources.yaml").write_text("BOOK: A book\n")
    for edition in ("9", "10"):
        row = f"  - {{id: a, value: '{edition}', tag: design}}\n"
        (tmp_path / f"trial.{edition}.yaml").write_text(HEAD.replace('"1"', f'"{edition}"') + row)
    newest, older = read_tables(tmp_path), read_tables(tmp_path, {"trial": "9"})
    assert ({"trial": "10"}, Fraction(10)) == (newest.editions, newest.table("trial").row("a").number("value"))
    assert ({"trial": "9"}, Fraction(9)) == (older.editions, older.table("trial").row("a").number("value"))
    with pytest.raises(TableFault, match="no edition 3"):
        read_tables(tmp_path, {"trial": "3"})


@pytest.mark.parametrize(
    ("text", "expected"), [("3.76", "3.76"), ("37/750000", "37/750000"), ("-10", "-10"), ("0 %", "0")]
)
def test_a_number_is_read_as_written(text: str, expected: str) -> None:
    """Decimal, fraction of whole numbers, percentage."""
    assert Fraction(expected) == parse_number(text)


@pytest.mark.parametrize("text", ["1e3", "1.2/3", "1/0", "1,2", " 1", "1%", "½", "0x10", "", "1_000", "+1", "١"])
def test_anything_else_is_no_number_of_a_table(text: str) -> None:
    """No exponent, no locale, no other script: a slip is refused, not read differently."""
    with pytest.raises(ValueError, match="not a number"):
        parse_number(text)


def test_every_shipped_row_has_a_tag_and_a_source_where_one_is_claimed() -> None:
    """The shipped tables hold what the loader demands, and every key has a title."""
    rows = [row for table in TABLES.by_name.values() for row in table]
    assert len(rows) > 300
    assert [] == [row.id for row in rows if row.tag in TAGS_WITH_SOURCE and not row.source]
    assert [] == [key for row in rows for key in row.source if not TABLES.source(key).title]


def test_a_released_edition_is_byte_identical() -> None:
    """An edition once released never changes; a new figure is a new file."""
    released = yaml.safe_load((SHIPPED / "released.yaml").read_text())
    digests = {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in SHIPPED.glob("*.*.yaml")}
    assert released == digests


def test_a_table_knows_the_digest_of_its_file() -> None:
    """What an issued document keeps is the digest of the bytes that were read."""
    path = SHIPPED / "kim.1.yaml"
    assert hashlib.sha256(path.read_bytes()).hexdigest() == TABLES.table("kim").digest


def test_no_shipped_figure_falls_while_its_input_gets_harder() -> None:
    """The ordering lint of the specification, section 4.1."""
    assert () == ordering_faults(TABLES)


@pytest.mark.parametrize(
    ("wrong", "expected"),
    [
        ("value: 23/222", "oac_partial is higher than oac_full"),
        ("value: 25.0 %", "tuberosity_to_30 is higher than tuberosity_over_30"),
        ("value: 3.88 %", "bleeding_antiplatelet is higher than bleeding_vka"),
    ],
)
def test_the_ordering_lint_finds_a_figure_that_falls(tmp_path: Path, wrong: str, expected: str) -> None:
    """One figure made wrong in a copy of the tables is named with the row it contradicts."""
    for path in SHIPPED.glob("*.yaml"):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    base = tmp_path / "likelihood-base.1.yaml"
    replacement = "value: 90 %" if wrong == "value: 23/222" else "value: 0.1 %"
    base.write_text(base.read_text().replace(wrong, replacement))
    assert expected in ordering_faults(read_tables(tmp_path))


DEEP: Final = "[depth, is, C]"
SURGICAL: Final = "[surgical, is, yes]"


def _compared(tmp_path: Path, easier: str, harder: str, more: str = "") -> tuple[str, ...]:
    """Name the faults of a trial table: a row of 20 % and one of 10 %, with the conditions given."""
    for path in SHIPPED.glob("*.yaml"):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    base = tmp_path / "likelihood-base.1.yaml"
    row = "  - {id: %s, event: %s, role: stratum, rank: '1', when: [%s], value: %s %%, source: KUS22, tag: found%s}\n"
    head = base.read_text().partition("rows:\n")[0]
    first = row % ("easier", "dry_socket", easier, "20", "")
    second = row % ("harder", "infection" if more == "event" else "dry_socket", harder, "10",
                    ", under: [[orn_unit, is, socket]]" if more == "under" else "")  # fmt: skip
    base.write_text(f"{head}rows:\n{first}{second}")
    return ordering_faults(read_tables(tmp_path))


FALLS: Final = ("easier is higher than harder",)


@pytest.mark.parametrize(
    ("easier", "harder", "expected"),
    [
        ("[depth, is, A]", DEEP, FALLS),
        (f"[depth, is, A], {SURGICAL}", f"{SURGICAL}, {DEEP}", FALLS),
        ("[depth, is, A]", f"{DEEP}, {SURGICAL}", ()),
        (f"[depth, is, A], {SURGICAL}", DEEP, ()),
        (SURGICAL, f"{SURGICAL}, {DEEP}", ()),
        (f"{SURGICAL}, [depth, is, A]", SURGICAL, ()),
        ("[depth, is, A], [surgical, is, no]", f"{DEEP}, {SURGICAL}", ()),
        (DEEP, "[depth, is, A]", ()),
        (DEEP, DEEP, ()),
        ("[depth, in, [A, B]]", DEEP, FALLS),
        ("[depth, in, [A, C]]", "[depth, is, B]", ()),  # a row is as hard as its hardest code
        ("[depth, in, [B, C]]", DEEP, ()),
        ('[age_years, at_least, "0"]', '[age_years, over, "30"]', FALLS),
        ('[age_years, over, "30"]', '[age_years, at_least, "0"]', ()),
        ("[tooth_class, is, upper_third]", "[tooth_class, is, lower_third]", ()),  # in no order
    ],
)
def test_only_rows_that_differ_in_one_ordered_condition_are_compared(
    tmp_path: Path, easier: str, harder: str, expected: tuple[str, ...]
) -> None:
    """A row with one condition more speaks of fewer patients and may have any figure."""
    assert expected == _compared(tmp_path, easier, harder)


@pytest.mark.parametrize("more", ["event", "under"])
def test_rows_of_another_event_or_setting_are_not_compared(tmp_path: Path, more: str) -> None:
    """The figures of two outcomes, or of two choices of the clinic, have no order."""
    assert () == _compared(tmp_path, "[depth, is, A]", DEEP, more)


def test_every_ordered_code_is_used_by_a_row() -> None:
    """An ordering of codes nobody uses would check nothing."""
    rows = risk_rows(TABLES)
    used = {(c.input, code) for row in (*rows.bases, *rows.ratios, *rows.words) for c in row.when for code in c.values}
    assert {"eruption", "bleeding_patient_class", "surgical"} <= {name for name, _ in used} & ORDERED.keys()


def test_every_cap_is_itself_a_printable_value() -> None:
    """A cap is a fixed point of the outward rounding, or a capped figure would print above it (4.1)."""
    caps = risk_rows(TABLES).caps
    assert [] == [
        event for event, row in caps.items() if row.number("value") != probability_outward(row.number("value"))
    ]


def test_no_base_figure_stands_above_the_cap_of_its_event() -> None:
    """The highest published figure is not below any figure that is used."""
    rows = risk_rows(TABLES)
    above = [
        row.id
        for row in rows.bases
        if (cap := rows.caps.get(row.row.text("event"))) is not None and row.value > cap.number("value")
    ]
    assert [] == above


def test_every_row_of_the_engine_names_an_event_there_is() -> None:
    """A misspelled event would silently never act."""
    rows = risk_rows(TABLES)
    named = {
        *(row.row.text("event") for row in rows.bases),
        *rows.caps,
        *(event for row in rows.ratios for event in row.corroboration or {}),
        *(event for row in rows.words for event in row.events),
    }
    assert set() == named - rows.events.keys()
    assert set() == rows.events.keys() - named


def test_one_axis_of_an_event_has_one_measure() -> None:
    """The largest ratio of an axis is only defined among odds ratios, or among relative risks."""
    measures: dict[tuple[str, str], set[str]] = {}
    for row in risk_rows(TABLES).ratios:
        for event in row.corroboration or {}:
            if not row.is_floor:
                measures.setdefault((event, row.axis), set()).add(row.measure)
    assert {} == {place: found for place, found in measures.items() if len(found) > 1}


def test_every_published_interval_holds_its_ratio() -> None:
    """The value lies between the bounds its source gives."""
    outside = [
        row.id for row in risk_rows(TABLES).ratios if (ci := row.row.numbers("ci")) and not ci[0] <= row.value <= ci[1]
    ]
    assert [] == outside


@pytest.mark.parametrize(
    ("row", "broken"),
    [
        ("[depth, is, C]", "[depht, is, C]"),
        ("[depth, is, C]", "[depth, equals, C]"),
        ("[depth_reference, is, C_vs_A]", "[depth_refrence, is, C_vs_A]"),
        ("ian_temporary: [LEUNG11]", "ian_temporary: [LEUNG99]"),
        ("ian_temporary: [LEUNG11]", "ian_temporary: yes"),
    ],
)
def test_a_condition_on_something_that_is_not_there_is_refused(tmp_path: Path, row: str, broken: str) -> None:
    """A misspelled input, operator, setting or corroborating key is a fault of the table."""
    for path in SHIPPED.glob("*.yaml"):
        (tmp_path / path.name).write_bytes(path.read_bytes())
    ratios = tmp_path / "likelihood-ratio.1.yaml"
    assert row in ratios.read_text()
    ratios.write_text(ratios.read_text().replace(row, broken))
    with pytest.raises(TableFault):
        risk_rows(read_tables(tmp_path))


@pytest.mark.parametrize(
    ("probability", "expected"),
    [
        ("1", Printed(1000, 0, 1000, "about")),
        ("1/1000", Printed(1, 999, 1000, "about")),
        ("0.00091", Printed(1, 999, 1000, "about")),  # rounded first, then set over its denominator
        ("0.0009", Printed(90, 99_910, 100_000, "about")),
        ("1/100000", Printed(1, 99_999, 100_000, "about")),
        ("0.0000091", Printed(1, 99_999, 100_000, "about")),
        ("0.000009", Printed(1, 99_999, 100_000, "fewer than")),
    ],
)
def test_a_figure_stands_over_the_denominator_it_reaches(probability: str, expected: Printed) -> None:
    """1 in 1,000 is printed over 1,000 and 1 in 100,000 as itself; only below is another denominator, or fewer."""
    assert expected == print_probability(Fraction(probability))


def test_a_probability_of_zero_is_never_printed() -> None:
    """Nothing that is listed never happens."""
    with pytest.raises(ValueError, match="over 0"):
        print_probability(Fraction(0))
