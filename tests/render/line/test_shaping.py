"""A word becomes glyphs with the text each stands for: nothing is lost, and nothing is the box of a missing glyph."""

from __future__ import annotations

import struct
import unicodedata
from itertools import chain

import pytest
import uharfbuzz as hb
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf.generic import ContentStream, DecodedStreamObject

from docgen.blocks import Span
from docgen.render.fonts import BOLD, FAMILY, REGULAR
from docgen.render.fonts.characters import UNSEEN
from docgen.render.fonts.choice import family_of
from docgen.render.fonts.sources import FAMILIES
from docgen.render.pdf.glyphs import FontsOfFile
from docgen.render.pdf.line.face import MissingGlyph, face_of
from docgen.render.pdf.line.shaped import Shaped
from docgen.render.pdf.line.words import prepare
from docgen.render.style import Role

ROLE = Role(10, 15, "#17191C")
LANGUAGES = (("en", False), ("ar", True), ("hi", False), ("zh", False))
WIDTHS = (1.0, 60.0, 1000.0)

ASSIGNED = [chr(point) for point in range(0x20, 0x10000) if unicodedata.category(chr(point)) not in ("Cs", "Co", "Cc")]
"""Characters a value may hold, and unassigned ones."""

STRUCK_THROUGH = ["≠", "≮", "≯"]
"""HarfBuzz makes them of a sign and a stroke; the gate refuses them before."""

SCRIPTS = (
    *((0x20, 0x24F), (0x300, 0x36F), (0x370, 0x4FF), (0x590, 0x6FF), (0x900, 0x97F), (0x980, 0x9FF)),
    *((0xA00, 0xA7F), (0xB80, 0xBFF), (0x1E00, 0x206F), (0x20A0, 0x20BF), (0xFB50, 0xFEFF), (0x4E00, 0x4E7F)),
)

UNPAIRED = "\u2028\u2029\u2066\u2067\u2068\u2069"
"""Line ends and isolates, which values do not hold alone."""


def passes_the_gate(character: str) -> bool:
    """Tell whether a document with the character is printed (missing_characters)."""
    return character in UNSEEN or family_of(character) is not None


def painted(text: str, language: str, rtl: bool) -> bytes:
    """Set a text in lines of three widths and paint them; every character must be on a line, to the left one more."""
    one, fonts, content = prepare((Span(text),), ROLE, language=language, rtl=rtl), FontsOfFile(), b""
    for width in WIDTHS:
        lines = one.lines(width)
        assert text + " " * rtl == "".join(line.text for line in lines)
        content += b"".join(line.paint(0, 0, fonts) for line in lines)
    return content


def codes_in(content: bytes) -> set[int]:
    """Give the codes that are painted, as pypdf reads them."""
    stream = DecodedStreamObject()
    stream.set_data(content)
    found: set[int] = set()
    for operands, operator in ContentStream(stream, None).operations:
        for string in operands[0] if operator == b"TJ" else ():
            raw = getattr(string, "original_bytes", b"")
            assert len(raw) % 2 == 0
            found |= {*struct.unpack(f">{len(raw) // 2}H", raw)}
    return found


def texts(shaped: Shaped) -> list[str]:
    """Give the text of each code, from left to right."""
    return [code.text for code in shaped.codes]


@pytest.mark.parametrize("rtl", [False, True])
def test_what_passes_the_gate_is_set_and_what_does_not_is_refused(rtl: bool) -> None:
    """Each character alone: the check before printing and the text layer agree on what has a glyph."""
    disagreed = []
    for character in ASSIGNED:
        try:
            lines = prepare((Span(character),), ROLE, language="ar" if rtl else "en", rtl=rtl).lines(100)
            is_set = bool(lines)
        except MissingGlyph:
            is_set = False
        if is_set != passes_the_gate(character) and character not in "\u2028\u2029":
            disagreed.append(character)

    assert ([] if rtl else STRUCK_THROUGH) == disagreed


def _mixed(pools: list[list[str]]) -> st.SearchStrategy[str]:
    return st.lists(st.sampled_from([" ", *chain.from_iterable(pools)]), min_size=1, max_size=30).map("".join)


BY_SCRIPT = [
    [chr(c) for c in range(a, b + 1) if passes_the_gate(chr(c)) and chr(c) not in UNPAIRED] for a, b in SCRIPTS
]


@settings(max_examples=600, deadline=None, derandomize=True)
@given(st.lists(st.sampled_from(BY_SCRIPT), min_size=1, max_size=3).flatmap(_mixed), st.sampled_from(LANGUAGES))
def test_any_text_of_any_script_is_set_without_a_box(text: str, language: tuple[str, bool]) -> None:
    """Texts of one to three scripts, marks without letters and lone format characters among them."""
    assert 0 not in codes_in(painted(text, *language))


def test_a_word_of_format_characters_alone_draws_nothing() -> None:
    """A variation selector or a joiner without a letter has no glyph, and stops no document."""
    for text in ("\ufe00", "\u034f", "\u200d", "\u2060\u00ad"):
        for language, rtl in LANGUAGES:
            assert {3} >= codes_in(painted(text, language, rtl))  # the space at the end of a line that runs to the left


@pytest.mark.parametrize(
    ("family", "word", "rtl", "expected"),
    [
        (FAMILY, "office", False, ["o", "ffi", "c", "e"]),
        (FAMILY, "o\u0323\u0302", False, ["o\u0323\u0302"]),
        ("Noto Sans Devanagari", "कि", False, ["क", "ि"]),
        ("Noto Sans Devanagari", "क्षण", False, ["क्ष", "ण"]),
        ("Noto Sans Hebrew", "שלום", True, ["ם", "ו", "ל", "ש"]),
        ("Noto Sans SC", "拔牙", False, ["拔", "牙"]),
    ],
)
def test_each_cluster_gives_its_characters_to_its_glyphs(
    family: str, word: str, rtl: bool, expected: list[str]
) -> None:
    """In writing order: the sign before its letter takes the letter's place, so that readers get the word back."""
    shaped = face_of(family, REGULAR).shape(word, rtl, "")
    assert (expected, True) == ([text for text in texts(shaped) if text], shaped.spells)


@pytest.mark.parametrize("family", ["Noto Sans Tamil", "Noto Sans Bengali"])
def test_a_vowel_of_two_parts_needs_words_of_its_own(family: str) -> None:
    """Three glyphs, two characters: no spelling by codes is right, so the word stands in the content (ActualText)."""
    word, language = {"Noto Sans Tamil": ("கொ", "ta"), "Noto Sans Bengali": ("কো", "bn")}[family]
    assert not face_of(family, REGULAR).shape(word, False, language).spells
    content = painted(word, language, False)
    assert f"/ActualText<FEFF{word.encode('utf-16-be').hex().upper()}>".encode() in content


def test_arabic_letters_of_a_word_are_each_read_once() -> None:
    """Dots that are glyphs of their own have no text; ligatures give each letter a code; joined forms are shaped."""
    face = face_of("Noto Sans Arabic", REGULAR)
    for word in ("التخدير", "الألم", "لا", "إلى", "شديد"):
        assert word == "".join(reversed([text for text in texts(face.shape(word, True, "ar")) if text]))
    assert face.shape("ه", True, "ar").codes[0].glyph != face.shape("هه", True, "ar").codes[0].glyph


@pytest.mark.parametrize("weight", [REGULAR, BOLD])
@pytest.mark.parametrize("family", FAMILIES)
def test_the_glyph_of_a_spare_character_has_no_ink(family: str, weight: int) -> None:
    """What carries the text of a ligature's other letters is seen by nobody."""
    face = face_of(family, weight)
    extents = face.font.get_glyph_extents(face.inkless)
    assert extents is None or (0, 0) == (extents.width, extents.height)


def test_the_advance_of_a_word_is_that_of_the_shaper() -> None:
    """Moves between codes and widths of glyphs add up to what HarfBuzz laid out, to a unit of the font."""
    words = (
        ("Noto Sans", "AVATAR Toilet", "en"),
        ("Noto Sans Arabic", "التخدير", "ar"),
        ("Noto Sans Tamil", "கொடு", "ta"),
    )
    for family, word, language in words:
        face, rtl = face_of(family, REGULAR), language == "ar"
        buffer = hb.Buffer()
        buffer.add_str(word)
        buffer.guess_segment_properties()
        buffer.language = language
        hb.shape(face.font, buffer)
        shaped = face.shape(word, rtl, language)
        moved = sum(code.before + face.glyph_advance(code.glyph) for code in shaped.codes) + shaped.after
        assert sum(place.x_advance for place in buffer.glyph_positions) == moved == round(shaped.advance * face.upem)


def test_latin_words_are_the_same_string_in_every_file() -> None:
    """A word whose glyphs stand for the font's own characters is written once a process."""
    shaped = face_of(FAMILY, REGULAR).shape("consent", False, "en")
    first, second = (FontsOfFile().use(face_of(FAMILY, REGULAR)) for _ in "ab")
    assert shaped.string is not None
    assert first.string(shaped) is second.string(shaped)


def test_a_space_is_set_in_the_font_of_the_word_before_it() -> None:
    """A line of one script is then one font, and shorter in the file."""
    line = prepare((Span("दर्द और सूजन"),), ROLE, language="hi", rtl=False).lines(500)[0]
    assert {"Noto Sans Devanagari"} == {atom.face.family for chunk in line.chunks for atom in chunk.atoms}


def test_a_line_painted_again_is_the_same() -> None:
    """What is kept for the second time writes what was written the first time."""
    for text, language in (("Plain words.", "en"), ("दर्द 12 mg", "hi"), ("ألم 12", "ar")):
        line = prepare((Span(text),), ROLE, language=language, rtl=language == "ar").lines(500)[0]
        assert line.paint(9, 9, FontsOfFile()) == line.paint(9, 9, FontsOfFile())
