"""What stands on the pages of a Word file beside its text: whose document it is."""

from dataclasses import replace

import pytest

from docgen.blocks import Layout, Words
from docgen.render.style import Style
from tests.render.docx.reading_parts import W, main_part, styled, text, values
from tests.render.samples import PATIENT, words

LONG = words("Maximiliana Constantia Featherstonehaugh-Wolverhampton")


def test_the_name_is_bold_as_in_the_pdf(style: Style) -> None:
    """Name, birth date and number stand in one line; the first is seen first (page design, section 5)."""
    plain = replace(PATIENT.furniture, person=(words("Orla Fenwright"), *PATIENT.furniture.person[1:]))
    (line,) = styled(main_part(replace(PATIENT, furniture=plain), style), "Person")
    bold = [text(run) for run in line.iter(f"{W}r") if values(run, "rStyle") == ["Strong"]]
    assert ["Orla Fenwright"] == bold


@pytest.mark.parametrize(("name", "lines"), [(words("Orla Fenwright"), 1), (LONG, 0)])
def test_large_print_has_the_person_in_one_line_if_there_is_room(name: Words, lines: int, style: Style) -> None:
    """A line saved lets the danger box stand on the first page; a long name takes lines, as in the PDF."""
    person = replace(PATIENT.furniture, person=(name, *PATIENT.furniture.person[1:]))
    large = replace(PATIENT, layout=Layout(large_print=True), furniture=person)
    assert lines == len(styled(main_part(large, style), "Person"))
