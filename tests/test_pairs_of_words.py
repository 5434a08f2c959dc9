"""Words of two languages in one line, cell or row: both once, a number once, the reader's below the clinic's."""

from __future__ import annotations

from dataclasses import replace

import pytest
from babel import Locale

from docgen.blocks import BELOW, Block, Document, Figure, Items, Section, Span, Table, Words, plain
from docgen.compose.bilingual import pair
from docgen.compose.two_languages import TwoLanguages
from docgen.problem import Refused
from docgen.render.words import halves, with_second
from tests.render.samples import PATIENT

BOTH = TwoLanguages("en", "es", (Locale("en"), Locale("de")))
"""German numbers stand for a language that writes 1.000 for 1,000."""


def words(text: str) -> Words:
    """Give words of one span."""
    return (Span(text),)


def test_a_number_stands_once_as_its_reader_writes_it() -> None:
    """What it is about stands in both languages before it; the number belongs to the reader's language."""
    cell = BOTH.number(words("about\u00a099,995"), words("cerca de\u00a099.995"))

    assert ["about / cerca de", "99.995"] == [plain(part) for part in halves(cell)]
    assert [None, None, "es", None, "es"] == [span.language for span in cell]


def test_a_bare_number_has_no_words() -> None:
    """Nothing but the number stands in the cell; digits alike stand once, in no language."""
    assert (Span("1.000", language="es"),) == BOTH.number(words("1,000"), words("1.000"))
    assert words("7") == BOTH.number(words("7"), words("7"))


@pytest.mark.parametrize(
    ("one", "other"),
    [("about 5 out of 1,000", "cerca de 5 de cada 1.000"), ("the others", "las demás"), ("about 5", "cerca de 6")],
)
def test_what_is_more_than_one_number_stands_in_both(one: str, other: str) -> None:
    """Two numbers, none, or another one: no word and no digit is left out."""
    cell = BOTH.number(words(one), words(other))

    assert [one, other] == [plain(part) for part in halves(cell)]


def test_what_is_smaller_stands_below_the_names_of_both_languages() -> None:
    """A name, its translation, then what is said of both, in the same order."""
    mine = (Span("a numb lip "), Span("Highest at: 38", look="second"))
    theirs = (Span("labio dormido "), Span("Más en: 38", look="second"))
    name, below = with_second(BOTH.name(mine, theirs))

    assert ["a numb lip ", "labio dormido "] == [plain(part) for part in halves(name)]
    assert ["Highest at: 38", "Más en: 38"] == [plain(part) for part in halves(below)]
    with pytest.raises(ValueError, match="a numb lip"):
        BOTH.name(mine, theirs[:1])


def test_short_words_share_a_line() -> None:
    """Up to 44 letters; longer ones stand one below the other, equal ones once."""
    assert "lidocaine / lidocaína" == plain(BOTH.either(words("lidocaine"), words("lidocaína")))
    assert BELOW in BOTH.either(words("a tooth that is being worn away"), words("un diente que se desgasta"))
    assert words("K. Sample") == BOTH.either(words("K. Sample"), words("K. Sample"))


def _document(language: str, *blocks: Block) -> Document:
    return replace(PATIENT, language=language, sections=(Section("C7", words("Risks"), blocks),))


def _risks(name: str, number: str, alt: str) -> Table:
    strip = Figure("people-1000", {"affected": 5, "denominator": 1000, "frame": "about"}, words(alt))
    header = (words(f"{name}?"), words("N"))
    return Table(header, ((words(name), words(number)),), numeric=(1,), drawings=(strip,))


def _joined(one: Block, other: Block) -> Document:
    return pair(_document("en", one), _document("es", other), BOTH.locales, (), "consent")


def test_a_row_of_a_table_stands_once() -> None:
    """Each cell holds both languages, one number counts the table, and its strips are those of the reader."""
    (table,) = _joined(_risks("a", "about 5", "About 5."), _risks("b", "cerca de 5", "Cerca de 5.")).sections[0].blocks

    assert isinstance(table, Table)
    assert "1\u2002" == plain(table.caption)
    assert [["a?", "b?"], ["N"]] == [[plain(part) for part in halves(cell)] for cell in table.header]
    assert [[["a", "b"], ["about / cerca de", "5"]]] == [
        [[plain(part) for part in halves(cell)] for cell in row] for row in table.rows
    ]
    assert ["Cerca de 5."] == [plain(figure.alt) for figure in table.drawings if figure]


def test_an_item_of_a_list_stands_once_under_its_number() -> None:
    """The clinic's words, then the reader's; a list that both have alike has no numbers."""
    one, other = Items((words("a" * 30), words("b"))), Items((words("c" * 30), words("d")))
    (joined,) = _joined(one, other).sections[0].blocks
    (alike,) = _joined(one, one).sections[0].blocks

    assert isinstance(joined, Items)
    assert [["1.1\u2002" + "a" * 30, "c" * 30], ["1.2\u2002b / d"]] == [
        [plain(part) for part in halves(item)] for item in joined.items
    ]
    assert one == alike


@pytest.mark.parametrize(
    "other",
    [
        Table((words("h"),), ((words("b"),),)),
        Table((words("h"), words("N")), ()),
        Table((words("h"), words("N")), ((words("b"), ()),)),
    ],
)
def test_a_table_of_another_shape_is_refused(other: Table) -> None:
    """Another column, another row, or an empty cell where the text has words."""
    mine = replace(other, header=(words("h"), words("N")), rows=((words("a"), words("x")),))
    with pytest.raises(Refused) as refused:
        _joined(mine, other)

    assert ["catalog-shape"] == [problem.code for problem in refused.value.problems]
