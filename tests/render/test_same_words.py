import string
import unicodedata
from dataclasses import replace
from functools import lru_cache

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from docgen import blocks as model
from docgen.blocks import Document, Furniture, Layout, Section, Span
from docgen.render import docx, pdf, text
from docgen.render.fonts import FAMILY
from docgen.render.fonts.cut import characters_of
from docgen.render.style import Style
from docgen.render.words import PrintedWords, document_words
from tests.render.reading import docx_words, pdf_letters, pdf_words, text_words
from tests.render.samples import ORIGIN, PATIENT, SAMPLES, words

PRINTABLE = [c for c in map(chr, sorted(characters_of(FAMILY))) if unicodedata.category(c)[0] in "LNPS" and c > "\x7f"]
"""Everything the house font prints by itself beside ASCII: letters, digits, punctuation, symbols of three scripts."""

LETTERS = [c for c in PRINTABLE if unicodedata.category(c)[0] in "LN"]
UNBROKEN = string.ascii_letters + string.digits + "&<>=*#~^_@`'\".,:;"
"""Characters between which no line may break (UAX 14); most other punctuation lets one break after it."""

POOLS = [("".join(LETTERS[start : start + 60]), UNBROKEN) for start in range(0, len(LETTERS), 60)]
SYMBOLS = [("".join(PRINTABLE[start : start + 60]), string.printable[:94]) for start in range(0, len(PRINTABLE), 60)]
"""A document takes its characters from one pool and from ASCII."""


@lru_cache(maxsize=len(POOLS) + len(SYMBOLS))
def documents(pool: tuple[str, str]) -> st.SearchStrategy[Document]:
    """Make documents of all kinds of blocks, of short words."""
    letters = st.sampled_from(pool[0]) | st.sampled_from(pool[1])
    words = _words(st.text(letters, min_size=1, max_size=3))
    maybe = words | st.just(())
    simple = _simple(words, maybe)
    framed = simple | st.builds(model.Danger, words, st.lists(simple, max_size=4).map(tuple))
    blocks = framed | st.builds(model.Together, st.lists(framed, max_size=3).map(tuple))
    held, voices = st.lists(blocks, max_size=7).map(tuple), st.sampled_from(("", "staff"))
    section = st.builds(Section, st.just("C1"), maybe, held, voices)
    return st.builds(
        Document,
        title=words,
        language=st.just("en"),
        direction=st.just("ltr"),
        sections=st.lists(section, min_size=1, max_size=3).map(tuple),
        furniture=_furniture(words),
        origin=st.just(ORIGIN),
        layout=st.builds(
            Layout, st.booleans(), st.sampled_from(("patient", "staff")), st.sampled_from(("A4", "Letter"))
        ),
    )


def _words(word: st.SearchStrategy[str]) -> st.SearchStrategy[model.Words]:
    gaps = st.sampled_from((" ", "\n", "  ", "\t"))
    text = st.builds(lambda found, gap: gap.join(found), st.lists(word, min_size=1, max_size=8), gaps)
    return st.lists(st.builds(Span, text, st.booleans()), min_size=1, max_size=2).map(tuple)


def _furniture(words: st.SearchStrategy[model.Words]) -> st.SearchStrategy[Furniture]:
    return st.builds(
        Furniture,
        clinic=words,
        contact=words,
        person=st.lists(words, min_size=1, max_size=3).map(tuple),
        marks=st.lists(st.sampled_from(PATIENT.furniture.marks), unique=True).map(tuple),
        foot=st.lists(words, min_size=1, max_size=3).map(tuple),
        page=st.just("Page {page} of {pages}"),
        logo=st.none(),
    )


def _simple(
    words: st.SearchStrategy[model.Words], maybe: st.SearchStrategy[model.Words]
) -> st.SearchStrategy[model.Block]:
    several = st.lists(words, min_size=1, max_size=12).map(tuple)
    return st.one_of(
        st.builds(model.Heading, st.integers(1, 4), words),
        st.builds(model.Paragraph, words, st.sampled_from(("body", "lead", "small"))),
        st.builds(model.Items, several, st.booleans()),
        st.integers(1, 3).flatmap(lambda columns: _table(st.tuples(*[maybe] * columns), columns, maybe)),
        st.builds(model.Pairs, st.lists(st.tuples(words, maybe), min_size=1, max_size=3).map(tuple)),
        st.builds(model.Note, words),
        st.builds(model.Caution, words),
        st.builds(model.Choice, maybe, st.tuples(words, words, words), st.none() | st.integers(0, 2)),
        st.builds(model.Writing, words, st.integers(1, 3)),
        st.builds(model.Signature, words, words, words, maybe, maybe, st.tuples(words, words)),
        st.builds(model.Figure, st.just("jaw"), st.just({}), words, st.lists(words, max_size=2).map(tuple)),
        st.just(model.PageBreak()),
    )


def _table(
    row: st.SearchStrategy[tuple[model.Words, ...]], columns: int, maybe: st.SearchStrategy[model.Words]
) -> st.SearchStrategy[model.Table]:
    numeric = st.sets(st.integers(0, columns - 1)).map(lambda found: tuple(sorted(found)))
    return st.builds(model.Table, row, st.lists(row, max_size=4).map(tuple), maybe, numeric, st.booleans())


DOCUMENTS = st.sampled_from(POOLS).flatmap(documents)
ANY_SIGNS = st.sampled_from(SYMBOLS).flatmap(documents)

HOSTILE = {
    "markup": "<b>bold</b> <i>x <para> &amp; & < > </para> <br/>",
    "entity": "&#x110000; &nbsp; &lt;",
    "image": '<img src="/etc/passwd"/> <img src="http://127.0.0.1:9/x.png"/>',
    "link": '<a href="javascript:app.alert(1)">x</a> <link href="file:///etc/passwd">y</link>',
    "color": "<font color=\"[[[getattr(pow,Word('__globals__'))['os'].system('touch x')]]]\">x</font>",
    "template": "{{ 7*7 }} {% raw %} {page} {pages} %(name)s %s $HOME `id`",
    "markdown": "# head\n1. item\n- item\n*a* **b** | c | A*B",
    "marks": "TITLE no\nP       no\n        BOX [x] no\nSEC C1",
    "strings": "(a) \\(b\\) \\n \\\\ endstream endobj %%EOF ) Tj ET",
    "xml": "]]> <![CDATA[x]]> <!-- --> <?xml?> <w:t>x</w:t>",
    "blank": " \n \n ",
    "spaces": "  two  spaces\tand\ttabs\u00a0and\u202fnarrow ",
    "long word": "x" * 200,
    "long": "Ωж " * 3333,
    "unbroken": "W" * 10000,
    "lines": "line\n" * 400,
}


def three_ways(document: Document, style: Style) -> dict[str, PrintedWords]:
    """Print a document in each format and read its words back."""
    return {
        "pdf": pdf_words(pdf.render(document, style), document),
        "docx": docx_words(docx.render(document, style)),
        "text": replace(text_words(text.render(document, style)), running_head=document_words(document).running_head),
    }


def letters(document: Document, style: Style) -> dict[str, str]:
    """Print a document in each format and read its body back without spaces."""
    return {
        "pdf": pdf_letters(pdf.render(document, style), document),
        "docx": "".join(docx_words(docx.render(document, style)).body),
        "text": "".join(text_words(text.render(document, style)).body),
    }


@pytest.mark.parametrize("name", SAMPLES)
def test_a_sample_prints_the_same_words_in_every_format(name: str, style: Style) -> None:
    """PDF, Word file and review text hold the words of the document in its order; heads and feet are compared once."""
    document = SAMPLES[name]
    expected = document_words(document)
    assert dict.fromkeys(("pdf", "docx", "text"), expected) == three_ways(document, style)


FREELY = settings(
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@settings(FREELY, max_examples=60)
@given(document=DOCUMENTS)
def test_any_document_prints_the_same_words_in_every_format(document: Document, style: Style) -> None:
    """Whatever blocks stand in whatever order, the three formats print one sequence of words."""
    expected = document_words(document)
    assert dict.fromkeys(("pdf", "docx", "text"), expected) == three_ways(document, style)


@settings(FREELY, max_examples=40)
@given(document=ANY_SIGNS)
def test_any_signs_are_printed_in_every_format(document: Document, style: Style) -> None:
    """Punctuation and symbols too, though a line may break beside them."""
    expected = "".join(document_words(document).body)
    assert dict.fromkeys(("pdf", "docx", "text"), expected) == letters(document, style)


def places(value: str) -> dict[str, Document]:
    """Put one value into each place of a document in turn."""
    one = words("x")
    held = (Span(value),)
    blocks: dict[str, model.Block] = {
        "heading": model.Heading(3, held),
        "paragraph": model.Paragraph(held),
        "item": model.Items((held,)),
        "numbered": model.Items((held,), ordered=True),
        "cell": model.Table((one, one), ((held, ()), ((), one))),
        "column": model.Table((held, one), ((one, one),)),
        "caption": model.Table((one,), ((one,),), held),
        "label": model.Pairs(((held, ()),)),
        "value": model.Pairs((((), held),)),
        "note": model.Note(held),
        "caution": model.Caution(held),
        "danger": model.Danger(held, (model.Paragraph(one),)),
        "in danger": model.Danger(one, (model.Items((held,)), model.Pairs(((one, held),)))),
        "choice": model.Choice(held, (one,)),
        "option": model.Choice(one, (held, one), 0),
        "writing": model.Writing(held),
        "statement": model.Signature(held, one, one),
        "name": model.Signature(one, one, held),
        "moment": model.Signature(one, one, one, moment=held),
        "figure": model.Figure("jaw", {}, held),
        "together": model.Together((model.Paragraph(held), model.Note(one))),
    }
    made = {name: replace(PATIENT, sections=(Section("C1", one, (block,)),)) for name, block in blocks.items()}
    short = replace(PATIENT, sections=())
    made["section"] = replace(short, sections=(Section("C1", held, (model.Paragraph(one),)),))
    made["title"] = replace(short, title=held)
    for field in ("clinic", "contact"):
        made[field] = replace(short, furniture=replace(short.furniture, **{field: held}))
    for field in ("person", "foot"):
        made[field] = replace(short, furniture=replace(short.furniture, **{field: (one, held)}))
    return made


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_text_prints_to_the_letter_in_every_place(name: str, style: Style) -> None:
    """A value that looks like markup, a link, an image or a mark is only words; however long, nothing of it is lost."""
    for place, document in places(HOSTILE[name]).items():
        expected = "".join(document_words(document).body)
        assert (place, dict.fromkeys(("pdf", "docx", "text"), expected)) == (place, letters(document, style))
