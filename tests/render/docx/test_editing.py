"""A secretary goes on writing: the file takes more text, lists and rows, and stays what the standard asks."""

import copy
import io
from pathlib import Path

import docx as word
import pytest
from openxml_audit import OpenXmlValidator

from docgen.render import docx
from docgen.render.style import Style
from tests.render.reading import docx_words
from tests.render.samples import SAMPLES

PEOPLE_WRITE_IN = ("Heading 2", "Heading 3", "Body Text", "List Bullet", "Note", "Caution", "Pair", "Choice")


def findings(content: bytes, folder: Path) -> list[str]:
    """Check a file by the rules of the Open XML SDK."""
    path = folder / "edited.docx"
    path.write_bytes(content)
    return [str(error) for error in OpenXmlValidator().validate(path).errors]


@pytest.mark.parametrize("name", SAMPLES)
def test_a_file_that_was_edited_is_still_whole(name: str, style: Style, tmp_path: Path) -> None:
    """Paragraphs in the house's styles, a row copied, a text changed: no finding, and all words are there."""
    before = docx.render(SAMPLES[name], style)
    file = word.Document(io.BytesIO(before))
    for style_name in PEOPLE_WRITE_IN:
        file.add_paragraph(f"added in {style_name}", style=style_name)
    file.paragraphs[3].insert_paragraph_before("inserted", style="Body Text")
    if file.tables:
        last = file.tables[-1].rows[-1]._tr
        last.addnext(copy.deepcopy(last))
    file.core_properties.last_modified_by = "A Secretary"
    out = io.BytesIO()
    file.save(out)

    assert [] == findings(before, tmp_path)
    assert [] == findings(out.getvalue(), tmp_path)
    after = docx_words(out.getvalue())
    assert after.body[-4:] == ("Pair", "added", "in", "Choice")
    assert set(docx_words(before).body) <= set(after.body)


def test_new_paragraphs_go_on_as_the_text_does(style: Style) -> None:
    """Return after a heading begins text, after a caption of a figure too; styles offer themselves by name."""
    styles = word.Document(io.BytesIO(docx.render(SAMPLES["patient"], style))).styles
    following = {name: styles[name].next_paragraph_style.name for name in ("Heading 2", "Title", "Body Text", "Note")}
    assert {"Heading 2": "Body Text", "Title": "Body Text", "Body Text": "Body Text", "Note": "Note"} == following
    assert all(styles[name].quick_style for name in PEOPLE_WRITE_IN)
