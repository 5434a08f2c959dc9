"""The master key: made once, read from where it is named, and in plain words what is wrong with it."""

from __future__ import annotations

import base64
import os
import subprocess
import sys
from pathlib import Path

import pytest
from conftest import ROOT
from hypothesis import given
from hypothesis import strategies as st

from docgen.issue.keys import (
    KEY_FILE,
    MasterKey,
    WrappedKeyDamaged,
    WrongMasterKey,
    new_master_key,
    read_master_key,
)
from docgen.issue.unavailable import Unavailable

TEXT = base64.b64encode(bytes(range(32))).decode()


def _code(folder: Path, environ: dict[str, str] | None = None, **wish: bool) -> str:
    """Give the code with which a key is refused."""
    with pytest.raises(Unavailable) as refused:
        read_master_key(folder, environ or {}, **wish)
    return refused.value.problem.code


@given(st.binary(min_size=1, max_size=64), st.text(max_size=20))
def test_a_wrapped_key_opens_for_what_it_was_wrapped(key: bytes, about: str) -> None:
    """What is wrapped comes back, twice wrapped looks different, and nothing of the key can be seen."""
    master = MasterKey(bytes(range(32)))
    first, second = master.wrap(key, about), master.wrap(key, about)

    assert key == master.unwrap(first, about) == master.unwrap(second, about)
    assert first != second
    with pytest.raises(WrappedKeyDamaged):
        master.unwrap(first, about + "x")


def test_every_changed_bit_of_a_wrapped_key_is_noticed() -> None:
    """No flipped bit, cut or added byte of a wrapped key gives a key."""
    master = new_master_key()[0]
    wrapped = master.wrap(b"k" * 32, "file 1")
    flipped = [
        bytes(byte ^ (1 << bit if place == at else 0) for place, byte in enumerate(wrapped))
        for at in range(len(wrapped))
        for bit in range(8)
    ]
    for changed in [*flipped, wrapped[:-1], wrapped + b"x", wrapped[:20], b""]:
        with pytest.raises((WrappedKeyDamaged, WrongMasterKey)):
            master.unwrap(changed, "file 1")


def test_another_master_key_is_told_from_damage() -> None:
    """A key wrapped by another master key names the marks of both, and no key."""
    old, new = MasterKey(bytes(32)), MasterKey(bytes(range(32)))
    with pytest.raises(WrongMasterKey) as refused:
        new.unwrap(old.wrap(b"k" * 32, "file 1"), "file 1")
    told = refused.value.problem.in_words()

    assert old.mark.hex() in told
    assert new.mark.hex() in told
    assert bytes(32).hex() not in told


def test_rotation_wraps_anew_and_can_be_repeated() -> None:
    """After rewrap only the new master key opens it; a second run, after a kill, changes nothing."""
    old, new = new_master_key()[0], new_master_key()[0]
    wrapped = old.rewrap(old.wrap(b"k" * 32, "file 1"), "file 1", new)

    assert new.unwrap(wrapped, "file 1") == b"k" * 32
    assert wrapped == old.rewrap(wrapped, "file 1", new)
    with pytest.raises(WrongMasterKey):
        old.unwrap(wrapped, "file 1")


def test_the_first_use_makes_a_key_only_its_owner_reads(tmp_path: Path) -> None:
    """The key is made with its folder, 0600 in 0700, stays the same, and no temporary file is left."""
    folder = tmp_path / "a/b"
    first = read_master_key(folder, {})

    assert first.mark == read_master_key(folder, {}).mark
    assert (folder / KEY_FILE).stat().st_mode & 0o777 == 0o600
    assert folder.stat().st_mode & 0o777 == 0o700
    assert [path.name for path in folder.iterdir()] == [KEY_FILE]


def test_many_who_begin_at_once_take_one_key(tmp_path: Path) -> None:
    """Eight processes on an empty folder read the same key."""
    ask = "import sys; from pathlib import Path; from docgen.issue.keys import read_master_key as r; sys.stdin.read(); "
    ask += "print(r(Path(sys.argv[1]), {}).mark.hex())"
    call = [sys.executable, "-c", ask, str(tmp_path / "data")]
    running = [
        subprocess.Popen(call, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT) for _ in range(8)
    ]
    marks = {one.communicate("")[0].strip() for one in running}

    assert marks == {read_master_key(tmp_path / "data", {}).mark.hex()}


def test_environment_and_file_come_before_the_folder(tmp_path: Path) -> None:
    """DOCGEN_MASTER_KEY wins over DOCGEN_MASTER_KEY_FILE, that over the folder; neither makes a file."""
    file = tmp_path / "secret"
    file.write_text(TEXT + "\n")
    file.chmod(0o400)
    mark = MasterKey(bytes(range(32))).mark

    assert mark == read_master_key(tmp_path / "d", {"DOCGEN_MASTER_KEY_FILE": str(file)}).mark
    assert mark == read_master_key(tmp_path / "d", {"DOCGEN_MASTER_KEY": TEXT, "DOCGEN_MASTER_KEY_FILE": "no"}).mark
    assert not (tmp_path / "d").exists()


@pytest.mark.parametrize("text", ["", "  ", TEXT[:-4], TEXT[:40] + "!!!=", TEXT + TEXT, "ключ", TEXT.encode().hex()])
def test_a_key_of_another_shape_is_refused(tmp_path: Path, text: str) -> None:
    """Too short, too long, no base64, empty: refused, and the text is not repeated."""
    (tmp_path / KEY_FILE).write_text(text, "utf-8")
    (tmp_path / KEY_FILE).chmod(0o600)
    with pytest.raises(Unavailable) as refused:
        read_master_key(tmp_path, {})

    assert refused.value.problem.code == "master-key-shape"
    assert not text.strip() or text not in str(refused.value)


def test_a_wrong_key_in_the_environment_is_refused(tmp_path: Path) -> None:
    """The variable is named, its value is not."""
    assert _code(tmp_path, {"DOCGEN_MASTER_KEY": "abc"}) == "master-key-shape"


@pytest.mark.parametrize("mode", [0o604, 0o606, 0o620, 0o644, 0o666])
def test_a_key_others_may_read_or_change_is_refused(tmp_path: Path, mode: int) -> None:
    """Rights of others, or of the group to write, refuse the key until they are taken away."""
    read_master_key(tmp_path, {})
    (tmp_path / KEY_FILE).chmod(mode)
    assert _code(tmp_path) == "master-key-open"
    (tmp_path / KEY_FILE).chmod(0o640)
    assert read_master_key(tmp_path, {}).mark


def test_a_key_that_is_no_file_is_refused(tmp_path: Path) -> None:
    """A folder, or a link to nothing, in its place is unreadable; nothing is made beside it."""
    (tmp_path / "a" / KEY_FILE).mkdir(parents=True)
    (tmp_path / "b").mkdir()
    (tmp_path / "b" / KEY_FILE).symlink_to(tmp_path / "nowhere")

    assert _code(tmp_path / "a") == _code(tmp_path / "b") == "master-key-unreadable"
    assert _code(tmp_path, {"DOCGEN_MASTER_KEY_FILE": str(tmp_path / "none")}) == "master-key-unreadable"


def test_a_lost_key_is_never_made_anew(tmp_path: Path) -> None:
    """Once a register or a kept file is there, or the caller says so, a missing key is lost and not replaced."""
    (tmp_path / "a").mkdir()
    (tmp_path / "a/register.sqlite").touch()
    (tmp_path / "b/store/0a").mkdir(parents=True)

    assert _code(tmp_path / "a") == _code(tmp_path / "b") == _code(tmp_path / "c", begun=True) == "master-key-lost"
    assert not (tmp_path / "a" / KEY_FILE).exists()


def test_who_only_reads_makes_no_key(tmp_path: Path) -> None:
    """Without leave to make one, an empty folder has no key and gets none."""
    assert _code(tmp_path / "new", make=False) == "master-key-unmade"
    assert not (tmp_path / "new").exists()


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    """A file where the folder should be is said in words, with what to do."""
    (tmp_path / "file").write_text("")
    assert _code(tmp_path / "file/data") == "data-unusable"


def test_a_failing_disk_leaves_no_half_key(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """If the key cannot be made durable there is none, and the next try makes one."""
    real = os.fsync

    def failing(number: int) -> None:
        raise OSError(5, os.strerror(5))

    monkeypatch.setattr(os, "fsync", failing)
    assert _code(tmp_path) == "data-unusable"
    assert list(tmp_path.iterdir()) == []
    monkeypatch.setattr(os, "fsync", real)
    assert read_master_key(tmp_path, {}).mark


def test_a_key_prints_only_its_mark() -> None:
    """Printing the object by accident tells nothing."""
    key = bytes(range(32))

    assert repr(MasterKey(key)) == f"MasterKey({MasterKey(key).mark.hex()})"
    assert MasterKey(key).mark.hex() not in key.hex()
    with pytest.raises(ValueError, match="32 bytes"):
        MasterKey(b"short")
