"""A document that is kept is the same when it is read again: its blocks, its words and the files made of it."""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass, replace
from datetime import UTC, date, datetime
from decimal import Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from conftest import ISSUED_ON, example_files, shipped_world
from hypothesis import given, settings
from hypothesis import strategies as st
from render.composed import EXAMPLES, documents
from render.samples import PATIENT, SAMPLES
from render.specimens import LANGUAGES, specimen

from docgen import blocks
from docgen.blocks import Document, Figure, Image, Layout, Paragraph, Section, Span, Writing
from docgen.compose.issued import words_of
from docgen.generate import Wish, generate
from docgen.kept import VERSION, KeptFault, from_bytes, to_bytes
from docgen.render import docx, pdf, text
from docgen.render.style import read_style
from docgen.shipped import shipped_folder
from tests.seeded import seeded

GOLDEN = Path(__file__).parent / "golden" / "kept.json"
STYLE = read_style(shipped_folder("templates") / "_house")
LAYOUTS = [
    Layout(large, voice, paper) for large in (False, True) for voice in ("patient", "staff") for paper in ("", "Letter")
]


@cache
def translated(example: str, tag: str) -> dict[str, Document]:
    """Compose the documents of an example in a language; without a tag, in those of record and reader."""
    kinds = ("consent", "aftercare") if tag == "ar" else ()
    copies = ("patient",) if tag == "ar" else ()
    on, wish = ISSUED_ON[example], Wish(kinds, on=ISSUED_ON[example], language=tag, formats=(), copies=copies)
    return dict(generate(example_files(example), wish, shipped_world(), lambda _zone: on).documents)


def paths(value: Any) -> list[str]:
    """List the paths of all spans: two spans that differ in nothing else are equal."""
    if isinstance(value, Span):
        return [value.path]
    if isinstance(value, tuple):
        return [path for one in value for path in paths(one)]
    if is_dataclass(value):
        return [path for one in fields(value) for path in paths(getattr(value, one.name))]
    return []


def held(document: Document) -> None:
    """Keep a document and read it again."""
    kept = to_bytes(document)
    again = from_bytes(kept)
    assert document == again
    assert kept == to_bytes(again)
    assert (paths(document), words_of(document)) == (paths(again), words_of(again))


@pytest.mark.parametrize("example", EXAMPLES)
def test_every_document_of_an_example_is_the_same_again(example: str) -> None:
    """Each kind and copy, down to the path of each span; `test_translated_pages` holds the other languages."""
    for document in documents(example).values():
        held(document)


def test_documents_in_two_languages_samples_and_specimens_are_the_same_again() -> None:
    """Pairs, blocks of all sorts in each layout, and every script."""
    pairs = {name: one for name, one in translated("solana", "").items() if one.second_language}
    assert {"es"} == {one.second_language for one in pairs.values()}
    for document in (*pairs.values(), *map(specimen, LANGUAGES)):
        held(document)
    for document in SAMPLES.values():
        for layout in LAYOUTS:
            held(replace(document, layout=layout))


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("tag", ["", "es", "ar"])
def test_a_document_that_was_kept_prints_to_the_same_bytes(tag: str, large: bool) -> None:
    """PDF, Word file and review text of each kind, in usual and in large print."""
    for document in translated("solana", tag).values():
        kept = replace(document, layout=replace(document.layout, large_print=large))
        again = from_bytes(to_bytes(kept))
        for renderer in (pdf, docx, text):
            assert renderer.render(kept, STYLE) == renderer.render(again, STYLE)


def test_every_sort_of_block_and_value_is_the_same_again() -> None:
    """No block of the model is left out, and no value that a drawing may be made of."""
    data = {
        "day": date(2026, 3, 5),
        "moment": datetime(2026, 3, 5, 10, 15, tzinfo=UTC),
        "percent": Decimal("33.80"),
        "share": Fraction(203, 1000),
        "angle": 0.1,
        "parts": ({"tooth": "38", 3: None, "words": (Span("x", bold=True),)}, ()),
        "is": True,
    }
    figure, image = Figure("jaw", data, (Span("alt"),)), Image(bytes(range(256)), "logo \ud800", 20.5)
    document = replace(PATIENT, sections=(*PATIENT.sections, Section("C1", (), (figure, image, Writing((), True)))))
    again = from_bytes(to_bytes(document))
    assert (document, repr(document.sections)) == (again, repr(again.sections))
    assert [type(one) for one in data.values()] == [type(one) for one in again.sections[-1].blocks[0].data.values()]


def test_the_form_of_today_is_the_one_that_was_written_first() -> None:
    """A golden file of version 1 reads back to the sample of today; another form would need another version."""
    assert 1 == VERSION
    assert PATIENT == from_bytes(GOLDEN.read_bytes())
    assert GOLDEN.read_bytes() == to_bytes(PATIENT)


def test_what_a_block_leaves_out_is_what_version_1_leaves_out() -> None:
    """Defaults are part of the form: what was not written must mean tomorrow what it means today."""
    defaults = {
        f"{name}.{one.name}": repr(one.default)
        for name in blocks.__all__
        if isinstance(block := getattr(blocks, name), type)
        for one in fields(block)
        if "MISSING" not in repr(one.default)
    }
    known = json.loads((GOLDEN.parent / "kept-defaults.json").read_text("utf-8"))
    assert known == {name: value for name, value in defaults.items() if name in known}


@pytest.mark.parametrize(
    "value",
    [["list"], {"set"}, object(), Paragraph, b"x".join, float("nan")],
    ids=["list", "set", "object", "class", "method", "nan"],
)
def test_what_a_document_cannot_hold_is_refused_when_it_is_written(value: Any) -> None:
    """Nothing is written that would not read back as it was."""
    document = replace(PATIENT, sections=(Section("C1", (), (Figure("jaw", {"a": value}, ()),)),))
    with pytest.raises((TypeError, ValueError)):
        to_bytes(document)


def test_a_later_form_says_so() -> None:
    """A program that is too old says that it is, and not that the file is broken."""
    later = to_bytes(PATIENT).replace(b'"version":1', b'"version":2')
    with pytest.raises(KeptFault, match="later program: version 2, this one reads up to 1"):
        from_bytes(later)


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"{}",
        b"[]",
        b"null",
        b"\xff\xfe",
        b'{"form":"docgen document"}',
        b'{"form":"docgen document","version":0,"document":null}',
        b'{"form":"docgen document","version":true,"document":null}',
        b'{"form":"docgen document","version":1,"document":"x"}',
        b'{"form":"docgen document","version":1,"document":{"is":"Span","text":"x"}}',
        b'{"form":"docgen document","version":1,"document":{"is":"Path","text":"x"}}',
        b'{"form":"docgen document","version":1,"document":' + b"[" * 100_000 + b"]" * 100_000 + b"}",
    ],
)
def test_what_is_no_kept_document_is_refused(content: bytes) -> None:
    """Other files, other sorts, other names."""
    with pytest.raises(KeptFault, match="no kept document"):
        from_bytes(content)


def test_only_blocks_are_made_of_bytes() -> None:
    """No name in a file leads to anything but a block of the model."""
    for name in ("Document", "Span", "MARK_CODES", "plain", "Block", "Words", "date", "eval", "__class__"):
        content = json.dumps({"form": "docgen document", "version": 1, "document": {"is": name, "x": 1}}).encode()
        with pytest.raises(KeptFault):
            from_bytes(content)


def test_bytes_that_were_changed_are_refused_or_another_document() -> None:
    """Flips and cuts end in a document or in the one fault, never in another exception."""
    content, chance = to_bytes(PATIENT), seeded(6)
    for _ in range(200):
        place = chance.randrange(len(content))
        changed = content[:place] + bytes([content[place] ^ (1 << chance.randrange(8))]) + content[place + 1 :]
        changed = changed if chance.random() < 0.8 else content[:place]
        try:
            assert isinstance(from_bytes(changed), Document)
        except KeptFault:
            continue


@settings(max_examples=60, deadline=None)
@given(
    st.binary(max_size=200)
    | st.recursive(
        st.none() | st.text(),
        lambda one: st.lists(one, max_size=3) | st.dictionaries(st.text(), one, max_size=3),
        max_leaves=8,
    )
)
def test_nothing_else_reads_as_a_document(found: Any) -> None:
    """Whatever the bytes are."""
    content = (
        found
        if isinstance(found, bytes)
        else json.dumps({"form": "docgen document", "version": 1, "document": found}).encode()
    )
    with pytest.raises(KeptFault):
        from_bytes(content)
