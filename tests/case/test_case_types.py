"""Each type of field: its forms, its limits and its value in Python."""

from datetime import date, datetime, time
from decimal import Decimal

import pytest
from case_texts import codes_at, read

from docgen.answer import Answer


def _value(path: str, written: str) -> tuple[object, list[str]]:
    group, name = path.rsplit(".", 1)
    keys = group.split(".")
    text = "".join(f"{'  ' * depth}{key}:\n" for depth, key in enumerate(keys))
    case, problems = read(f"{text}{'  ' * len(keys)}{name}: {written}\n")
    return case.value(path), [problem.code for problem in problems]


@pytest.mark.parametrize(
    ("path", "written", "expected"),
    [
        ("patient.birth_date", "2001-11-19", date(2001, 11, 19)),
        ("patient.birth_date", "2000-02-29", date(2000, 2, 29)),
        ("plan.operation_at", "2026-03-17T10:05", datetime(2026, 3, 17, 10, 5)),
        ("patient.weight_kg", "62", Decimal(62)),
        ("patient.weight_kg", "1.10e1", None),
        ("patient.weight_kg", "51.50", Decimal("51.50")),
        ("record.edition", "1", 1),
        ("operation.blood_loss", "minimal", "minimal"),
        ("operation.blood_loss", "20", 20),
        ("record.language", "no", "no"),
        ("record.language", "pt-BR", "pt-BR"),
        ("record.language", "zh-Hant", "zh-Hant"),
        ("patient.identifier", "012", "012"),
        ("patient.identifier", "9:30", "9:30"),
        ("patient.identifier", "1e3", "1e3"),
        ("patient.identifier", "1_000", "1_000"),
        ("patient.identifier", "no", "no"),
        ("patient.identifier", "2001-11-19", "2001-11-19"),
        ("medical.checked_by", "referrer", "referrer"),
        ("medical.checked_by", "mh", "mh"),
        ("medical.alcohol", "none", Answer.NONE),
        ("medical.pregnancy.state", "no", "no"),
        ("consent.copy", "accepted", "accepted"),
        ("follow_up.with", "mh", "mh"),
        ("plan.cost.currency", "EUR", "EUR"),
        ("clinic.time_zone", "Europe/London", "Europe/London"),
    ],
)
def test_values(path: str, written: str, expected: object) -> None:
    """What is written becomes exactly the value it says; YAML guesses nothing."""
    assert (expected, [] if expected is not None else ["bad-value"]) == _value(path, written)


@pytest.mark.parametrize(
    ("path", "written", "code"),
    [
        ("patient.birth_date", "2001-13-19", "bad-value"),
        ("patient.birth_date", "2001-02-29", "bad-value"),
        ("patient.birth_date", "19.11.2001", "bad-value"),
        ("patient.birth_date", "2001-1-9", "bad-value"),
        ("patient.birth_date", "20011119", "bad-value"),
        ("patient.birth_date", "2001-W47-1", "bad-value"),
        ("patient.birth_date", "٢٠٠١-١١-١٩", "bad-value"),
        ("plan.operation_at", "2026-03-17", "bad-value"),
        ("plan.operation_at", "2026-03-17T24:00", "bad-value"),
        ("plan.operation_at", "2026-03-17T10:05:00", "bad-value"),
        ("plan.operation_at", "2026-03-17T10:05Z", "bad-value"),
        ("plan.operation_at", '"2026-03-17 10:05"', "bad-value"),
        ("patient.weight_kg", '"62,5"', "bad-value"),
        ("patient.weight_kg", "062", "bad-value"),
        ("patient.weight_kg", "-62", "bad-value"),
        ("patient.weight_kg", "62 kg", "bad-value"),
        ("patient.weight_kg", ".5", "bad-value"),
        ("patient.weight_kg", "NaN", "bad-value"),
        ("patient.weight_kg", "٦٢", "bad-value"),
        ("patient.weight_kg", "2.999", "out-of-range"),
        ("patient.weight_kg", "300.1", "out-of-range"),
        ("medical.asa_class", "5", "out-of-range"),
        ("medical.asa_class", "0", "out-of-range"),
        ("medical.asa_class", "1.0", "bad-value"),
        ("medical.inr.value", "0", "out-of-range"),
        ("record.id", "../x", "bad-value"),
        ("record.id", ".x", "bad-value"),
        ("record.id", "a b", "bad-value"),
        ("record.id", "a/b", "bad-value"),
        ("record.id", "ä", "bad-value"),
        ("record.id", "a" * 65, "bad-value"),
        ("plan.operator", "Maren Holt", "bad-value"),
        ("medical.checked_by", "the referrer", "bad-value"),
        ("follow_up.with", "../mh", "bad-value"),
        ("record.language", "English", "bad-value"),
        ("record.language", "EN", "bad-value"),
        ("record.language", "en_GB", "bad-value"),
        ("plan.cost.currency", "euro", "bad-value"),
        ("clinic.time_zone", "Europe/Harrowmere", "bad-value"),
        ("clinic.time_zone", "../../etc/passwd", "bad-value"),
        ("clinic.time_zone", "Europe", "bad-value"),
    ],
)
def test_faulty_values(path: str, written: str, code: str) -> None:
    """What is not in the form or the range of its type is refused, not guessed."""
    assert (None, [code]) == _value(path, written)


@pytest.mark.parametrize("written", ["3", "300", "3.0"])
def test_the_limits_of_weight_are_weights(written: str) -> None:
    """Specification 2.2: refused outside 3 to 300."""
    assert (Decimal(written), []) == _value("patient.weight_kg", written)


@pytest.mark.parametrize(("written", "code"), [("-180", None), ("+35", None), ("180", None), ("180.5", "out-of-range")])
def test_an_angle_has_a_sign(written: str, code: str | None) -> None:
    """Specification 2.4: -180 to 180, plus is tipped mesially."""
    case, problems = read(f"teeth:\n  - angle_degrees: {written}\n")
    assert (None if code else Decimal(written)) == case.value("teeth[0].angle_degrees")
    assert ([code] if code else []) == [problem.code for problem in problems]


def test_a_fraction_is_at_most_one() -> None:
    """Specification 2.4: 0 to 1."""
    _, problems = read("teeth:\n  - {root_fraction: 1.01, sinus: {overlap_fraction: 2}}\n")
    assert codes_at(problems) == [
        ("out-of-range", "teeth[0].root_fraction"),
        ("out-of-range", "teeth[0].sinus.overlap_fraction"),
    ]


@pytest.mark.parametrize(
    ("notation", "good", "bad"),
    [
        ("fdi", "11 18 21 28 31 38 41 48 51 55 85", "10 19 49 56 91 8 UL8 A"),
        ("universal", "1 9 17 32 A T", "0 33 38 U LL8"),
        ("palmer", "UR8 UL1 LL8 LRA", "38 UR9 LLF ur8 8"),
    ],
)
def test_a_tooth_is_read_in_the_declared_notation(notation: str, good: str, bad: str) -> None:
    """The same digits name other teeth in another notation, so only the declared one is read."""
    case, problems = read(f"record: {{tooth_notation: {notation}}}\nconsent: {{teeth: [{good.replace(' ', ', ')}]}}\n")
    assert (tuple(good.split()), ()) == (case.value("consent.teeth"), problems)
    case, problems = read(f"record: {{tooth_notation: {notation}}}\nconsent: {{teeth: [{bad.replace(' ', ', ')}]}}\n")
    assert None is case.value("consent.teeth")
    assert ["bad-value"] * len(bad.split()) == [problem.code for problem in problems]


def test_times_of_day() -> None:
    """Clock times stay times; 9:30 is not 570."""
    case, problems = read("medical: {antithrombotics: [{dose_times: [08:00, 20:00, 9:30]}]}\n")
    assert (time(8, 0), time(20, 0)) == case.value("medical.antithrombotics[0].dose_times")
    assert codes_at(problems) == [("bad-value", "medical.antithrombotics[0].dose_times[2]")]


def test_text_is_normalized_and_trimmed() -> None:
    """Two ways to write an accented letter are one; a block's last newline is not part of the text."""
    case, problems = read("patient: {given_names: 'Jose\u0301'}\nplan:\n  benefit: |\n    One.\n    Two.\n")
    assert (case.fields.patient.given_names, case.fields.plan.benefit, problems) == ("Jos\u00e9", "One.\nTwo.", ())


def test_invisible_text_is_empty() -> None:
    """A name made of spaces nobody sees is no name."""
    _, problems = read('patient: {given_names: "\u200b\u00a0 ", family_name: "   "}\n')
    assert codes_at(problems) == [("empty-field", "patient.given_names"), ("empty-field", "patient.family_name")]


def test_the_mend_comes_from_the_type() -> None:
    """Each mend says how the field is written."""
    _, problems = read("patient: {birth_date: x, weight_kg: x, sex: femal}\nplan: {operation_at: x}\n")
    assert [problem.fix.in_words() for problem in problems] == [
        "write a date as YYYY-MM-DD",
        "write a number with a decimal point, such as 2.5, from 3 to 300",
        "did you mean female? Allowed: female, male, other_recorded, not_known",
        "write a date and time as YYYY-MM-DDTHH:MM, or one of: not_known",
    ]


def test_a_query_has_two_questions_at_most() -> None:
    """Specification 2.7: two at most."""
    case, problems = read("query: {questions: [a, b, c]}\n")
    assert (codes_at(problems), case.value("query.questions")) == ([("out-of-range", "query.questions")], None)
