"""Backup while in use, and restore into either database: all of it comes back proved, or nothing appears."""

from __future__ import annotations

import errno
import hashlib
import json
import os
import shutil
import sqlite3
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from docgen.issue.backup import UNFINISHED, Wish, back_up
from docgen.issue.entry import KeptFile
from docgen.issue.folders import Places
from docgen.issue.keys import KEY_FILE, WrongMasterKey, new_master_key, written_key
from docgen.issue.manifest import NAME, Manifest, Stored, written
from docgen.issue.restore import restore
from docgen.issue.unavailable import Unavailable
from docgen.problem import Refused
from issue.shelf import CANARY, NOW, Shelf, clock, shelf_at
from tests.seeded import seeded


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Shelf]:
    """Give a filled installation on SQLite."""
    filled = shelf_at(tmp_path / "data")
    filled.fill()
    yield filled
    filled.register.close()


def _wish(shelf: Shelf, key: str = "") -> Wish:
    return Wish(shelf.places.register, shelf.register, shelf.store, shelf.master, NOW, "docgen test", key=key)


def _restore(source: Path, folder: Path, key_of: Path | None = None, address: str = "") -> Manifest:
    places = Places(folder, address or f"sqlite:///{folder / 'register.sqlite'}")
    if key_of:
        folder.mkdir(mode=0o700)
        shutil.copy(key_of / KEY_FILE, folder)
    return restore(source, places, {}, clock)


def _files(folder: Path) -> dict[str, bytes]:
    found = (path for path in folder.rglob("*") if path.is_file() and path.name != ".lock")
    return {str(path.relative_to(folder)): path.read_bytes() for path in found}


def _code(call: Callable[[], object]) -> str:
    with pytest.raises((Unavailable, Refused)) as refused:
        call()
    error = refused.value
    return error.problem.code if isinstance(error, Unavailable) else error.problems[0].code


def test_a_restored_backup_is_the_same_in_every_word(shelf: Shelf, tmp_path: Path) -> None:
    """Entries, lives, holds, accesses and files come back as they were; chain, head and check codes too."""
    back_up(_wish(shelf), tmp_path / "backup")
    manifest = _restore(tmp_path / "backup", tmp_path / "new", tmp_path / "data")
    new = shelf_at(tmp_path / "new")

    assert shelf.told() == new.told()
    assert shelf.contents() == new.contents()
    assert new.register.faults() == ()
    assert new.register.head() == shelf.register.head() == (manifest.entries, manifest.head)
    assert new.register.check_code("a") == shelf.register.check_code("a")
    assert sorted(_files(tmp_path / "new/store")) == sorted(_files(tmp_path / "data/store"))
    new.issue("goes on")
    new.register.close()


def test_a_backup_tells_nothing_without_the_key(shelf: Shelf, tmp_path: Path) -> None:
    """The key is not in it, no file in it can be read, and only its owner may enter."""
    back_up(_wish(shelf), tmp_path / "backup")
    found = _files(tmp_path / "backup")

    assert KEY_FILE not in found
    assert not [name for name, content in found.items() if CANARY.encode() in content or CANARY in name]
    assert {path.stat().st_mode & 0o077 for path in (tmp_path / "backup").rglob("*")} == {0}
    assert _code(lambda: _restore(tmp_path / "backup", tmp_path / "new")) == "master-key-lost"
    assert not (tmp_path / "new").exists()


def test_a_backup_with_its_key_restores_alone(shelf: Shelf, tmp_path: Path) -> None:
    """With the key in it, nothing else is needed, and the key lies in the new data folder."""
    manifest = back_up(_wish(shelf, written_key(tmp_path / "data", {})), tmp_path / "backup")
    _restore(tmp_path / "backup", tmp_path / "new")
    new = shelf_at(tmp_path / "new")

    assert manifest.key_included
    assert (tmp_path / "new" / KEY_FILE).stat().st_mode & 0o777 == 0o600
    assert shelf.contents() == new.contents()
    new.register.close()


def test_what_the_clinic_trusts_comes_along(shelf: Shelf, tmp_path: Path) -> None:
    """Certificates and lists are in the backup, proved like the rest, and restored."""
    trust = tmp_path / "data/trust"
    (trust / "lists").mkdir(parents=True)
    (trust / "root.pem").write_bytes(b"a root")
    (trust / "lists/old.crl").write_bytes(b"a list")
    manifest = back_up(replace(_wish(shelf), trust=trust), tmp_path / "backup")
    _restore(tmp_path / "backup", tmp_path / "new", tmp_path / "data")

    assert _files(trust) == _files(tmp_path / "new/trust")
    assert manifest.kept == len(manifest.files) - 2
    (tmp_path / "backup/trust/root.pem").write_bytes(b"another root")
    assert _code(lambda: _restore(tmp_path / "backup", tmp_path / "other", tmp_path / "data")) == "backup-damaged"


def test_an_empty_register_can_be_backed_up(tmp_path: Path) -> None:
    """Before the first document there is a backup too."""
    empty = shelf_at(tmp_path / "data")
    manifest = back_up(_wish(empty), tmp_path / "backup")
    _restore(tmp_path / "backup", tmp_path / "new", tmp_path / "data")

    assert (0, ()) == (manifest.entries, manifest.files)
    empty.register.close()


def test_a_target_that_is_there_is_refused(shelf: Shelf, tmp_path: Path) -> None:
    """A backup never writes into or over anything."""
    (tmp_path / "backup").mkdir()

    assert _code(lambda: back_up(_wish(shelf), tmp_path / "backup")) == "backup-exists"
    assert list((tmp_path / "backup").iterdir()) == []


def test_a_place_that_is_not_empty_is_refused(shelf: Shelf, tmp_path: Path) -> None:
    """A restore never mixes with what is kept already; a lone master key is no hindrance."""
    back_up(_wish(shelf), tmp_path / "backup")
    before = _files(tmp_path / "data/store")

    assert _code(lambda: _restore(tmp_path / "backup", tmp_path / "data")) == "restore-not-empty"
    assert before == _files(tmp_path / "data/store")
    (tmp_path / "other").mkdir()
    address = f"sqlite:///{tmp_path / 'data/register.sqlite'}"
    assert _code(lambda: _restore(tmp_path / "backup", tmp_path / "other", address=address)) == "restore-not-empty"


def test_backups_at_random_moments_under_load_are_whole(tmp_path: Path, empty_address: str) -> None:
    """While three writers issue and erase, each backup restores, verifies, and holds what was acknowledged before."""
    busy, stop, broken = shelf_at(tmp_path / "data", empty_address), threading.Event(), []
    busy.fill()

    def write(name: int) -> None:
        own, turn, chance = shelf_at(tmp_path / "data", empty_address), 0, seeded(name)
        try:
            while not stop.wait(0.01):
                number = own.issue(f"{name} {turn}", shared=f"shared {turn % 3}")
                if chance.random() < 0.4:
                    own.erase(number)
                turn += 1
        except Unavailable as error:
            if error.problem.code != "register-busy":  # a slow disk is no fault of a backup
                broken.append(error)
        except Exception as error:
            broken.append(error)
        finally:
            own.register.close()

    writers = [threading.Thread(target=write, args=(name,)) for name in range(3)]
    for writer in writers:
        writer.start()
    try:
        for turn in range(4):
            acknowledged, _ = busy.register.head()
            manifest = back_up(_wish(busy), tmp_path / f"backup{turn}")
            assert manifest.entries >= acknowledged
            assert manifest.faults == ()
            _wait_for(busy, acknowledged + 12)
    finally:
        stop.set()
        for writer in writers:
            writer.join()
    assert broken == []
    for turn in range(4):
        _restore(tmp_path / f"backup{turn}", tmp_path / f"new{turn}", tmp_path / "data")
        new = shelf_at(tmp_path / f"new{turn}")
        assert new.register.faults() == ()
        assert len(new.contents()) >= len(new.register.digests()) > 4
        new.register.close()
    assert len(busy.contents()) > 4
    assert busy.register.faults() == ()
    busy.register.close()


def _wait_for(shelf: Shelf, entries: int) -> None:
    for _ in range(1000):
        if shelf.register.head()[0] > entries:
            return
        time.sleep(0.02)
    raise AssertionError("nobody wrote")


def _files_of(shelf: Shelf, number: int) -> tuple[KeptFile, ...]:
    life = shelf.register.life(number)
    assert life is not None
    return life.files


def test_what_is_damaged_already_is_said_and_kept_so(shelf: Shelf, tmp_path: Path) -> None:
    """A missing and a damaged file do not stop a backup: it names them, restores the rest, and still names them."""
    pdf = next(file for file in _files_of(shelf, 5) if file.name == "pdf")
    shelf.store.paths(pdf.digest)[0].write_bytes(b"damaged")
    shelf.store.paths(_files_of(shelf, 1)[0].digest)[0].unlink()
    manifest = back_up(_wish(shelf), tmp_path / "backup")

    assert manifest.faults == ("file-gone 000001 pdf", "file-damaged 000005 pdf")
    assert _restore(tmp_path / "backup", tmp_path / "new", tmp_path / "data").faults == manifest.faults


def _damages() -> dict[str, Callable[[Path], object]]:
    def change(path: Path) -> None:
        content = path.read_bytes()
        path.write_bytes(content[:40] + bytes([content[40] ^ 1]) + content[41:])

    def any_file(folder: Path) -> Path:
        return sorted((folder / "store").glob("*/*"))[2]

    def unsealed(folder: Path) -> None:
        read = json.loads((folder / NAME).read_text())
        read["backup"]["entries"] -= 1
        (folder / NAME).write_text(json.dumps(read))

    def own_statement(folder: Path) -> None:
        connection = sqlite3.connect(folder / "register.sqlite")
        connection.execute("UPDATE documents SET on_hold = 0")
        connection.commit()
        connection.close()

    return {
        "a file changed": lambda folder: change(any_file(folder)),
        "a file gone": lambda folder: any_file(folder).unlink(),
        "a file cut": lambda folder: os.truncate(any_file(folder), 5),
        "the register changed": lambda folder: change(folder / "register.sqlite"),
        "the register cut": lambda folder: os.truncate(folder / "register.sqlite", 8192),
        "the register gone": lambda folder: (folder / "register.sqlite").unlink(),
        "a hold taken away": own_statement,
        "the manifest changed": unsealed,
        "the manifest cut": lambda folder: os.truncate(folder / NAME, 99),
    }


@pytest.mark.parametrize("damage", _damages())
def test_a_damaged_backup_restores_nothing(shelf: Shelf, tmp_path: Path, damage: str) -> None:
    """Every change of a backup is found before anything appears."""
    back_up(_wish(shelf), tmp_path / "backup")
    _damages()[damage](tmp_path / "backup")

    assert _code(lambda: _restore(tmp_path / "backup", tmp_path / "new", tmp_path / "data")) == "backup-damaged"
    assert [path.name for path in (tmp_path / "new").iterdir()] == [KEY_FILE]


def test_other_folders_and_keys_are_told_apart(shelf: Shelf, tmp_path: Path) -> None:
    """No backup, one of a newer program, one of another master key: each has its words."""
    back_up(_wish(shelf), tmp_path / "backup")
    (tmp_path / "nothing").mkdir()
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / KEY_FILE).write_text(new_master_key()[1])
    (tmp_path / "other" / KEY_FILE).chmod(0o600)
    assert _code(lambda: _restore(tmp_path / "nothing", tmp_path / "new", tmp_path / "data")) == "backup-unreadable"
    with pytest.raises(WrongMasterKey):
        _restore(tmp_path / "backup", tmp_path / "new2", tmp_path / "other")
    read = json.loads((tmp_path / "backup" / NAME).read_text())
    (tmp_path / "backup" / NAME).write_text(json.dumps({**read, "version": 2}))
    assert _code(lambda: _restore(tmp_path / "backup", tmp_path / "new3", tmp_path / "data")) == "backup-newer"


def test_a_manifest_never_reaches_out_of_its_folder(shelf: Shelf, tmp_path: Path) -> None:
    """Even with the right seal a path that leaves the backup is refused."""
    manifest = back_up(_wish(shelf), tmp_path / "backup")
    (tmp_path / "evil").write_bytes(b"evil")
    paths = ["../evil", "trust/../../evil", "trust/..", "/etc/passwd", "store/../../evil", "trust/./evil", "evil"]
    for turn, path in enumerate(paths):
        evil = Stored(path, 4, hashlib.sha256(b"evil").hexdigest())
        changed = replace(manifest, files=(*manifest.files, evil))
        (tmp_path / "backup" / NAME).write_bytes(written(changed, shelf.master))
        new = tmp_path / f"new{turn}"
        assert _code(partial(_restore, tmp_path / "backup", new, tmp_path / "data")) == "backup-damaged"


@pytest.mark.parametrize("name", ["fsync", "link", "write", "rename", "replace", "open"])
def test_a_failing_disk_leaves_no_half_backup_and_no_half_restore(
    shelf: Shelf, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    """Whichever call fails, and whenever: the target is whole or not there, and nothing is left beside it."""

    def attempt(call: Callable[[], object], at: int) -> bool:
        real, count = getattr(os, name), [0]

        def failing(*words: Any, **more: Any) -> Any:
            count[0] += 1
            if count[0] == at:
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            return real(*words, **more)

        with monkeypatch.context() as patch:
            patch.setattr(os, name, failing)
            try:
                call()
            except Unavailable:
                return False
        return True

    back_up(_wish(shelf), tmp_path / "good")
    for at in (1, 2, 3, 5, 8, 13, 21, 34, 55, 400):
        target, data = tmp_path / f"backup{at}", tmp_path / f"new{at}"
        if attempt(partial(back_up, _wish(shelf), target), at):
            break
        assert not target.exists()
        assert not list(tmp_path.glob(f"{UNFINISHED}*"))
        data.mkdir(mode=0o700)
        shutil.copy(tmp_path / "data" / KEY_FILE, data)
        if not attempt(partial(_restore, tmp_path / "good", data), at):
            assert [path.name for path in data.iterdir()] == [KEY_FILE]
    else:
        raise AssertionError("the fault never stopped")


def test_what_a_killed_backup_left_is_swept_by_the_next(shelf: Shelf, tmp_path: Path) -> None:
    """An unfinished folder of more than a day goes; a younger one may still be written."""
    for name, age in (("old", 90_000), ("young", 80_000)):
        path = tmp_path / f"{UNFINISHED}{name}"
        path.mkdir()
        os.utime(path, (NOW.timestamp() - age,) * 2)
    back_up(_wish(shelf), tmp_path / "backup")

    assert [path.name for path in tmp_path.glob(f"{UNFINISHED}*")] == [f"{UNFINISHED}young"]
