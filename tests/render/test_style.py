from pathlib import Path

import pytest

from docgen.blocks import Layout
from docgen.problem import Refused
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
