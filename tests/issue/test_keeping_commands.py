"""`docgen backup`, `restore` and `doctor` as a receptionist uses them: words, exit codes, one object of JSON."""

from __future__ import annotations

import argparse
import json
import os
import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from docgen.cli import main
from docgen.cli.clock import utc_now
from docgen.cli.opened import opened, who
from docgen.issue.keys import KEY_FILE
from docgen.issue.retention import Retention
from docgen.issue.unavailable import Unavailable
from docgen.problem import Refused
from docgen.render.fonts.sources import FAMILIES, HOUSE
from issue.conftest import Postgres
from issue.shelf import BY, CANARY, Shelf, shelf_at


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Shelf]:
    """Give a filled installation that the commands find through the environment."""
    _clear(monkeypatch)
    monkeypatch.setenv("DOCGEN_DATA", str(tmp_path / "data"))
    filled = shelf_at(tmp_path / "data", now=utc_now)
    filled.fill()
    yield filled
    filled.register.close()


@pytest.fixture
def nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give a data folder that is not there."""
    _clear(monkeypatch)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    return tmp_path / "docgen"


def _clear(patch: pytest.MonkeyPatch) -> None:
    for name in ("DATA", "REGISTER", "MASTER_KEY", "MASTER_KEY_FILE", "ENCRYPTION", "BY"):
        patch.delenv(f"DOCGEN_{name}", raising=False)


def _json(capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    read: dict[str, Any] = json.loads(capsys.readouterr().out)
    return read


def test_backup_and_restore_make_a_second_clinic(
    shelf: Shelf, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A backup with its key, restored into another folder, is whole; the key in it is said loudly."""
    assert main(["backup", str(tmp_path / "b"), "--with-key"]) == 0
    told = capsys.readouterr()
    assert "WARNING: the master key master.key lies in this backup" in told.err
    assert str(tmp_path / "b") == told.out.strip()
    assert main(["restore", str(tmp_path / "b"), "--data", str(tmp_path / "new")]) == 0
    told = capsys.readouterr()
    assert "restored and proved: 18 entries and 10 files" in told.err
    assert "do it again" in told.err
    assert main(["doctor", "--data", str(tmp_path / "new")]) == 0
    assert "nothing is wrong: 18 entries, 10 files opened" in capsys.readouterr().out


def test_a_backup_without_key_says_what_that_means(
    shelf: Shelf, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without --with-key no key is in it, and JSON says so too; restoring it needs the key, exit 6."""
    assert main(["backup", str(tmp_path / "b"), "--json"]) == 0
    told = capsys.readouterr()
    assert "the master key is not in it" in told.err
    assert json.loads(told.out)["key_included"] is False
    assert not (tmp_path / "b" / KEY_FILE).exists()
    assert main(["restore", str(tmp_path / "b"), "--data", str(tmp_path / "new"), "--json"]) == 6
    assert _json(capsys)["problems"][0]["code"] == "master-key-lost"


def test_restore_says_what_it_restored(shelf: Shelf, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With --json the head, the counts and the moment are one object; a second restore there is refused, exit 1."""
    assert main(["backup", str(tmp_path / "b"), "--with-key", "--json"]) == 0
    made = _json(capsys)
    words = ["restore", str(tmp_path / "b"), "--data", str(tmp_path / "new"), "--json"]
    assert main(words) == 0
    restored = _json(capsys)
    assert {**made, **restored} == {**restored, **made}
    assert main(words) == 1
    assert _json(capsys)["problems"][0]["code"] == "restore-not-empty"


def test_numbers_lost_with_a_backup_are_not_given_again(
    shelf: Shelf, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Numbers that stand on paper and not in the backup are voided, visibly; the next document gets a new one."""
    assert main(["backup", str(tmp_path / "b"), "--with-key"]) == 0
    last = [shelf.issue(f"after the backup {turn}") for turn in range(3)][-1]
    new = str(tmp_path / "new")
    assert main(["restore", str(tmp_path / "b"), "--data", new, "--last-number", str(last), "--by", BY]) == 0
    assert f"3 numbers that are lost were voided, up to {last:06d}" in capsys.readouterr().err
    restored = shelf_at(tmp_path / "new", now=utc_now)
    assert [life.state.value for life in restored.register.lives(kind="lost")] == ["voided"] * 3
    assert restored.issue("again") == last + 1
    assert restored.register.faults() == ()
    restored.register.close()


def test_faults_are_exit_4_everywhere(shelf: Shelf, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A damaged file: backup, restore and doctor all name it and give 4; nobody's name is said."""
    life = shelf.register.life(5)
    assert life is not None
    shelf.store.own(life.files[0].digest, life.files[0].wrapped_key)[0].write_bytes(b"?")

    assert main(["backup", str(tmp_path / "b"), "--with-key"]) == 4
    assert main(["restore", str(tmp_path / "b"), "--data", str(tmp_path / "new")]) == 4
    assert main(["doctor"]) == 4
    told = "".join(capsys.readouterr())
    assert told.count("file-damaged 000005 pdf") == 2
    assert "[file-damaged]" in told
    assert CANARY not in told


def test_nothing_begun_is_no_fault_of_the_doctor(nothing: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Before the first issue the doctor is content and begins nothing; a backup has nothing to copy, exit 6."""
    assert main(["doctor"]) == 0
    assert "nothing is wrong: 0 entries, 0 files opened" in capsys.readouterr().out
    assert main(["backup", str(nothing.parent / "b")]) == 6
    assert "[register-none]" in capsys.readouterr().err
    assert not nothing.exists()
    assert not (nothing.parent / "b").exists()


def test_a_lost_register_or_key_is_found(shelf: Shelf, capsys: pytest.CaptureFixture[str]) -> None:
    """Files without a register, and a register without its key, are exit 6 with a mend."""
    key = shelf.places.folder / KEY_FILE
    key.rename(key.with_name("away"))
    assert main(["doctor", "--json"]) == 6
    assert "master-key-lost" in [problem["code"] for problem in _json(capsys)["problems"]]
    (shelf.places.folder / "register.sqlite").unlink()
    assert main(["doctor", "--json"]) == 6
    assert "register-lost" in [problem["code"] for problem in _json(capsys)["problems"]]


def test_a_key_that_is_not_the_registers_is_found(
    shelf: Shelf, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Another master key in the environment is told with the marks of both; an unreadable switch too."""
    monkeypatch.setenv("DOCGEN_MASTER_KEY", "A" * 43 + "=")
    assert main(["doctor"]) == 6
    told = capsys.readouterr().err
    assert "[master-key-wrong]" in told
    assert shelf.master.mark.hex() in told
    monkeypatch.delenv("DOCGEN_MASTER_KEY")
    monkeypatch.setenv("DOCGEN_ENCRYPTION", "maybe")
    assert main(["doctor"]) == 6
    assert "[encryption-unclear]" in capsys.readouterr().err


def test_the_doctor_cleans_only_where_the_register_is_sound(shelf: Shelf, capsys: pytest.CaptureFixture[str]) -> None:
    """Old rests go with --clean; from a register that was changed nothing is deleted, for it may name too little."""
    temporary = shelf.store.folder / ".tmp-1"
    temporary.write_text("half")
    os.utime(temporary, (0, 0))
    with sqlite3.connect(shelf.places.folder / "register.sqlite") as raw:
        raw.execute("UPDATE documents SET on_hold = 1 - on_hold")
    assert main(["doctor", "--clean"]) == 4
    assert temporary.exists()
    with raw:
        raw.execute("UPDATE documents SET on_hold = 1 - on_hold")
    raw.close()
    assert main(["doctor", "--clean", "--json"]) == 0
    assert not temporary.exists()
    assert '"cleaned": 1' in capsys.readouterr().out


def test_what_is_due_is_listed_and_what_is_not_stays(shelf: Shelf, capsys: pytest.CaptureFixture[str]) -> None:
    """What is over and not on hold is named; erasing what still runs is not permitted, exit 5, unless decided."""
    over, running = (
        shelf.issue(f"kept until {year}", note=Retention("record", year).note) for year in (2020, utc_now().year)
    )
    held = shelf.issue("held", note=Retention("record", 2020).note)
    shelf.register.hold(held, BY)
    assert main(["register", "list", "--due", "--json"]) == 0
    assert [one["number"] for one in _json(capsys)["documents"]] == [over]
    words = ["register", "erase", str(running), "--reason", "other", "--confirm", str(running), "--by", BY]
    assert main(words) == 5
    assert "[erasure-too-early]" in capsys.readouterr().err
    assert main([*words, "--before-due"]) == 0
    life = shelf.register.life(running)
    assert life is not None
    assert life.erased
    assert main(["doctor"]) == 0


def test_a_register_on_a_server_is_kept_the_same_way(
    nothing: Path, postgres: Postgres, capsys: pytest.CaptureFixture[str]
) -> None:
    """With --register, doctor, backup, rekey and restore do on PostgreSQL what they do on SQLite."""
    shelf = shelf_at(nothing, postgres.new(), now=utc_now)
    shelf.fill()
    shelf.register.close()
    at, target = ["--register", shelf.places.register], nothing.parent / "new"
    assert main(["doctor", *at]) == 0
    assert main(["rekey", *at]) == 0
    assert main(["backup", str(nothing.parent / "b"), "--with-key", *at]) == 0
    assert main(["restore", str(nothing.parent / "b"), "--data", str(target), "--register", postgres.new()]) == 0
    assert main(["restore", str(nothing.parent / "b"), "--data", str(target / "2"), "--register", ""]) == 0
    assert main(["doctor", "--data", str(target / "2")]) == 0
    assert capsys.readouterr().out.count("nothing is wrong: 18 entries, 10 files opened") == 2


def test_fonts_are_looked_at(
    nothing: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A damaged file of the font cache is a note, a font that is not the pinned one is a fault."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(nothing.parent / "cache"))
    fonts = nothing.parent / "cache/docgen/fonts"
    fonts.mkdir(parents=True)
    (fonts / "a-400.ttf").write_bytes(b"0\nx")
    assert main(["doctor"]) == 0
    told = capsys.readouterr().err
    assert "[font-cache-damaged]" in told
    assert f"rm {fonts / 'a-400.ttf'}" in told
    monkeypatch.setitem(FAMILIES, HOUSE, replace(FAMILIES[HOUSE], sha256="0" * 64))
    assert main(["doctor"]) == 6
    assert "the font Noto Sans is missing or is not the one docgen is tested with  [font-unusable]" in (
        capsys.readouterr().err
    )


def test_opening_begins_once_and_keeps_its_switch(
    nothing: Path, monkeypatch: pytest.MonkeyPatch, postgres: Postgres
) -> None:
    """The first use makes folder, key and register; off means plain files; a server's register without key is lost."""
    arguments = argparse.Namespace(data=None, register="", by="")
    with opened(arguments, utc_now) as first:
        assert first.store.put(b"x", "pdf").wrapped_key is not None
        head = first.register.head()
    monkeypatch.setenv("DOCGEN_ENCRYPTION", "off")
    with opened(arguments, utc_now, begin=False) as second:
        assert second.store.put(b"y", "pdf").wrapped_key is None
        assert second.register.head() == head
        assert second.master.mark == first.master.mark
    server = argparse.Namespace(data=nothing / "other", register=postgres.new(postgres.made), by="")
    with pytest.raises(Unavailable) as refused, opened(server, utc_now):
        pass
    assert refused.value.problem.code == "master-key-lost"
    assert not (nothing / "other").exists()


def test_who_acts_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """--by, else DOCGEN_BY, else the login name; nobody is refused."""
    monkeypatch.setenv("LOGNAME", "front desk")
    monkeypatch.delenv("DOCGEN_BY", raising=False)
    assert who(argparse.Namespace(by="")) == "front desk"
    monkeypatch.setenv("DOCGEN_BY", BY)
    assert who(argparse.Namespace(by="")) == BY
    assert who(argparse.Namespace(by=" Dr. R. Sato ")) == "Dr. R. Sato"
    monkeypatch.setenv("DOCGEN_BY", "  ")
    with pytest.raises(Refused) as refused:
        who(argparse.Namespace(by=""))
    assert [problem.code for problem in refused.value.problems] == ["who-unknown"]
