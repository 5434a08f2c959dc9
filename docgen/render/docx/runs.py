"""Words > the runs of a paragraph of a Word file: bold, language, direction, links and new lines."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import field, replace

from docgen.blocks import Mark, Span, Words
from docgen.render.docx.ledger import Ledger, Relations
from docgen.render.docx.markup import escaped
from docgen.render.docx.scripts import first_direction, pieces, runs_from_right
from docgen.render.words import halves, lines_of
from docgen.values import dataclass

TAB = "<w:r><w:tab/></w:r>"
BREAK = "<w:r><w:br/></w:r>"

STRONG, QUIET, PAGE_NUMBER, PLACEHOLDER = "Strong", "Quiet", "PageNumber", "PlaceholderText"
HOURS, BESIDE = "Hours", "BesideHeading"
"""Beside a telephone number, and what stands at the end of a heading's line."""

_DIRECTIONS = {False: "ltr", True: "rtl"}

NO_BREAK = "\u00a0"
SIGN_FONT = "MS Gothic"
"""Has the signs, as it has boxes; they are no text, so that no word of the file is one the document does not have."""

SIGNS = {"tag": ("\u25c6", '<w:bdr w:val="single" w:sz="6" w:space="0" w:color="auto"/>'), "unrecorded": ("\u25c7", "")}
"""By the look of words: the diamond before them, and the frame around both (page design, section 5)."""

_BROKEN = re.compile("[\t\n\r\u2028\u2029]")
MARKS = {False: "\u200e", True: "\u200f"}
"""Marks of direction, without width: LRM, and RLM for what runs to the left."""

_ROOM = {False: ("\u2005", "\u00a0"), True: ("\u2002", "\u2005")}
"""In a state mark, before and after its words: LibreOffice parts a band after a no-break space, and before a space
that ends a line."""

_NUMBER = re.compile(r"\d")

_ADDRESS = re.compile("(?:tel|mailto|https):")
"""What a run may lead to; anything else would be an action."""


def run(text: str, style: str = "", more: str = "") -> str:
    """Write one run in a style of characters; `more` are further properties."""
    if style:
        more = f'<w:rStyle w:val="{style}"/>{more}'
    look = f"<w:rPr>{more}</w:rPr>" if more else ""
    return f'<w:r>{look}<w:t xml:space="preserve">{escaped(text)}</w:t></w:r>'


@dataclass
class Runs:
    """Writes the words of one part of the file."""

    language: str
    from_right: bool
    ledger: Ledger
    relations: Relations = field(default_factory=Relations)

    def words(self, words: Words, style: str = "", from_right: bool | None = None) -> str:
        """
        Write words, in one style of characters or each in its own.

        `from_right` is the direction of the paragraph; None: that of the document.
        """
        right = self.from_right if from_right is None else from_right
        if len(parts := halves(words)) > 1:
            below = [self._half(part, style, right) for part in parts[1:]]
            return BREAK.join([self.words(parts[0], style, right), *below])
        if any(_BROKEN.search(span.text) for span in words):
            return BREAK.join("".join(self._span(span, style, right) for span in line) for line in lines_of(words))
        return "".join([self._span(span, style, right) for span in words if span.text])

    def _half(self, words: Words, style: str, right: bool) -> str:
        """Write words on a line of their own, in the direction of their language."""
        own = runs_from_right(self.own_language(words) or self.language)
        made = self.words(words, style, own)
        return made if own == right else _embedded(run(MARKS[own]) + made + run(MARKS[own]), own)

    def marks(self, found: Iterable[Mark]) -> str:
        """Write state marks, filled or outlined, with room to the frame on both sides."""
        return run("\u2002").join([self._mark(mark) for mark in found])

    def _mark(self, mark: Mark) -> str:
        """Write one mark as one run: between two the band would be parted."""
        style = "MarkFilled" if mark.filled else "MarkOutlined"
        before, after = _ROOM[runs_from_right(mark.language or self.language)]
        text = f"{before}{mark.words}{after}"
        if not mark.language and _NUMBER.search(text) is None:
            return run(text, style)
        right = runs_from_right(mark.language or self.language)
        turned = "<w:rtl/>" if right else ""
        made = run(text, style, turned + self._language(Span("", language=mark.language)))
        return made if right == self.from_right else _embedded(made, right)

    def own_language(self, words: Words) -> str:
        """Find the language of words that are the reader's half of a pair; empty for those of the document."""
        return next((span.language for span in words if span.language and span.language != self.language), "")

    def reversed(self, words: Words) -> bool:
        """Tell whether words stand in a paragraph that runs against the document: all are of such a language."""
        if not any(span.language for span in words):
            return False
        spoken = [span.language for span in words if first_direction(span.text) is not None]
        return bool(spoken) and all(
            language is not None and runs_from_right(language) != self.from_right for language in spoken
        )

    def _span(self, span: Span, style: str, right: bool) -> str:
        style = style or (STRONG if span.bold else "")
        if span.look not in SIGNS:
            return self._plain(span, style, right)
        sign, frame = SIGNS[span.look]
        frame = "" if right else frame  # a frame around words that run to the left is cut at each of them
        look = (f'<w:rStyle w:val="{style}"/>' if style else "") + frame
        text = span.text.replace(" ", NO_BREAK) if frame else span.text
        diamond = f'<w:r><w:rPr>{look}</w:rPr><w:sym w:font="{SIGN_FONT}" w:char="{ord(sign):04X}"/></w:r>'
        return diamond + self._plain(replace(span, text=NO_BREAK + text), style, right, frame)

    def _plain(self, span: Span, style: str, right: bool, frame: str = "") -> str:
        spoken = self._language(span)
        if not right and not spoken and not span.link and span.text.isascii():
            return run(span.text, style)
        inner = _direction(span, right)
        made = "".join(
            run(text, style, frame + ("<w:rtl/>" if turned else "") + spoken)
            for text, turned in pieces(span.text, inner)
        )
        if (
            inner != right
        ):  # a word processor without w:dir would set "400 mg" as "mg 400", and "It hurts." as ".It hurts"
            before, after = (MARKS[inner] * (first_direction(one) is None) for one in (span.text[0], span.text[-1]))
            made = _embedded((run(before) if before else "") + made + (run(after) if after else ""), inner)
        if _ADDRESS.match(span.link):
            number = self.relations.add("hyperlink", span.link, outside=True)
            made = f'<w:hyperlink r:id="{number}">{made}</w:hyperlink>'
        return made

    def _language(self, span: Span) -> str:
        if not span.language or span.language == self.language:
            return ""
        self.ledger.languages[span.language] = None
        tag = escaped(span.language)
        return f'<w:lang w:val="{tag}" w:eastAsia="{tag}" w:bidi="{tag}"/>'


def _direction(span: Span, right: bool) -> bool:
    """Tell whether a span runs from right to left in a line that does, or does not."""
    own = first_direction(span.text)
    if span.isolated:
        return bool(own)
    return runs_from_right(span.language) if span.language and own is not None else right


def _embedded(made: str, right: bool) -> str:
    """Set runs in a direction of their own."""
    return f'<w:dir w:val="{_DIRECTIONS[right]}">{made}</w:dir>'


def page_line(text: str) -> str:
    """Write "page x of y" with fields that Word fills in."""
    fields = {"{page}": "PAGE", "{pages}": "NUMPAGES"}
    return "".join(
        f'<w:fldSimple w:instr=" {fields[part]} ">{run("1", PAGE_NUMBER)}</w:fldSimple>'
        if part in fields
        else run(part, PAGE_NUMBER)
        for part in re.split(r"(\{pages?\})", text)
        if part
    )
