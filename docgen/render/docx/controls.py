"""
What a person fills in > content controls of a Word file: boxes to tick and places for text.

An empty place holds spaces, no words: no word of the file is one the document does not have. For the pen alone
(`forms: print`), the same boxes and lines stand without controls.
"""

from __future__ import annotations

from docgen.blocks import Words, plain
from docgen.render.docx.ledger import Ledger
from docgen.render.docx.markup import escaped
from docgen.render.docx.runs import PLACEHOLDER, run
from docgen.values import dataclass

EMPTY, TICKED = "\u2610", "\u2612"
BOX_FONT = "MS Gothic"
"""What Word itself takes for the boxes of its forms; they are in no text font."""

_PLACE = "\u2002" * 12
"""Wide enough to be seen and hit; Word's own empty fields hold the same spaces."""

_TITLE = 64
"""Characters; Word takes no longer title of a control."""


@dataclass
class Controls:
    """Writes controls, or for the pen what stands in their place."""

    ledger: Ledger
    fill: bool

    def box(self, ticked: bool, title: Words) -> str:
        """Write a box to tick; its title is read out."""
        sign = run(TICKED if ticked else EMPTY, "Box")
        if not self.fill:
            return sign
        kind = (
            f'<w14:checkbox><w14:checked w14:val="{int(ticked)}"/>'
            f'<w14:checkedState w14:val="{ord(TICKED):04X}" w14:font="{BOX_FONT}"/>'
            f'<w14:uncheckedState w14:val="{ord(EMPTY):04X}" w14:font="{BOX_FONT}"/></w14:checkbox>'
        )
        return self._control('<w:rPr><w:rStyle w:val="Box"/></w:rPr>', title, kind, sign)

    def text(self, title: Words, *, lines: bool = False) -> str:
        """Write a place for text; `lines` lets it hold several."""
        if not self.fill:
            return ""
        kind = '<w:showingPlcHdr/><w:text w:multiLine="1"/>' if lines else "<w:showingPlcHdr/><w:text/>"
        return self._control("", title, kind, run(_PLACE, PLACEHOLDER))

    def ink(self, title: Words) -> str:
        """Write a place for a name or for the picture of a signature."""
        if not self.fill:
            return ""
        return self._control("", title, "<w:showingPlcHdr/><w:richText/>", run(_PLACE, PLACEHOLDER))

    def _control(self, look: str, title: Words, kind: str, content: str) -> str:
        called = " ".join(plain(title).split())[:_TITLE].strip()
        alias = f'<w:alias w:val="{escaped(called)}"/>' if called else ""
        return (
            f'<w:sdt><w:sdtPr>{look}{alias}<w:id w:val="{self.ledger.control()}"/>{kind}</w:sdtPr>'
            f"<w:sdtContent>{content}</w:sdtContent></w:sdt>"
        )
