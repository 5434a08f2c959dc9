"""Every field of the dictionary in turn: what its type admits is kept, everything else is refused by name."""

import json

import pytest
from case_texts import GROUPS, LEAVES, LISTS, PROSE, WORDS, codes_at, first, read, record_with

from docgen.answer import Answer
from docgen.case import FieldSpec

UNCLEAR = ("~", "null", "n/a", "-", "?", "NULL")
YES_NO = ("yn", "ynk", "yna", "ynak")
CANARY = "Zzyzx Canary"


def _found(spec: FieldSpec, value: str) -> list[tuple[str, str]]:
    return codes_at(read(record_with(spec.path, value))[1])


def _words(spec: FieldSpec) -> set[str]:
    return {answer.value for answer in spec.answers}


def test_every_field_takes_its_own_example() -> None:
    """The example in the description of a field is a value of it."""
    refused = []
    for spec in LEAVES:
        if spec.path.endswith("[]"):
            continue
        case, problems = read(record_with(spec.path, spec.example))
        if problems or case.value(first(spec.path)) is None:
            refused.append((spec.path, codes_at(problems)))
    assert refused == []


def test_every_list_takes_its_own_example() -> None:
    """The example in the description of a list is a value of it."""
    refused = []
    for spec in LISTS:
        case, problems = read(record_with(spec.path, spec.example))
        if problems or case.value(first(spec.path)) is None:
            refused.append((spec.path, codes_at(problems)))
    assert refused == []


@pytest.mark.parametrize("word", WORDS)
def test_an_answer_word_is_kept_where_it_is_admitted(word: str) -> None:
    """None, not_applicable and not_known stay apart, and stay words."""
    kept = {}
    for spec in LEAVES:
        if word in _words(spec):
            case, problems = read(record_with(spec.path, word))
            kept[spec.path] = (case.value(first(spec.path)), codes_at(problems))
    assert dict.fromkeys(kept, (Answer(word), [])) == kept


@pytest.mark.parametrize("word", WORDS)
def test_an_answer_word_is_refused_where_it_is_not_admitted(word: str) -> None:
    """A word the type does not know is a bad value, and is never taken for text."""
    for spec in LEAVES:
        if word not in _words(spec):
            assert [("bad-value", first(spec.path))] == _found(spec, word), spec.path


def test_the_mend_of_a_refused_word_names_the_admitted_ones() -> None:
    """Who writes none where it is not admitted reads which words are."""
    for spec in LEAVES:
        for word in _words(spec) and set(WORDS) - _words(spec):
            (problem,) = read(record_with(spec.path, word))[1]
            assert all(admitted in problem.fix.in_words() for admitted in _words(spec)), spec.path


def test_a_key_without_value_is_an_empty_field() -> None:
    """An empty value says nothing, whatever its field."""
    for spec in (*LEAVES, *LISTS, *GROUPS):
        if not spec.path.endswith("[]"):
            assert [("empty-field", first(spec.path))] == _found(spec, ""), spec.path


def test_empty_lists_and_groups_are_empty_fields() -> None:
    """Brackets with nothing in them are no answer."""
    for spec in LISTS:
        assert [("empty-field", first(spec.path))] == _found(spec, "[]"), spec.path
    for spec in GROUPS:
        if not spec.path.endswith("[]"):
            assert [("empty-field", first(spec.path))] == _found(spec, "{}"), spec.path


@pytest.mark.parametrize("sign", UNCLEAR)
def test_a_sign_for_nothing_is_an_unclear_answer(sign: str) -> None:
    """Signs that can mean four things are refused everywhere, bare."""
    for spec in (*LEAVES, *LISTS, *GROUPS):
        if not spec.path.endswith("[]"):
            assert [("unclear-answer", first(spec.path))] == _found(spec, sign), spec.path


@pytest.mark.parametrize("sign", ["null", "-", "?"])
def test_a_quoted_sign_is_text_where_no_word_is_admitted(sign: str) -> None:
    """A quoted sign is what it is in a line without answer words, and unclear everywhere else."""
    for spec in LEAVES:
        case, problems = read(record_with(spec.path, f'"{sign}"'))
        expected = (sign, []) if spec.type in PROSE and not spec.answers else (None, ["unclear-answer"])
        if spec.path in ("clinic.time_zone",):
            expected = (None, ["bad-value"])
        assert expected == (case.value(first(spec.path)), [p.code for p in problems]), spec.path


@pytest.mark.parametrize("written", ["None", "NOT_KNOWN", "not applicable", "Not-Known"])
def test_an_answer_word_in_another_spelling(written: str) -> None:
    """It is refused in coded fields and is plain text in prose."""
    for spec in LEAVES:
        if spec.type in PROSE:
            if spec.path != "clinic.time_zone":
                assert _found(spec, written) == [], spec.path
        else:
            assert [("unclear-answer", first(spec.path))] == _found(spec, written), spec.path


def test_did_you_mean_the_answer_word() -> None:
    """The mend gives the right spelling."""
    (problem,) = read("patient: {sex: Not_Known}")[1]
    assert "did you mean not_known?" in problem.fix.in_words()
    (problem,) = read("medical: {allergies: None}")[1]
    assert (problem.code, "did you mean none?" in problem.fix.in_words()) == ("unclear-answer", True)


def test_yes_and_no() -> None:
    """Yes and no are lower case; nothing else is yes or no."""
    for spec in LEAVES:
        if spec.type in YES_NO:
            assert _value(spec, "yes") == (True, []), spec.path
            assert _value(spec, "no") == (False, []), spec.path
            assert _value(spec, '"yes"') == (True, []), spec.path
            assert _value(spec, "Yes") == (None, ["unclear-answer"]), spec.path
            assert _value(spec, "true") == (None, ["bad-value"]), spec.path


def _value(spec: FieldSpec, written: str) -> tuple[object, list[str]]:
    case, problems = read(record_with(spec.path, written))
    return case.value(first(spec.path)), [problem.code for problem in problems]


def test_every_code_is_taken_and_no_other() -> None:
    """A closed list is closed, and a code is written exactly."""
    for spec in LEAVES:
        if spec.type != "code" or not spec.codes:
            continue
        for code in spec.codes:
            assert (code, []) == _value(spec, code), (spec.path, code)
        assert _value(spec, "zzyzx") == (None, ["bad-value"]), spec.path
        other_case = spec.codes[0].swapcase()
        if other_case != spec.codes[0]:
            assert _value(spec, other_case) == (None, ["bad-value"]), spec.path


def test_no_value_stands_in_any_message() -> None:
    """Whatever is wrong with a value, it is named by its path, never printed."""
    for spec in LEAVES:
        for value in (f'"{CANARY}"', f'"{CANARY}\\u202e"', f"[{CANARY}]", f"{{{CANARY}: 1}}", f'"{CANARY * 1000}"'):
            for problem in read(record_with(spec.path, value))[1]:
                printed = problem.in_words() + json.dumps(problem.as_json()) + repr(problem)
                assert "Canary" not in printed, (spec.path, printed)
    for spec in (*LISTS, *GROUPS):
        for problem in read(record_with(spec.path, CANARY))[1]:
            assert "Canary" not in problem.in_words(), spec.path


def test_no_value_stands_in_the_repr_of_a_case() -> None:
    """A case in a traceback shows no patient."""
    case, _ = read(f"patient: {{given_names: {CANARY}, matters: [singing]}}\nteeth: [{{diagnosis: {CANARY}}}]\n")
    assert case.fields.patient.given_names == CANARY
    assert "Canary" not in repr(case) + str(case.fields) + repr(case.fields.teeth)


def test_the_place_of_a_faulty_value_is_where_it_begins() -> None:
    """Line and column are those of the value."""
    for spec in LEAVES:
        text = record_with(spec.path, '"\\x07"')
        (problem,) = read(text)[1]
        lines = text.splitlines()
        assert f"case.yaml:{len(lines)}:{lines[-1].index(chr(34)) + 1}" == str(problem.place), spec.path


@pytest.mark.parametrize("character", ["\\x00", "\\x07", "\\x1b", "\\x85", "\\u202e", "\\u2066", "\\u200e", "\\u200f",
                                       "\\u061c", "\\ue000", "\\U000F0001", "\\U0010FFFD", "\\ufeff", "\\u2028",
                                       "\\u2029", "\\ufdd0", "\\uffff", "\\U0001FFFE"])  # fmt: skip
def test_characters_that_no_text_may_hold(character: str) -> None:
    """They are refused by their code point, in every prose field, escaped or not."""
    raw = json.loads(f'"{character}"') if "U" not in character and "x" not in character else None
    for spec in LEAVES:
        if spec.type in PROSE:
            assert [("bad-character", first(spec.path))] == _found(spec, f'"a{character}b"'), spec.path
            if raw is not None:
                assert [("bad-character", first(spec.path))] == _found(spec, f"a{raw}b"), spec.path


def test_newlines_and_tabs_belong_in_texts_only() -> None:
    """A text has lines; a line has none."""
    for spec in LEAVES:
        if spec.type in PROSE:
            expected = ("a\n\tb", []) if spec.type == "text" else (None, ["bad-character"])
            assert expected == _value(spec, '"a\\n\\tb"'), spec.path


def test_prose_has_a_length() -> None:
    """A line has 200 characters, a text 10,000; one more is too long."""
    for spec in LEAVES:
        if spec.type in PROSE and spec.path != "clinic.time_zone":
            longest = 200 if spec.type == "line" else 10_000
            assert ("a" * longest, []) == _value(spec, "a" * longest), spec.path
            assert _value(spec, "a" * (longest + 1)) == (None, ["too-long"]), spec.path


def test_a_leaf_takes_no_list_and_no_group() -> None:
    """One value is one value."""
    for spec in LEAVES:
        assert _value(spec, "[yes, no]") == (None, ["bad-value"]), spec.path
        assert _value(spec, "{a: b}") == (None, ["bad-value"]), spec.path
