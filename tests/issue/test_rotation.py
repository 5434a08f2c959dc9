"""The master key is changed in one step: the new one then opens everything, and a kill in between loses nothing."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from docgen.cli import main
from docgen.issue import rotation
from docgen.issue.health import check_key_change
from docgen.issue.keys import KEY_FILE, MasterKey, WrongMasterKey, new_master_key, read_key_file
from docgen.issue.register import open_register
from docgen.issue.rotation import NEXT_KEY, rotate
from docgen.issue.unavailable import Unavailable
from issue.shelf import Shelf, clock, shelf_at


@pytest.fixture
def shelf(tmp_path: Path, empty_address: str) -> Iterator[Shelf]:
    """Give a filled installation on each database, some files of it not encrypted."""
    filled = shelf_at(tmp_path / "data", empty_address)
    filled.fill()
    plain = shelf_at(tmp_path / "data", empty_address, encrypted=False)
    plain.issue("plain", shared="said so")
    plain.issue("plain again", shared="said so")
    plain.register.close()
    yield filled
    filled.register.close()


def _marks(shelf: Shelf) -> set[bytes]:
    keys = [file.wrapped_key for life in shelf.register.lives() for file in life.files]
    return {key[1:9] for key in keys if key and key[:1] != b"\0"}


def test_after_a_change_only_the_new_key_opens_anything(shelf: Shelf, tmp_path: Path) -> None:
    """Every file, digest and code is what it was; the old key opens nothing, and is kept under its mark."""
    contents, told, code = shelf.contents(), shelf.told(), shelf.register.check_code("a")
    done = rotate(shelf.places, {})
    new = shelf_at(tmp_path / "data", shelf.places.register)
    try:
        assert (done.old, done.new) == (shelf.master.mark.hex(), new.master.mark.hex())
        assert contents == new.contents()
        assert told == new.told()
        assert code == new.register.check_code("a")
        assert new.register.faults() == ()
        assert _marks(new) == {new.master.mark}
        with pytest.raises(WrongMasterKey):
            open_register(shelf.places.register, shelf.master, clock)
        assert done.kept is not None
        assert read_key_file(done.kept).mark == shelf.master.mark
        assert sorted(path.name for path in (tmp_path / "data").glob("master*")) == [KEY_FILE, done.kept.name]
        assert done.keys == 10
    finally:
        new.register.close()


@pytest.mark.parametrize("step", ["_rewrap", "_exchange", "link", "replace"])
def test_an_interrupted_change_is_finished_by_the_next(
    shelf: Shelf, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    """Stopped before or after the register is under the new key: the doctor says so, and a second run ends it."""
    contents = shelf.contents()

    def stop(*_words: object, **_more: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        if step == "_rewrap" or step == "_exchange":
            patch.setattr(rotation, step, stop)
        else:
            real, ready = getattr(os, step), [False]
            patch.setattr(rotation, "_rewrap", lambda *w, **m: (_real_rewrap(*w, **m), ready.__setitem__(0, True))[0])
            patch.setattr(os, step, lambda *w, **m: stop() if ready[0] else real(*w, **m))
        with pytest.raises(KeyboardInterrupt):
            rotate(shelf.places, {})
    assert [problem.code for problem in check_key_change(shelf.places)] == ["key-change-unfinished"]
    promised = read_key_file(tmp_path / "data" / NEXT_KEY).mark
    assert rotate(shelf.places, {}).new == promised.hex()
    new = shelf_at(tmp_path / "data", shelf.places.register)
    assert new.master.mark == promised
    assert contents == new.contents()
    assert list(check_key_change(shelf.places)) == []
    new.register.close()


_real_rewrap = rotation._rewrap


def test_a_program_that_ran_on_is_caught_up_with(shelf: Shelf, tmp_path: Path) -> None:
    """What was issued with the old key after a change is opened by it at the next change, and is lost to nobody."""
    rotate(shelf.places, {})
    number = shelf.issue("late")
    rotate(shelf.places, {})
    new = shelf_at(tmp_path / "data", shelf.places.register)
    life = new.register.life(number)

    assert life is not None
    assert new.store.get(life.files[0], life.files[0].wrapped_key) == b"late"
    assert len(new.contents()) > 10
    new.register.close()


def test_a_key_of_the_environment_is_changed_by_its_owner(tmp_path: Path) -> None:
    """The new key is given as a file; docgen changes no environment and no file of it."""
    (old, old_text), (new, new_text) = new_master_key(), new_master_key()
    file = tmp_path / "new.key"
    file.write_text(new_text)
    file.chmod(0o600)
    places = _begun(tmp_path, old)
    with pytest.raises(Unavailable) as refused:
        rotate(places, {"DOCGEN_MASTER_KEY": old_text})
    assert refused.value.problem.code == "master-key-named"
    done = rotate(places, {"DOCGEN_MASTER_KEY": old_text}, file)
    assert done.kept is None
    open_register(places.register, new, clock).close()
    with pytest.raises(Unavailable) as same:
        rotate(places, {"DOCGEN_MASTER_KEY": new_text}, file)
    assert same.value.problem.code == "master-key-same"
    assert file.read_text() == new_text


def _begun(tmp_path: Path, master: MasterKey) -> rotation.Places:
    places = rotation.Places(tmp_path / "data", f"sqlite:///{tmp_path / 'data/register.sqlite'}")
    open_register(places.register, master, clock).close()
    return places


def test_the_command_says_what_it_did(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Rekey names both marks and the old key's file; where nothing was begun it begins nothing, exit 6."""
    for name in ("MASTER_KEY", "MASTER_KEY_FILE", "REGISTER"):
        monkeypatch.delenv(f"DOCGEN_{name}", raising=False)
    assert main(["rekey", "--data", str(tmp_path / "none")]) == 6
    assert not (tmp_path / "none").exists()
    shelf = shelf_at(tmp_path / "data")
    shelf.register.close()
    shutil.copy(tmp_path / "data" / KEY_FILE, tmp_path / "old.key")
    assert main(["rekey", "--data", str(tmp_path / "data"), "--json"]) == 0
    told = capsys.readouterr()
    assert f'"old": "{shelf.master.mark.hex()}"' in told.out
    assert "delete it with the last of them" in told.err
    words = ["rekey", "--data", str(tmp_path / "data"), "--new-key-file", str(tmp_path / "old.key")]
    assert main(words) == 0
    assert read_key_file(tmp_path / "data" / KEY_FILE).mark == shelf.master.mark
