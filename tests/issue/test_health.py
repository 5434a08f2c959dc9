"""Every kind of damage is found by the doctor, with its mend; what is sound is silent."""

from __future__ import annotations

import contextlib
import os
import sqlite3
import time
from collections.abc import Callable, Iterable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from docgen.issue.folders import Places
from docgen.issue.health import (
    UNNAMED_AFTER,
    Holdings,
    check_clock,
    check_disk,
    check_files,
    check_folder,
    check_register,
    check_rests,
    check_waiting,
    clean,
    clean_rests,
)
from docgen.issue.keys import KEY_FILE
from docgen.problem import Problem, Severity
from issue.shelf import BY, CANARY, NOW, Shelf, clock, shelf_at

LATER = NOW + 3 * UNNAMED_AFTER


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Shelf]:
    """Give a filled installation."""
    filled = shelf_at(tmp_path / "data")
    filled.fill()
    yield filled
    filled.register.close()


@pytest.fixture
def plain(tmp_path: Path) -> Iterator[Shelf]:
    """Give a filled installation without encryption."""
    filled = shelf_at(tmp_path / "plain", encrypted=False)
    filled.fill()
    yield filled
    filled.register.close()


def _codes(found: Iterable[Problem]) -> list[str]:
    problems = list(found)
    assert all(problem.fix.in_words() for problem in problems)
    assert CANARY not in "".join(problem.in_words() for problem in problems)
    return sorted(problem.code for problem in problems)


def _age(shelf: Shelf, when: float = 0) -> None:
    for path in shelf.store.folder.rglob("*"):
        os.utime(path, (when, when))


def _looked(shelf: Shelf) -> Holdings:
    return check_files(shelf.register, shelf.store, LATER)


def test_a_sound_installation_is_silent(shelf: Shelf, plain: Shelf) -> None:
    """Superseded, withdrawn, erased, held and voided documents are no fault, nor is a file named twice."""
    for one in (shelf, plain):
        _age(one)
        found = _looked(one)
        assert _codes(found.problems) == []
        assert found.files == len(one.contents()) == 10
        assert _codes(check_register(one.register)) == _codes(check_folder(one.places)) == []
        assert _codes(check_clock(one.register, NOW)) == _codes(check_waiting(one.register, LATER)) == []


def test_missing_damaged_and_keyless_files_are_told_apart(shelf: Shelf) -> None:
    """Each is named with its number and role, and the others are still looked at."""
    lives = {number: shelf.register.life(number) for number in (1, 4, 5)}
    files = {number: life.files[0] for number, life in lives.items() if life}
    shelf.store.own(files[1].digest, files[1].wrapped_key)[0].unlink()
    shelf.store.own(files[4].digest, files[4].wrapped_key)[0].write_bytes(b"")
    with sqlite3.connect(shelf.places.folder / "register.sqlite") as raw:
        raw.execute("UPDATE files SET wrapped = X'0102' WHERE number = 5 AND name = 'pdf'")
    raw.close()
    found = _looked(shelf)

    assert [(problem.code, problem.path) for problem in found.problems] == [
        ("file-gone", "000001 pdf"),
        ("file-damaged", "000004 pdf"),
        ("key-damaged", "000005 pdf"),
    ]
    assert found.files == 7
    _age(shelf)
    assert clean(_looked(shelf), shelf.store, LATER) == 0


def test_a_file_nobody_names_is_noted_and_cleaned(shelf: Shelf, plain: Shelf) -> None:
    """An interrupted issue leaves a file; it is left alone for a day, then it may go, and nothing else goes."""
    for one in (shelf, plain):
        one.store.put(b"never named", "pdf")
        one.store.put(f"{CANARY} 0".encode(), "pdf")
        _age(one, LATER.timestamp() - UNNAMED_AFTER.total_seconds() + 60)
        assert _codes(_looked(one).problems) == []
        _age(one)
        found = _looked(one)
        assert _codes(found.problems) == ["file-unnamed"] * 2
        assert {problem.severity for problem in found.problems} == {Severity.NOTE}
        assert clean(found, one.store, LATER) == 2
        assert _codes(_looked(one).problems) == []
        assert len(one.contents()) == 10


def test_an_erased_file_that_is_still_there_is_found(plain: Shelf, shelf: Shelf) -> None:
    """Without encryption an interrupted erasure leaves a readable file: a fault; an encrypted one is a mere rest."""
    for one, code in ((plain, "file-erased-there"), (shelf, "file-unnamed")):
        life = one.register.life(5)
        assert life is not None
        one.register.erase(5, "other", BY)
        _age(one)
        found = _looked(one)
        assert _codes(found.problems) == [code] * 2
        assert clean(found, one.store, LATER) == 2
        assert _codes(_looked(one).problems) == []
        assert len(one.contents()) == 8


def test_what_lies_about_in_the_store_is_counted_not_named(shelf: Shelf) -> None:
    """Temporaries of killed programs and foreign files are noted; only the first are cleaned up."""
    (shelf.store.folder / ".tmp-1").write_text("half")
    (shelf.store.folder / f"{CANARY}.pdf").write_text("foreign")
    _age(shelf)
    found = _looked(shelf)

    assert _codes(found.problems) == ["store-strangers", "temporaries-stale"]
    assert clean(found, shelf.store, LATER) == 1
    assert _codes(_looked(shelf).problems) == ["store-strangers"]


def test_what_a_killed_restore_left_is_noted_and_cleaned(shelf: Shelf) -> None:
    """Old unfinished files and folders in the data folder are counted and go; young ones stay."""
    for name, when in (("old", 0.0), ("older", 0.0), ("young", LATER.timestamp())):
        path = shelf.places.folder / f".tmp-{name}"
        if name == "old":
            path.mkdir()
        else:
            path.write_text("")
        os.utime(path, (when, when))

    assert _codes(check_rests(shelf.places, LATER)) == ["temporaries-stale"]
    assert clean_rests(shelf.places, LATER) == 2
    assert list(check_rests(shelf.places, LATER)) == []
    assert [path.name for path in shelf.places.folder.glob(".tmp-*")] == [".tmp-young"]


def test_a_changed_register_is_found(shelf: Shelf) -> None:
    """What the register finds wrong with itself is told, each with the same careful mend."""
    with sqlite3.connect(shelf.places.folder / "register.sqlite") as raw:
        raw.execute("DROP TRIGGER entries_no_update")
        raw.execute("UPDATE entries SET body = replace(body, 'corrected', 'other') WHERE seq = 9")
        raw.execute("UPDATE documents SET on_hold = 0")
    raw.close()
    found = list(check_register(shelf.register))

    assert {"trigger-missing", "state-differs"} <= {problem.code for problem in found}
    assert all("restore the last sound backup" in problem.fix.in_words() for problem in found)
    assert len({problem.path for problem in found}) == len(found)


def test_an_erasure_waits_for_no_reader(shelf: Shelf) -> None:
    """While somebody reads the whole chain, as the doctor does, a document is erased and others go on at once."""
    with contextlib.closing(sqlite3.connect(shelf.places.folder / "register.sqlite", isolation_level=None)) as reader:
        reader.execute("BEGIN")
        reader.execute("SELECT count(*) FROM entries").fetchall()
        begun = time.monotonic()
        shelf.erase(5)
        shelf.issue("goes on")
        assert time.monotonic() - begun < 5

    assert list(check_register(shelf.register)) == []


def test_a_clock_behind_the_last_entry_is_found(shelf: Shelf) -> None:
    """A few minutes are no matter; more would date new entries before old ones."""
    assert _codes(check_clock(shelf.register, NOW - timedelta(minutes=4))) == []
    (problem,) = check_clock(shelf.register, NOW - timedelta(hours=2))

    assert problem.code == "clock-behind"
    assert "the clock says 2026-11-27 07:00+00:00, the last entry is of 2026-11-27 09:00+00:00" in problem.in_words()


def test_a_forgotten_preparation_is_noted(shelf: Shelf) -> None:
    """A number taken an hour ago and never used is told with its mend; a young one is not."""
    number = shelf.register.prepare(next(shelf.register.lives()).paper, "k", BY)
    (problem,) = check_waiting(shelf.register, NOW + timedelta(minutes=61))

    assert problem.code == "preparation-stale"
    assert f"number {number:06d} was taken and never used" in problem.in_words()
    assert list(check_waiting(shelf.register, NOW + timedelta(minutes=59))) == []


def test_an_empty_register_is_sound(tmp_path: Path) -> None:
    """Before the first document there is nothing wrong."""
    empty = shelf_at(tmp_path / "data")

    assert list(check_clock(empty.register, clock())) == []
    assert _looked(empty).problems == []
    empty.register.close()


def _folders() -> dict[str, tuple[Callable[[Path], object], list[str]]]:
    return {
        "missing": (lambda folder: folder.rename(folder.with_name("away")), ["data-none"]),
        "a file": (lambda folder: (folder.rename(folder.with_name("away")), folder.touch()), ["data-unusable"]),
        "open folder": (lambda folder: folder.chmod(0o755), ["data-open"]),
        "open register": (lambda folder: (folder / "register.sqlite").chmod(0o640), ["data-open"]),
        "open key and store": (
            lambda folder: ((folder / KEY_FILE).chmod(0o604), (folder / "store").chmod(0o701)),
            ["data-open", "data-open"],
        ),
    }


@pytest.mark.parametrize("fault", _folders())
def test_a_data_folder_that_is_missing_or_open_is_found(shelf: Shelf, fault: str) -> None:
    """Missing, no folder, or open to others: each has its words and its command."""
    damage, codes = _folders()[fault]
    damage(shelf.places.folder)

    assert _codes(check_folder(shelf.places)) == codes
    noted = [problem.severity is Severity.NOTE for problem in check_folder(shelf.places)]
    assert noted == [fault in ("missing", "open folder")] * len(codes)


def test_a_server_register_has_no_file_to_look_at(tmp_path: Path) -> None:
    """With the register on a server only the folder is looked at."""
    (tmp_path / "data").mkdir(mode=0o700)

    assert list(check_folder(Places(tmp_path / "data", "postgresql+psycopg://host/name"))) == []


def test_a_disk_that_fills_is_noted_and_a_full_one_refused(tmp_path: Path) -> None:
    """The bounds are bytes; a folder that is not there yet is measured where it would be."""
    assert list(check_disk(tmp_path, 1, 2)) == []
    (note,) = check_disk(tmp_path / "not/yet", 1, 2**70)
    (refused,) = check_disk(tmp_path, 2**70, 2**71)

    assert note.code == refused.code == "disk-full"
    assert (note.severity, refused.severity) == (Severity.NOTE, Severity.REFUSE)
    assert str(tmp_path) in note.path
