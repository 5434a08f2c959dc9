"""Words become lines: widths add up, breaks fall at spaces, directions and fonts are those of the script."""

from __future__ import annotations

import pytest

from docgen.blocks import Span
from docgen.render.pdf.glyphs import FontsOfFile
from docgen.render.pdf.line.face import MissingGlyph
from docgen.render.pdf.line.words import Prepared, leading, prepare
from docgen.render.style import Role

ROLE = Role(10, 15, "#17191C")


def prepared(text: str, language: str = "en", *, rtl: bool = False, bold: bool = False) -> Prepared:
    """Prepare one span."""
    return prepare((Span(text),), ROLE, language=language, rtl=rtl, bold=bold)


def test_lines_hold_the_whole_text_and_are_not_wider_than_asked() -> None:
    """Every character is on a line, in order, and no line passes the width."""
    text = "The wound heals in about two weeks. " * 20
    lines = prepared(text).lines(200)
    assert text == "".join(line.text for line in lines)
    assert all(0 < line.width <= 200.01 for line in lines)
    assert len(lines) > 3


def test_a_space_at_the_end_takes_no_width() -> None:
    """A trailing space hangs over the edge."""
    assert prepared("word ").lines(500)[0].width == prepared("word").lines(500)[0].width


def test_a_word_wider_than_its_line_is_cut_between_characters() -> None:
    """Nothing overflows and nothing is lost, down to one character a line."""
    for width in (60.0, 1.0):
        lines = prepared("W" * 30 + " ok").lines(width)
        assert "W" * 30 + " ok" == "".join(line.text for line in lines)
        assert all(line.width <= max(width, 10.0) for line in lines)


def test_hard_line_ends_stay() -> None:
    """A value with lines keeps them, an empty one too; who hears them finds a space where one ends."""
    assert ["a ", "", "b"] == [line.text for line in prepared("a\n\nb").lines(100)]


def test_empty_words_are_one_empty_line() -> None:
    """No words take a line and paint nothing."""
    (line,) = prepare((), ROLE, language="en", rtl=False).lines(100)
    assert ("", 0.0, b"") == (line.text, line.width, line.paint(0, 0, FontsOfFile()))


def test_natural_and_longest_measure_the_text() -> None:
    """The natural width is that of one line; the longest piece is its widest word."""
    one = prepared("a longword b")
    assert pytest.approx(one.lines(1000)[0].width) == one.natural
    assert pytest.approx(prepared("longword").natural) == one.longest


def test_bold_words_are_wider_and_equal_words_are_prepared_once() -> None:
    """Bold has its own face; a sentence that comes again is not shaped again."""
    assert prepared("consent", bold=True).natural > prepared("consent").natural
    assert prepared("consent") is prepared("consent")


@pytest.mark.parametrize(
    ("language", "text", "expected"),
    [
        ("ar", "ألم", 11.25),
        ("he", "כאב", 10.5),
        ("hi", "दर्द", 10),
        ("ta", "வலி", 9.6),
        ("zh", "痛", 9.6),
        ("el", "πόνος", 10),
    ],
)
def test_a_script_has_its_own_size(language: str, text: str, expected: float) -> None:
    """Sizes against Latin are those of the page design, section 2."""
    chunk = prepared(text, language, rtl=language in ("ar", "he")).lines(500)[0].chunks[0]
    assert pytest.approx(expected) == chunk.atoms[0].size


def test_line_heights_follow_the_script() -> None:
    """Line heights are those of the page design, section 2: Arabic 1.52 of its 1.125, Tamil 1.6 of its 0.96."""
    found = {language: leading(ROLE, language) for language in ("en", "ar", "hi", "ta")}
    assert {"en": 15, "ar": 10 * 1.125 * 1.52, "hi": 16.5, "ta": 10 * 0.96 * 1.6} == pytest.approx(found)


def test_a_character_without_a_glyph_is_named_and_not_printed() -> None:
    """The text layer never prints the box of a missing glyph."""
    with pytest.raises(MissingGlyph) as missing:
        prepared("ok \u25a1")
    assert missing.value.character == "\u25a1"
    assert "\u25a1" not in str(missing.value)


def test_right_to_left_words_are_placed_from_the_right() -> None:
    """The first word read stands rightmost; an isolated number inside keeps its order."""
    words = (Span("ألم "), Span("12 34", isolated=True), Span(" شديد"))
    line = prepare(words, ROLE, language="ar", rtl=True).lines(500)[0]
    places = {atom.text: left for atom, left in line.placed if not atom.is_space}
    assert places["ألم"] > places["شديد"]
    assert places["12"] < places["34"]
    assert places["ألم"] > places["34"]


def test_a_bracket_is_mirrored_and_still_read_as_it_was_typed() -> None:
    """HarfBuzz mirrors brackets of right-to-left text; their code keeps the character of the text (UAX #9, L4)."""
    line = prepared("(ألم)", "ar", rtl=True).lines(500)[0]
    opening = next(atom for atom, _ in line.placed if atom.text == "(")
    assert [("(", ")")] == [(code.text, opening.face.own_text[code.glyph]) for code in opening.shaped.codes]


def test_a_ligature_gives_each_of_its_letters_a_code() -> None:
    """Lam and alef share a glyph; both are read, in the order of right-to-left writing."""
    line = prepared("لا", "ar", rtl=True).lines(500)[0]
    texts = [code.text for code in line.placed[0][0].shaped.codes]
    assert ["ا", "ل"] == [text for text in texts if text]


def test_another_language_is_marked_in_the_content() -> None:
    """A run in another language than the document's is wrapped with its tag."""
    words = (Span("Ask for "), Span("Zażółć", language="pl"), Span(" now"))
    content = prepare(words, ROLE, language="en", rtl=False).lines(500)[0].paint(0, 0, FontsOfFile())
    assert content.count(b"/Span<</Lang(pl)>>BDC") == content.count(b"EMC") == 1


def test_a_link_knows_its_place_in_the_line() -> None:
    """The box of a link is as wide as its words, wherever they stand."""
    words = (Span("Call "), Span("0100 555", link="tel:0100555"), Span("."))
    line = prepare(words, ROLE, language="en", rtl=False).lines(500)[0]
    before, number = (prepared(text).natural for text in ("Call |", "0100 555"))
    bar = prepared("|").natural
    ((start, stop, address),) = line.links
    assert "tel:0100555" == address
    assert pytest.approx((before - bar, before - bar + number), abs=0.1) == (start, stop)


def test_what_was_made_before_does_not_change_what_is_painted() -> None:
    """The same line gives the same operators in a file that is new, whatever the process set before."""
    line = prepared("الألم لا يزول", "ar", rtl=True).lines(500)[0]
    first = line.paint(10, 10, FontsOfFile())
    other = FontsOfFile()
    prepared("أي كلمة أخرى", "ar", rtl=True).lines(500)[0].paint(0, 0, other)
    assert first == line.paint(10, 10, FontsOfFile())
