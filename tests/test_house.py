"""The house stands: floors, types, lint, sizes, and docs that name what there is."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from conftest import ROOT, shipped_world

from docgen.checks import CHECKS
from docgen.cli import COMMANDS
from docgen.compose import body_environment
from docgen.facts import FACTS
from docgen.kinds import kind_names, read_kind, read_words
from docgen.kinds.lint import lint_kind, lint_words
from docgen.problem import Problems

TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "docgen", "templates", "locales", "tests", "examples"}


def _modules() -> Iterator[Path]:
    yield from sorted((ROOT / "docgen").rglob("*.py"))


@pytest.mark.parametrize(
    "command", [["lint_imports"], ["mypy"], ["ruff", "check", "."], ["ruff", "format", "--check", "."]]
)
def test_a_house_check_passes(command: list[str]) -> None:
    """The import contracts, the types and both lints hold."""
    words = [sys.executable, "-c", "from importlinter.cli import lint_imports_command as c; c()"]
    call = words if command == ["lint_imports"] else [sys.executable, "-m", *command]
    done = subprocess.run(call, cwd=ROOT, capture_output=True, text=True)

    assert done.returncode == 0, done.stdout + done.stderr


def test_modules_and_functions_are_small() -> None:
    """No module has over 300 lines, no function over 40."""
    long_modules = [str(m) for m in _modules() if len(m.read_text("utf-8").splitlines()) > 300]
    long_functions = [
        f"{module}:{node.name}"
        for module in _modules()
        for node in ast.walk(ast.parse(module.read_text("utf-8")))
        if isinstance(node, ast.FunctionDef) and (node.end_lineno or 0) - node.lineno >= 40
    ]

    assert long_modules == []
    assert long_functions == []


def test_no_import_hides_in_a_function() -> None:
    """Every import stands at the top of its module."""
    hidden = [
        f"{module}:{inner.lineno}"
        for module in _modules()
        for node in ast.walk(ast.parse(module.read_text("utf-8")))
        if isinstance(node, ast.FunctionDef)
        for inner in ast.walk(node)
        if isinstance(inner, ast.Import | ast.ImportFrom)
    ]

    assert hidden == []


def test_nothing_below_generate_asks_the_clock() -> None:
    """Clock and environment come in as arguments; only the caches of fonts look for their folder."""
    asking = [
        str(module.relative_to(ROOT))
        for module in _modules()
        if re.search(r"datetime\.now|date\.today|time\.time\(", module.read_text("utf-8"))
    ]

    assert asking == ["docgen/cli/clock.py", "docgen/examine.py"]


def test_the_top_level_holds_nothing_else() -> None:
    """What git tracks at the top is what the house has there."""
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True)
    assert listed.returncode == 0, "the tests run in a git checkout"
    top = {line.split("/")[0] for line in listed.stdout.splitlines()}

    assert {name for name in top if not name.startswith(".")} <= TOP_LEVEL


def test_every_kind_lints_clean_and_every_code_has_words() -> None:
    """What a template reads is what its kind declares, both ways; no code is without words."""
    world, problems = shipped_world(), Problems()
    for name in kind_names(world.templates):
        kind = read_kind(name, world.templates, problems)
        assert kind is not None
        lint_kind(kind, body_environment(world.templates.folders), problems)
    lint_words(read_words(world.templates.folders), problems)

    assert [p.in_words() for p in problems] == []


def test_each_fact_stands_below_what_it_needs() -> None:
    """The list is in order: a need that is a fact stands above; names are unique; every fact has sources."""
    names = [fact.name for fact in FACTS]
    for place, fact in enumerate(FACTS):
        later = [need for need in fact.needs if need in names[place:]]
        assert later == [], fact.name
        assert fact.sources, fact.name

    assert len(names) == len(set(names))


def test_readme_names_each_command_kind_and_problem_code() -> None:
    """A command, kind or code that README does not name does not exist for its readers."""
    readme = (ROOT / "README.md").read_text("utf-8")
    code = "\n".join(m.read_text("utf-8") for m in _modules() if "checks" not in m.parts)
    codes = set(re.findall(r'Problem\(\s*(?:code=)?"([a-z-]+)"', code)) | {check.code for check in CHECKS}
    wanted = {f"docgen {name}" for name in COMMANDS} | set(kind_names(shipped_world().templates)) | codes

    assert sorted(name for name in wanted if name not in readme) == []


def test_no_path_of_one_machine_is_in_the_tree() -> None:
    """Nothing names a folder that only one machine has."""
    folders = "|".join(["/wor" + "k/", "/ro" + "ot/", "/far" + "m/"])
    found = subprocess.run(["git", "grep", "-nE", f"({folders})", "--", "."], cwd=ROOT, capture_output=True, text=True)

    assert found.stdout == ""


def test_help_loads_nothing_heavy() -> None:
    """`docgen --help` imports no typesetter, no models, no templates (ecosystem, cold-start budgets)."""
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "docgen", "--help"], cwd=ROOT, capture_output=True, text=True
    )
    loaded = {line.rpartition("|")[2].strip().split(".")[0] for line in done.stderr.splitlines() if "|" in line}

    assert done.returncode == 0
    assert loaded & {"reportlab", "docx", "pydantic", "jinja2", "asyncio", "lxml", "yaml", "babel"} == set()


def test_check_loads_no_typesetter() -> None:
    """`docgen check` needs no renderer."""
    case = str(ROOT / "examples/fenwright/case.yaml")
    call = [sys.executable, "-X", "importtime", "-m", "docgen", "check", case, "--on", "2026-03-24"]
    done = subprocess.run(call, cwd=ROOT, capture_output=True, text=True)
    loaded = {line.rpartition("|")[2].strip().split(".")[0] for line in done.stderr.splitlines() if "|" in line}

    assert done.returncode == 0
    assert loaded & {"reportlab", "docx", "lxml", "fontTools", "jinja2", "markdown_it"} == set()
