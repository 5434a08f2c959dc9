"""
The bytes of a PDF and its signatures > whether a signature covers the whole file, to the last byte and in one form.

pyHanko asks whether the file was changed; this asks whether a byte could be changed unseen. It is stricter than the
standard: blanks, small hex digits or anything but zeros behind a signature are refused, as we write none.
"""

from __future__ import annotations

import re
from asn1crypto import cms
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature

_HEX = re.compile(rb"<((?:[0-9A-F]{2})*)>")


def covers_to_the_end(content: bytes, signature: EmbeddedPdfSignature) -> bool:
    """Tell whether a signature covers all bytes of a file but its own."""
    ranges = [int(number) for number in signature.byte_range]
    return len(ranges) == 4 and ranges[0] == 0 and ranges[1] < ranges[2] and ranges[2] + ranges[3] == len(content)


def is_canonical(content: bytes, signature: EmbeddedPdfSignature) -> bool:
    """Tell whether the place of a signature holds the signature, zeros behind it and nothing else."""
    start, stop = int(signature.byte_range[1]), int(signature.byte_range[2])
    written = _HEX.fullmatch(content[start:stop])
    if written is None:
        return False
    raw = bytes.fromhex(written.group(1).decode())
    held = cms.ContentInfo.load(raw, strict=False).dump()
    return raw.startswith(held) and not raw[len(held) :].strip(b"\0")
