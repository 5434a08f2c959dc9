"""The fonts of a file: subsets under codes of their own, with the width and the text of every code."""

from __future__ import annotations

import re
import zlib
from dataclasses import dataclass, field

import pytest
import uharfbuzz as hb

from docgen.blocks import Span
from docgen.render.pdf.glyphs import FontsOfFile, UsedFont
from docgen.render.pdf.line.face import face_of
from docgen.render.pdf.line.words import prepare
from docgen.render.style import Role

ROLE = Role(10, 15, "#17191C")

LINES = {
    "en": "An office note: 2.5 mg/kg, “difficult” — Æther.",
    "vi": "Vết thương lành trong hai tuần.",
    "ar": "سيتم خلع ضرس العقل (Orla) في 12 مارس، لا ألم.",
    "he": "השן נעקרה ב-12 במרץ (Orla).",
    "hi": "कृपया दर्द होने पर 0100 पर फ़ोन करें। क्षण",
    "bn": "অস্ত্রোপচারের পর কোনো ব্যথা হলে ফোন করুন।",
    "ta": "வலி இருந்தால் தொடர்பு கொள்ளவும்.",
    "zh": "您将在局部麻醉下拔除智齿。",
}


@dataclass
class Kept:
    """What a file would keep: raw objects and the content of streams, in order."""

    objects: list[bytes] = field(default_factory=list)
    streams: dict[str, bytes] = field(default_factory=dict)

    def add(self, raw: bytes) -> str:
        """Keep an object."""
        self.objects.append(raw)
        return f"{len(self.objects)} 0 R"

    def stream(self, entries: str, content: bytes, *, packed: bool = True) -> str:
        """Keep a stream as a reader has it; `packed` asks the file to compress it."""
        reference = self.add(entries.encode())
        self.streams[reference] = zlib.decompress(content) if "FlateDecode" in entries else content
        return reference


def written(language: str, *others: str) -> tuple[Kept, FontsOfFile]:
    """Paint a line of a language, after those of others, and write its fonts."""
    kept, fonts = Kept(), FontsOfFile()
    for name in (*others, language):
        line = prepare((Span(LINES[name]),), ROLE, language=name, rtl=name in ("ar", "he")).lines(1000)[0]
        line.paint(0, 0, fonts)
    fonts.write(kept)
    return kept, fonts


def used_of(fonts: FontsOfFile) -> list[UsedFont]:
    """Give the fonts that were used."""
    return [used for used in fonts._used.values() if used.glyphs]


def texts_of(content: bytes) -> dict[int, str]:
    """Read a character map."""
    pairs = re.findall(rb"<([0-9A-F]{4})> <((?:[0-9A-F]{4})+)>\n", content.partition(b"endcodespacerange")[2])
    return {int(code, 16): bytes.fromhex(text.decode()).decode("utf-16-be") for code, text in pairs}


def maps(kept: Kept) -> list[dict[int, str]]:
    """Read all character maps of a file."""
    return [texts_of(content) for content in kept.streams.values() if b"beginbfchar" in content]


@pytest.mark.parametrize("language", LINES)
def test_every_code_has_a_text_and_no_code_is_the_missing_glyph(language: str) -> None:
    """Each code of each font is in its character map; none leads to glyph 0, the box."""
    kept, fonts = written(language)
    for used, texts in zip(used_of(fonts), maps(kept), strict=True):
        assert set(used.uses()) == set(texts)
        assert 0 not in {glyph for glyph, _ in used.uses().values()}
        assert all(texts.values())
        assert not set("".join(texts.values())) & set("\0\ufeff\ufffe")


@pytest.mark.parametrize("language", LINES)
def test_every_code_leads_to_its_glyph_in_the_embedded_font(language: str) -> None:
    """Through CIDToGIDMap the subset has the outline box and advance of the whole font."""
    kept, fonts = written(language)
    contents = list(kept.streams.values())
    for number, used in enumerate(used_of(fonts)):
        program, places, _ = contents[3 * number : 3 * number + 3]
        font = hb.Font(hb.Face(program))
        for code, (glyph, _) in used.uses().items():
            own = int.from_bytes(places[2 * code : 2 * code + 2], "big")
            assert own
            assert used.face.font.get_glyph_extents(glyph) == font.get_glyph_extents(own)
            assert used.face.glyph_advance(glyph) == font.get_glyph_h_advance(own)


@pytest.mark.parametrize("language", LINES)
def test_widths_are_those_of_the_font_program(language: str) -> None:
    """PDF/A 6.2.11.5: /W says what hmtx says, whatever kerning moved."""
    kept, fonts = written(language)
    listed = [raw for raw in kept.objects if b"/CIDFontType2" in raw]
    for used, raw in zip(used_of(fonts), listed, strict=True):
        widths: dict[int, int] = {}
        for first, row in re.findall(r"(\d+)\[([\d ]+)\]", raw.decode().partition("/W[")[2]):
            widths |= {int(first) + at: int(width) for at, width in enumerate(row.split())}
        expected = {
            code: round(used.face.glyph_advance(glyph) * 1000 / used.face.upem)
            for code, (glyph, _) in used.uses().items()
        }
        assert expected == widths


def test_a_font_is_cut_to_the_tables_a_pdf_reads() -> None:
    """No layout, names or hints travel with a file."""
    kept, _ = written("hi")
    programs = [content for content in kept.streams.values() if content[:4] == b"\0\1\0\0"]
    assert programs
    for program in programs:
        assert set(hb.Face(program).table_tags) <= {"glyf", "head", "hhea", "hmtx", "loca", "maxp"}


@pytest.mark.parametrize("language", LINES)
def test_other_files_of_the_process_change_no_byte(language: str) -> None:
    """Codes and subsets depend on what this file uses, in its order."""
    first, _ = written(language)
    for other in LINES:
        written(other, language)
    again, _ = written(language)
    assert (first.objects, first.streams) == (again.objects, again.streams)


def test_subsets_of_other_glyphs_have_other_names() -> None:
    """PDF 32000-1, 9.6.4: the tag tells subsets of one font apart; equal subsets share it."""
    names = []
    for text in ("abc", "abd", "abc"):
        kept, fonts = Kept(), FontsOfFile()
        prepare((Span(text),), ROLE, language="en", rtl=False).lines(100)[0].paint(0, 0, fonts)
        fonts.write(kept)
        names += re.findall(rb"/FontName/([A-Z]{6})\+NotoSans-Regular", b"".join(kept.objects))
    assert names[0] == names[2] != names[1]
    assert 3 == len(names)


def test_a_face_that_wrote_nothing_is_not_embedded() -> None:
    """A font asked for but not used would be an empty one."""
    kept, fonts = Kept(), FontsOfFile()
    fonts.use(face_of("Noto Sans", 400))
    fonts.write(kept)
    assert ({}, []) == (dict(fonts.resources()), kept.objects)


def test_the_character_map_has_white_space_between_its_words() -> None:
    """A compact one is malformed for a strict reader; a block holds a hundred codes at most."""
    kept, fonts = Kept(), FontsOfFile()
    text = "".join(map(chr, range(0x100, 0x180)))
    prepare((Span(text),), ROLE, language="en", rtl=False).lines(5000)[0].paint(0, 0, fonts)
    fonts.write(kept)
    (content,) = [content for content in kept.streams.values() if b"beginbfchar" in content]
    assert [100, 28] == [int(count) for count in re.findall(rb"\n(\d+) beginbfchar\n", content)]
    assert b"><" not in content
