"""A backup of either database restores into either database, with every word as it was."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from docgen.issue.backup import Wish, back_up
from docgen.issue.export import NoExport, export_lines, import_lines
from docgen.issue.folders import Places
from docgen.issue.keys import KEY_FILE
from docgen.issue.restore import restore
from docgen.issue.schema import REVISIONS
from docgen.issue.snapshot import connected
from docgen.issue.unavailable import Unavailable
from docgen.issue.upgrading import run as upgrade
from docgen.problem import Refused
from issue.conftest import Postgres
from issue.shelf import NOW, Shelf, clock, shelf_at


@pytest.fixture
def shelf(tmp_path: Path, empty_address: str) -> Iterator[Shelf]:
    """Give a filled installation on each database."""
    filled = shelf_at(tmp_path / "data", empty_address)
    filled.fill()
    yield filled
    filled.register.close()


@pytest.fixture(params=["sqlite", "postgresql"])
def target(request: pytest.FixtureRequest, tmp_path: Path, postgres: Postgres) -> str:
    """Give the address of an empty database of each kind to restore into."""
    return "sqlite:///" + str(tmp_path / "elsewhere/register.sqlite") if request.param == "sqlite" else postgres.new()


def _backed_up(shelf: Shelf, folder: Path) -> Path:
    back_up(Wish(shelf.places.register, shelf.register, shelf.store, shelf.master, NOW, "docgen test"), folder)
    return folder


def _places(tmp_path: Path, target: str) -> Places:
    (tmp_path / "new").mkdir(mode=0o700, exist_ok=True)
    shutil.copy(tmp_path / "data" / KEY_FILE, tmp_path / "new")
    return Places(tmp_path / "new", target)


def test_each_restores_into_each(shelf: Shelf, target: str, tmp_path: Path) -> None:
    """Entries, lives, accesses, files and the head are the same, and the register goes on."""
    places = _places(tmp_path, target)
    manifest = restore(_backed_up(shelf, tmp_path / "backup"), places, {}, clock)
    new = shelf_at(tmp_path / "new", target)
    try:
        assert manifest.faults == ()
        assert shelf.told() == new.told()
        assert shelf.contents() == new.contents()
        assert new.register.faults() == ()
        assert new.register.head() == shelf.register.head()
        assert new.issue("goes on") == shelf.issue("goes on")
        new.register.saw(1, "M. Holt", "show")
        assert len(new.register.accesses(1)) == len(shelf.register.accesses(1)) + 1
    finally:
        new.register.close()


def test_a_full_database_is_refused(shelf: Shelf, postgres: Postgres, tmp_path: Path) -> None:
    """A database with tables of anybody is not written to, and no file appears."""
    address = postgres.new(postgres.made)
    with pytest.raises(Refused) as refused:
        restore(_backed_up(shelf, tmp_path / "backup"), _places(tmp_path, address), {}, clock)

    assert [problem.code for problem in refused.value.problems] == ["restore-not-empty"]
    assert [path.name for path in (tmp_path / "new").iterdir()] == [KEY_FILE]


def test_a_server_that_cannot_be_reached_leaves_nothing(shelf: Shelf, tmp_path: Path) -> None:
    """The files do not stay when the register cannot be put."""
    address = "postgresql+psycopg://nobody@127.0.0.1:9/none"
    with pytest.raises(Unavailable):
        restore(_backed_up(shelf, tmp_path / "backup"), _places(tmp_path, address), {}, clock)

    assert [path.name for path in (tmp_path / "new").iterdir()] == [KEY_FILE]


def test_an_export_is_the_same_from_both_databases(shelf: Shelf, target: str, tmp_path: Path) -> None:
    """The lines of an export come back from the database they were put into, to the byte."""
    with connected(shelf.places.register) as old:
        lines = list(export_lines(old))
    if target.startswith("sqlite"):
        (tmp_path / "elsewhere").mkdir()
    with connected(target, writing=True) as new:
        upgrade(new, REVISIONS[-1])
        count = import_lines(new, lines)
    with connected(target) as new:
        again = list(export_lines(new))

    assert lines == again
    assert json.loads(lines[-1]) == {"rows": count}


def _broken() -> dict[str, Callable[[list[bytes]], list[bytes]]]:
    return {
        "nothing": lambda lines: [],
        "no head": lambda lines: lines[1:],
        "another form": lambda lines: [b'{"form":"x","version":1,"schema":"0001"}', *lines[1:]],
        "another schema": lambda lines: [lines[0].replace(REVISIONS[-1].encode(), b"0000"), *lines[1:]],
        "the end cut": lambda lines: lines[:-1],
        "a row cut": lambda lines: [*lines[:5], *lines[6:]],
        "a row more": lambda lines: [*lines, lines[-2]],
        "an unknown table": lambda lines: [lines[0], b'{"table":"patients","columns":["name"]}', *lines[1:]],
        "half a line": lambda lines: [*lines[:3], lines[3][:10], *lines[4:]],
        "a line that is no row": lambda lines: [lines[0], b"7", *lines[1:]],
        "a head before its rows is missing": lambda lines: [lines[0], lines[2], *lines[3:]],
    }


@pytest.mark.parametrize("fault", _broken())
def test_an_export_that_is_not_whole_is_refused(fault: str, tmp_path: Path) -> None:
    """Whatever is missing, added or cut in an export is noticed."""
    old = shelf_at(tmp_path / "data")
    old.fill()
    with connected(old.places.register) as connection:
        lines = list(export_lines(connection))
    old.register.close()
    with connected(f"sqlite:///{tmp_path / 'new.sqlite'}", writing=True) as new:
        upgrade(new, REVISIONS[-1])
        with pytest.raises(NoExport):
            import_lines(new, _broken()[fault](lines))
