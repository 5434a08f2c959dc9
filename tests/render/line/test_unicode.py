"""Levels, order and breaks against Unicode's own files (Debian package unicode-data, version 15.0), whole."""

from __future__ import annotations

import os
import random
import unicodedata
from collections.abc import Iterator
from itertools import accumulate
from pathlib import Path

import pytest
from icu4py.breakers import LineBreaker

from docgen.render.pdf.line.chunks import _NEEDS_CARE
from docgen.render.pdf.line.unicode import _levels_told, breaks, clusters, levels, sentences, visual_runs
from tests.seeded import seeded

UNICODE = Path("/usr/share/unicode")

NEWER_RULES = {
    *(2265, 2267, 2313, 2315, 2421, 2423, 2425, 2427, 2429, 2431, 7680),
    *(2873, 2875, 7477, *range(7576, 7582), *range(7583, 7588)),
    *(4770, 4772, 4818, 4820, 7514, 7515, 7519, 7520),
}
"""Lines of LineBreakTest 15.0 whose rules have changed since; ICU 78 holds Unicode 17's.

A hyphen at the start of a word or between Hebrew letters, a digit after a comma or full stop, quotation marks."""


def lines_of(name: str) -> Iterator[tuple[int, str]]:
    """Read a file of tests: number and content of its lines, without comments."""
    path = UNICODE / name
    if not path.is_file():
        if os.environ.get("CI") == "true":
            pytest.fail(f"{path} is not there, and CI skips nothing")
        pytest.skip(f"needs {path} (Debian package unicode-data)")
    for number, line in enumerate(path.read_text("utf-8").splitlines(), 1):
        content = line.partition("#")[0].strip()
        if content:
            yield number, content


def characters(listed: str) -> str:
    """Read code points in hexadecimal."""
    return "".join(chr(int(point, 16)) for point in listed.split())


def order(text: str, found: tuple[int, ...], base: int, shown: list[bool]) -> list[int]:
    """Give positions from left to right, without those that rule X9 removes."""
    runs = visual_runs(text, found, 0, len(text), base)
    ordered = (at for start, stop, level in runs for at in (range(start, stop)[:: -1 if level % 2 else 1]))
    return [at for at in ordered if shown[at]]


def test_every_case_of_bidi_character_test_has_its_order() -> None:
    """UAX #9 on real characters: 91,707 cases, none wrong (BidiCharacterTest.txt)."""
    cases, wrong = 0, []
    for number, line in lines_of("BidiCharacterTest.txt"):
        points, _, base, expected_levels, expected_order = line.split(";")
        text = characters(points)
        shown = [level != "x" for level in expected_levels.split()]
        cases += 1
        if [int(at) for at in expected_order.split()] != order(text, levels(text, int(base)), int(base), shown):
            wrong.append(number)

    assert (91707, []) == (cases, wrong)


_OF_CLASS = {
    "L": "a",
    "R": "\u05d0",
    "EN": "0",
    "ES": "+",
    "ET": "#",
    "AN": "\u0660",
    "CS": ",",
    "B": "\u2029",
    "S": "\t",
    "WS": " ",
    "ON": "!",
    "LRE": "\u202a",
    "LRO": "\u202d",
    "AL": "\u0627",
    "RLE": "\u202b",
    "RLO": "\u202e",
    "PDF": "\u202c",
    "NSM": "\u0300",
    "BN": "\u00ad",
    "LRI": "\u2066",
    "RLI": "\u2067",
    "FSI": "\u2068",
    "PDI": "\u2069",
}
"""One character of each bidi class."""


def test_classes_stand_for_themselves() -> None:
    """Each character used below has the class it stands for (unicodedata)."""
    assert {name: unicodedata.bidirectional(c) for name, c in _OF_CLASS.items()} == {name: name for name in _OF_CLASS}


def test_every_case_of_bidi_test_has_its_order() -> None:
    """UAX #9 on classes: every case of BidiTest.txt that has a direction (bits 2 and 4), none wrong."""
    cases, wrong, shown, expected = 0, [], list[bool](), list[int]()
    for number, line in lines_of("BidiTest.txt"):
        if line.startswith("@"):
            name, _, listed = line.partition(":")
            if name == "@Levels":
                shown = [level != "x" for level in listed.split()]
            else:
                expected = [int(at) for at in listed.split()]
            continue
        classes, bits = line.split(";")
        text = "".join(_OF_CLASS[name] for name in classes.split())
        for bit, base in ((2, 0), (4, 1)):
            if int(bits, 16) & bit:
                cases += 1
                if expected != order(text, levels.__wrapped__(text, base), base, shown):
                    wrong.append(number)

    assert (513494, []) == (cases, wrong)


def test_every_case_of_line_break_test_breaks_or_follows_newer_rules() -> None:
    """UAX #14: of 7,654 cases only the 33 fail whose rules have changed since version 15 (LineBreakTest.txt)."""
    cases, wrong = 0, set()
    for number, line in lines_of("auxiliary/LineBreakTest.txt"):
        marks = line.split()
        text = "".join(chr(int(mark, 16)) for mark in marks[1::2])
        expected = [at for at, mark in enumerate(marks[0::2]) if mark == "÷" and at]
        cases += 1
        if expected != list(breaks(text, "en")):
            wrong.add(number)

    assert (7654, NEWER_RULES) == (cases, wrong)


@pytest.mark.parametrize(
    ("text", "language", "expected"),
    [
        ("on 12/03/2025 at", "en", ["on ", "12/03/2025 ", "at"]),
        ("« avec espaces »", "fr", ["« avec ", "espaces »"]),
        ("他说“好”。再来", "zh", ["他", "说", "“好”。", "再", "来"]),
        ("to -5 mmHg", "en", ["to ", "-5 ", "mmHg"]),
        ("10\u00a0mg now", "en", ["10\u00a0mg ", "now"]),
        ("a 😀 b", "en", ["a ", "😀 ", "b"]),
        ("2\u2060–\u20603 days", "en", ["2\u2060–\u20603 ", "days"]),
    ],
)
def test_our_own_texts_break_where_a_reader_expects(text: str, language: str, expected: list[str]) -> None:
    """Dates, quotation marks, signs, units and characters above U+FFFF keep their parts together."""
    ends = breaks(text, language)
    assert expected == [text[start:stop] for start, stop in zip((0, *ends), ends, strict=False)]


def test_an_isolate_keeps_its_order_over_a_line_end() -> None:
    """A telephone number in Arabic text reads from left to right although the paragraph does not."""
    text = "هاتف \u20680100 555 0142\u2069 الآن"
    found = levels(text, 1)
    assert {2} == {found[at] for at, c in enumerate(text) if c in "01542"}


def test_text_of_one_direction_has_no_levels() -> None:
    """Latin text is not sent to the bidi library; empty text is nothing."""
    assert ((0, 0, 0), (), ()) == (levels("abc", 0), levels("", 1), levels("", 0))


def test_a_reader_sees_one_character_in_a_cluster() -> None:
    """Cuts inside an overlong word never part a letter from its marks (UAX #29)."""
    assert (2, 4, 5) == clusters("e\u0301\u0915\u093ex", "hi")


def _words_and_numbers(draw: random.Random) -> Iterator[str]:
    """Make texts of words, numbers and signs, most of which are cut without asking ICU."""
    letters, signs = "abzAZابتهويء", ".,:/-"
    for _ in range(20_000):
        words = []
        for _ in range(draw.randint(1, 5)):
            pools = (letters, "0123456789", "0123456789" + signs, letters[:5], letters[5:] + "012 .,")
            words.append(
                "".join(draw.choices(draw.choice(pools), k=draw.randint(1, 6))) + draw.choice(("", "", ".", ","))
            )
        yield " ".join(words)


def test_words_and_numbers_break_where_icu_breaks_them() -> None:
    """The short way through texts without hyphens, brackets and quotation marks gives the same offsets."""
    for text in _words_and_numbers(seeded(17)):
        for language in ("en", "ar", "zh"):
            assert tuple(accumulate(map(len, LineBreaker(text, language)))) == breaks.__wrapped__(text, language), text


def test_what_stands_around_does_not_change_the_levels() -> None:
    """Letters of one direction before and after what runs otherwise have their level, and it has its own."""
    draw = seeded(23)
    inside = "12٣ab ابה.,:%-+()[]«»؟\u064b\u2068\u2069\u202b\u202c"
    for _ in range(20_000):
        middle = "".join(draw.choices(inside, k=draw.randint(1, 12)))
        text = f"{draw.choice(('ا ب', 'ا (ب', 'שָׁ.', ''))} {middle} {draw.choice(('ب ا.', 'ב) ا', '؟', ''))}"
        assert _levels_told(text, 1) == levels.__wrapped__(text, 1), ascii(text)


def test_sentences_break_alone_as_they_break_together() -> None:
    """Before every letter and digit that text of the short way may hold, and with all sorts of signs around."""
    letters = [c for c in map(chr, range(0x3000)) if c.isalnum() and not _NEEDS_CARE.search(c)]
    draw = seeded(5)
    signs = [
        "Wort",
        "in",
        "3,5",
        "12",
        "-",
        "(",
        ")",
        "“",
        "”",
        "«",
        "»",
        "!",
        "%",
        "/",
        "—",
        "$",
        "e.g.",
        "\u00a0",
        "'",
    ]
    texts = [f"Not yet. {c}x. {c}. 1{c}" for c in letters]
    texts += [
        " ".join(draw.choices(signs, k=4)) + ". " + "".join(draw.choices([*signs, ". "], k=12)) for _ in range(3000)
    ]

    cut = {text: parts for text in texts if len(parts := sentences(text)) > 1}
    assert len(letters) + 400 < len(cut)
    assert {} == {
        text: parts
        for text, parts in cut.items()
        if breaks(text, "de")
        != tuple(len("".join(parts[:n])) + end for n, part in enumerate(parts) for end in breaks(part, "de"))
    }
