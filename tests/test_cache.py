"""The cache of what is slow to make: whole or not believed, and never needed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from docgen.cache import cached, cached_tree
from docgen.clinical import table_file
from docgen.clinical.table import Row, Tables
from docgen.kinds.texts import cached_texts


@pytest.fixture
def trees(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """Give an empty cache."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    return tmp_path / "docgen" / "trees"


def _told(reader: Path, made: list[int]) -> Any:
    def make() -> Any:
        made.append(1)
        return {"a": ["1", 2, "é\ud800"], "b": {}}

    return cached_tree(str(reader), (b"one", b"two"), make)


def test_a_tree_is_made_once(trees: Path) -> None:
    """The second reading takes what the first one kept, letter for letter; only its owner may read the file."""
    made: list[int] = []
    first, second = _told(Path(__file__), made), _told(Path(__file__), made)
    (kept,) = trees.iterdir()
    assert ({"a": ["1", 2, "é\ud800"], "b": {}}, first, [1], 0o600) == (
        second,
        second,
        made,
        kept.stat().st_mode & 0o777,
    )


@pytest.mark.parametrize("damage", [lambda c: c[:-1], lambda c: c.replace(b"one", b"two"), lambda c: b"", bytes.upper])
def test_a_damaged_tree_is_made_again(trees: Path, damage: Any) -> None:
    """What was cut short or changed is not believed, and is mended."""
    tree = {"dose": "one"}
    assert tree == cached_tree(__file__, (b"x",), lambda: tree)
    (kept,) = trees.iterdir()
    whole = kept.read_bytes()
    kept.write_bytes(damage(whole))
    assert tree == cached_tree(__file__, (b"x",), lambda: tree)
    assert whole == kept.read_bytes()


def test_another_edition_of_the_reader_takes_nothing_of_the_first(trees: Path, tmp_path: Path) -> None:
    """A program that reads otherwise makes its own tree of the same file; so do other files, parted another way."""
    reader, made = tmp_path / "reader.py", list[int]()
    for edition in ("1", "2"):
        reader.write_text(edition)
        _told(reader, made)
    cached_tree(str(reader), (b"onetwo",), lambda: made.append(1))
    assert [1, 1, 1] == made


def test_a_cache_that_cannot_be_written_changes_nothing(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Where the cache is no folder the tree is made each time."""
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    made: list[int] = []
    assert _told(Path(__file__), made) == _told(Path(__file__), made)
    assert [1, 1] == made


def test_a_disk_that_refuses_leaves_no_half_file(trees: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A name that cannot be taken leaves nothing beside it."""
    (trees / "taken" / "x").mkdir(parents=True)
    assert b"made" == cached("trees", "taken", lambda: b"made")
    assert ["taken"] == [path.name for path in trees.iterdir()]


def test_faults_are_raised_each_time_and_keep_nothing(trees: Path) -> None:
    """A template that is not YAML is so at every reading."""
    for _ in range(2):
        with pytest.raises(yaml.YAMLError):
            cached_texts("a: [1")
    assert not trees.exists()


@pytest.fixture
def fresh() -> Iterator[None]:
    """Forget the tables of this process, before and after."""
    table_file._read.cache_clear()
    yield
    table_file._read.cache_clear()


def _rows(tables: Tables) -> list[tuple[Any, ...]]:
    def told(row: Row) -> tuple[Any, ...]:
        return row.id, row.table, row.edition, row.source, row.tag, [*row.cells.items()]

    return [(one.name, one.edition, one.unit, one.digest, *map(told, one)) for one in tables.by_name.values()]


def test_tables_of_the_cache_are_those_of_the_files(trees: Path, fresh: None) -> None:
    """Every row, cell and figure is the one read from the YAML, in the same order, first and second time."""
    sources = table_file._read_sources(table_file._SHIPPED / "sources.yaml")
    paths = sorted(table_file._SHIPPED.glob("*.*.yaml"))
    of_files = Tables({path.name: table_file._read_table(path, sources) for path in paths}, sources)
    for _ in range(2):
        table_file._read.cache_clear()
        read = table_file.read_tables()
        assert _rows(of_files) == _rows(read)
        assert sources == read.sources
    assert 1 == len(list(trees.iterdir()))
