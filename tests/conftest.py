"""What the tests share: the examples, the shipped world, and goldens that a reader accepts."""

from __future__ import annotations

import copy
import json
import os
import shutil
from collections.abc import Callable
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from docgen.case import Source
from docgen.clinical.table_file import read_tables
from docgen.generate import CaseFiles, Examined, Made, Wish, World, examine, generate
from docgen.kinds import TemplateFolders
from docgen.kinds.texts import read_texts
from docgen.shipped import shipped_folder

ROOT = Path(__file__).resolve().parent.parent
EXAMPLES = ROOT / "examples"
ISSUED_ON = {
    "fenwright": date(2026, 3, 24),
    "solana": date(2026, 4, 21),
    "rotacker": date(2026, 3, 5),
    "brzezna": date(2026, 5, 19),
    "holloway": date(2026, 1, 27),
    "pinhal": date(2026, 6, 16),
    "malvasio": date(2026, 9, 29),
    "pellingrove": date(2026, 5, 20),
    "kestrelmoor": date(2026, 6, 4),
    "tamarholt": date(2026, 4, 23),
    "quillhaven": date(2026, 6, 25),
    "osgarth": date(2026, 7, 6),
    "wexholm": date(2026, 5, 5),
    "brackenfold": date(2026, 7, 30),
    "ostermill": date(2026, 7, 10),
}
"""Examples that can be made, and the day their last document is issued: that of the reply, if there is one."""
ADDENDUM_ONLY = "ostermill"
"""The example that records no more than an addendum needs; all others have a consent record, among other kinds."""
WHOLE = tuple(sorted(set(ISSUED_ON) - {ADDENDUM_ONLY}))
"""Examples that record a patient's way from the first talk on."""
LANGUAGES = dict.fromkeys(("solana", "rotacker", "brzezna", "pinhal", "malvasio"), "en")
"""Examples whose readers have a language without a catalog: their texts are made with --language."""


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the switches of the whole suite."""
    parser.addoption("--accept", action="store_true", help="rewrite the golden review texts; a reader signs the diff")
    parser.addoption("--long", action="store_true", help="faults and tampering at their full figures")


@pytest.fixture(scope="session")
def is_long(request: pytest.FixtureRequest) -> bool:
    """Tell whether the long figures are wanted: every step, a thousand kills, a minute of writers."""
    return bool(request.config.getoption("--long"))


def need_program(name: str) -> str:
    """Find a program outside PyPI; without it the test is skipped by name, but never where CI is true."""
    found = shutil.which(name)
    if found is None:
        if os.environ.get("CI") == "true":
            pytest.fail(f"{name} is not installed, and CI skips nothing")
        pytest.skip(f"needs the program {name}")
    return found


def shipped_world() -> World:
    """Give the shipped folders and tables."""
    templates = TemplateFolders((shipped_folder("templates"),))
    return World(templates, (shipped_folder("locales"),), read_tables(), "docgen test")


@pytest.fixture(scope="session")
def world() -> World:
    """Give the shipped folders and tables."""
    return World(
        TemplateFolders((shipped_folder("templates"),)), (shipped_folder("locales"),), read_tables(), "docgen test"
    )


def example_files(name: str) -> CaseFiles:
    """Read the files of an example."""
    folder = EXAMPLES / name
    approvals = folder / "approvals.yaml"
    return CaseFiles(
        Source("case.yaml", (folder / "case.yaml").read_bytes()),
        Source("clinic.yaml", (folder / "clinic.yaml").read_bytes()),
        Source("approvals.yaml", approvals.read_bytes()) if approvals.is_file() else None,
    )


def _texts(path: Path) -> dict[str, Any]:
    tree: dict[str, Any] = read_texts(path.read_text("utf-8"))
    return tree


def example_tree(name: str) -> dict[str, Any]:
    """Give an example as a tree of texts, clinic included, for tests that change it."""
    tree: dict[str, Any] = json.loads(_example_json(name))
    return tree


@cache
def _example_json(name: str) -> str:
    folder = EXAMPLES / name
    return json.dumps({**_texts(folder / "case.yaml"), **_texts(folder / "clinic.yaml")})


def tree_files(tree: dict[str, Any]) -> CaseFiles:
    """Write a tree as the one file of a case."""
    plain = {"sort_keys": False, "allow_unicode": True, "default_style": '"', "width": 10**6}
    text = yaml.dump(tree, Dumper=yaml.CSafeDumper, **plain)  # thousands of records are written in a run of the tests
    return CaseFiles(Source("case.yaml", text.encode()))


@pytest.fixture
def fenwright() -> dict[str, Any]:
    """Give the first example, to be changed freely."""
    return copy.deepcopy(example_tree("fenwright"))


@pytest.fixture(scope="session")
def looked(world: World) -> Callable[..., Examined]:
    """Give a function that examines a tree or files for some kinds."""

    def look(source: dict[str, Any] | CaseFiles, *kinds: str, on: date = date(2026, 3, 17), **wish: Any) -> Examined:
        files = source if isinstance(source, CaseFiles) else tree_files(source)
        return examine(files, Wish(kinds=kinds, on=on, **wish), world, lambda _zone: on)

    return look


@pytest.fixture(scope="session")
def made(world: World) -> Callable[..., Made]:
    """Give a function that makes the documents of a tree or of files."""

    def make(source: dict[str, Any] | CaseFiles, *kinds: str, on: date = date(2026, 3, 17), **wish: Any) -> Made:
        files = source if isinstance(source, CaseFiles) else tree_files(source)
        return generate(files, Wish(kinds=kinds, on=on, **wish), world, lambda _zone: on)

    return make


def pick(tree: Any, path: str) -> Any:
    """Follow a path of an author down a tree."""
    for part in path.replace("[", ".[").split("."):
        tree = tree[int(part[1:-1])] if part.startswith("[") else tree[part]
    return tree


def drop(tree: dict[str, Any], path: str) -> None:
    """Take a path out of a tree."""
    parent, _, leaf = path.rpartition(".")
    if path.endswith("]"):
        raise ValueError(path)
    group = pick(tree, parent) if parent else tree
    del group[leaf]
    if not group and parent:
        drop(tree, parent)


def put(tree: dict[str, Any], path: str, value: Any) -> None:
    """Write a value into a tree."""
    parent, _, leaf = path.rpartition(".")
    (pick(tree, parent) if parent else tree)[leaf] = value
