"""
Marked content page by page > one PDF file that is PDF/UA-1 and PDF/A-3a: `File`, its `Page`s, the `Element`s they fill.

Nothing here knows text, blocks or style: what is painted comes as operators, in points from the lower left corner.
"""

from docgen.render.pdf.file.fields import Choices, drawn_box
from docgen.render.pdf.file.file import File, Fonts, Properties
from docgen.render.pdf.file.page import Page
from docgen.render.pdf.file.tree import Element, Traits

__all__ = [
    "Choices",
    "Element",
    "File",
    "Fonts",
    "Page",
    "Properties",
    "Traits",
    "drawn_box",
]
