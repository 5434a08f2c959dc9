"""What the doctor says of the Python that runs docgen."""

from __future__ import annotations

import compileall
from pathlib import Path

import pytest

from docgen.issue import installed
from docgen.issue.installed import EXTRAS, check_bytecode, check_extras, check_python
from docgen.problem import Severity, say


def test_an_old_python_is_refused() -> None:
    """3.10 is refused with the version that is needed; 3.11 and this one are not."""
    (problem,) = check_python((3, 10, 14))

    assert "this is Python 3.10.14, and docgen needs 3.11 or later  [python-old]" in problem.in_words()
    assert list(check_python((3, 11, 0))) == list(check_python()) == []


def test_a_missing_extra_is_a_note(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each extra that is not there is named with what it is for; those that are there are not."""
    monkeypatch.setattr(installed, "EXTRAS", {**EXTRAS, "moon": ("not_installed_here", say("print on the moon"))})
    (problem,) = check_extras()

    assert problem.code == "extra-missing"
    assert problem.severity is Severity.NOTE
    assert "pip install 'docgen[moon]', if you want to print on the moon" in problem.in_words()


def test_modules_that_are_not_compiled_are_a_note(tmp_path: Path) -> None:
    """A package without bytecode starts slowly; once compiled it does not, and the mend says how."""
    (tmp_path / "package").mkdir()
    for name in ("a", "b", "c"):
        (tmp_path / "package" / f"{name}.py").write_text("one = 1\n")
    (problem,) = check_bytecode(tmp_path / "package")

    assert problem.code == "bytecode-missing"
    assert problem.severity is Severity.NOTE
    assert f"python -m compileall -q {tmp_path / 'package'}" in problem.in_words()
    assert compileall.compile_dir(tmp_path / "package", quiet=2)
    assert list(check_bytecode(tmp_path / "package")) == []
