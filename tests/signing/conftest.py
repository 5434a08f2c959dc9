"""What the tests of signatures share: a note of an example, and the same note signed at every level."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from docgen.blocks import Span
from docgen.render import pdf
from docgen.render.pdf.stamp import render_stamp
from docgen.render.style import read_style
from docgen.shipped import shipped_folder
from docgen.signing import SigningKey, SignWish, open_key, sign_pdf, signature_fields
from tests.render.composed import documents
from tests.signing.pki import AT, PASSWORD, Authority, Held, authority

NAME = "Amos Tindlewick"
REASON = "I performed this operation. I have read this note and corrected it."
STAMP = (NAME, "registration number 000040 (sample)", "20 January 2026, 10:05 (Europe/London, UTC+00:00)", REASON)
SAID = ". ".join(STAMP)


@cache
def made_note(with_archive: bool = True) -> bytes:
    """Print the operative note of an example, with fields to sign."""
    document = next(one for name, one in documents("holloway").items() if "operative-note" in name)
    style = read_style(shipped_folder("templates") / "_house")
    return pdf.render(document, style, archive=("Time stamp of the archive",) if with_archive else ())


@cache
def made_stamp() -> bytes:
    """Set what the surgeon's signature looks like."""
    field = signature_fields(made_note())[0]
    style = read_style(shipped_folder("templates") / "_house")
    return render_stamp([(Span(line),) for line in STAMP], "en", style, field.width, field.height)


def opened(held: Held) -> SigningKey:
    """Write a key to a file and open it."""
    with TemporaryDirectory() as folder:
        return open_key(held.file(Path(folder)), PASSWORD)


def signed_by(held: Held, *, by: Authority | None = None, level: str = "B-B", **changed: object) -> bytes:
    """Sign the note; what is not told is as a clinic would have it."""
    trusted = by or authority()
    with trusted.stamping() as url:
        told = {
            "at": AT,
            "name": NAME,
            "reason": REASON,
            "level": level,
            "stamp": made_stamp(),
            "words": SAID,
            "tsa_url": "" if level == "B-B" else url,
            "trust": trusted.trust(),
        }
        return sign_pdf(made_note(), opened(held), SignWish(**{**told, **changed}))


@cache
def signed_at_level(level: str) -> bytes:
    """Give the note signed by the surgeon of the trusted authority."""
    return signed_by(authority().surgeon, level=level)


@pytest.fixture(scope="session")
def note() -> bytes:
    """Give the note before it is signed."""
    return made_note()


@pytest.fixture(scope="session")
def signed() -> Callable[[str], bytes]:
    """Give the note signed at a level."""
    return signed_at_level
