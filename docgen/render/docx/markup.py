"""
Text and lengths > the XML of a Word file, and the namespaces it is written in.

Written as text, because building a tree to print it takes ten times as long as printing.
"""

from __future__ import annotations

import re

HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
W = "http://schemas.openxmlformats.org/wordprocessingml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006"
RELATIONS = f"{OFFICE}/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
DRAWING = "http://schemas.openxmlformats.org/drawingml/2006"

ROOT = (
    f'xmlns:w="{W}" xmlns:r="{RELATIONS}" xmlns:mc="http://schemas.openxmlformats.org/markup-compatibility/2006"'
    ' xmlns:w14="http://schemas.microsoft.com/office/word/2010/wordml" mc:Ignorable="w14"'
)
"""Names and their meaning, for the parts that hold text; w14 (boxes to tick) may be passed over by an old program."""

_SPECIAL = re.compile('[&<>"\0-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]')
_WRITTEN = {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;"}


def escaped(text: str) -> str:
    """Write a text for XML, as content or between double quotes; what XML cannot hold prints nothing anyway."""
    if _SPECIAL.search(text) is None:
        return text
    return _SPECIAL.sub(lambda found: _WRITTEN.get(found[0], ""), text)


def twips(mm: float) -> int:
    """Millimeters > twentieths of a point."""
    return round(mm * 1440 / 25.4)


def twentieths(points: float) -> int:
    """Points > twentieths of a point."""
    return round(points * 20)


def emu(mm: float) -> int:
    """Millimeters > the unit of drawings."""
    return round(mm * 36000)


def style_id(name: str) -> str:
    """Give the ID of a style; that of "List Bullet" is ListBullet."""
    return name.replace(" ", "")
