"""What is copied out of a page, or searched in it, is what was written: every script, by two programs."""

from __future__ import annotations

import subprocess
from collections import Counter
from dataclasses import replace

import pytest
from conftest import need_program

from docgen.blocks import Document, Layout
from docgen.render import pdf
from docgen.render.style import Style
from docgen.render.words import document_words, split_words
from tests.render.composed import EXAMPLES, documents
from tests.render.reading import page_words, pdf_letters, pdf_words
from tests.render.samples import SAMPLES
from tests.render.specimens import LANGUAGES, LEFT_TO_RIGHT, RIGHT_TO_LEFT, specimen

LAYOUTS = {
    "patient": Layout(),
    "staff on Letter": Layout(voice="staff", paper="Letter"),
    "large": Layout(large_print=True),
}

RIGHT_TO_LEFT_SHARE = 0.9
"""Of the words, what pdftotext gives back letter by letter: it has rules of its own for mixed lines."""


def poppler_words(content: bytes, order: str = "-raw") -> list[tuple[str, ...]]:
    """Give the words of each page as pdftotext reads them: in the order of its content, or of what it sees."""
    command = [need_program("pdftotext"), *([order] if order else []), "-enc", "UTF-8", "-", "-"]
    done = subprocess.run(command, input=content, check=True, capture_output=True)
    return [split_words([page]) for page in done.stdout.decode().split("\f")[:-1]]


def _whole(document: Document) -> tuple[object, ...]:
    """What must come back: the words in order; where no blank parts words, their letters."""
    known = document_words(document)
    return ("".join(known.body),) if document.language == "zh" else (known,)


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize("language", LANGUAGES)
def test_pypdf_reads_every_specimen_word_for_word(language: str, layout: str, style: Style) -> None:
    """White space and format characters aside, every word of every script comes back, in order."""
    document = specimen(language, LAYOUTS[layout])
    content = pdf.render(document, style)
    read = pdf_letters(content, document) if language == "zh" else pdf_words(content, document)
    assert _whole(document) == (read,)


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize("language", LEFT_TO_RIGHT)
def test_pdftotext_reads_every_specimen_that_runs_to_the_right(language: str, layout: str, style: Style) -> None:
    """A second reader, with another way to find words, gives the same."""
    document = specimen(language, LAYOUTS[layout])
    content = pdf.render(document, style)
    read = pdf_letters if language == "zh" else pdf_words
    assert _whole(document) == (read(content, document, poppler_words),)


@pytest.mark.parametrize("language", RIGHT_TO_LEFT)
def test_pdftotext_reads_most_words_that_run_to_the_left(language: str, style: Style) -> None:
    """Its own limits aside, no script is lost or comes out in pieces."""
    document = specimen(language)
    content = pdf.render(document, style)
    mine, theirs = (
        Counter(word for page in pages for word in page) for pages in (page_words(content), poppler_words(content, ""))
    )
    assert RIGHT_TO_LEFT_SHARE <= (mine & theirs).total() / mine.total()


@pytest.mark.parametrize("example", EXAMPLES)
def test_pdftotext_reads_every_document_of_an_example(example: str, style: Style) -> None:
    """All kinds of documents, in usual and large print; pypdf reads them where the three formats are compared."""
    for name, document in documents(example).items():
        for large in (False, True):
            held = replace(document, layout=replace(document.layout, large_print=large))
            read = pdf_words(pdf.render(held, style), held, poppler_words)
            assert (name, document_words(held)) == (name, read)


@pytest.mark.parametrize("name", SAMPLES)
def test_no_stray_character_is_read(name: str, style: Style) -> None:
    """No private-use, replacement or control character hides behind a glyph."""
    for page in page_words(pdf.render(SAMPLES[name], style)):
        assert not [
            c for word in page for c in word if c in "\ufffd\ufffe\uffff" or "\ue000" <= c <= "\uf8ff" or c < " "
        ]
