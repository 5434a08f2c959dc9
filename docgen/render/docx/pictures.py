"""Pictures > what shows them in a Word file: the clinic's logo, and figures as drawings, each with its words."""

from __future__ import annotations

from dataclasses import dataclass

from docgen.blocks import Document, Figure, Image, plain
from docgen.render.docx.ledger import Ledger, Relations
from docgen.render.docx.markup import DRAWING, emu, escaped
from docgen.render.picture import ENDING, Picture, picture
from docgen.render.picture_file import is_png, picture_size
from docgen.render.style import Style


@dataclass
class Pictures:
    """Puts pictures into one file."""

    document: Document
    style: Style
    ledger: Ledger

    def image(self, image: Image, relations: Relations) -> str:
        """
        Write a run that shows a picture, as wide as asked for.

        Errors: UnusablePicture, if the content is no picture.
        """
        wide, high = picture_size(image.content)
        ending = "png" if is_png(image.content) else "jpeg"
        return self.show(image.content, ending, image.width_mm, image.width_mm * high / wide, image.alt, relations)

    def drawn(self, figure: Figure, width: float) -> Picture | None:
        """Draw a figure into a width in mm; None: its words are printed instead."""
        document, large = self.document, self.document.layout.large_print
        right, colors = document.direction == "rtl", self.style.colors
        return picture(figure, language=document.language, rtl=right, large=large, width_mm=width, colors=colors)

    def drawing(self, figure: Figure, made: Picture, relations: Relations) -> str:
        """Write a run that shows a drawing; what it says is its alternative text."""
        return self.show(made.content, ENDING, made.width, made.height, plain(figure.alt), relations)

    def show(self, content: bytes, ending: str, width: float, height: float, alt: str, relations: Relations) -> str:
        """Write a run that shows a picture in line with the text; lengths in mm."""
        name, number = self.ledger.keep(content, ending), self.ledger.picture()
        size = f'cx="{emu(width)}" cy="{emu(height)}"'
        told = f'id="{number}" name="Picture {number}" descr="{escaped(alt)}"'
        return (
            f'<w:r><w:drawing><wp:inline xmlns:wp="{DRAWING}/wordprocessingDrawing" distT="0" distB="0" distL="0"'
            f' distR="0"><wp:extent {size}/><wp:docPr {told}/><wp:cNvGraphicFramePr><a:graphicFrameLocks'
            f' xmlns:a="{DRAWING}/main" noChangeAspect="1"/></wp:cNvGraphicFramePr>'
            f'<a:graphic xmlns:a="{DRAWING}/main"><a:graphicData uri="{DRAWING}/picture">'
            f'<pic:pic xmlns:pic="{DRAWING}/picture"><pic:nvPicPr><pic:cNvPr {told}/><pic:cNvPicPr/></pic:nvPicPr>'
            f'<pic:blipFill><a:blip r:embed="{relations.add("image", name)}"/><a:stretch><a:fillRect/></a:stretch>'
            f'</pic:blipFill><pic:spPr><a:xfrm><a:off x="0" y="0"/><a:ext {size}/></a:xfrm>'
            '<a:prstGeom prst="rect"><a:avLst/></a:prstGeom></pic:spPr></pic:pic></a:graphicData></a:graphic>'
            "</wp:inline></w:drawing></w:r>"
        )
