"""The list of approvals: read, and appended to without touching what is there."""

from datetime import date
from pathlib import Path

import pytest
from case_texts import codes_at

from docgen.case import Approval, Source, append_approval, read_approvals, read_case
from docgen.problem import OutputError, Problems, Refused

ONE = Approval("kind consent 3", "9f86d081884c7d65", "Maren Holt", "oral surgeon", date(2026, 1, 5))
TWO = Approval('language ru: "x" # y', "0a1b", "Ольга 🦷", "translator", date(2026, 2, 6))


def _read(text: str) -> tuple[tuple[Approval, ...], list[tuple[str, str]]]:
    problems = Problems()
    return read_approvals(Source("approvals.yaml", text.encode()), problems), codes_at(tuple(problems))


def test_a_list_is_read() -> None:
    """Every entry says what, which text, who, why that person may, and when."""
    text = (
        "- {what: kind consent 3, digest: 9f86d081884c7d65, by: Maren Holt,\n"
        "   qualification: oral surgeon, on: 2026-01-05}\n"
    )
    assert _read(text) == ((ONE,), [])


def test_the_approvals_are_part_of_the_case() -> None:
    """They come with the case, and their faults name their file."""
    problems = Problems()
    source = Source("approvals.yaml", b"- {what: x}\n")
    case = read_case(Source("case.yaml", b"record: {edition: 1}\n"), None, source, problems)
    assert case.approvals == ()
    assert {"approvals.yaml"} == {problem.place.file for problem in problems if problem.place}


def test_a_faulty_entry_approves_nothing() -> None:
    """What lacks a part or has a faulty one is reported and left out; the others count."""
    text = """\
- {what: a, digest: b, by: c, qualification: d, on: yesterday}
- {what: a, digest: b, by: c, on: 2026-01-05}
- {what: a, digest: b, by: c, qualification: d, on: 2026-01-05, note: e}
- x
"""
    approvals, problems = _read(text)
    assert (Approval("a", "b", "c", "d", date(2026, 1, 5)),) == approvals
    assert problems == [
        ("bad-value", "approvals[0].on"),
        ("missing-field", "approvals[1].qualification"),
        ("unknown-field", "approvals[2].note"),
        ("bad-value", "approvals[3]"),
    ]


@pytest.mark.parametrize("text", ["", "# nobody has approved anything yet\n"])
def test_an_empty_file_is_an_empty_list(text: str) -> None:
    """Before the first approval there is nothing to report."""
    assert _read(text) == ((), [])


def test_a_file_that_is_no_list() -> None:
    """A group or a broken file approves nothing."""
    assert _read("a: b\n") == ((), [("bad-value", "approvals")])
    assert _read("- [\n") == ((), [("yaml-broken", "")])


def test_an_approval_is_appended(tmp_path: Path) -> None:
    """The bytes that are there stay; the new entry reads back as it was given."""
    path = tmp_path / "clinic" / "approvals.yaml"
    append_approval(path, ONE)
    path.write_bytes(b"# kept, to the letter\n" + path.read_bytes().rstrip(b"\n"))
    before = path.read_bytes()
    append_approval(path, TWO)
    assert path.read_bytes().startswith(before)
    assert _read(path.read_text("utf-8")) == ((ONE, TWO), [])


@pytest.mark.parametrize("before", ["a: b\n", "- [\n", "[]\n", "- {what: x}\n"])
def test_a_faulty_list_is_not_made_longer(tmp_path: Path, before: str) -> None:
    """A list that cannot be read back with one more entry stays as it is."""
    path = tmp_path / "approvals.yaml"
    path.write_text(before)
    with pytest.raises(Refused):
        append_approval(path, ONE)
    assert before == path.read_text()


def test_a_folder_that_refuses_is_an_output_error(tmp_path: Path) -> None:
    """The name of a folder cannot be written to."""
    with pytest.raises(OutputError):
        append_approval(tmp_path, ONE)
