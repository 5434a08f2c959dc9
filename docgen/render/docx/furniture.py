"""What stands on every page of a Word file > its heads, feet and paper; and whose document it is, in one line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from docgen.blocks import Document, Words, plain
from docgen.render.columns import person_widths
from docgen.render.docx.ledger import Relations
from docgen.render.docx.markup import twips
from docgen.render.docx.paragraphs import Para, written
from docgen.render.docx.pictures import Pictures
from docgen.render.docx.runs import STRONG, TAB, Runs, page_line
from docgen.render.fonts.characters import width_em
from docgen.render.square import GAP_MM, MODULES
from docgen.render.style import Style
from docgen.render.words import run_on
from docgen.values import dataclass

_POINT = 25.4 / 72

_THIN = '<w:spacing w:line="20" w:lineRule="exact"/>'
"""Of the paragraph that carries the rule above the foot of an issued document, over its whole width, and the square."""

_NO_RULE = '<w:top w:val="nil"/>'
"""Of the lines below it."""

_REGULAR = 0.92
"""How wide Regular is at the least, against the Bold that `width_em` measures: where a line ends is not known."""

_SQUARE_MM = 2.0
"""From the top of that paragraph to the square: beside the capitals of the first line."""


@dataclass
class Furniture:
    """Writes heads and feet of one document."""

    document: Document
    style: Style
    runs: Runs
    pictures: Pictures

    def first_head(self) -> list[Para]:
        """Write the head of the first page: the letterhead."""
        furniture, parts = self.document.furniture, []
        if furniture.logo:
            parts.append(Para("Logo", self.pictures.image(furniture.logo, self.runs.relations)))
        parts.append(self._typed("Clinic", furniture.clinic))
        parts.append(self._typed("header", furniture.contact))
        return parts

    def later_head(self) -> list[Para]:
        """Write the head of the other pages: clinic, title, marks and person."""
        furniture = self.document.furniture
        title = written(self.runs, "header", self.document.title)
        parts = [self._typed("Clinic Again", furniture.clinic), title]
        if furniture.marks and self._fits_beside_title():
            title.tabs = self._end_tab()
            title.content += TAB + self.runs.marks(furniture.marks)
        elif furniture.marks:
            parts.append(Para("Marks", self.runs.marks(furniture.marks)))
        return [*parts, *self.person("Person Again")]

    def _typed(self, style: str, words: Words) -> Para:
        """Write what the clinic typed, on the side where lines of the document begin."""
        return Para(style, self.runs.words(words))

    def _fits_beside_title(self) -> bool:
        """Tell whether the state marks have room at the end of the line of the title."""
        size = self.style.role("tag", self.document.layout).size * _POINT
        found = (f"   {mark.words}" for mark in self.document.furniture.marks)
        return width_em("   ".join((plain(self.document.title), *found))) * size <= self.style.lengths["content"]

    def first_person(self) -> list[Para]:
        """Write whose document it is, below its title: in one line, or if large print leaves it no room, in lines."""
        parts, large = self.document.furniture.person, self.document.layout.large_print
        size = self.style.role("person", self.document.layout).size * _POINT
        wide = width_em("   ".join(map(plain, parts))) * size > self.style.lengths["content"]
        return [written(self.runs, "Value", part) for part in parts] if large and wide else self.person("Person")

    def person(self, name: str) -> list[Para]:
        """Write name, birth date and number in one line between two rules."""
        parts, content = self.document.furniture.person, self.style.lengths["content"]
        if not parts:
            return []
        size = self.style.role("person", self.document.layout).size * _POINT
        widths = person_widths(parts, content, self.style.lengths["side"], size)
        stops = [
            self._end_tab() if place == 2 else f'<w:tab w:val="left" w:pos="{twips(sum(widths[:place]))}"/>'
            for place in range(1, len(parts))
        ]
        said = [self.runs.words(part, "" if place else STRONG) for place, part in enumerate(parts)]
        return [Para(name, TAB.join(said), tabs="".join(stops))]

    def foot(self) -> list[Para]:
        """Write the foot; if the document is issued, its lines leave the room of the square code free."""
        issue = self.document.furniture.issue
        if issue is None:
            return self._foot(self.style.lengths["content"])
        side = len(issue.square) * MODULES[self.document.layout.large_print] * _POINT
        width = self.style.lengths["content"]
        rule = Para("footer", self.pictures.square(issue, _SQUARE_MM, self.runs.relations), place=_THIN)
        lines = self._foot(width - side - GAP_MM)
        for line in lines:
            end = "right" if line.bidi in (None, self.runs.from_right) else "left"
            line.border, line.place = _NO_RULE, f'<w:ind w:{end}="{twips(side + GAP_MM)}"/>'
        return [rule, *lines]

    def _foot(self, content: float) -> list[Para]:
        """Write the lines of the foot; the page stands at the end of the last one, or below it if that is full."""
        found, beside = self._foot_lines(content)
        lines, page = [written(self.runs, "footer", line) for line in found], page_line(self.document.furniture.page)
        if lines and beside:
            lines[-1].tabs = self._end_tab(content)
            lines[-1].content += TAB + page
        else:
            lines.append(Para("Page Line", page))
        return lines

    def _foot_lines(self, content: float) -> tuple[Sequence[Words], bool]:
        """
        Give what the foot says, and whether the page stands at the end of the last line, if it surely fits.

        Lines are run on where one of them, or the page, takes a line more and that saves it: as in the PDF.
        """
        found = self.document.furniture.foot
        apart, beside = self._height(found, content)
        if apart > len(found) > 1 and not any(map(self.runs.reversed, found)):
            together, beside_it = self._height((run_on(found),), content)
            if together < apart:
                return (run_on(found),), beside_it
        return found, beside

    def _height(self, found: Sequence[Words], content: float) -> tuple[int, bool]:
        """Estimate the lines of a foot, that of the page included, and whether the page stands beside the last."""
        furniture, layout = self.document.furniture, self.document.layout
        size, texts = self.style.role("furniture", layout).size, [plain(words) for words in found]
        last = texts[-1] if texts else ""
        wide, narrow = (self._set(last, size * share, content) for share in (1.0, _REGULAR))
        page = width_em(f"{furniture.page} ") * self.style.role("page", layout).size * _POINT
        is_sure = wide[0] == narrow[0] and max(wide[1], narrow[1]) + page <= content
        beside = is_sure and "\n" not in last
        return sum(self._set(text, size, content)[0] for text in texts) + (not beside), beside

    def _set(self, text: str, size: float, content: float) -> tuple[int, float]:
        """Estimate how many lines a paragraph has, and in mm how long its last is; rather too long than too short."""
        count, used = 1, 0.0
        for word in text.split():
            width = width_em(f"{word} ") * size * _POINT
            count, used = (count, used + width) if used + width <= content else (count + 1, width)
        return count, used

    def _end_tab(self, content: float | None = None) -> str:
        return f'<w:tab w:val="right" w:pos="{twips(content or self.style.lengths["content"])}"/>'


def section(document: Document, style: Style, relations: Relations, parts: Mapping[tuple[str, str], str]) -> str:
    """Write the paper and the heads and feet; `parts` are the names of their parts by kind and page."""
    paper = style.paper(document.layout)
    references = "".join(
        f'<w:{kind}Reference w:type="{page}" r:id="{relations.add(kind, name)}"/>'
        for (kind, page), name in parts.items()
    )
    lengths = {
        "top": paper.first,
        "right": paper.margin,
        "bottom": paper.height - paper.body_end,
        "left": paper.margin,
        "header": paper.head,
        "footer": paper.head - 2,
        "gutter": 0,
    }
    margins = "".join(f' w:{edge}="{twips(length)}"' for edge, length in lengths.items())
    return (
        f'<w:sectPr>{references}<w:pgSz w:w="{twips(paper.width)}" w:h="{twips(paper.height)}"/>'
        f"<w:pgMar{margins}/>"
        f"<w:titlePg/>{'<w:bidi/>' if document.direction == 'rtl' else ''}</w:sectPr>"
    )
