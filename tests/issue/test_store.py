"""The store: what was kept comes back or is refused, and nobody sees half a file, a name or a key."""

from __future__ import annotations

import errno
import hashlib
import os
import shutil
import signal
import subprocess
import sys
import threading
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from conftest import ROOT
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from docgen.issue.entry import KeptFile
from docgen.issue.keys import MasterKey, WrongMasterKey
from docgen.issue.sealing import MAGIC
from docgen.issue.store import FileDamaged, FileGone, KeyGone, Store
from docgen.issue.unavailable import Unavailable

MASTER = MasterKey(bytes(range(32)))
CANARY = b"Zzyzx Canary, born 1 April 1970"


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """Give an empty store."""
    return Store(tmp_path / "store", MASTER)


@pytest.fixture
def plain(tmp_path: Path) -> Store:
    """Give an empty store without encryption."""
    return Store(tmp_path / "plain", MASTER, encrypted=False)


def _files(store: Store) -> list[str]:
    found = (path.relative_to(store.folder) for path in store.folder.rglob("*") if path.is_file())
    return sorted(str(path) for path in found if path.name != ".lock")


def _get(store: Store, file: KeptFile) -> bytes:
    return store.get(file, file.wrapped_key)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=5000))
def test_what_is_kept_comes_back(store: Store, plain: Store, content: bytes) -> None:
    """Any bytes come back from both kinds of store, under their digest."""
    for one in (store, plain):
        file = one.put(content, "pdf")

        assert (hashlib.sha256(content).hexdigest(), len(content)) == (file.digest, file.size)
        assert content == _get(one, file)
        assert file.digest in set(one.digests())


def test_a_kept_file_is_sealed_and_only_its_owners(store: Store) -> None:
    """On the disk nothing of the content can be read; 0600 in 0700, named by its digest alone."""
    file = store.put(CANARY * 50, "pdf")
    (path,) = store.paths(file.digest)

    assert _files(store) == [f"{file.digest[:2]}/{file.digest}"]
    assert path.read_bytes().startswith(MAGIC)
    assert CANARY not in path.read_bytes()
    assert path.stat().st_mode & 0o777 == 0o600
    assert {folder.stat().st_mode & 0o777 for folder in (path.parent, store.folder)} == {0o700}
    assert file.wrapped_key is not None
    assert store.strangers() == ()


def test_without_encryption_a_file_is_itself(plain: Store) -> None:
    """With encryption off the file is the content, has no key, and deleting it is its erasure."""
    file = plain.put(CANARY, "reason.txt")

    assert plain.paths(file.digest)[0].read_bytes() == CANARY
    assert file.wrapped_key is None
    plain.delete(file.digest)
    assert _files(plain) == []
    plain.delete(file.digest)
    with pytest.raises(FileGone):
        plain.get(file, None)


def test_a_file_without_its_key_is_erased(store: Store) -> None:
    """Once the key is destroyed the file is of no use, and that is told from damage and absence."""
    file = store.put(CANARY, "pdf")
    with pytest.raises(KeyGone) as refused:
        store.get(file, None)

    assert refused.value.problem.code == "file-key-gone"
    assert CANARY.decode() not in refused.value.problem.in_words()


def test_absence_damage_and_a_wrong_key_are_different(store: Store) -> None:
    """Each has its own error and its own mend."""
    file = store.put(b"one", "pdf")
    (path,) = store.paths(file.digest)
    with pytest.raises(WrongMasterKey):
        Store(store.folder, MasterKey(bytes(32))).get(file, file.wrapped_key)
    path.write_bytes(path.read_bytes()[:-1])
    with pytest.raises(FileDamaged):
        _get(store, file)
    path.unlink()
    with pytest.raises(FileGone) as gone:
        _get(store, file)

    assert gone.value.problem.code == "file-gone"


def test_every_changed_byte_is_noticed(store: Store, plain: Store) -> None:
    """A flipped bit anywhere, a byte more or less, another file in its place: none is given."""
    for one in (store, plain):
        file, other = one.put(b"content " * 4, "pdf"), one.put(b"other", "docx")
        (path,) = one.paths(file.digest)
        whole = path.read_bytes()
        flips = [whole[:at] + bytes([whole[at] ^ 1 << at % 8]) + whole[at + 1 :] for at in range(len(whole))]
        swapped = one.paths(other.digest)[0].read_bytes()
        for changed in [*flips, whole + b"\0", whole[:-1], whole[:10], b"", swapped, MAGIC]:
            path.write_bytes(changed)
            with pytest.raises(FileDamaged):
                _get(one, file)
        path.write_bytes(whole)
        assert _get(one, file) == b"content " * 4


def test_the_same_content_kept_twice_is_two_files(store: Store, plain: Store) -> None:
    """Each has a key, or place, of its own: deleting one takes nothing from the other, whichever goes first."""
    for one in (store, plain):
        for gone in (0, 1, 2):
            kept = [one.put(b"same", "reason.txt") for _ in range(3)]
            assert [one.get(file, file.wrapped_key) for file in kept] == [b"same"] * 3
            assert len({file.wrapped_key for file in kept}) == len(one.paths(kept[0].digest)) == 3
            assert list(one.digests()) == [kept[0].digest]
            one.delete(kept[gone].digest, kept[gone].wrapped_key)
            left = [file for file in kept if file is not kept[gone]]
            assert [one.get(file, file.wrapped_key) for file in left] == [b"same"] * 2
            with pytest.raises((FileGone, FileDamaged)):
                one.get(kept[gone], kept[gone].wrapped_key)
            for file in left:
                one.delete(file.digest, file.wrapped_key)
            assert _files(one) == []


def test_a_damaged_plain_file_can_be_deleted(plain: Store, store: Store) -> None:
    """What was damaged is erased too; an encrypted file without its key is left to the doctor."""
    file, sealed = plain.put(b"one", "pdf"), store.put(b"one", "pdf")
    plain.paths(file.digest)[0].write_bytes(b"One")
    plain.delete(file.digest)
    store.delete(sealed.digest)

    assert _files(plain) == []
    assert len(_files(store)) == 1
    assert not store.is_open(store.paths(sealed.digest)[0])


def test_spare_files_are_those_no_key_opens(store: Store, plain: Store) -> None:
    """Of one content kept by three, only those are spare whose key is not among those asked for."""
    for one in (store, plain):
        kept = [one.put(b"same", "pdf").wrapped_key for _ in range(3)]
        digest = hashlib.sha256(b"same").hexdigest()
        assert one.spare(digest, kept) == ()
        assert one.spare(digest, ()) == one.paths(digest)
        (spare,) = one.spare(digest, kept[1:])
        assert one.own(digest, kept[0]) == (spare,)
        assert one.discard([spare]) == 1
        assert one.spare(digest, kept[1:]) == ()


def test_encryption_may_be_switched_at_any_time(tmp_path: Path) -> None:
    """Files of both kinds live in one folder, also for one content, and each is read by its own key or none."""
    for first_sealed in (False, True):
        folder = tmp_path / str(first_sealed)
        kept = [Store(folder, MASTER, encrypted=turn % 2 == first_sealed).put(b"a", "pdf") for turn in range(4)]
        assert [_get(Store(folder, MASTER), file) for file in kept] == [b"a"] * 4


def test_a_name_that_is_no_role_is_a_fault_of_ours(store: Store) -> None:
    """Neither a path nor a person's name can be the name of a kept file, and a digest is a digest."""
    for name in ("Zzyzx Canary.pdf", "../pdf", "", "PDF", "a/b"):
        with pytest.raises(ValueError, match="role"):
            store.put(b"", name)
    for digest in ("../../etc/passwd", "*", "A" * 64, ""):
        with pytest.raises(ValueError, match="digest"):
            store.get(KeptFile("pdf", digest, 0), None)
        with pytest.raises(ValueError, match="digest"):
            store.delete(digest)


def test_several_files_are_kept_at_once(store: Store, plain: Store) -> None:
    """All come back in the order of their roles, also twice the same content, and none is left half."""
    for one in (store, plain):
        contents = {role: (CANARY if role in "ab" else role.encode()) for role in "abcdefghijkl"}
        kept = one.put_all(contents.items())
        assert list(contents) == [file.name for file in kept]
        assert list(contents.values()) == [_get(one, file) for file in kept]
        assert len(_files(one)) == len(contents)


def test_if_one_of_several_cannot_be_kept_none_is(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """The disk refuses the third file: told in words, and the store is as empty as before."""
    _failing("link", 3, errno.ENOSPC, monkeypatch)
    with pytest.raises(Unavailable) as refused:
        store.put_all((role, role.encode()) for role in "abcde")

    assert refused.value.problem.code == "store-unwritable"
    assert _files(store) == []
    assert len(store.put_all((role, role.encode()) for role in "abcde")) == 5


def test_nothing_is_deleted_while_a_backup_copies(store: Store) -> None:
    """A deletion waits for whoever must not be disturbed, and then happens; keeping files goes on meanwhile."""
    file = store.put(b"one", "pdf")
    deleting = threading.Thread(target=store.delete, args=(file.digest, file.wrapped_key))
    with store.undisturbed(), store.undisturbed():
        deleting.start()
        store.put(b"two", "pdf")
        deleting.join(0.2)
        assert deleting.is_alive()
        assert _get(store, file) == b"one"
    deleting.join(10)

    assert store.paths(file.digest) == ()
    assert store.strangers() == ()


CALLS = ("open", "write", "fsync", "link", "mkdir", "close")


def _failing(name: str, at: int, fault: int, monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Make the call number `at` of a system call fail."""
    real, calls = getattr(os, name), [0]

    def failing(*words: object, **more: object) -> object:
        calls[0] += 1
        if calls[0] == at:
            raise OSError(fault, os.strerror(fault))
        return real(*words, **more)

    monkeypatch.setattr(os, name, failing)
    return calls


@pytest.mark.parametrize("fault", [errno.ENOSPC, errno.EIO])
@pytest.mark.parametrize("name", CALLS)
def test_a_fault_at_any_step_leaves_nothing_half(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, fault: int
) -> None:
    """At each call of each kind that fails: told in words, no temporary file, and what is visible is whole."""
    for at in range(1, 20):
        folder = tmp_path / str(at)
        store = Store(folder, MASTER)
        kept: KeptFile | None = None
        told = ""
        with monkeypatch.context() as patch:
            calls = _failing(name, at, fault, patch)
            try:
                kept = store.put(CANARY, "pdf")
            except Unavailable as refused:
                told = refused.problem.in_words()
        if kept:
            assert calls[0] < at
            break
        assert os.strerror(fault) in told
        assert "store-unwritable" in told
        assert not [file for file in _files(store) if ".tmp" in file]
        for file in _files(store):
            assert (folder / file).stat().st_size == len(MAGIC) + 12 + len(CANARY) + 16
        assert _get(store, store.put(CANARY, "pdf")) == CANARY
    else:
        raise AssertionError("the fault never stopped")


def test_a_short_write_is_finished(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """A system that takes three bytes at a time still gets all of them."""
    real = os.write
    monkeypatch.setattr(os, "write", lambda number, content: real(number, bytes(content[:3])))

    assert _get(store, store.put(CANARY, "pdf")) == CANARY


def test_only_old_temporaries_are_swept(store: Store) -> None:
    """A temporary file of more than an hour goes; a younger one may still be written; kept files stay."""
    file = store.put(b"kept", "pdf")
    now = datetime(2026, 11, 27, 12, tzinfo=UTC)
    for name, age in (("old", timedelta(minutes=61)), ("young", timedelta(minutes=59))):
        path = store.folder / f".tmp-{name}"
        path.write_bytes(b"half")
        os.utime(path, ((now - age).timestamp(),) * 2)

    assert store.sweep(now) == 1
    assert store.sweep(now) == 0
    assert _files(store) == [".tmp-young", f"{file.digest[:2]}/{file.digest}"]


def test_strangers_are_found(store: Store) -> None:
    """What is neither kept nor temporary is named for the doctor."""
    file = store.put(b"kept", "pdf")
    shard = store.folder / file.digest[:2]
    (store.folder / "notes").mkdir()
    (shard / "Thumbs.db").write_text("")
    (shard / ("0" * 64 if not file.digest.startswith("00") else "1" * 64)).write_text("")

    assert len(store.strangers()) == 3


WRITER = """
import sys
from pathlib import Path
from docgen.issue.keys import MasterKey
from docgen.issue.store import Store
store = Store(Path(sys.argv[1]), MasterKey(bytes(range(32))))
number = 0
while True:
    number += 1
    file = store.put(f"{sys.argv[2]} {number}".encode() * 3000, "pdf")
    print(number, file.digest, file.wrapped_key.hex(), flush=True)
"""


def test_killed_writers_leave_whole_files_only(tmp_path: Path) -> None:
    """Writers killed at random moments: all they acknowledged is there, and each visible file is whole."""
    folder, acknowledged = tmp_path / "store", []
    for turn in range(12):
        call = [sys.executable, "-c", WRITER, str(folder), str(turn)]
        with subprocess.Popen(call, stdout=subprocess.PIPE, text=True, cwd=ROOT) as writer:
            assert writer.stdout
            acknowledged.append((turn, writer.stdout.readline()))
            time.sleep(0.004 * turn)
            writer.send_signal(signal.SIGKILL)
            acknowledged += [(turn, line) for line in writer.stdout if line.endswith("\n")]
    store = Store(folder, MASTER)
    for turn, line in acknowledged:
        number, digest, wrapped = line.split()
        content = f"{turn} {number}".encode() * 3000
        assert store.get(KeptFile("pdf", digest, len(content)), bytes.fromhex(wrapped)) == content
    sizes = [path.stat().st_size for path in folder.glob("??/*")]
    assert len(sizes) >= len(acknowledged)
    assert min(sizes) > 9000
    assert store.sweep(datetime.now(UTC) + timedelta(hours=2)) <= 12
    assert store.strangers() == ()


def test_a_store_that_cannot_be_read_is_told(store: Store) -> None:
    """A folder in the place of a file is the disk's fault, not damage."""
    file = store.put(b"one", "pdf")
    (path,) = store.paths(file.digest)
    path.unlink()
    path.mkdir()
    with pytest.raises(Unavailable) as refused:
        _get(store, file)

    assert refused.value.problem.code == "store-unreadable"
    shutil.rmtree(path)
