"""PNG files of every sort come out of the PDF pixel by pixel; what is no picture is refused with nothing written."""

from __future__ import annotations

import itertools
import struct
import zlib
from typing import Any

import pytest

from docgen.render.picture_file import picture_size
from docgen.render.png import SIGNATURE, UnusablePicture
from tests.render.file.making import faults, new_file, read, write

Rows = list[list[int]]
"""Samples, row by row."""

SORTS = [(0, 1), (0, 2), (0, 4), (0, 8), (0, 16), (2, 8), (2, 16), (3, 2), (3, 8), (4, 8), (4, 16), (6, 8), (6, 16)]
"""Color type and depth."""

SAMPLES = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
PALETTE = bytes(itertools.chain.from_iterable((16 * n, 255 - 16 * n, 7 * n) for n in range(4)))
PASSES = ((0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2))


def _paeth(left: int, upper: int, corner: int) -> int:
    """Predict a byte from those around it (PNG specification, 9.4)."""
    near = left + upper - corner
    return min((left, upper, corner), key=lambda value: abs(near - value))


def samples(kind: int, depth: int, width: int = 13, height: int = 11) -> Rows:
    """Make a picture without a pattern that a wrong filter would leave alone."""
    top = 4 if kind == 3 else 1 << depth
    count = SAMPLES[kind]
    return [
        [(x * x * 37 + y * 101 + x * y * 59) % 65521 * 31 % top for x in range(width * count)] for y in range(height)
    ]


def packed(row: list[int], depth: int) -> bytes:
    """Pack samples into bytes."""
    bits = "".join(f"{sample:0{depth}b}" for sample in row)
    bits += "0" * (-len(bits) % 8)
    return bytes(int(bits[place : place + 8], 2) for place in range(0, len(bits), 8))


def filtered(rows: list[bytes], reach: int, first: int) -> bytes:
    """Filter each row in another way, as the PNG specification defines them."""
    out, above = b"", bytes(len(rows[0]))
    for number, row in enumerate(rows, first):
        made = bytearray([number % 5])
        for place, byte in enumerate(row):
            left, corner = (row[place - reach], above[place - reach]) if place >= reach else (0, 0)
            upper = above[place]
            made.append((byte - (0, left, upper, (left + upper) // 2, _paeth(left, upper, corner))[number % 5]) & 255)
        out, above = out + bytes(made), row
    return out


def chunk(kind: bytes, body: bytes) -> bytes:
    """Write a chunk."""
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def png(rows: Rows, kind: int, depth: int, *, interlaced: bool = False, transparent: bytes = b"") -> bytes:
    """Write a PNG file."""
    count = SAMPLES[kind]
    width, height, reach = len(rows[0]) // count, len(rows), max(count * depth // 8, 1)
    content = b""
    for across, down, step, fall in PASSES if interlaced else ((0, 0, 1, 1),):
        picked = [
            [row[x * count + place] for x in range(across, width, step) for place in range(count)]
            for row in rows[down::fall]
        ]
        if picked and picked[0]:
            content += filtered([packed(row, depth) for row in picked], reach, down)
    head = struct.pack(">IIBBBBB", width, height, depth, kind, 0, 0, int(interlaced))
    parts = chunk(b"IHDR", head) + (chunk(b"PLTE", PALETTE) if kind == 3 else b"")
    parts += chunk(b"tRNS", transparent) if transparent else b""
    half = zlib.compress(content)
    return SIGNATURE + parts + chunk(b"IDAT", half[:20]) + chunk(b"IDAT", half[20:]) + chunk(b"IEND", b"")


def printed(content: bytes) -> tuple[Any, bytes]:
    """Print a picture in a file that keeps both standards; give its image object and the file."""
    file, page = new_file()
    write(page, file.root.child("H1"), "Title")
    figure = file.root.child("Figure", alt="Logo", bbox=(50, 50, 100, 100))
    page.image(figure, content, 50, 50, 50, 50)
    page.image(figure, content, 50, 50, 50, 50)
    made = file.content()
    resources: Any = read(made).pages[0]["/Resources"]
    assert ["/I1"] == list(resources["/XObject"])
    return resources["/XObject"]["/I1"], made


def pixels(image: Any) -> Rows:
    """Take the samples out of an image object."""
    parameters = image["/DecodeParms"]
    width, depth = image["/Width"], image["/BitsPerComponent"]
    count = parameters["/Colors"]
    assert (width, depth) == (parameters["/Columns"], parameters["/BitsPerComponent"])
    # undone here, as pypdf counts the bytes of a row as if each sample had eight bits
    raw, whole = zlib.decompress(image._data), (width * count * depth + 7) // 8
    rows, above = [], bytes(whole)
    for start in range(0, len(raw), whole + 1):
        above = unfiltered(raw[start], raw[start + 1 : start + 1 + whole], above, max(count * depth // 8, 1))
        bits = "".join(f"{byte:08b}" for byte in above)
        rows.append([int(bits[place : place + depth], 2) for place in range(0, width * count * depth, depth)])
    return rows


def unfiltered(number: int, row: bytes, above: bytes, reach: int) -> bytes:
    """Undo a filter."""
    made: list[int] = []
    for place, byte in enumerate(row):
        left, corner = (made[place - reach], above[place - reach]) if place >= reach else (0, 0)
        upper = above[place]
        made.append((byte + (0, left, upper, (left + upper) // 2, _paeth(left, upper, corner))[number]) & 255)
    return bytes(made)


@pytest.mark.parametrize("interlaced", [False, True])
@pytest.mark.parametrize(("kind", "depth"), SORTS)
def test_every_sort_of_png_keeps_its_pixels(kind: int, depth: int, interlaced: bool) -> None:
    """All color types and depths, with every filter, in one pass and in seven."""
    rows = samples(kind, depth)
    content = png(rows, kind, depth, interlaced=interlaced)
    image, made = printed(content)
    count = SAMPLES[kind]
    colors = count - 1 if kind >= 4 else count
    if interlaced and depth < 8 and kind == 0:  # written with eight bits a sample
        rows = [[sample * 255 // ((1 << depth) - 1) for sample in row] for row in rows]
    assert [[s for place, s in enumerate(row) if place % count < colors] for row in rows] == pixels(image)
    if kind >= 4:
        assert [row[colors::count] for row in rows] == pixels(image["/SMask"])
        shown: Any = read(made).pages[0]
        assert "/Transparency" == shown["/Group"]["/S"]
    assert (13, 11) == picture_size(content)
    assert [] == faults(made)


def test_a_palette_may_be_seen_through() -> None:
    """How dense each color is becomes a mask; colors without a word are dense."""
    rows = samples(3, 2)
    image, made = printed(png(rows, 3, 2, transparent=bytes((0, 128))))
    assert [[(0, 128, 255, 255)[sample] for sample in row] for row in rows] == pixels(image["/SMask"])
    assert [] == faults(made)


@pytest.mark.parametrize(("kind", "depth", "key"), [(0, 8, (7,)), (2, 8, (1, 2, 3))])
def test_one_color_may_be_seen_through(kind: int, depth: int, key: tuple[int, ...]) -> None:
    """PDF knows that as a range of colors that are not painted."""
    image, made = printed(png(samples(kind, depth), kind, depth, transparent=struct.pack(f">{len(key)}H", *key)))
    assert [sample for sample in key for _ in range(2)] == list(image["/Mask"])
    assert [] == faults(made)


def jpeg(marker: int = 0xC0, depth: int = 8, count: int = 3, size: tuple[int, int] = (4, 8)) -> bytes:
    """Write the frame of a JPEG file; nothing here looks at its pixels."""
    frame = struct.pack(">BHHB", depth, *size, count) + bytes(3 * count)
    return b"\xff\xd8\xff" + bytes([marker]) + struct.pack(">H", len(frame) + 2) + frame + b"\xff\xda\0\2pixels\xff\xd9"


@pytest.mark.parametrize(("count", "colors"), [(1, "/DeviceGray"), (3, "/DeviceRGB")])
@pytest.mark.parametrize("marker", [0xC0, 0xC1, 0xC2])
def test_a_jpeg_is_kept_byte_for_byte(marker: int, count: int, colors: str) -> None:
    """Baseline, extended and progressive, gray and in color; what stands after its end is left out."""
    content = jpeg(marker, count=count)
    image, made = printed(content + b"\0\0")
    assert ("/DCTDecode", colors, 8, 4) == (image["/Filter"], image["/ColorSpace"], image["/Width"], image["/Height"])
    assert content == image._data
    assert [] == faults(made)


WHOLE = png(samples(2, 8), 2, 8)
UNUSABLE = {
    "nothing": b"",
    "words": b"no picture",
    "another format": b"GIF89a" + bytes(40),
    "a signature alone": SIGNATURE,
    "cut off": WHOLE[:-30],
    "without an end": WHOLE[:-12],
    "a wrong checksum": WHOLE[:60] + bytes([WHOLE[60] ^ 1]) + WHOLE[61:],
    "no rows": SIGNATURE + chunk(b"IHDR", struct.pack(">IIBBBBB", 9, 9, 8, 2, 0, 0, 0)) + chunk(b"IEND", b""),
    "too few rows": WHOLE.replace(
        chunk(b"IHDR", WHOLE[16:29]), chunk(b"IHDR", WHOLE[16:20] + b"\0\0\0\x0c" + WHOLE[24:29])
    ),
    "a sort PNG does not know": SIGNATURE
    + chunk(b"IHDR", struct.pack(">IIBBBBB", 9, 9, 4, 2, 0, 0, 0))
    + chunk(b"IDAT", b"")
    + chunk(b"IEND", b""),
    "more pixels than a page": SIGNATURE
    + chunk(b"IHDR", struct.pack(">IIBBBBB", 10**6, 10**6, 8, 2, 0, 0, 0))
    + chunk(b"IDAT", b"")
    + chunk(b"IEND", b""),
    "a palette without colors": WHOLE.replace(
        chunk(b"IHDR", WHOLE[16:29]), chunk(b"IHDR", WHOLE[16:25] + b"\3" + WHOLE[26:29])
    ),
    "a JPEG cut off": jpeg()[:-2],
    "a JPEG without a frame": b"\xff\xd8\xff\xda\0\2\xff\xd9",
    "a JPEG in printing inks": jpeg(count=4),
    "a JPEG of twelve bits": jpeg(depth=12),
    "a JPEG without loss": jpeg(0xC3),
    "a JPEG of no height": jpeg(size=(0, 8)),
}


@pytest.mark.parametrize("content", UNUSABLE.values(), ids=UNUSABLE.keys())
def test_what_is_no_picture_is_refused_before_anything_is_written(content: bytes) -> None:
    """The page stays as it was."""
    file, page = new_file()
    title = write(page, file.root.child("H1"), "Title")
    with pytest.raises(UnusablePicture):
        page.image(title, content, 50, 50, 50, 50)
    with pytest.raises(UnusablePicture):
        picture_size(content)
    made = file.content()
    shown: Any = read(made).pages[0]
    assert "/XObject" not in shown["/Resources"]
    assert [] == faults(made)
