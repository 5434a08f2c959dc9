"""What a word processor makes of a file that must fit on one sheet."""

import subprocess
from pathlib import Path

import pytest
from conftest import ISSUED_ON, WHOLE, example_files, need_program, shipped_world
from pypdf import PdfReader

from docgen.generate import Wish, generate
from docgen.language import language_names, read_language
from docgen.problem import Problems
from tests.render.test_openxml import need_font

WORLD = shipped_world()


def _offering() -> list[str]:
    """Name the languages that offer the sheet."""
    found = {tag: read_language(tag, WORLD.locales, Problems()) for tag in language_names(WORLD.locales)}
    return [tag for tag, language in found.items() if language and language.description.offers("safety-sheet")]


@pytest.mark.parametrize("tag", _offering())
def test_each_safety_sheet_is_one_page(tag: str, tmp_path: Path) -> None:
    """The sheet lies beside the patient: two pages would be one too many (page design, section 5)."""
    need_font("Noto Sans")
    office = need_program("soffice")
    for example in WHOLE:
        on = ISSUED_ON[example]
        wish = Wish(("safety-sheet",), on=on, language=tag, formats=("docx",))
        for name, content in generate(example_files(example), wish, WORLD, lambda _, on=on: on).files.items():
            (tmp_path / name).write_bytes(content)
    profile = f"-env:UserInstallation=file://{tmp_path}/profile"
    wanted = [
        "--headless",
        "--convert-to",
        "pdf",
        "--outdir",
        str(tmp_path),
        *map(str, sorted(tmp_path.glob("*.docx"))),
    ]
    subprocess.run([office, profile, *wanted], check=True, capture_output=True, timeout=240)
    pages = {path.stem: len(PdfReader(path).pages) for path in tmp_path.glob("*.pdf")}

    assert 14 <= len([*tmp_path.glob("*.docx")]) == len(pages)
    assert {} == {name: count for name, count in pages.items() if count != 1}
