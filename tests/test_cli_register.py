"""The commands of the register: what they print, their exit codes, and that nothing half-done is called done."""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES, ROOT

from docgen.cli import main
from docgen.cli.register_lists import as_csv
from docgen.issue.entry import Action, Life, Paper

CASE = str(EXAMPLES / "fenwright/case.yaml")
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Give a function that runs a command on a data folder of its own."""
    monkeypatch.setenv("DOCGEN_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("DOCGEN_BY", "R. Desk")
    monkeypatch.chdir(tmp_path)

    def command(*words: str) -> tuple[int, str, str]:
        code = main(list(words))
        caught = capsys.readouterr()
        return code, caught.out, caught.err

    return command


def _issue(run: Run, *words: str) -> tuple[int, str, str]:
    return run("issue", CASE, "--on", "2026-03-24", "--kind", "reply", "--out", "out", *words)


def test_what_is_issued_can_be_listed_shown_and_verified(run: Run, tmp_path: Path) -> None:
    """The files are named by number and kind, and the number leads to them."""
    code, out, _ = _issue(run)
    names = [Path(line).name for line in out.split()]
    _, listed, _ = run("register", "list", "--record", "HM-2026-0117")
    _, shown, _ = run("register", "show", "1", "--out", "copies")
    verified = run("verify", str(tmp_path / "out" / names[1]))

    assert (0, ["000001-reply-en.docx", "000001-reply-en.pdf"]) == (code, names)
    assert "000001  reply" in listed
    assert "R. Desk" in shown
    assert (tmp_path / "out" / names[0]).read_bytes() == (tmp_path / "copies" / names[0]).read_bytes()
    assert 0 == verified[0]
    assert verified[1].startswith("passed")


def test_make_leaves_no_trace(run: Run, tmp_path: Path) -> None:
    """Only an issue begins a register; looking into one that is not there says so."""
    run("make", CASE, "--on", "2026-03-24", "--kind", "reply", "--format", "text", "--out", "made")
    code, _, told = run("register", "list")

    assert not (tmp_path / "data").exists()
    assert (6, True) == (code, "there is no register" in told)


def test_json_says_the_same_for_programs(run: Run) -> None:
    """Number, state and code of what was issued, and the history of a number."""
    _, issued, _ = _issue(run, "--json")
    _, again, _ = _issue(run, "--json", "--replace")
    _, shown, _ = run("register", "show", "1", "--json", "--accesses")
    _, verified, _ = run("verify", "1", "--json")

    assert [1, "issued", False] == [json.loads(issued)["issued"][0][name] for name in ("number", "state", "again")]
    assert json.loads(again)["issued"][0]["again"]
    assert ["prepared", "issued"] == [entry["action"] for entry in json.loads(shown)["entries"]]
    assert ["R. Desk"] == [one["by"] for one in json.loads(shown)["accesses"]]
    assert "passed" == json.loads(verified)["verdict"]


def test_a_hold_forbids_erasing_with_a_code_of_its_own(run: Run) -> None:
    """Exit 5; a number that is not repeated erases nothing either."""
    _issue(run)
    run("register", "hold", "1", "--words", "a complaint")
    held, _, _ = run("register", "erase", "1", "--confirm", "1", "--reason", "other")
    run("register", "release", "1")
    unsure, _, _ = run("register", "erase", "1", "--confirm", "2", "--reason", "other")
    early, _, _ = run("register", "erase", "1", "--confirm", "1", "--reason", "other")
    done, out, _ = run("register", "erase", "1", "--confirm", "1", "--reason", "other", "--before-due")

    assert (5, 2, 5, 0) == (held, unsure, early, done)
    assert "the content is gone" in out


def test_a_page_is_checked_as_its_foot_or_its_qr_code_says(run: Run) -> None:
    """Number and code in one word, in two, or parted like in the foot; a file that has such a name is still a file."""
    _issue(run)
    _, shown, _ = run("register", "show", "1", "--json")
    code = json.loads(shown)["code"]
    ways = (
        [f"000001 {code}"],
        ["000001", code],
        ["1", code[:4], code[4:].lower()],
        ["1", "--code", f"{code[:4]}-{code[4:]}"],
    )
    right = {run("verify", *way)[0] for way in ways}
    wrong, out, _ = run("verify", "000001", "ABCD2345")
    Path("000001").write_text("words")
    file, _, _ = run("verify", "000001")
    two, _, told = run("verify", "000001", "000002.pdf.")

    assert {0} == right
    assert (4, True) == (wrong, "the check code of the page is not that" in out)
    assert 4 == file == two
    assert "" == told


def test_a_pack_is_printed_when_it_is_issued_and_again_later(run: Run) -> None:
    """The same file both times; only the single documents are kept."""
    words = ("--on", "2026-03-24", "--kind", "consent,reply", "--copy", "patient", "--format", "pdf,pack")
    code, out, _ = run("issue", CASE, *words, "--out", "out")
    again, later, _ = run("register", "pack", "1", "2", "--out", "later")
    _, listed, _ = run("register", "show", "1", "--json")
    names = [Path(line).name for line in out.splitlines()]

    assert (0, 0) == (code, again)
    assert ["000001-consent-patient-en.pdf", "000002-reply-en.pdf", "000001-000002-pack.pdf"] == names
    assert "later/000001-000002-pack.pdf\n" == later
    assert Path("out/000001-000002-pack.pdf").read_bytes() == Path("later/000001-000002-pack.pdf").read_bytes()
    assert {"pdf", "document.json", "case.json", "bundle.json"} == {
        file["name"] for file in json.loads(listed)["files"]
    }


def test_the_words_of_a_reason_are_read_again_until_they_are_erased(run: Run) -> None:
    """Only who asks for them sees them, the access log says so, and the same words leave no equal digests behind."""
    _issue(run)
    run("register", "hold", "1", "--words", "a complaint\nby letter")
    run("register", "release", "1", "--words", "a complaint\nby letter")
    _, plain, _ = run("register", "show", "1")
    _, told, _ = run("register", "show", "1", "--reasons", "--accesses")
    _, shown, _ = run("register", "show", "1", "--reasons", "--json")
    run("register", "erase", "1", "--confirm", "1", "--reason", "other", "--before-due")
    code, erased, _ = run("register", "show", "1", "--reasons")
    digests = [file["digest"] for file in json.loads(shown)["files"] if file["name"] == "reason.txt"]

    assert "complaint" not in plain + erased
    assert 0 == code
    assert 2 == len(re.findall(r"(?m)^ +a complaint\n +by letter$", told))
    assert "R. Desk, reasons" in told
    assert ["", "", "a complaint\nby letter", "a complaint\nby letter"] == [
        entry["words"] for entry in json.loads(shown)["entries"]
    ]
    assert 2 == len(set(digests))


def test_a_folder_that_takes_no_files_loses_nothing(run: Run, tmp_path: Path) -> None:
    """The document is issued and kept; the message says how its files are had."""
    (tmp_path / "file").write_text("")
    code, _, told = _issue(run, "--out", "file/below")
    shown, _, _ = run("register", "show", "1", "--out", "copies")

    assert (6, True, 0) == (code, "[folder-unwritable]" in told, shown)
    assert "docgen register show NUMBER --out DIR" in told


def test_a_file_that_is_not_there_is_not_judged(run: Run) -> None:
    """Its name and the reason are said; that is no verdict."""
    _issue(run)
    code, _, told = run("verify", "nothere.pdf")

    assert (1, True) == (code, "nothere.pdf cannot be read" in told)


def test_a_checkpoint_is_taken_and_given_back(run: Run, tmp_path: Path) -> None:
    """What `checkpoint` wrote, `verify` reads; another file is refused in plain words."""
    _issue(run)
    run("register", "checkpoint", "--out", "check.json")
    good, _, _ = run("verify", "1", "--checkpoint", "check.json")
    (tmp_path / "other.json").write_text("{}")
    bad, _, told = run("verify", "1", "--checkpoint", "other.json")

    assert (0, 1) == (good, bad)
    assert "[checkpoint-unreadable]" in told


def test_unknown_numbers_are_refused_by_every_action(run: Run) -> None:
    """No action does anything to a number nobody took."""
    _issue(run)
    for words in (
        ["show", "9"],
        ["withdraw", "9", "--reason", "other"],
        ["hold", "9"],
        ["release", "9"],
        ["erase", "9", "--confirm", "9", "--reason", "other"],
        ["supersede", "9", "--successor", "1", "--reason", "other"],
    ):
        code, _, told = run("register", *words)
        assert (1, True) == (code, "[number-unknown]" in told), words


def test_without_a_key_nothing_is_signed(run: Run) -> None:
    """The message says how to name one."""
    code, _, told = run("sign", CASE, "--as", "mh")

    assert (1, True) == (code, "[key-missing]" in told)


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_no_cell_of_the_list_is_a_formula(start: str) -> None:
    """A name that a spreadsheet would run is written as text (ecosystem S15), and reads back."""
    paper = Paper("reply", "1", "en", "", "r", "c", "t", (), "2026-03-24", "docgen")
    life = Life(1, paper, Action.ISSUED, (), (), f"{start}CODE", "k", False, False)
    rows = list(csv.reader(io.StringIO(as_csv([life]))))

    assert f"'{start}CODE" in rows[1]


def test_without_the_libraries_of_signing_the_command_says_which_extra_to_install() -> None:
    """Verifying goes on without them: the signature is said not to have been looked at."""
    program = "import sys; sys.modules['asn1crypto'] = None; from docgen.cli import main; sys.exit(main({words!r}))"
    done = subprocess.run(
        [sys.executable, "-c", program.format(words=["sign", CASE])], capture_output=True, text=True, cwd=ROOT
    )

    assert (6, True) == (done.returncode, "docgen[sign]" in done.stderr)
