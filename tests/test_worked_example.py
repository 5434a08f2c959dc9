"""README's worked example of a clinic's own hand, run file by file and command by command."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from conftest import EXAMPLES, ROOT
from PIL import Image

README = (ROOT / "README.md").read_text("utf-8")
FILES = dict(re.findall(r"<!-- file: (ours/\S+) -->\n```\w+\n(.*?)```", README, re.DOTALL))
COMMANDS = "\n".join(re.findall(r"<!-- run -->\n```sh\n(.*?)```", README, re.DOTALL))


@pytest.fixture(scope="module")
def clinic(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write the files the README shows beside a copy of the example, and run its commands."""
    home = tmp_path_factory.mktemp("clinic")
    shutil.copytree(EXAMPLES / "fenwright", home, dirs_exist_ok=True)
    for name, content in FILES.items():
        (home / name).parent.mkdir(parents=True, exist_ok=True)
        (home / name).write_text(content, "utf-8")
    Image.new("RGB", (90, 30), "navy").save(home / "logo.png")
    settings = home / "clinic.yaml"
    settings.write_text(settings.read_text("utf-8").replace("{logo: none}", "{logo: logo.png}"), "utf-8")
    script = f'set -e\ndocgen() {{ "{sys.executable}" -m docgen "$@"; }}\n{COMMANDS}'
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "XDG_CACHE_HOME": str(home / "cache")}
    done = subprocess.run(["sh", "-c", script], cwd=home, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return home


def _text(clinic: Path, folder: str, name: str) -> str:
    return (clinic / folder / f"HM-2026-0117-{name}.txt").read_text("utf-8")


def test_the_readme_shows_six_files() -> None:
    """The example is whole: own section, own field, own words, own kind, own look."""
    assert sorted(FILES) == [
        "ours/_house/style.yaml",
        "ours/_house/words.yaml",
        "ours/consent/body.md.j2",
        "ours/consent/kind.yaml",
        "ours/visit-slip/body.md.j2",
        "ours/visit-slip/kind.yaml",
    ]


def test_own_section_own_field_and_own_words_print(clinic: Path) -> None:
    """The replaced section, the answer to the own field and the own words of a code stand in the consent record."""
    text = _text(clinic, "approved", "consent-patient-en")

    assert "What happens without it" in text
    assert "Where you park: behind the mill." in text
    assert "wait and see us again in half a year" in text
    assert "Ask us what we have seen in our own clinic." in text


def test_the_own_text_is_a_draft_until_the_clinic_approves_it(clinic: Path) -> None:
    """The approval of the shipped text does not cover the clinic's words; its own approval does."""
    assert "DRAFT" in _text(clinic, "draft", "consent-patient-en")
    assert "DRAFT" not in _text(clinic, "approved", "consent-patient-en")


def test_the_own_kind_is_made(clinic: Path) -> None:
    """A folder with two files is a kind."""
    assert "comes on Tuesday 24 March 2026." in _text(clinic, "approved", "visit-slip-en").replace("\u00a0", " ")
