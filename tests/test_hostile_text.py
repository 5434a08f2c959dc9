"""Hostile text in every text field of the record: refused with its place, or printed to the letter in all formats."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import pytest
from conftest import ISSUED_ON, example_files, example_tree, pick, put, tree_files
from render.reading import docx_words, pdf_letters, text_words

from docgen.blocks import Document, Span
from docgen.case import field_specs
from docgen.generate import Made
from docgen.problem import Refused, Severity

MARKUP = "*a* **b** # c | d <b>e</b> &amp; {{ f }} {% g %} `h` [i](j) \\k 1. ~l~ _m_ $n %(o)s"
REFUSED = {
    "control": "a\x07b",
    "override": "a\u202eb",
    "private use": "a\U000f0000b",
    "noncharacter": "a\ufffeb",
    "emoji": "a \U0001f600 b",
    "line too long": "x" * 10_001,
}
CODES = {"bad-character", "too-long", "character-unprintable", "bad-value"}


def _text_paths() -> list[str]:
    """Give each path of the first example whose field takes free text."""
    specs, found = field_specs(), []

    def walk(node: Any, path: str, pattern: str) -> None:
        if isinstance(node, dict):
            for key, below in node.items():
                walk(below, f"{path}.{key}" if path else key, f"{pattern}.{key}" if pattern else key)
        elif isinstance(node, list):
            for number, below in enumerate(node):
                walk(below, f"{path}[{number}]", f"{pattern}[]")
        elif pattern in specs and specs[pattern].type in ("line", "text") and not path.startswith("settings"):
            found.append(path)

    walk(example_tree("fenwright"), "", "")
    return [path for path in found if not path.endswith(SHARED) and not path.startswith(("files", "imaging"))]


SHARED = (".inn", ".time_zone")
"""Names of drugs and the time zone are looked up, not only printed."""

PATHS = _text_paths()
DAY = ISSUED_ON["fenwright"]


def _blocks(document: Document) -> list[int]:
    return [len(section.blocks) for section in document.sections]


def test_there_are_many_text_fields() -> None:
    """The walk finds what it is meant to find."""
    assert len(PATHS) > 60


ANSWERS = ("none", "not_applicable", "not_known")


@pytest.fixture(scope="module")
def plain_documents(made: Callable[..., Made]) -> dict[str, Document]:
    """Give each document with ordinary text."""
    return made(tree_files(example_tree("fenwright")), on=DAY, formats=()).documents


@pytest.mark.parametrize("path", PATHS)
def test_markup_is_printed_to_the_letter(
    made: Callable[..., Made], plain_documents: dict[str, Document], path: str
) -> None:
    """A value is never markup: the same number of blocks, and the text stands wherever the ordinary one stood."""
    tree = copy.deepcopy(example_tree("fenwright"))
    parent, _, number = path.rpartition("[")
    group, key = (pick(tree, parent), int(number[:-1])) if path.endswith("]") else _holder(tree, path)
    before = group[key]
    if before in ANSWERS:
        return
    group[key] = MARKUP
    try:
        documents = made(tree_files(tree), on=DAY, formats=()).documents
    except Refused as refused:
        refusing = {p.path: p.code for p in refused.problems if p.severity is Severity.REFUSE}
        assert set(refusing) == {path}, refusing
        return

    assert {n: _blocks(d) for n, d in documents.items()} == {n: _blocks(d) for n, d in plain_documents.items()}
    for name, document in plain_documents.items():
        if any(span.path == path and span.text == before for span in _spans(document)):
            assert any(span.path == path and span.text == MARKUP for span in _spans(documents[name])), name


def _holder(tree: dict[str, Any], path: str) -> tuple[Any, Any]:
    parent, _, leaf = path.rpartition(".")
    return (pick(tree, parent) if parent else tree), leaf


def _spans(part: Any) -> list[Span]:
    """Collect every span of a document."""
    if isinstance(part, Span):
        return [part]
    if isinstance(part, tuple | list):
        return [span for one in part for span in _spans(one)]
    if hasattr(part, "__dataclass_fields__"):
        return [span for name in part.__dataclass_fields__ for span in _spans(getattr(part, name))]
    return []


@pytest.mark.parametrize("kind", sorted(REFUSED))
@pytest.mark.parametrize(
    "path", ["patient.family_name", "plan.benefit", "operation.procedures[0].findings", "clinic.name"]
)
def test_what_cannot_be_printed_is_refused_with_its_place(made: Callable[..., Made], kind: str, path: str) -> None:
    """Control, direction and private characters, emoji and endless text are refused, naming the field and the line."""
    tree = copy.deepcopy(example_tree("fenwright"))
    put(tree, path, REFUSED[kind])

    with pytest.raises(Refused) as refused:
        made(tree_files(tree), on=DAY, formats=("text",))

    named = [p for p in refused.value.problems if p.path == path]
    assert named
    assert {p.code for p in named} <= CODES
    assert all(p.place is not None and p.place.line > 0 for p in named)
    assert REFUSED[kind] not in "".join(p.in_words() for p in refused.value.problems)


def test_markup_survives_in_every_format(made: Callable[..., Made]) -> None:
    """The letters of a hostile text stand in PDF, DOCX and review text."""
    tree = copy.deepcopy(example_tree("fenwright"))
    put(tree, "operation.procedures[0].findings", MARKUP)
    pack = made(tree_files(tree), "operative-note", formats=("pdf", "docx", "text"))
    name, document = next(iter(pack.documents.items()))
    wanted = MARKUP.split()

    for words in (docx_words(pack.files[f"{name}.docx"]).body, text_words(pack.files[f"{name}.txt"]).body):
        place = words.index("**b**")
        assert list(words[place - 1 : place - 1 + len(wanted)]) == wanted
    assert "".join(wanted) in "".join(pdf_letters(pack.files[f"{name}.pdf"], document).split())


def test_the_examples_files_are_read(made: Callable[..., Made]) -> None:
    """The unchanged example makes its documents."""
    assert made(example_files("fenwright"), on=DAY, formats=()).documents
