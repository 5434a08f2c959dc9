import hashlib
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from docgen.blocks import Document, Layout
from docgen.render import docx, pdf, text
from docgen.render.style import Style, read_style
from docgen.shipped import shipped_folder
from tests.render.samples import SAMPLES
from tests.render.specimens import LANGUAGES, all_scripts, specimen

PROGRAM = "from tests.render.test_bytes import report; report({order!r})"


def _documents() -> dict[str, Document]:
    """Give samples, specimens of every script, and large print of both directions."""
    held = {**SAMPLES, "all scripts": all_scripts()}
    held |= {language: specimen(language) for language in LANGUAGES}
    return held | {f"{language} large": specimen(language, Layout(large_print=True)) for language in ("en", "ar")}


def _digests(order: str, style: Style) -> Iterator[str]:
    """Print everything forward or backward, or one document alone, named instead of an order."""
    held = list(_documents().items())
    chosen = [(name, document) for name, document in held if order in ("forward", "backward", name)]
    for name, document in chosen[::-1] if order == "backward" else chosen:
        for way in (docx, pdf, text):
            yield f"{name} {way.__name__} {hashlib.sha256(way.render(document, style)).hexdigest()}"
    if len(chosen) == 1:
        return
    pack = pdf.render_pack([document for _, document in held], style, "Pack", "en")
    yield f"pack {hashlib.sha256(pack).hexdigest()}"


def report(order: str) -> None:
    """Print the digests, for a process of its own."""
    for line in _digests(order, read_style(shipped_folder("templates") / "_house")):
        print(line)


@pytest.fixture(scope="module")
def expected(style: Style) -> list[str]:
    """Give the digests of this process, in the order of their names."""
    return sorted(_digests("forward", style))


def _in_a_new_process(order: str = "forward", **environment: str) -> list[str]:
    root = Path(__file__).parents[2]
    path = os.pathsep.join((str(root), str(root / "tests")))
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM.format(order=order)],
        env={**os.environ, "PYTHONPATH": path, **environment},
        cwd=root,
        check=True,
        capture_output=True,
        text=True,
    )
    return sorted(done.stdout.splitlines())


def test_the_same_document_gives_the_same_bytes_in_any_process(expected: list[str]) -> None:
    """Neither hash seed, time zone nor locale reaches the file."""
    assert expected == _in_a_new_process(PYTHONHASHSEED="1", TZ="Pacific/Auckland", LC_ALL="C")
    assert expected == _in_a_new_process(PYTHONHASHSEED="77", TZ="America/Lima", SOURCE_DATE_EPOCH="1")


def test_what_was_printed_before_changes_no_byte(expected: list[str], style: Style) -> None:
    """Backward in a new process, again in this one, and a document alone give the same files."""
    assert expected == _in_a_new_process("backward", PYTHONHASHSEED="5")
    assert expected == sorted(_digests("backward", style))
    for name in ("ur", "all scripts", "letter"):
        assert set(_in_a_new_process(name)) == {line for line in expected if line.startswith(f"{name} docgen")}


def test_a_cold_font_cache_gives_the_same_bytes(expected: list[str], tmp_path: Path) -> None:
    """Weights cut anew, kept, or cut in memory because the cache cannot be written print the same file."""
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    assert expected == _in_a_new_process(XDG_CACHE_HOME=str(tmp_path / "cold"))
    kept = {path.name: path.read_bytes() for path in (tmp_path / "cold/docgen/fonts").iterdir()}
    assert kept
    assert expected == _in_a_new_process(XDG_CACHE_HOME=str(tmp_path / "cold"))
    assert kept == {path.name: path.read_bytes() for path in (tmp_path / "cold/docgen/fonts").iterdir()}
    assert expected == _in_a_new_process(XDG_CACHE_HOME=str(blocked))
