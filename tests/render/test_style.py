from pathlib import Path

import pytest

from docgen.blocks import Layout, Span
from docgen.problem import Refused
from docgen.render.fonts import BOLD, FAMILY, REGULAR
from docgen.render.fonts.cut import font_file
from docgen.render.own_style import contrast
from docgen.render.pdf.line.words import prepare
from docgen.render.style import STYLE_FILE, Role, Style, read_style
from docgen.shipped import shipped_folder

SHIPPED = (shipped_folder("templates") / "_house" / STYLE_FILE).read_text("utf-8")


def _faults(folder: Path, content: str) -> list[tuple[str, str, int]]:
    (folder / STYLE_FILE).write_text(content, "utf-8")
    with pytest.raises(Refused) as refused:
        read_style(folder)
    assert refused.value.template_only
    return [(fault.code, fault.path, fault.place.line if fault.place else 0) for fault in refused.value.problems]


@pytest.mark.parametrize(
    ("layout", "expected"),
    [
        (Layout(), Role(12, 18, "#17191C")),
        (Layout(voice="staff"), Role(10.5, 15, "#17191C")),
        (Layout(large_print=True), Role(18, 27, "#17191C")),
        (Layout(large_print=True, voice="staff"), Role(18, 27, "#17191C")),
    ],
)
def test_body_text_has_the_size_of_its_reader(layout: Layout, expected: Role, style: Style) -> None:
    """Patient 12/18, staff 10.5/15, large print 18/27 (page design, section 2)."""
    assert expected == style.role("body", layout)


def test_no_text_is_smaller_than_the_design_allows(style: Style) -> None:
    """Text 9.5 at least, foot and tags 8.5; in large print 16 and 12 (page design, section 8, rule 13)."""
    small = {"furniture", "tag", "page"}
    for voice, floor, floor_of_small in (("patient", 9.5, 8.5), ("staff", 9.5, 8.5), ("large", 16, 12)):
        for name, role in style.voices[voice].items():
            assert role.size >= (floor_of_small if name in small else floor), (voice, name)


def test_a_faulty_style_is_refused_with_every_fault_at_once(tmp_path: Path) -> None:
    """Missing, unknown, doubled and malformed values are named with their line."""
    faulty = (
        SHIPPED.replace('  ink: "#17191C" ', "  ink: black ")
        .replace("  side_rule: 42 ", "  side_ruler: 42 ")
        .replace("  item: 3\n", "  item: 3\n  item: 4\n")
        .replace("title:      {size: 22,", "title:      {size: big,")
        .replace("  Letter: {width: 215.9,", "  Letter: {")
    )
    lines = {line.strip().split(":")[0]: number for number, line in enumerate(faulty.splitlines(), 1)}
    found = _faults(tmp_path, faulty)
    assert {
        ("template-style-value", "colors.ink"),
        ("template-style-missing", "lengths.side_rule"),
        ("template-style-unknown", "lengths.side_ruler"),
        ("template-style-value", "spaces.item"),
        ("template-style-value", "voices.patient.title.size"),
        ("template-style-missing", "papers.Letter.width"),
    } == {(code, path) for code, path, _ in found}
    assert ("template-style-unknown", "lengths.side_ruler", lines["side_ruler"]) in found


@pytest.mark.parametrize("content", ["", "- a\n", "a: [\n", "colors: {}\nvoices: x\n", "\x00"])
def test_what_is_no_style_at_all_is_refused(content: str, tmp_path: Path) -> None:
    """An empty, broken or foreign file gives problems, never another error."""
    assert _faults(tmp_path, content)


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    """A folder without a style names the file."""
    with pytest.raises(Refused) as refused:
        read_style(tmp_path)
    assert [fault.code for fault in refused.value.problems] == ["template-style-unreadable"]


def _own(folder: Path, content: str) -> Path:
    (folder / STYLE_FILE).write_text(content, "utf-8")
    return folder


def test_a_clinic_changes_only_what_it_names(tmp_path: Path, style: Style) -> None:
    """A clinic's file is laid over the shipped one, down to one value of one role."""
    own = _own(tmp_path, 'colors: {deep: "#4A2545"}\nvoices: {staff: {body: {size: 11}}}\npage: {forms: print}\n')
    read = read_style(shipped_folder("templates") / "_house", own)
    assert read.colors == {**style.colors, "deep": "#4A2545"}
    assert read.role("body", Layout(voice="staff")) == Role(11, 15, "#17191C")
    assert read.role("title", Layout()) == Role(22, 27, "#4A2545", True)
    assert (read.forms, read.paper_name, read.spaces) == ("print", "A4", style.spaces)


def test_a_color_that_cannot_be_read_is_refused_at_its_place(tmp_path: Path) -> None:
    """Words under 4.5 to 1, shapes that mean something under 3 to 1 (WCAG 2.2, 1.4.3 and 1.4.11)."""
    own = _own(tmp_path, 'colors:\n  quiet: "#808080"\n  dot: "#A0A0A0"\n  hair: "#EEEEEE"\n')
    with pytest.raises(Refused) as refused:
        read_style(shipped_folder("templates") / "_house", own)
    assert [("template-style-contrast", "colors.quiet", 2), ("template-style-contrast", "colors.dot", 3)] == [
        (fault.code, fault.path, fault.place.line if fault.place else 0) for fault in refused.value.problems
    ]


@pytest.mark.parametrize(
    ("color", "ground", "expected"),
    [
        ("#FFFFFF", "#000000", 21.0),
        ("#777777", "#FFFFFF", 4.48),
        ("#767676", "#FFFFFF", 4.54),
        ("#FFFFFF", "#FFFFFF", 1),
    ],
)
def test_contrast_is_that_of_the_guideline(color: str, ground: str, expected: float) -> None:
    """The known pair on both sides of 4.5 (WCAG 2.2, definition of contrast ratio)."""
    assert pytest.approx(expected, abs=0.01) == contrast(color, ground)


def test_a_clinics_own_font_is_asked_first(tmp_path: Path) -> None:
    """A font beside the style file prints what it has; the house family and the scripts print the rest."""
    files = {"regular": font_file("Noto Sans Hebrew", REGULAR), "bold": font_file("Noto Sans Hebrew", BOLD)}
    for name, content in files.items():
        (tmp_path / f"{name}.ttf").write_bytes(content)
    own = _own(tmp_path, "fonts: {regular: regular.ttf, bold: bold.ttf}\n")
    read = read_style(shipped_folder("templates") / "_house", own)
    role = read.role("body", Layout())
    line = prepare((Span("A - z"),), role, language="en", rtl=False).lines(500)[0]
    assert role.family.startswith("own ")
    assert read.font_name == "Noto Sans Hebrew"
    families = {atom.text: atom.face.family for chunk in line.chunks for atom in chunk.atoms}
    assert (FAMILY, role.family, FAMILY) == (families["A"], families["-"], families["z"])


@pytest.mark.parametrize(("content", "words"), [(None, "no such file"), (b"OTTO", "no TrueType font")])
def test_a_font_that_cannot_be_used_is_refused(content: bytes | None, words: str, tmp_path: Path) -> None:
    """A missing file and one that is no font are named with their line."""
    if content is not None:
        (tmp_path / "a.ttf").write_bytes(content)
    own = _own(tmp_path, "fonts: {regular: a.ttf, bold: a.ttf}\n")
    with pytest.raises(Refused) as refused:
        read_style(shipped_folder("templates") / "_house", own)
    (fault,) = refused.value.problems
    assert ("template-style-font", "fonts") == (fault.code, fault.path)
    assert words in fault.what.in_words(str)
