"""
Objects and streams in the order they are made > the bytes of a PDF 1.7 file, packed into object streams.

Apart from `file`, which knows what the objects mean. Written by hand and not with ReportLab's pdfdoc: importing that
costs 50 ms (with PIL, tempfile, pickle and an expression evaluator), as much as others need for a whole file, and what
it would give, a writer of dictionaries and a cross-reference table, is this module. It knows no object streams either,
which make a file a third smaller, and its streams end in a way that PDF/A forbids.
"""

from __future__ import annotations

import zlib
from functools import lru_cache
from hashlib import sha256
from itertools import accumulate, count, repeat
from struct import Struct

_LEVEL = 3
"""Of zlib: 6 takes twice as long for a tenth less of what is packed anew in each file; fonts are packed once, well."""

_SMALLEST = 80
"""Bytes below which a stream is not compressed: the filter's name outweighs the gain."""

_ONCE = 4096
"""Bytes up to which a stream is packed once for many files: the colors, the looks of fields."""

_PER_OBJECT_STREAM = 400
"""Objects in one stream: a reader that wants one unpacks all; a two-page form has about 200."""

_HEAD = b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n"

_BARE = frozenset(b"!\"$&'*+,-.0123456789:;=?@ABCDEFGHIJKLMNOPQRSTUVWXYZ\\^_`abcdefghijklmnopqrstuvwxyz|~")


def name(text: str) -> str:
    """Write a name object, `/` included; characters a name may not hold become their codes."""
    return "/" + "".join(chr(byte) if byte in _BARE else f"#{byte:02X}" for byte in text.encode())


def string(text: str) -> str:
    """Write a text string: as it is if it is ASCII, else in UTF-16."""
    if text.isascii() and text.isprintable():
        return "(" + text.replace("\\", r"\\").replace("(", r"\(").replace(")", r"\)") + ")"
    return "<" + ("\ufeff" + text).encode("utf-16-be").hex().upper() + ">"


def _packed(content: bytes) -> bytes:
    return _packed_once(content) if len(content) < _ONCE else zlib.compress(content, _LEVEL)


@lru_cache(maxsize=64)
def _packed_once(content: bytes) -> bytes:
    return zlib.compress(content, _LEVEL)


Place = tuple[int, int, int]
"""Where an object stands: 1, byte, 0; or 2, number of its object stream, place in it."""

_FREE: Place = (0, 0, 65535)
"""The first row of a cross-reference table, which stands for no object."""

_ROW = Struct(">BIH")
_UP = b"\2"
"""PNG's filter that tells the difference to the row above."""

_NEXT = _UP + b"\0\0\0\0\0\0\1"


class Objects:
    """The numbered objects of one file; a reference ("12 0 R") is how one object names another."""

    def __init__(self) -> None:
        self._bodies: list[bytes | None] = [None]
        self._streams: set[int] = set()
        self._known: dict[tuple[str, bytes], str] = {}

    def reserve(self) -> str:
        """Give the reference of an object whose content comes later, by `fill`."""
        self._bodies.append(None)
        return f"{len(self._bodies) - 1} 0 R"

    def fill(self, reference: str, raw: bytes) -> None:
        """Give a reserved object its content: anything but a stream."""
        self._bodies[int(reference[:-4])] = raw

    def add(self, raw: bytes) -> str:
        """Add an object, anything but a stream."""
        self._bodies.append(raw)
        return f"{len(self._bodies) - 1} 0 R"

    def stream(self, entries: str, content: bytes, *, packed: bool = True) -> str:
        """
        Add a stream: the entries of its dictionary, without << >>, /Length and /Filter, and its content not compressed.

        An equal stream is added once. `packed=False` writes the content as it is, with any /Filter among the entries.
        """
        known = self._known.get((entries, content))
        if known is not None:
            return known
        body = _packed(content) if packed and len(content) >= _SMALLEST else content
        filtered = "/Filter/FlateDecode" if body is not content else ""
        # The line feed alone before `endstream` would be read as the end of compressed bytes that end in a return.
        raw = b"<<%b/Length %d>>\nstream\n%b\r\nendstream" % ((entries + filtered).encode(), len(body), body)
        reference = self._known[entries, content] = self.add(raw)
        self._streams.add(len(self._bodies) - 1)
        return reference

    def written(self, catalog: str, info: str) -> bytes:
        """Write the file. Errors: ValueError if an object was reserved and not filled."""
        places: dict[int, Place] = {0: _FREE}
        parts, end = [_HEAD], len(_HEAD)
        bodies = [body for body in self._bodies[1:] if body is not None]
        if len(bodies) < len(self._bodies) - 1:
            raise ValueError(f"object {self._bodies.index(None, 1)} was never filled")
        stored = {place: bodies[place - 1] for place in sorted(self._streams)}
        packed = [place for place in range(1, len(self._bodies)) if place not in self._streams]
        for start in range(0, len(packed), _PER_OBJECT_STREAM):
            group = packed[start : start + _PER_OBJECT_STREAM]
            holder = len(self._bodies) + start // _PER_OBJECT_STREAM
            places.update(zip(group, zip(repeat(2), repeat(holder), count()), strict=False))
            stored[holder] = _object_stream(group, [bodies[place - 1] for place in group])
        for place, body in stored.items():
            places[place] = (1, end, 0)
            parts.append(b"%d 0 obj\n%b\nendobj\n" % (place, body))
            end += len(parts[-1])
        last = len(self._bodies) + -(-len(packed) // _PER_OBJECT_STREAM)
        places[last] = (1, end, 0)
        digest = sha256(b"".join(parts)).hexdigest()[:32].upper()
        trailer = f"/Root {catalog}/Info {info}/ID[<{digest}><{digest}>]"
        parts.append(b"%d 0 obj\n%b\nendobj\n" % (last, _cross_references(places, trailer)))
        parts.append(b"startxref\n%d\n%%%%EOF\n" % end)
        return b"".join(parts)


def _object_stream(group: list[int], bodies: list[bytes]) -> bytes:
    """Pack the objects of some numbers into one."""
    starts = accumulate([len(body) + 1 for body in bodies], initial=0)
    head = (" ".join([f"{place} {start}" for place, start in zip(group, starts, strict=False)]) + "\n").encode()
    packed = zlib.compress(head + b"\n".join(bodies), _LEVEL)
    entries = b"<</Type/ObjStm/N %d/First %d/Filter/FlateDecode/Length %d>>" % (len(group), len(head), len(packed))
    return b"%b\nstream\n%b\r\nendstream" % (entries, packed)


def _cross_references(places: dict[int, Place], trailer: str) -> bytes:
    """Write the cross-reference stream: for each object where it stands, as the difference to the row above."""
    size = len(places)
    rows = [_NEXT] * size
    alone = [place for place, (kind, _, second) in places.items() if kind != 2 or not second & 255]
    for place in {*alone, *[place + 1 for place in alone if place + 1 < size]}:  # others follow in an object stream
        new, old = _ROW.pack(*places[place]), _ROW.pack(*places[place - 1]) if place else bytes(_ROW.size)
        rows[place] = _UP + bytes([(a - b) & 255 for a, b in zip(new, old, strict=True)])
    packed = zlib.compress(b"".join(rows), _LEVEL)
    entries = f"<</Type/XRef/Size {size}/W[1 4 2]{trailer}/Filter/FlateDecode/DecodeParms<</Predictor 12/Columns 7>>"
    return b"%b/Length %d>>\nstream\n%b\r\nendstream" % (entries.encode(), len(packed), packed)
