"""The pinned fonts: whole, static, and honest about what they cannot print."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
import uharfbuzz as hb

from docgen.blocks import Choice, Danger, Figure, Image, Mark, Paragraph, Section, Signature, Span
from docgen.cache import cache_folder
from docgen.render.fonts import BOLD, FAMILY, REGULAR, missing_characters, width_em
from docgen.render.fonts.choice import family_of
from docgen.render.fonts.cut import UnusableFont, advances_of, characters_of, font_file
from docgen.render.fonts.sources import FAMILIES
from docgen.render.fonts.whole import damaged_in_cache, unusable_families
from docgen.render.text import BREAK, CELL, EMPTY, TICKED
from tests.render.samples import LARGE, PATIENT, STAFF, words

KEPT = (font_file, characters_of, advances_of)


@pytest.fixture
def cold(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[Path]:
    """Give an empty cache and forget what the process knows."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    for kept in KEPT:
        kept.cache_clear()
    yield tmp_path / "docgen" / "fonts"
    for kept in KEPT:
        kept.cache_clear()


@pytest.mark.parametrize("family", FAMILIES)
def test_the_weights_are_static_and_bold_is_heavier(family: str) -> None:
    """Both weights of every family are cut at their own weight, without hints, and still shape text."""
    faces = [hb.Face(font_file(family, weight)) for weight in (REGULAR, BOLD)]
    tables = [set(face.table_tags) for face in faces]
    assert [False, False] == [bool(found & {"fvar", "gvar", "fpgm", "prep"}) for found in tables]
    assert [True, True] == [found >= {"glyf", "GPOS", "cmap"} for found in tables]
    weights = [int.from_bytes(face.reference_table("OS/2").data[4:6], "big") for face in faces]
    assert [REGULAR, BOLD] == weights


@pytest.mark.parametrize(
    ("text", "family"),
    [
        ("aÉąạѢΩ0.,–“€µ", "Noto Sans"),
        ("اپ،؟", "Noto Sans Arabic"),
        ("אבּ", "Noto Sans Hebrew"),
        ("अक्।", "Noto Sans Devanagari"),
        ("আ", "Noto Sans Bengali"),
        ("ਅ", "Noto Sans Gurmukhi"),
        ("அ", "Noto Sans Tamil"),
        ("中，。", "Noto Sans SC"),
    ],
)
def test_each_script_has_its_family(text: str, family: str) -> None:
    """Latin, Greek, Cyrillic, Vietnamese and all digits come from the house family, other scripts from their own."""
    assert {family} == {family_of(character) for character in text}


def test_a_font_that_is_not_the_pinned_one_is_refused(cold: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A package that changed under its version is named; nothing is printed with it."""
    monkeypatch.setitem(FAMILIES, FAMILY, replace(FAMILIES[FAMILY], sha256="0" * 64))
    with pytest.raises(UnusableFont, match="manimgx_fonts"):
        font_file(FAMILY, REGULAR)


def test_a_package_that_is_not_installed_prints_nothing(cold: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the extra, its characters are missing ones, each named before anything is printed."""
    monkeypatch.setitem(FAMILIES, "Noto Sans SC", replace(FAMILIES["Noto Sans SC"], package="not_installed_here"))
    assert frozenset() == characters_of("Noto Sans SC")
    with pytest.raises(UnusableFont, match="not_installed_here"):
        font_file("Noto Sans SC", REGULAR)


def test_a_damaged_cache_is_made_again(cold: Path) -> None:
    """A font that was cut short or altered on disk is never printed with."""
    whole = font_file(FAMILY, REGULAR)
    (kept,) = cold.iterdir()
    content = kept.read_bytes()
    for damaged in (content[:-1], content[:5000] + b"?" + content[5001:], b""):
        kept.write_bytes(damaged)
        font_file.cache_clear()
        assert whole == font_file(FAMILY, REGULAR)
        assert content == kept.read_bytes()


def test_a_cache_that_cannot_be_written_changes_no_byte(cold: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the cache is no folder the font is cut in memory."""
    whole = font_file(FAMILY, REGULAR)
    (cold.parent.parent / "file").write_text("")
    monkeypatch.setenv("XDG_CACHE_HOME", str(cold.parent.parent / "file"))
    font_file.cache_clear()
    assert whole == font_file(FAMILY, REGULAR)


def test_a_relative_cache_folder_is_ignored(monkeypatch: pytest.MonkeyPatch) -> None:
    """XDG base directories must be absolute; a relative one is ignored (XDG base directory specification)."""
    monkeypatch.setenv("XDG_CACHE_HOME", "here")
    folder = cache_folder("fonts")
    assert folder is None or folder.is_absolute()


def test_width_is_that_of_the_bold_font() -> None:
    """A width is the sum of the advances HarfBuzz reads; format characters have none."""
    font = hb.Font(hb.Face(font_file(FAMILY, BOLD)))
    expected = sum(font.get_glyph_h_advance(font.get_nominal_glyph(ord(c))) for c in "Dose 12") / 1000
    assert pytest.approx(expected) == width_em("Dose\u2068 12\u2069")
    assert width_em("ألم") > 0.5


def test_samples_lack_no_character() -> None:
    """The font prints the documents of these tests."""
    assert tuple(map(missing_characters, (PATIENT, STAFF, LARGE))) == ((), (), ())


def test_signs_of_the_review_text_are_in_no_font() -> None:
    """A value that held one would be refused, so a cell, a break or a box is never taken for words."""
    held = replace(PATIENT, title=words(CELL + BREAK + EMPTY + TICKED))
    assert tuple((sign, "") for sign in (CELL, BREAK, EMPTY, TICKED)) == missing_characters(held)


@pytest.mark.parametrize("character", ["😀", "Ⴀ", "\u25a1", "\ue000", "\U00010980"])
def test_a_character_without_a_glyph_is_named_with_its_field(character: str) -> None:
    """Each pair of character and field is named once, in reading order."""
    lost = words(f"a{character}b{character}", path="patient.family_name")
    held = replace(PATIENT, sections=(Section("C1", lost, (Paragraph(lost),)),))
    assert ((character, "patient.family_name"),) == missing_characters(held)


def test_every_printed_text_is_looked_at() -> None:
    """Titles, furniture, marks, the page line, alternative texts and all parts of blocks are printed text."""
    lost, one = (Span("Ⴀ", path="x"),), words("x")
    furniture = PATIENT.furniture
    blocks = (
        Choice(lost, (one,)),
        Choice(one, (one, lost)),
        Danger(lost, ()),
        Danger(one, (Paragraph(lost),)),
        Signature(one, one, one, labels=(one, lost)),
        Figure("jaw", {}, lost, (one,)),
        Figure("jaw", {}, one, (one, lost)),
        Image(b"", "Ⴀ", 10),
    )
    held = [replace(PATIENT, sections=(Section("C1", (), (block,)),)) for block in blocks]
    held += [replace(PATIENT, furniture=replace(furniture, **{name: lost})) for name in ("clinic", "contact")]
    held += [replace(PATIENT, furniture=replace(furniture, **{name: (lost,)})) for name in ("person", "foot")]
    held += [replace(PATIENT, furniture=replace(furniture, marks=(Mark("draft", "Ⴀ"),)))]
    held += [replace(PATIENT, furniture=replace(furniture, page="Ⴀ {page}"))]
    held += [replace(PATIENT, furniture=replace(furniture, logo=Image(b"", "Ⴀ", 10)))]
    assert ["Ⴀ"] * len(held) == [character for one in held for character, _ in missing_characters(one)]


def test_whole_fonts_are_silent_and_others_are_named(cold: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The doctor finds a font that is missing or another one, and a damaged file of the cache; Chinese is an extra."""
    assert list(unusable_families()) == list(damaged_in_cache()) == []
    font_file(FAMILY, REGULAR)
    (kept,) = cold.iterdir()
    assert list(damaged_in_cache()) == []
    kept.write_bytes(kept.read_bytes()[:-1])
    (cold / "a-400.ttf").mkdir()
    monkeypatch.setitem(FAMILIES, FAMILY, replace(FAMILIES[FAMILY], sha256="0" * 64))
    for name in ("Noto Sans SC", "Noto Sans Tamil"):
        monkeypatch.setitem(FAMILIES, name, replace(FAMILIES[name], package="not_installed_here"))

    assert sorted(damaged_in_cache()) == sorted([cold / "a-400.ttf", kept])
    assert dict(unusable_families()) == {FAMILY: "manimgx_fonts", "Noto Sans Tamil": "not_installed_here"}
