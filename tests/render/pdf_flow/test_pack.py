"""All documents of a case in one file: its parts, numbers and bookmarks."""

from __future__ import annotations

import io

import page as validation
import pytest
from pypdf import PdfReader

from docgen.render import pdf
from docgen.render.style import Style
from tests.render.reading import page_words
from tests.render.samples import LARGE, LETTER, PATIENT, STAFF

DOCUMENTS = (PATIENT, STAFF, LARGE, LETTER)


@pytest.fixture(scope="module")
def pack(style: Style) -> bytes:
    """Give a pack of all samples."""
    return pdf.render_pack(DOCUMENTS, style, "HM-2026-0117", "en")


def test_pages_are_numbered_through_the_file_and_within_each_document(pack: bytes, style: Style) -> None:
    """Labels count on, the foot begins anew."""
    reader = PdfReader(io.BytesIO(pack))
    counts = [len(PdfReader(io.BytesIO(pdf.render(document, style))).pages) for document in DOCUMENTS]
    expected = [["Page", str(n), "of", str(count)] for count in counts for n in range(1, count + 1)]

    assert [str(n) for n in range(1, sum(counts) + 1)] == reader.page_labels
    assert expected == [list(words[-4:]) for words in page_words(pack)]


def test_each_document_prints_the_words_it_prints_alone(pack: bytes, style: Style) -> None:
    """No page of a pack differs from that of the single file."""
    assert [words for document in DOCUMENTS for words in page_words(pdf.render(document, style))] == page_words(pack)


def test_bookmarks_lead_to_documents_and_their_sections(pack: bytes) -> None:
    """One for each document, below it one for each heading."""
    outline = PdfReader(io.BytesIO(pack)).outline
    tops = [str(entry["/Title"]) for entry in outline if not isinstance(entry, list)]
    below = [[str(entry["/Title"]) for entry in entries] for entries in outline if isinstance(entries, list)]

    patient = ["What was done", "Today and tomorrow", "What may go wrong", "You agree"]
    staff = ["When and who", "Injections", "Done"]
    assert ["Looking after yourself after surgery", "Operative note"] * 2 == tops
    assert [patient, staff, patient, staff] == below


@pytest.mark.parametrize("profile", ["PDF_UA_1", "PDF_A_3A"])
def test_a_pack_keeps_both_standards(pack: bytes, profile: str) -> None:
    """Accessible and archivable as each single file is."""
    result = validation.validate_pdf_bytes(pack, profile=getattr(validation.ValidationProfile, profile))
    assert [] == [str(failure) for failure in result.failures]
