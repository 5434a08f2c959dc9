"""A built wheel works outside the checkout, with its templates and languages inside."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

from conftest import EXAMPLES, ROOT


def test_a_wheel_makes_a_document_far_from_the_checkout(tmp_path: Path) -> None:
    """The wheel holds what it needs, and makes a document with nothing of the checkout on its path."""
    build = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(tmp_path / "dist"), str(ROOT)]
    subprocess.run(build, check=True, capture_output=True, cwd=tmp_path)
    wheel = next((tmp_path / "dist").glob("*.whl"))
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(tmp_path / "site")
    case = str(EXAMPLES / "fenwright/case.yaml")
    program = "import sys; from docgen.cli import main; sys.exit(main(sys.argv[1:]))"
    words = [
        "make",
        case,
        "--on",
        "2026-03-17",
        "--format",
        "text",
        "--kind",
        "consent",
        "--out",
        str(tmp_path / "out"),
    ]
    done = subprocess.run(
        [sys.executable, "-c", program, *words],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(tmp_path / "site")},
        capture_output=True,
        text=True,
    )
    place = subprocess.run(
        [sys.executable, "-c", "import docgen; print(docgen.__file__)"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(tmp_path / "site")},
        capture_output=True,
        text=True,
    )

    assert place.stdout.startswith(str(tmp_path))
    assert done.returncode == 0, done.stderr
    assert len(list((tmp_path / "out").iterdir())) == 2
