"""Numbers, names and strings as PDF writes them; objects packed into streams."""

import re
import zlib
from typing import Any

import pytest

from docgen.render.pdf.file.objects import Objects, name, string
from docgen.render.pdf.numbers import FINE, fine, number
from tests.render.file.making import read


@pytest.mark.parametrize(
    ("value", "written"), [(0, "0"), (-0.001, "0"), (1.0, "1"), (0.126, "0.13"), (-12.5, "-12.5"), (1000, "1000")]
)
def test_a_number_has_no_more_than_two_decimals(value: float, written: str) -> None:
    """Trailing zeros and the sign of nothing are left out."""
    assert written == number(value)


def test_many_numbers_are_written_as_each_alone() -> None:
    """Zeros at the end, whole numbers and the sign of nothing among them."""
    values = (0.0, -0.0, -0.0004, 0.0005, 10.0, -10.0, 100.5, 812.25, 300.125, 41.0996, -7.3, 1000.0)
    assert [number(value, FINE) for value in values] == fine(values)


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("application/json", "/application#2Fjson"),
        ("a b", "/a#20b"),
        ("(x)%", "/#28x#29#25"),
        ("é", "/#C3#A9"),
        ("#", "/#23"),
    ],
)
def test_a_name_codes_what_it_may_not_hold(text: str, written: str) -> None:
    """A bare slash would begin the next name."""
    assert written == name(text)


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("plain", "(plain)"),
        ("a (b) \\", r"(a \(b\) \\)"),
        ("é", "<FEFF00E9>"),
        ("𝄞", "<FEFFD834DD1E>"),
        ("a\nb", "<FEFF0061000A0062>"),
    ],
)
def test_a_string_is_ascii_or_utf_16(text: str, written: str) -> None:
    """Parentheses are marked; a line feed goes as a code."""
    assert written == string(text)


def small(count: int = 3) -> bytes:
    """Write objects and one stream."""
    objects = Objects()
    pages = objects.reserve()
    references = [objects.add(f"({place})".encode()) for place in range(count)]
    held = objects.stream("", b"0 0 10 10 re f " * 50)
    page = objects.add(f"<</Type/Page/Parent {pages}/MediaBox[0 0 99 99]/Resources<<>>/Contents {held}>>".encode())
    objects.fill(pages, f"<</Type/Pages/Count 1/Kids[{page}]>>".encode())
    catalog = objects.add(f"<</Type/Catalog/Pages {pages}/Marks[{' '.join(references)}]>>".encode())
    return objects.written(catalog, objects.add(b"<<>>"))


@pytest.mark.parametrize("count", [3, 255, 256, 257, 900])
def test_every_object_is_found_whatever_their_number(count: int) -> None:
    """One, two and three object streams, and rows where the place in its stream runs over a byte."""
    marks: Any = read(small(count)).root_object["/Marks"]
    assert [str(place) for place in range(count)] == [str(mark.get_object()) for mark in marks]


def test_what_is_no_stream_stands_in_an_object_stream() -> None:
    """No other object is written plainly: that is what keeps the file small."""
    kinds = [re.search(rb"/Type/(\w+)", entries) for entries in re.findall(rb"obj\n<<([^>]*)", small())]
    assert [None, b"ObjStm", b"XRef"] == [kind and kind[1] for kind in kinds]


def test_the_end_of_a_stream_is_no_part_of_it() -> None:
    """The length leaves out the line end before `endstream`, which is a return and a line feed."""
    objects = Objects()
    objects.stream("/Filter/FlateDecode", zlib.compress(b"x") + b"\r", packed=False)
    written = objects.written(objects.add(b"<<>>"), objects.add(b"<<>>"))
    (length,) = map(int, re.findall(rb"/Length (\d+)", written[: written.index(b"stream\n")]))
    start = written.index(b"stream\n") + 7
    assert b"\r\nendstream" == written[start + length : start + length + 11]


def test_an_equal_stream_is_written_once() -> None:
    """The looks of a hundred boxes are two streams."""
    objects = Objects()
    assert objects.stream("/A 1", b"same") == objects.stream("/A 1", b"same")
    assert objects.stream("/A 2", b"same") != objects.stream("/A 1", b"same")


def test_an_object_that_was_promised_must_come() -> None:
    """A reference to nothing would be read as null, silently."""
    objects = Objects()
    objects.reserve()
    with pytest.raises(ValueError, match="object 1 was never filled"):
        objects.written("2 0 R", "3 0 R")
