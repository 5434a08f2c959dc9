"""What a word processor makes of a file that must fit on one sheet."""

import subprocess
from pathlib import Path

from conftest import need_program
from pypdf import PdfReader

from docgen.render import docx
from docgen.render.style import Style
from tests.render.composed import EXAMPLES, documents
from tests.render.test_openxml import need_font


def test_each_safety_sheet_is_one_page(style: Style, tmp_path: Path) -> None:
    """The sheet lies beside the patient: two pages would be one too many (page design, section 5)."""
    need_font("Noto Sans")
    office = need_program("soffice")
    sheets = 0
    for example in EXAMPLES:
        for name, document in documents(example).items():
            if document.origin.kind == "safety-sheet":
                sheets += 1
                (tmp_path / f"{name}.docx").write_bytes(docx.render(document, style))
    profile = f"-env:UserInstallation=file://{tmp_path}/profile"
    wish = ["--headless", "--convert-to", "pdf", "--outdir", str(tmp_path), *map(str, sorted(tmp_path.glob("*.docx")))]
    subprocess.run([office, profile, *wish], check=True, capture_output=True, timeout=240)
    pages = {path.stem: len(PdfReader(path).pages) for path in tmp_path.glob("*.pdf")}

    assert 14 <= sheets == len(pages)
    assert {} == {name: count for name, count in pages.items() if count != 1}
