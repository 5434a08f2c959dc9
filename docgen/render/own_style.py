"""
A clinic's own style file laid over the shipped one, and its colors measured.

Apart from `style`, which reads the one tree that comes of it. A clinic's file holds only what it changes.
"""

from __future__ import annotations

import io
from pathlib import Path

import yaml

LEAST_FOR_TEXT, LEAST_FOR_SHAPES = 4.5, 3.0
"""Contrast against the ground (WCAG 2.2, success criteria 1.4.3 and 1.4.11)."""

WORDS = ("ink", "deep", "quiet", "danger", "line")
"""Colors that words are set in, or that words in the color of paper are set on."""

SHAPES = ("dot",)
"""Colors of shapes that mean something; hair, mark and tint mean nothing alone."""


def compose(path: Path) -> yaml.Node | None:
    """Read a file into nodes that know where they stand. Errors: OSError, UnicodeDecodeError, yaml.YAMLError."""
    stream = io.StringIO(path.read_text("utf-8"))
    stream.name = f"{path.parent.name}/{path.name}"
    return yaml.compose(stream, Loader=yaml.CSafeLoader)


def laid_over(shipped: yaml.Node | None, own: yaml.Node | None) -> yaml.Node | None:
    """Put the names and values of one tree in the place of those of another; a name that is new is kept."""
    if not isinstance(shipped, yaml.MappingNode) or not isinstance(own, yaml.MappingNode):
        return shipped if own is None else own
    given = {str(key.value): value for key, value in shipped.value}
    named = {str(key.value) for key, _ in own.value}
    kept = [(key, value) for key, value in shipped.value if str(key.value) not in named]
    laid = [(key, laid_over(given.get(str(key.value)), value)) for key, value in own.value]
    return yaml.MappingNode(shipped.tag, kept + laid, own.start_mark, own.end_mark)


def contrast(color: str, ground: str) -> float:
    """Measure the contrast of two colors, from 1 to 21 (WCAG 2.2, contrast ratio)."""
    bright, dark = sorted((_luminance(color), _luminance(ground)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def _luminance(color: str) -> float:
    channels = (int(color[at : at + 2], 16) / 255 for at in (1, 3, 5))
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
