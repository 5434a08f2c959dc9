"""YAML and JSON are read literally; what no record may hold is named with its place."""

import json

import pytest
from case_texts import codes_at, places, read

SPECIFICATION_EXAMPLE = """\
record: {id: HM-2026-0117, edition: 1, sample: yes, tooth_notation: fdi, language: en}
medical:
  allergies: none                  # asked, there are none
  inr: not_applicable              # takes no such drug
  smoking: {status: former}        # per_day left out: not recorded
teeth:
  - {tooth: 38, side: left, jaw: lower, eruption: partly_impacted, angle_degrees: 35, depth: B, ramus: II,
     canal: {relation: touching, film_signs: none}, sinus: not_applicable, indication: [pericoronitis_repeated]}
plan:
  procedures: [{tooth: 38, side: left, jaw: lower, procedure: removal, surgical: yes, lingual_flap: no}]
operation:
  procedures: [{tooth: 38, side: left, jaw: lower, performed: removal, complications: none}]
"""
"""record-and-documents.md, section 1.2, to the letter."""


def test_the_example_of_the_specification_is_read() -> None:
    """Section 1.2: the example has no fault."""
    case, problems = read(SPECIFICATION_EXAMPLE)
    assert (
        problems,
        case.value("teeth[0].tooth"),
        case.value("plan.procedures[0].lingual_flap"),
        case.value("operation.procedures[0].complications"),
    ) == ((), "38", False, ())


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a: &x 1\n", [("unknown-field", "case.yaml:1:1"), ("yaml-not-plain", "case.yaml:1:4")]),
        ("patient:\n  phone: &p '1'\n", [("yaml-not-plain", "case.yaml:2:10")]),
        ("patient:\n  phone: *p\n", [("yaml-not-plain", "case.yaml:2:10")]),
        ("patient:\n  phone: !!str 1\n", [("yaml-not-plain", "case.yaml:2:10")]),
        ("patient:\n  phone: !x 1\n", [("yaml-not-plain", "case.yaml:2:10")]),
        ("patient:\n  ! phone: 1\n", [("yaml-not-plain", "case.yaml:2:3")]),
        ("patient: !!map\n  phone: '1'\n", [("yaml-not-plain", "case.yaml:1:10")]),
        ("patient: !!python/object:os.system {phone: '1'}\n", [("yaml-not-plain", "case.yaml:1:10")]),
        ("patient:\n  ? [a]\n  : 1\n", [("yaml-not-plain", "case.yaml:2:5")]),
        ("patient: {phone: '1'}\n---\npatient: {phone: '2'}\n", [("yaml-not-plain", "case.yaml:2:1")]),
        ("%YAML 1.1\n---\npatient: {phone: '1'}\n", [("yaml-not-plain", "case.yaml:1:1")]),
        ("patient:\n  phone: '1'\n  phone: '1'\n", [("duplicate-key", "case.yaml:3:3")]),
        ("patient:\n  phone: '1'\n email: x\n", [("yaml-broken", "case.yaml:3:2")]),
        ("patient: {phone: '1'\n", [("yaml-broken", "case.yaml:2:1")]),
        ("patient: \"\\UBBBBBBBB\"\n", [("yaml-broken", "case.yaml:1:13")]),
        ("patient: @x\n", [("yaml-broken", "case.yaml:1:10")]),
        ("", [("empty-field", "case.yaml:1:1")]),
        ("# nothing\n", [("empty-field", "case.yaml:1:1")]),
        ("- a\n", [("bad-value", "case.yaml:1:1")]),
        ("text\n", [("bad-value", "case.yaml:1:1")]),
        ("patient: [a]\n", [("bad-value", "case.yaml:1:1")]),
        ("patient: text\n", [("bad-value", "case.yaml:1:10")]),
    ],
)  # fmt: skip
def test_faults_of_yaml(text: str, expected: list[tuple[str, str]]) -> None:
    """Each has its code and its line and column."""
    assert expected == places(read(text)[1])


@pytest.mark.parametrize("tail", ["", " # comment", "   "])
@pytest.mark.parametrize("sign", ["-", "?", "~", "null"])
def test_a_lone_sign_is_an_answer_and_not_syntax(sign: str, tail: str) -> None:
    """YAML alone would call a lone hyphen or question mark a broken file."""
    assert places(read(f"patient:\n  phone: {sign}{tail}\n")[1]) == [("unclear-answer", "case.yaml:2:10")]
    assert places(read(f"patient: {{phone: {sign}, email: none}}\n")[1]) == [("unclear-answer", "case.yaml:1:18")]
    assert places(read(f"patient: {{phone: {sign}}}\n")[1]) == [("unclear-answer", "case.yaml:1:18")]


def test_a_lone_sign_inside_a_text_stays() -> None:
    """A line of a text that ends in a sign is kept to the letter."""
    case, problems = read("plan:\n  benefit: |\n    question: ?\n    answer: -\n")
    assert (case.fields.plan.benefit, problems) == ("question: ?\nanswer: -", ())


def test_a_group_written_twice_is_believed_in_neither() -> None:
    """Two groups of one name are refused, and nothing below them is used."""
    case, problems = read("patient: {phone: '1'}\npatient: {phone: '2'}\nrecord: {edition: 1}\n")
    assert (
        codes_at(problems),
        case.value("patient.phone"),
        case.value("record.edition"),
    ) == ([("duplicate-key", "patient")], None, 1)
    assert case.is_faulty("patient.phone")


def test_a_value_with_a_tag_is_taken_out_and_the_rest_kept() -> None:
    """One faulty leaf does not cost the others."""
    case, problems = read("patient: {phone: !!str 1, email: none, given_names: Orla}\n")
    assert (
        codes_at(problems),
        case.value("patient.phone"),
        case.value("patient.given_names"),
    ) == ([("yaml-not-plain", "patient.phone")], None, "Orla")


def _nested(depth: int) -> str:
    return "x: " + "[" * depth + "]" * depth


def test_depth_is_limited() -> None:
    """20 levels are read; 21 and 100,000 are refused, without a traceback."""
    assert [problem.code for problem in read(_nested(19))[1]] == ["unknown-field"]
    for depth in (20, 3000, 100_000):
        case, problems = read(_nested(depth))
        assert (codes_at(problems), case.readable) == ([("too-deep", "")], False)
    assert codes_at(read('{"x":' + "[" * 100_000, is_json=True)[1]) == [("too-deep", "")]


def test_size_is_limited() -> None:
    """1 MiB and 20,000 keys and values are read; more is refused."""
    comment = "record: {edition: 1}\n#"
    assert read(comment + "x" * ((1 << 20) - len(comment)))[1] == ()
    assert codes_at(read(comment + "x" * ((1 << 20) - len(comment) + 1))[1]) == [("too-large", "")]
    assert codes_at(read("x: [" + "a," * 20_001 + "]")[1]) == [("too-large", "")]
    assert codes_at(read('{"x": [' + "1," * 20_001 + "1]}", is_json=True)[1]) == [("too-large", "")]


def test_bytes_that_are_no_utf_8() -> None:
    """The place of the first bad byte is named, counted in characters."""
    text = "patient:\n  given_names: É".encode() + b"\xff\n"
    assert places(read(text)[1]) == [("not-utf8", "case.yaml:2:17")]
    assert places(read("patient: {}".encode("utf-16"))[1]) == [("not-utf8", "case.yaml:1:1")]


def test_a_byte_order_mark_is_no_character() -> None:
    """Editors on Windows write it; it is not part of the first key."""
    assert read("\ufeffrecord: {edition: 1}\n")[1] == ()
    assert read('\ufeff{"record": {"edition": 1}}', is_json=True)[1] == ()


def test_raw_control_characters_reach_their_field() -> None:
    """A control character in the file is refused at its field, and does not break the rest of the file."""
    case, problems = read("patient:\n  given_names: Or\x00la\n  family_name: Fen\x85wright\n  phone: '1'\n# \x07\n")
    assert codes_at(problems) == [
        ("bad-character", "patient.given_names"),
        ("bad-character", "patient.family_name"),
    ]
    assert "U+0000" in problems[0].what.in_words()
    assert "U+0085" in problems[1].what.in_words()
    assert case.value("patient.phone") == "1"


def test_a_private_character_cannot_pass_as_another() -> None:
    """The characters used on the way through the YAML reader are refused in the file itself."""
    for point in (0xF002D, 0xF003F, 0xF0000, 0xF0FFF, 0xE000, 0x10FFFD):
        assert codes_at(read(f"patient: {{phone: 'a{chr(point)}'}}\n")[1]) == [("bad-character", "patient.phone")]


def test_json_says_the_same_as_yaml() -> None:
    """A record in JSON gives the same fields and the same digest."""
    from_yaml, _ = read("record: {id: X-1, edition: 1}\nmedical: {allergies: none}\npatient: {weight_kg: 51.50}\n")
    text = '{"record": {"id": "X-1", "edition": 1}, "medical": {"allergies": "none"}, "patient": {"weight_kg": 51.50}}'
    from_json, problems = read(text, is_json=True)
    assert (from_yaml.fields, from_yaml.digest, ()) == (from_json.fields, from_json.digest, problems)
    assert str(from_json.fields.patient.weight_kg) == "51.50"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ('{"patient": {"phone": null}}', [("unclear-answer", "case.yaml:1:23")]),
        ('{"patient": {"interpreter_needed": true}}', [("bad-value", "case.yaml:1:36")]),
        ('{"patient":\n {"interpreter_needed": false}}', [("bad-value", "case.yaml:2:25")]),
        ('{"patient": {"phone": ""}}', [("empty-field", "case.yaml:1:14")]),
        ('{"patient": {"phone": "\\u0007"}}', [("bad-character", "case.yaml:1:23")]),
        ('{"patient": {"phone": "\\ud800"}}', [("bad-character", "case.yaml:1:23")]),
        ('{"patient": {"phone": "a\x07"}}', [("bad-character", "case.yaml:1:23")]),
        ('{"patient": {"phone": "1", "phone": "2"}}', [("duplicate-key", "case.yaml:1:28")]),
        ('{"patient": {"weight_kg": 6.2e1}}', [("bad-value", "case.yaml:1:27")]),
        ('{"patient": {"weight_kg": NaN}}', [("json-broken", "case.yaml:1:27")]),
        ('{"patient": {"weight_kg": 062}}', [("json-broken", "case.yaml:1:27")]),
        ('{"patient": {"phone": "1",}}', [("json-broken", "case.yaml:1:27")]),
        ('{"patient": {"phone" "1"}}', [("json-broken", "case.yaml:1:22")]),
        ('{"patient": {"phone": "1"}', [("json-broken", "case.yaml:1:27")]),
        ('{"patient": {"phone": "1}', [("json-broken", "case.yaml:1:23")]),
        ('{"record": {"edition": 1}} x', [("json-broken", "case.yaml:1:28")]),
        ('{"record": {"edition": 1}}{}', [("json-broken", "case.yaml:1:27")]),
        ('{"patient": {1: 2}}', [("json-broken", "case.yaml:1:14")]),
        ('{"patient": [,]}', [("json-broken", "case.yaml:1:14")]),
        ('{"patient": {}}', [("empty-field", "case.yaml:1:2")]),
        ('{"patient": {"address": []}}', [("empty-field", "case.yaml:1:14")]),
        ("[]", [("bad-value", "case.yaml:1:1")]),
        ("null", [("unclear-answer", "case.yaml:1:1")]),
        (" ", [("empty-field", "case.yaml:1:1")]),
    ],
)
def test_faults_of_json(text: str, expected: list[tuple[str, str]]) -> None:
    """Each has its code and its line and column."""
    assert expected == places(read(text, is_json=True)[1])


def test_true_false_and_null_are_told_what_to_write() -> None:
    """JSON's own words are not answers."""
    for word in ("true", "false", "null"):
        (problem,) = read(f'{{"patient": {{"interpreter_needed": {word}}}}}', is_json=True)[1]
        assert "yes, no or none" in problem.fix.in_words()
        assert problem.path == "patient.interpreter_needed"


def test_a_json_string_is_an_answer_where_it_is_one() -> None:
    """Quotes do not make an answer word a text; a quoted null is text in a line without answer words."""
    text = json.dumps({"patient": {"phone": "none", "interpreter_needed": "yes", "family_name": "null"}})
    case, problems = read(text, is_json=True)
    assert (
        getattr(case.value("patient.phone"), "value", None),
        case.value("patient.interpreter_needed"),
        case.value("patient.family_name"),
        problems,
    ) == ("none", True, "null", ())


def test_json_text_is_read_to_the_letter() -> None:
    """Escapes and astral characters arrive whole, and brackets inside strings are text."""
    case, problems = read('{"patient": {"given_names": "\\ud83e\\uddb7 {[\\"x\\"]}", "phone": "1"}}', is_json=True)
    assert (case.value("patient.given_names"), case.value("patient.phone"), problems) == ('🦷 {["x"]}', "1", ())
