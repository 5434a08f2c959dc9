"""The command line: exit codes, whole files or none, one object of JSON, and messages that help."""

from __future__ import annotations

import errno
import json
import os
import shutil
from pathlib import Path
from typing import Any

import pytest
from conftest import EXAMPLES

from docgen.cli import main

CASE = str(EXAMPLES / "fenwright/case.yaml")
ON = ["--on", "2026-03-24"]


def test_make_writes_the_files_it_names(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A case becomes its files, named by record, kind, copy and language."""
    code = main(
        ["make", CASE, *ON, "--kind", "consent", "--copy", "patient", "--format", "text", "--out", str(tmp_path)]
    )

    assert code == 0
    assert [f.name for f in tmp_path.iterdir()] == ["HM-2026-0117-consent-patient-en.txt"]
    assert capsys.readouterr().out.strip().endswith("HM-2026-0117-consent-patient-en.txt")


def test_a_refused_case_writes_nothing_and_names_what_would_pass(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One missing field stops all kinds of a case; the message names the kinds that would pass alone."""
    case = tmp_path / "case.yaml"
    text = Path(CASE).read_text("utf-8")
    shutil.copy(EXAMPLES / "fenwright/clinic.yaml", tmp_path)
    case.write_text(text.replace("  blood_loss:", "  # blood_loss:"), "utf-8")
    out = tmp_path / "out"
    code = main(["make", str(case), *ON, "--out", str(out)])
    told = capsys.readouterr().err

    assert code == 1
    assert not out.exists()
    assert "operation.blood_loss is missing  [missing-field]" in told
    assert "--kind aftercare --kind consent" in told


def test_a_file_with_other_content_is_not_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Without --replace what stands there stays; the same content again is no fault."""
    words = ["make", CASE, *ON, "--kind", "operative-note", "--format", "text", "--out", str(tmp_path)]
    assert main(words) == 0
    assert main(words) == 0
    file = next(tmp_path.iterdir())
    file.write_text("mine", "utf-8")

    assert main(words) == 1
    assert file.read_text("utf-8") == "mine"
    assert "[file-exists]" in capsys.readouterr().err
    assert main([*words, "--replace"]) == 0
    assert file.read_text("utf-8") != "mine"


@pytest.mark.parametrize("fault", [errno.ENOSPC, errno.EIO])
def test_a_full_disk_leaves_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: int) -> None:
    """When the disk refuses a later file, none is left behind and the exit code is 6."""
    real, calls = os.fsync, []

    def failing(number: int) -> None:
        calls.append(number)
        if len(calls) == 2:
            raise OSError(fault, os.strerror(fault))
        real(number)

    monkeypatch.setattr(os, "fsync", failing)
    code = main(["make", CASE, *ON, "--kind", "consent", "--format", "text", "--out", str(tmp_path)])

    assert code == 6
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_made_is_exit_6(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file where the folder should be is the disk's fault, told in one line."""
    (tmp_path / "out").write_text("", "utf-8")
    code = main(["make", CASE, *ON, "--kind", "consent", "--format", "text", "--out", str(tmp_path / "out")])

    assert code == 6
    assert "cannot be written" in capsys.readouterr().err


def test_json_is_one_object(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With --json, standard output holds one object, errors too."""
    assert main(["check", CASE, *ON, "--json"]) == 0
    checked: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert main(["make", str(tmp_path / "none.yaml"), "--json"]) == 1
    failed: dict[str, Any] = json.loads(capsys.readouterr().out)

    assert checked["problems"] == []
    assert failed["cases"][0]["problems"][0]["code"] == "file-unreadable"


def test_other_cases_go_on_and_the_highest_exit_code_counts(tmp_path: Path) -> None:
    """A refused case does not stop the next one."""
    words = ["make", "--kind", "consent", "--format", "text", "--out", str(tmp_path), *ON]
    code = main([*words, str(tmp_path / "none.yaml"), CASE])

    assert code == 1
    assert len(list(tmp_path.iterdir())) == 2


def test_an_unknown_language_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A language without a catalog refuses the documents and names those there are."""
    assert main(["make", CASE, *ON, "--language", "ru", "--out", str(tmp_path / "o")]) == 1
    assert "[language-missing]" in capsys.readouterr().err


@pytest.mark.parametrize("command", ["kinds", "facts", "schema", "start", "lint"])
def test_the_other_commands_run(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Each command does its work on the shipped folders."""
    words = {"facts": ["facts", CASE, *ON]}.get(command, [command])

    assert main(words) == 0
    assert command == "lint" or capsys.readouterr().out


def test_a_started_record_is_refused_line_by_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The blank record reads as YAML, and check names each empty line."""
    assert main(["start", "--kind", "aftercare"]) == 0
    case = tmp_path / "case.yaml"
    case.write_text(capsys.readouterr().out, "utf-8")

    assert main(["check", str(case), "--kind", "aftercare", *ON]) == 1
    told = capsys.readouterr().err
    assert "patient.birth_date is empty" in told or "patient.birth_date" in told
    assert "yaml-broken" not in told
    assert "unknown-field" not in told


def test_wrong_words_are_usage(capsys: pytest.CaptureFixture[str]) -> None:
    """An unknown command and a wrong day are exit 2."""
    for words in (["mend"], ["make", CASE, "--on", "tomorrow"]):
        with pytest.raises(SystemExit) as stopped:
            main(words)
        assert stopped.value.code == 2
    assert capsys.readouterr().err


def test_messages_speak_the_users_language(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A catalog for the language of the environment translates the messages; what it lacks stays English."""
    home = tmp_path / "es/LC_MESSAGES"
    home.mkdir(parents=True)
    style = "name: Español\ndirection: ltr\ndate: d MMMM y\nday: EEEE d MMMM y\ntime: HH:mm\n"
    (tmp_path / "es/language.yaml").write_text(style, "utf-8")
    head = 'msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n"\n\n'
    entry = 'msgid "nothing is missing for %(documents)s"\nmsgstr "no falta nada para %(documents)s"\n'
    (home / "docgen.po").write_text(head + entry, "utf-8")
    monkeypatch.setenv("LC_ALL", "es_ES.UTF-8")

    assert main(["check", CASE, *ON, "--kind", "consent", "--locales", str(tmp_path)]) == 0
    assert capsys.readouterr().out == "no falta nada para consent (en)\n"
