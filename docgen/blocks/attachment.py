"""
A file that goes inside a PDF: its bytes and what the PDF says of them.

Apart from the renderers, so that whoever makes such a file need not know how pages are set, and from the other blocks,
because nobody reads it on a page.
"""

from __future__ import annotations

from docgen.values import dataclass

SOURCE, DATA = "Source", "Data"
"""What a file is to the document, in PDF/A-3's words: what it was made of, or the same in a form for programs."""


@dataclass(frozen=True)
class Attachment:
    """One file inside a PDF; no patient's value in its name or description."""

    name: str
    mime: str
    content: bytes
    description: str
    relationship: str = DATA
    """SOURCE or DATA."""
