"""
A PDF > its fields for signatures, in the order of the form.

Apart from `sign`, so that who only asks where one may sign sees nothing of keys.
"""

from __future__ import annotations

import io
from dataclasses import dataclass

from pyhanko.pdf_utils.misc import PdfError
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.fields import enumerate_sig_fields

ARCHIVE_FIELD = "ArchiveTS"
"""Begins the names of fields our renderer prepares for time stamps of an archive; nobody's signature."""


@dataclass(frozen=True)
class SignatureField:
    """A place to sign."""

    name: str
    tooltip: str
    box: tuple[float, float, float, float]
    """Left, bottom, right, top on its page, in points."""
    is_signed: bool

    @property
    def width(self) -> float:
        """Width in points."""
        return self.box[2] - self.box[0]

    @property
    def height(self) -> float:
        """Height in points."""
        return self.box[3] - self.box[1]


def signature_fields(content: bytes) -> tuple[SignatureField, ...]:
    """
    List the fields for signatures of persons, in the order of the form; the first one is the operator's in our notes.

    A file that is no PDF has none.
    """
    try:
        reader = PdfFileReader(io.BytesIO(content))
        found = list(enumerate_sig_fields(reader))
    except (PdfError, ValueError):
        return ()
    fields = []
    for name, value, reference in found:
        if not name.startswith(ARCHIVE_FIELD):
            field = reference.get_object()
            left, bottom, right, top = (float(edge) for edge in field.get("/Rect", (0, 0, 0, 0)))
            box = (left, bottom, right, top)
            fields.append(SignatureField(name, str(field.get("/TU", "")), box, value is not None))
    return tuple(fields)
