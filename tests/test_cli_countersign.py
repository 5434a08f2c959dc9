"""`docgen countersign` as a clinic runs it: behind `sign`, with the record in between."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from docgen.cli import main
from tests.issuing.test_countersign import with_lines
from tests.signing.pki import PASSWORD, authority, curve, issue

Run = Callable[..., tuple[int, str, str]]
ALWAYS = {"start": datetime(2020, 1, 1, tzinfo=UTC), "end": datetime(2099, 1, 1, tzinfo=UTC)}
"""The commands look at the clock of this computer."""


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Give a function that runs a command on the trainee's case, in a folder of its own."""
    monkeypatch.setenv("DOCGEN_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("DOCGEN_BY", "R. Desk")
    monkeypatch.setenv("DOCGEN_KEY_PASSWORD", PASSWORD)
    monkeypatch.chdir(tmp_path)
    for name, person in (("trainee", "Piers Calloden"), ("supervisor", "Isolde Farrowmere")):
        issue(person, curve(), authority().issuer, **ALWAYS).file(tmp_path).rename(f"{name}.p12")

    def command(*words: str) -> tuple[int, str, str]:
        code = main(list(words))
        caught = capsys.readouterr()
        return code, caught.out, caught.err

    return command


def write_case(*lines: str) -> None:
    """Write the case with these lines on the note's signatures."""
    files = with_lines(*lines)
    assert files.clinic
    Path("case.yaml").write_bytes(files.case.text)
    Path("clinic.yaml").write_bytes(files.clinic.text)


def test_a_note_is_signed_recorded_and_countersigned(run: Run) -> None:
    """Each command prints its file and the lines for the record; the list tells the new file from the earlier one."""
    write_case()
    first = run("sign", "case.yaml", "--p12", "trainee.p12", "--as", "pc")
    early = run("countersign", "case.yaml", "--p12", "supervisor.p12")
    write_case(*(line.strip() for line in first[1].splitlines() if line.startswith("  ")))
    second = run("countersign", "case.yaml", "--p12", "supervisor.p12")
    _, shown, _ = run("register", "show", "1")
    _, listed, _ = run("register", "show", "1", "--json")
    copied = run("register", "show", "1", "--out", "copies")
    file, *lines = second[1].splitlines()

    assert (0, 1, 0, 0) == (first[0], early[0], second[0], copied[0])
    assert "[signature-unrecorded]" in early[2]
    assert "issued/000001-operative-note-en-countersigned.pdf" == file
    assert ["operation:", "  supervisor_signed_at", "  supervisor_signed_by"] == [
        line.partition(": ")[0] for line in lines
    ]
    assert "number 000001 is countersigned; write these lines into the record:" in second[2]
    earlier = [line.split()[1].strip(",") for line in shown.splitlines() if line.split()[0] == "earlier"]

    assert ["pdf", "bundle.json"] == earlier
    assert [True] * 4 + [False] * 2 == [one["current"] for one in json.loads(listed)["files"]]
    assert Path(file).read_bytes() == Path("copies", Path(file).name).read_bytes()


def test_each_file_is_verified_and_says_which_it_is(run: Run) -> None:
    """Without trusted roots nothing is proved; nothing fails either."""
    write_case()
    _, out, _ = run("sign", "case.yaml", "--p12", "trainee.p12", "--as", "pc")
    alone = run("verify", out.splitlines()[0])
    write_case(*(line.strip() for line in out.splitlines() if line.startswith("  ")))
    _, made, _ = run("countersign", "case.yaml", "--p12", "supervisor.p12", "--json")
    before = run("verify", out.splitlines()[0])
    after = run("verify", f"issued/{json.loads(made)['files'][0]}")

    assert ["indeterminate"] * 3 == [said[1].split()[0] for said in (alone, before, after)]
    assert "the supervisor's signature is still missing" in alone[1]
    assert "the supervisor has signed since" in before[1]
    assert "the supervisor's signature: the signed words are as they were signed" in after[1]
