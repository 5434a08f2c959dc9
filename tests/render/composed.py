"""The documents of the examples, composed once a process, for tests that print them in many ways."""

from __future__ import annotations

from datetime import date
from functools import cache

from conftest import ISSUED_ON, LANGUAGES, example_files, shipped_world

from docgen.blocks import Document
from docgen.generate import Wish, generate

EXAMPLES = tuple(sorted(ISSUED_ON))


@cache
def documents(example: str) -> dict[str, Document]:
    """Compose all documents of an example, by their names."""
    on: date = ISSUED_ON[example]
    wish = Wish(kinds=(), on=on, language=LANGUAGES.get(example, ""), formats=())
    return dict(generate(example_files(example), wish, shipped_world(), lambda _zone: on).documents)
