import io
from dataclasses import replace
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from docgen.blocks import Choice, Danger, Figure, Image, Mark, Paragraph, Section, Signature, Span
from docgen.render import fonts
from docgen.render.fonts import BOLD, REGULAR, font_characters, font_file, missing_characters
from docgen.render.text import BREAK, CELL, EMPTY, TICKED
from tests.render.samples import LARGE, PATIENT, STAFF, words


@pytest.fixture
def cold(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """Give an empty cache and forget what the process knows."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    for kept in (font_file, font_characters):
        kept.cache_clear()
    yield tmp_path / "docgen" / "fonts"
    for kept in (font_file, font_characters):
        kept.cache_clear()


def test_the_two_weights_have_names_of_their_own() -> None:
    """Regular and Bold differ in PostScript, family and full name, so that a PDF keeps both."""
    names = [TTFont(io.BytesIO(font_file(weight)))["name"] for weight in (REGULAR, BOLD)]
    for number in (1, 4, 6):
        assert len({name.getDebugName(number) for name in names}) == 2
    assert [name.getDebugName(6) for name in names] == ["NotoSans-Regular", "NotoSans-Bold"]


def test_bold_is_heavier_than_regular() -> None:
    """The instances are cut at their own weight and are no longer variable."""
    made = [TTFont(io.BytesIO(font_file(weight))) for weight in (REGULAR, BOLD)]
    assert [font["OS/2"].usWeightClass for font in made] == [400, 700]
    assert ["fvar" in font for font in made] == [False, False]
    assert made[0]["hmtx"]["m"][0] < made[1]["hmtx"]["m"][0]


def test_a_damaged_cache_is_made_again(cold: Path) -> None:
    """A font that was cut short or altered on disk is never printed with."""
    whole = font_file(REGULAR)
    (kept,) = cold.iterdir()
    content = kept.read_bytes()
    for damaged in (content[:-1], content[:5000] + b"?" + content[5001:], b""):
        kept.write_bytes(damaged)
        font_file.cache_clear()
        assert whole == font_file(REGULAR)
        assert content == kept.read_bytes()


def test_a_relative_cache_folder_is_ignored(monkeypatch: pytest.MonkeyPatch) -> None:
    """XDG base directories must be absolute; a relative one is ignored (XDG base directory specification)."""
    monkeypatch.setenv("XDG_CACHE_HOME", "here")
    folder = fonts._cache_folder()
    assert folder is None or folder.is_absolute()


def test_samples_lack_no_character() -> None:
    """The font prints the documents of these tests."""
    assert tuple(map(missing_characters, (PATIENT, STAFF, LARGE))) == ((), (), ())


def test_signs_of_the_review_text_are_in_no_font() -> None:
    """A value that held one would be refused, so a cell, a break or a box is never taken for words."""
    held = replace(PATIENT, title=words(CELL + BREAK + EMPTY + TICKED))
    assert tuple((sign, "") for sign in (CELL, BREAK, EMPTY, TICKED)) == missing_characters(held)


@pytest.mark.parametrize("character", ["😀", "ا", "好", "\u25a1", "\ue000", "\U00010780"])
def test_a_character_without_a_glyph_is_named_with_its_field(character: str) -> None:
    """Each pair of character and field is named once, in reading order."""
    lost = words(f"a{character}b{character}", path="patient.family_name")
    held = replace(PATIENT, sections=(Section("C1", lost, (Paragraph(lost),)),))
    assert ((character, "patient.family_name"),) == missing_characters(held)


def test_every_printed_text_is_looked_at() -> None:
    """Titles, furniture, marks, the page line, alternative texts and all parts of blocks are printed text."""
    lost, one = (Span("好", path="x"),), words("x")
    furniture = PATIENT.furniture
    blocks = (
        Choice(lost, (one,)),
        Choice(one, (one, lost)),
        Danger(lost, ()),
        Danger(one, (Paragraph(lost),)),
        Signature(one, one, one, labels=(one, lost)),
        Figure("jaw", {}, lost, (one,)),
        Figure("jaw", {}, one, (one, lost)),
        Image(b"", "好", 10),
    )
    held = [replace(PATIENT, sections=(Section("C1", (), (block,)),)) for block in blocks]
    held += [replace(PATIENT, furniture=replace(furniture, **{name: lost})) for name in ("clinic", "contact")]
    held += [replace(PATIENT, furniture=replace(furniture, **{name: (lost,)})) for name in ("person", "foot")]
    held += [replace(PATIENT, furniture=replace(furniture, marks=(Mark("draft", "好"),)))]
    held += [replace(PATIENT, furniture=replace(furniture, page="好 {page}"))]
    held += [replace(PATIENT, furniture=replace(furniture, logo=Image(b"", "好", 10)))]
    assert ["好"] * len(held) == [character for one in held for character, _ in missing_characters(one)]
