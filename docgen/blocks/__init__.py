"""The document model: what compose makes and renderers print. Frozen, plain, and blind to everything clinical."""

from docgen.blocks.attachment import DATA, SOURCE, Attachment
from docgen.blocks.block import (
    Block,
    Caution,
    Choice,
    Danger,
    Figure,
    Heading,
    Image,
    Items,
    Note,
    PageBreak,
    Pairs,
    Paragraph,
    Signature,
    Table,
    Together,
    Writing,
)
from docgen.blocks.document import Document, Layout, Origin, Section
from docgen.blocks.furniture import MARK_CODES, Furniture, Issue, Mark, printed_number
from docgen.blocks.words import BELOW, Span, Words, plain

__all__ = [
    "BELOW",
    "DATA",
    "MARK_CODES",
    "SOURCE",
    "Attachment",
    "Block",
    "Caution",
    "Choice",
    "Danger",
    "Document",
    "Figure",
    "Furniture",
    "Heading",
    "Image",
    "Issue",
    "Items",
    "Layout",
    "Mark",
    "Note",
    "Origin",
    "PageBreak",
    "Pairs",
    "Paragraph",
    "Section",
    "Signature",
    "Span",
    "Table",
    "Together",
    "Words",
    "Writing",
    "plain",
    "printed_number",
]
