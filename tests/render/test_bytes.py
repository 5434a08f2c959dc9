import hashlib
import os
import subprocess
import sys
from pathlib import Path

from docgen.render import docx, pdf, text
from docgen.render.style import Style
from tests.render.samples import SAMPLES

PROGRAM = """
import hashlib
from docgen.render import docx, pdf, text
from docgen.render.style import read_style
from docgen.shipped import shipped_folder
from tests.render.samples import SAMPLES
style = read_style(shipped_folder("templates") / "_house")
for name, document in SAMPLES.items():
    for way in (docx, pdf, text):
        print(name, way.__name__, hashlib.sha256(way.render(document, style)).hexdigest())
"""


def _in_a_new_process(**environment: str) -> str:
    root = Path(__file__).parents[2]
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM],
        env={**os.environ, "PYTHONPATH": str(root), **environment},
        cwd=root,
        check=True,
        capture_output=True,
        text=True,
    )
    return done.stdout


def test_the_same_document_gives_the_same_bytes_in_any_process(style: Style) -> None:
    """Neither hash seed, time zone, locale nor what the process made before reaches the file."""
    made = [
        (name, way.__name__, hashlib.sha256(way.render(document, style)).hexdigest())
        for name, document in SAMPLES.items()
        for way in (docx, pdf, text)
    ]
    expected = "".join(f"{' '.join(row)}\n" for row in made)
    assert expected == _in_a_new_process(PYTHONHASHSEED="1", TZ="Pacific/Auckland", LC_ALL="C")
    assert expected == _in_a_new_process(PYTHONHASHSEED="77", TZ="America/Lima", SOURCE_DATE_EPOCH="1")


def test_a_cold_font_cache_gives_the_same_bytes(style: Style, tmp_path: Path) -> None:
    """Weights cut anew, kept, or cut in memory because the cache cannot be written print the same file."""
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    warm = _in_a_new_process()
    assert warm == _in_a_new_process(XDG_CACHE_HOME=str(tmp_path / "cold"))
    assert warm == _in_a_new_process(XDG_CACHE_HOME=str(tmp_path / "cold"))
    assert warm == _in_a_new_process(XDG_CACHE_HOME=str(blocked))
    assert sorted(p.name.split("-")[1] for p in (tmp_path / "cold/docgen/fonts").iterdir()) == [
        "400.ttf",
        "700.ttf",
        "advances",
    ]
