"""
A PNG file > its rows as PDF takes them: still filtered and packed, colors and transparency apart.

Apart from `picture_file`: PNG's filters work byte by byte on each sample alone, and PDF undoes them, so that the colors
of a picture and its transparency can be parted without undoing them here. Only pictures with a palette that is
see-through and interlaced ones are unfiltered.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from typing import NamedTuple

SIGNATURE = b"\x89PNG\r\n\x1a\n"

_LARGEST = 25_000_000
"""Pixels: more than a whole page at 400 dots an inch, and what a few kilobytes could blow up to without a limit."""

_SAMPLES = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
"""Samples of a pixel by color type: gray, red-green-blue, place in the palette, and the first two with alpha."""

_DEPTHS = {0: (1, 2, 4, 8, 16), 2: (8, 16), 3: (1, 2, 4, 8), 4: (8, 16), 6: (8, 16)}

_PASSES = ((0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2))
"""Of interlaced pictures: first column, first row, step across, step down."""


class UnusablePicture(ValueError):
    """A picture that cannot be printed: it is no PNG or JPEG, is cut off, or is of a sort PDF/A does not know."""


class Raster(NamedTuple):
    """The rows of a picture, each after the number of its filter."""

    width: int
    height: int
    depth: int
    """Bits of a sample."""
    samples: int
    rows: bytes
    palette: bytes = b""
    key: tuple[int, ...] = ()
    """Samples of the one color one sees through."""
    alpha: Raster | None = None

    @property
    def step(self) -> int:
        """Bytes of a row without the number of its filter."""
        return (self.width * self.samples * self.depth + 7) // 8

    def split(self) -> Iterator[tuple[int, bytes]]:
        """Give the filter and the bytes of each row."""
        whole = self.step + 1
        for start in range(0, whole * self.height, whole):
            yield self.rows[start], self.rows[start + 1 : start + whole]


def read_png(content: bytes) -> Raster:
    """Read a PNG file. Errors: UnusablePicture."""
    chunks = dict[bytes, bytes]()
    for kind, body in _chunks(content):
        chunks[kind] = chunks.get(kind, b"") + body if kind == b"IDAT" else body
    if len(chunks.get(b"IHDR", b"")) != 13 or b"IDAT" not in chunks or b"IEND" not in chunks:
        raise UnusablePicture
    width, height, depth, kind, packing, filtering, interlaced = struct.unpack(">IIBBBBB", chunks[b"IHDR"])
    if (
        depth not in _DEPTHS.get(kind, ())
        or packing
        or filtering
        or interlaced > 1
        or not 0 < width * height <= _LARGEST
    ):
        raise UnusablePicture
    palette = chunks.get(b"PLTE", b"")[: 3 << depth] if kind == 3 else b""
    if kind == 3 and (not palette or len(palette) % 3):
        raise UnusablePicture
    raster = Raster(width, height, depth, _SAMPLES[kind], b"", palette)
    raster = _woven(raster, chunks[b"IDAT"]) if interlaced else raster._replace(rows=_unpacked(chunks[b"IDAT"], raster))
    if kind >= 4:
        return _parted(raster)
    return _seen_through(raster, chunks[b"tRNS"]) if b"tRNS" in chunks else raster


def _chunks(content: bytes) -> Iterator[tuple[bytes, bytes]]:
    at = len(SIGNATURE)
    while at + 12 <= len(content):
        length = int.from_bytes(content[at : at + 4], "big")
        kind, body, check = content[at + 4 : at + 8], content[at + 8 : at + 8 + length], content[at + 8 + length :][:4]
        if len(check) < 4 or zlib.crc32(kind + body) != int.from_bytes(check, "big"):
            raise UnusablePicture
        yield kind, body
        if kind == b"IEND":
            return
        at += 12 + length


def _unpacked(packed: bytes, *rasters: Raster) -> bytes:
    """Decompress rows, no more than the rasters have."""
    size = sum((raster.step + 1) * raster.height for raster in rasters)
    unpacking = zlib.decompressobj()
    try:
        rows = unpacking.decompress(packed, size)
    except zlib.error as error:
        raise UnusablePicture from error
    if len(rows) != size:
        raise UnusablePicture
    start = 0
    for raster in rasters:
        end = start + (raster.step + 1) * raster.height
        if raster.width and max(rows[start : end : raster.step + 1]) > 4:
            raise UnusablePicture
        start = end
    return rows


def _parted(raster: Raster) -> Raster:
    """Part colors and transparency, both still filtered."""
    size = raster.depth // 8
    pixel, colors = raster.samples * size, (raster.samples - 1) * size
    seen, through = bytearray(), bytearray()
    for filter_number, row in raster.split():
        color, alpha = bytearray(raster.width * colors), bytearray(raster.width * size)
        for place in range(colors):
            color[place::colors] = row[place::pixel]
        for place in range(size):
            alpha[place::size] = row[colors + place :: pixel]
        seen += bytes([filter_number]) + color
        through += bytes([filter_number]) + alpha
    mask = Raster(raster.width, raster.height, raster.depth, 1, bytes(through))
    return raster._replace(samples=raster.samples - 1, rows=bytes(seen), alpha=mask)


def _seen_through(raster: Raster, transparency: bytes) -> Raster:
    """Add what the chunk tRNS says: one color, or how dense each color of the palette is."""
    if not raster.palette:
        if len(transparency) != 2 * raster.samples:
            raise UnusablePicture
        return raster._replace(key=struct.unpack(f">{raster.samples}H", transparency))
    if min(transparency, default=255) == 255:
        return raster
    dense = transparency[:256].ljust(256, b"\xff")
    rows = (_spread(row, raster.depth)[: raster.width].translate(dense) for row in _unfiltered(raster))
    return raster._replace(alpha=Raster(raster.width, raster.height, 8, 1, b"".join(b"\0" + row for row in rows)))


def _spread(row: bytes, depth: int) -> bytes:
    """Give each sample of less than a byte its own."""
    if depth == 8:
        return row
    top = (1 << depth) - 1
    return bytes([byte >> shift & top for byte in row for shift in range(8 - depth, -1, -depth)])


def _unfiltered(raster: Raster) -> Iterator[bytes]:
    """Undo the filters, row by row."""
    reach = max(raster.samples * raster.depth // 8, 1)
    above = bytes(raster.step)
    for filter_number, row in raster.split():
        if filter_number:
            row = _undone(filter_number, bytearray(row), above, reach)
        above = row
        yield row


def _undone(filter_number: int, row: bytearray, above: bytes, reach: int) -> bytes:
    """Add to each byte what its filter foretold: left, above, their mean, or the nearest of left, above and corner."""
    for place, byte in enumerate(row):
        left, corner = (row[place - reach], above[place - reach]) if place >= reach else (0, 0)
        upper = above[place]
        if filter_number == 4:
            distances = abs(upper - corner), abs(left - corner), abs(left + upper - 2 * corner)
            foretold = (left, upper, corner)[distances.index(min(distances))]
        else:
            foretold = (0, left, upper, (left + upper) // 2)[filter_number]
        row[place] = (byte + foretold) & 255
    return bytes(row)


def _woven(raster: Raster, packed: bytes) -> Raster:
    """Weave the seven passes of an interlaced picture into rows without a filter."""
    parts = []
    for across, down, step, fall in _PASSES:
        size = -(-(raster.width - across) // step), -(-(raster.height - down) // fall)
        parts.append(
            raster._replace(width=size[0], height=size[1]) if min(size) > 0 else raster._replace(width=0, height=0)
        )
    rows, start = _unpacked(packed, *parts), 0
    narrow = raster.depth < 8
    pixel = 1 if narrow else raster.samples * raster.depth // 8
    woven = [bytearray(raster.width * pixel) for _ in range(raster.height)]
    for part, (across, down, step, fall) in zip(parts, _PASSES, strict=True):
        end = start + (part.step + 1) * part.height
        for number, row in enumerate(_unfiltered(part._replace(rows=rows[start:end]))):
            line = _spread(row, raster.depth)[: part.width] if narrow else row
            for place in range(pixel):
                woven[down + number * fall][across * pixel + place :: step * pixel] = line[place::pixel]
        start = end
    if narrow and not raster.palette:  # a sample now has eight bits, and white is 255
        scale = bytes(min(sample * 255 // ((1 << raster.depth) - 1), 255) for sample in range(256))
        woven = [bytearray(row.translate(scale)) for row in woven]
    return raster._replace(depth=max(raster.depth, 8), rows=b"".join(b"\0" + row for row in woven))
