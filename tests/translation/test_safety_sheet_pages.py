"""The safety sheet is one page for every example, in English and in every language that offers it."""

from __future__ import annotations

import io

import pytest
from conftest import ISSUED_ON, WHOLE, example_files, shipped_world
from pypdf import PdfReader

from docgen.generate import Wish, generate
from docgen.language import language_names, read_language
from docgen.problem import Problems

WORLD = shipped_world()


def _offers(tag: str) -> bool:
    language = read_language(tag, WORLD.locales, Problems())
    return language is not None and language.description.offers("safety-sheet")


@pytest.mark.parametrize("tag", [tag for tag in language_names(WORLD.locales) if _offers(tag)])
@pytest.mark.parametrize("name", WHOLE)
def test_the_safety_sheet_is_one_page(name: str, tag: str) -> None:
    """Read aloud at the chair, nobody turns a page."""
    on = ISSUED_ON[name]
    wish = Wish(("safety-sheet",), on=on, language=tag, formats=("pdf",))
    pages = [
        len(PdfReader(io.BytesIO(content)).pages)
        for content in generate(example_files(name), wish, WORLD, lambda _: on).files.values()
    ]

    assert [1] == pages
