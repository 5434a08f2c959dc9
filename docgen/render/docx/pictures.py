"""Pictures > what shows them in a Word file: the clinic's logo, and figures as drawings, each with its words."""

from __future__ import annotations

from typing import NamedTuple

from docgen.blocks import Document, Figure, Image, Issue, plain
from docgen.render.docx.ledger import Ledger, Relations
from docgen.render.docx.markup import DRAWING, emu, escaped
from docgen.render.picture import ENDING, Picture, picture
from docgen.render.picture_file import is_png, picture_size
from docgen.render.square import MODULES, square_png
from docgen.render.style import Style
from docgen.values import dataclass


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

    def square(self, issue: Issue, down: float, relations: Relations) -> str:
        """
        Write a run that shows the square code of an issued document, with no room of its own in the text.

        It stands at the end edge of the content, `down` mm below the top of its paragraph.
        """
        side = len(issue.square) * MODULES[self.document.layout.large_print] * 25.4 / 72
        found = self._found(square_png(issue.square), "png", side, side, issue.alt, relations)
        edge = "left" if self.document.direction == "rtl" else "right"  # an offset would be mirrored here and there
        return (
            f'<w:r><w:drawing><wp:anchor xmlns:wp="{DRAWING}/wordprocessingDrawing" distT="0" distB="0" distL="0"'
            ' distR="0" simplePos="0" relativeHeight="1" behindDoc="1" locked="0" layoutInCell="1" allowOverlap="1">'
            f'<wp:simplePos x="0" y="0"/><wp:positionH relativeFrom="margin"><wp:align>{edge}</wp:align></wp:positionH>'
            f'<wp:positionV relativeFrom="paragraph"><wp:posOffset>{emu(down)}</wp:posOffset></wp:positionV>'
            f'{found.extent}<wp:effectExtent l="0" t="0" r="0" b="0"/><wp:wrapNone/>{found.picture}'
            "</wp:anchor></w:drawing></w:r>"
        )

    def show(self, content: bytes, ending: str, width: float, height: float, alt: str, relations: Relations) -> str:
        """Write a run that shows a picture in line with the text; lengths in mm."""
        found = self._found(content, ending, width, height, alt, relations)
        return (
            f'<w:r><w:drawing><wp:inline xmlns:wp="{DRAWING}/wordprocessingDrawing" distT="0" distB="0" distL="0"'
            f' distR="0">{found.extent}{found.picture}</wp:inline></w:drawing></w:r>'
        )

    def _found(
        self, content: bytes, ending: str, width: float, height: float, alt: str, relations: Relations
    ) -> _Found:
        """Keep the content of a picture and write what shows it."""
        name, number = self.ledger.keep(content, ending), self.ledger.picture()
        size = f'cx="{emu(width)}" cy="{emu(height)}"'
        told = f'id="{number}" name="Picture {number}" descr="{escaped(alt)}"'
        return _Found(
            f"<wp:extent {size}/>",
            f"<wp:docPr {told}/><wp:cNvGraphicFramePr><a:graphicFrameLocks"
            f' xmlns:a="{DRAWING}/main" noChangeAspect="1"/></wp:cNvGraphicFramePr>'
            f'<a:graphic xmlns:a="{DRAWING}/main"><a:graphicData uri="{DRAWING}/picture">'
            f'<pic:pic xmlns:pic="{DRAWING}/picture"><pic:nvPicPr><pic:cNvPr {told}/><pic:cNvPicPr/></pic:nvPicPr>'
            f'<pic:blipFill><a:blip r:embed="{relations.add("image", name)}"/><a:stretch><a:fillRect/></a:stretch>'
            f'</pic:blipFill><pic:spPr><a:xfrm><a:off x="0" y="0"/><a:ext {size}/></a:xfrm>'
            '<a:prstGeom prst="rect"><a:avLst/></a:prstGeom></pic:spPr></pic:pic></a:graphicData></a:graphic>',
        )


class _Found(NamedTuple):
    """The XML of a picture, without what says where it stands."""

    extent: str
    picture: str
