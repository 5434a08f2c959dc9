"""
The bytes of a PDF > pyHanko's reader of it, which finds an object among many at once.

Apart from `check`, because it mends one thing: pyHanko reads the table of an object stream anew for each object of it,
so that comparing two states of a note took a second.
"""

from __future__ import annotations

import io
from typing import Any

from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.decode_limits import DecodePurpose
from pyhanko.pdf_utils.misc import PdfStrictReadError
from pyhanko.pdf_utils.reader import PdfFileReader

Held = tuple[bytes, list[tuple[int, int]]]
"""What an object stream holds, and its table: number of each object, where it begins."""


class Reader(PdfFileReader):
    """Reads as strictly as pyHanko's, and each table of objects once."""

    def __init__(self, content: bytes) -> None:
        """Begin to read. Errors: PdfError, ValueError."""
        super().__init__(io.BytesIO(content))
        self._held: dict[int, Held] = {}

    def _get_object_from_stream(self, idnum: int, stmnum: int, idx: int) -> Any:
        if stmnum not in self._held:
            self._held[stmnum] = self._read_stream(stmnum)
        content, table = self._held[stmnum]
        if not (0 <= idx < len(table) and table[idx][0] == idnum):
            raise PdfStrictReadError("no such object in the stream")
        stream = io.BytesIO(content)
        stream.seek(table[idx][1])
        found = generic.read_object(stream, generic.Reference(idnum, 0, self))
        if isinstance(found, generic.StreamObject | generic.IndirectObject):
            raise PdfStrictReadError("an object that belongs in no stream")
        return found

    def _read_stream(self, number: int) -> Held:
        stream = generic.Reference(number, 0, self).get_object()
        if not isinstance(stream, generic.StreamObject) or stream["/Type"] != "/ObjStm":
            raise PdfStrictReadError("no stream of objects")
        content, first = stream.read_data(DecodePurpose.OBJECT_STREAM), int(stream["/First"])
        numbers = [int(word) for word in content[:first].split()]
        if len(numbers) != 2 * stream["/N"] or min(numbers, default=0) < 0:
            raise PdfStrictReadError("the table of a stream of objects is damaged")
        return content, [(found, first + start) for found, start in zip(numbers[::2], numbers[1::2], strict=True)]
