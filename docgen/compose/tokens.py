"""
Values and placed blocks > private-use characters that ride through the Markdown, and back > spans and blocks.

A value is never markup: what enters the text is one character that no input may contain.
"""

from __future__ import annotations

from dataclasses import field

from docgen.blocks import Block, Figure, Span
from docgen.values import dataclass

FIRST_SPAN, FIRST_BLOCK, LAST = 0xF0000, 0x100000, 0x10FFFD
"""Planes 15 and 16: spans in the one, blocks in the other."""


VOICE_START = "\ue003"
"""Begins the line that names another voice; like all such characters, no input may contain it."""


class Sentence(str):
    """Words that came out of a catalog, tokens in their placeholders; the only text a template may print."""

    __slots__ = ()


class Placed(str):
    """The token of a block that a call placed."""

    __slots__ = ()


@dataclass(frozen=True)
class Slot(Span):
    """Stands for a fact that is known once the document is counted; filled before any renderer sees it."""

    late: str = ""
    """Name of the late value."""
    forms: tuple[str, str] | None = None
    """The sentence around a number, as written for one and for many; None prints the value alone."""
    placeholders: tuple[str, ...] = ()
    """Names under which the sentence takes the number."""


@dataclass(frozen=True)
class Drawn(Span):
    """Stands in a cell for the drawing of its row; prints nothing itself."""

    figure: Figure | None = None


@dataclass
class Tokens:
    """The values and blocks of one document, by the character that stands for each."""

    spans: list[Span] = field(default_factory=list)
    blocks: list[Block] = field(default_factory=list)

    def keep_span(self, span: Span) -> str:
        """Give the character for a span."""
        self.spans.append(span)
        return chr(FIRST_SPAN + len(self.spans) - 1)

    def keep_block(self, block: Block) -> Placed:
        """Give the paragraph that stands for a block."""
        self.blocks.append(block)
        return Placed(f"\n\n{chr(FIRST_BLOCK + len(self.blocks) - 1)}\n\n")

    def span(self, character: str) -> Span | None:
        """Find the span a character stands for."""
        at = ord(character) - FIRST_SPAN
        return self.spans[at] if 0 <= at < len(self.spans) else None

    def block(self, text: str) -> Block | None:
        """Find the block that a text of one character stands for."""
        at = ord(text) - FIRST_BLOCK if len(text) == 1 else -1
        return self.blocks[at] if 0 <= at < len(self.blocks) else None
