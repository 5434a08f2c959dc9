"""State marks look alike in every language, and a translation's mark is never lost."""

from __future__ import annotations

import io
from dataclasses import replace

import docx as word
import pytest
from babel import Locale
from pypdf import PdfReader

from docgen.blocks import Document, Mark
from docgen.compose.bilingual import pair
from docgen.render import docx, pdf
from docgen.render.style import Style
from tests.render.samples import PATIENT, STAFF

LOCALES = (Locale("en"), Locale("es"))


def _marked(document: Document, *marks: Mark) -> Document:
    return replace(document, sections=(), furniture=replace(document.furniture, marks=marks))


@pytest.mark.parametrize(("filled", "name"), [(True, "Mark Filled"), (False, "Mark Outlined")])
def test_a_mark_is_filled_or_outlined_whatever_its_words(filled: bool, name: str, style: Style) -> None:
    """The kind of mark decides, not its English words: white letters on a band, or ink letters in a frame."""
    document = _marked(STAFF, Mark("unsigned", "COPIA SIN FIRMA", filled))
    content = PdfReader(io.BytesIO(pdf.render(document, style))).pages[0].get_contents().get_data()
    first = word.Document(io.BytesIO(docx.render(document, style))).paragraphs[0]

    assert filled == (b"1 1 1 rg" in content)
    assert [name] == [run.style.name for run in first.runs]


def test_a_draft_translation_is_marked_though_the_clinic_approved_its_own_text() -> None:
    """In two languages each mark stands once, in its order, in the first language that has it."""
    sample, unsigned = Mark("sample", "SAMPLE"), Mark("unsigned", "UNSIGNED COPY", filled=False)
    first = _marked(PATIENT, sample, unsigned)
    others = (Mark("sample", "MUESTRA"), Mark("draft", "BORRADOR"), Mark("unsigned", "SIN FIRMA", filled=False))
    second = replace(_marked(PATIENT, *others), language="es")

    assert (sample, others[1], unsigned) == pair(first, second, LOCALES, (), "%(number)s").furniture.marks
