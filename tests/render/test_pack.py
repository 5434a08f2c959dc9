"""All documents of a case as one file: each as it is alone, with bookmarks, and pages numbered through the file."""

from __future__ import annotations

import io
from collections.abc import Iterable
from itertools import chain
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from docgen.blocks import Document, Heading, plain
from docgen.render import pdf
from docgen.render.style import Style
from tests.render.composed import EXAMPLES, documents
from tests.render.reading import page_words
from tests.render.samples import SAMPLES
from tests.render.specimens import LANGUAGES, specimen
from tests.render.spoken import Speech, said
from tests.render.test_standards import faults
from tests.render.tree import fold, read_tagged

TITLE = "Papers of P-20417"

PACKS = (*EXAMPLES, "every language", "samples")


def _documents(pack: str) -> list[Document]:
    if pack == "samples":
        return list(SAMPLES.values())
    return list(documents(pack).values()) if pack in EXAMPLES else [specimen(language) for language in LANGUAGES]


@pytest.fixture(scope="module", params=PACKS)
def pack(request: pytest.FixtureRequest, style: Style) -> tuple[list[Document], bytes]:
    """Give some documents and the pack of them."""
    held = _documents(str(request.param))
    return held, pdf.render_pack(held, style, TITLE, "en")


def test_a_pack_meets_both_standards(pack: tuple[list[Document], bytes], tmp_path: Path) -> None:
    """What holds of each file holds of the pack."""
    assert [] == faults(pack[1], tmp_path)


def test_a_pack_says_what_its_documents_say(pack: tuple[list[Document], bytes]) -> None:
    """One part of the structure for each document, with its title, in order."""
    held, content = pack
    root = read_tagged(content).root
    drawn = [fold(elem.alt or "") for elem in root.below("Figure")]
    assert list(chain.from_iterable(Speech(document, drawn).list() for document in held)) == said(root)
    assert [fold(plain(document.title)) for document in held] == [fold(elem.text) for elem in root.below("H1")]


def test_a_pack_shows_the_pages_of_its_documents(pack: tuple[list[Document], bytes], style: Style) -> None:
    """Each page is that of the document alone, "page 1 of 3" included; the labels count through the file."""
    held, content = pack
    alone = chain.from_iterable(page_words(pdf.render(document, style)) for document in held)
    pages = page_words(content)
    assert list(alone) == pages
    assert [str(number) for number in range(1, len(pages) + 1)] == PdfReader(io.BytesIO(content)).page_labels


def _titles(outline: Iterable[Any]) -> list[Any]:
    return [_titles(one) if isinstance(one, list) else fold(one["/Title"]) for one in outline]


def test_a_pack_has_a_bookmark_for_each_document_and_section(pack: tuple[list[Document], bytes]) -> None:
    """Titles on the upper level, with whose copy it is where there are two; headings of sections below."""
    held, content = pack
    reader = PdfReader(io.BytesIO(content))
    found = _titles(reader.outline)
    titles = [one for one in found if isinstance(one, str)]
    assert len(held) == len(titles)
    for document, title in zip(held, titles, strict=True):
        copy = f" ({document.furniture.copy})" if document.furniture.copy else ""
        assert fold(plain(document.title) + copy) == title
    sections = [
        [fold(plain(block.words)) for block in document.blocks if isinstance(block, Heading) and block.level == 2]
        for document in held
    ]
    assert [one for one in sections if one] == [one for one in found if isinstance(one, list)]
    told: Any = reader.metadata
    assert TITLE == told["/Title"]


def test_a_pack_has_each_field_once(pack: tuple[list[Document], bytes], style: Style) -> None:
    """What is written on one page does not appear on another."""
    held, content = pack
    alone = (PdfReader(io.BytesIO(pdf.render(document, style))).get_fields() or {} for document in held)
    assert sum(map(len, alone)) == len(PdfReader(io.BytesIO(content)).get_fields() or {})
