"""
Blocks > pieces: headings beside or above their text, sections, and what stays on a page with what follows.

Each sort of block is set in a module of its own; here is their order and the space between them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from docgen import blocks as model
from docgen.blocks import Block
from docgen.render.columns import wide
from docgen.render.pdf.boxes import set_caution, set_danger
from docgen.render.pdf.drawings import from_edge_figure, set_figure, set_image
from docgen.render.pdf.forms import set_choice, set_writing
from docgen.render.pdf.framed import set_framed
from docgen.render.pdf.halves import height_of_texts, set_both
from docgen.render.pdf.languages import pair_of, set_pair
from docgen.render.pdf.lists import set_items, set_pairs
from docgen.render.pdf.pieces import Bond, Piece, head, height_of, hold
from docgen.render.pdf.setting import Place, Setting, Text, own_language
from docgen.render.pdf.sheet import Node, Sheet
from docgen.render.pdf.signatures import set_signature
from docgen.render.pdf.strokes import filled
from docgen.render.pdf.tables import holds_risks, set_table
from docgen.render.pdf.urgency import set_urgency
from docgen.render.style import Role
from docgen.render.words import halves, in_a_line, introduces

LONGEST_SIDE_HEADING = 10
"""Lines of a heading beside its text; a longer one stands above it."""

MAIN = (17 / 12, 22 / 18)
"""Size and line of the heading above drawn risks, against other headings (page design, section 2)."""

LOOSE = 0.35
"""Share of the space above a section that may be given up to save a page (page design, section 3: 12 to 7)."""


class Flow:
    """Sets the blocks of a document, or of a frame, one after the other."""

    def __init__(self, setting: Setting, place: Place) -> None:
        self.setting, self.place = setting, place
        self.pieces: list[Piece] = []
        self._begins = False
        self._section: list[Piece] = []
        self._hanging = 0.0
        self._beside: Text | None = None
        self._wider = 0.0
        """How much further in the next block begins, since the heading beside it is wider than its column."""
        self._heads: list[tuple[int, int]] = []
        """Of each heading of the section, the place of its first piece and of the first piece below it."""

    def set(self, blocks: Iterable[Block], node: Node) -> None:
        """Set blocks that belong to one node."""
        place = Place(self.place.x, self.place.width, node, self.place.inside)
        known = [*blocks]
        beside = False
        for number, block in enumerate(known):
            if beside:
                beside = False
                continue
            following = known[number + 1] if number + 1 < len(known) else None
            if isinstance(block, model.PageBreak):
                self.close()
                self._begins = not self.place.inside
            elif isinstance(block, model.Heading):
                main = any(isinstance(part, model.Table) and holds_risks(part) for part in known)
                self._heading(block, following, place, main)
            else:
                if self.from_edge(block):
                    self._make_room()
                if isinstance(block, model.Signature) and self.pieces:
                    self.pieces[-1].bond = max(self.pieces[-1].bond, Bond.SOFT)
                beside = isinstance(block, model.Figure) and isinstance(following, model.Figure)
                pieces = self._block(block, self._narrowed(place), following)
                if isinstance(block, model.Writing) and isinstance(following, model.Table) and following.boxes:
                    pieces[-1].below = self.setting.space("item")
                if pieces and isinstance(block, model.Table | model.Figure) and isinstance(following, model.Note):
                    pieces[-1].bond = max(pieces[-1].bond, Bond.KEPT)
                self._add(pieces, waits(block, following))

    def _narrowed(self, place: Place) -> Place:
        """Give a column without what the heading beside it takes of it, once."""
        wider, self._wider = self._wider, 0.0
        return replace(place, x=place.x + wider, width=place.width - wider) if wider else place

    def close(self) -> None:
        """End a section: leave room for the heading beside it; a heading stays with two lines of its own text."""
        self._make_room()
        line = self.setting.role("body").line
        ends = [*(start for start, _ in self._heads[1:]), len(self.pieces)]
        for (_, place), end in zip(self._heads, ends, strict=False):
            text = 0.0
            for piece in self.pieces[place : end - 1]:
                text += piece.height
                if text >= 2 * line - 0.5:
                    break
                piece.bond = max(piece.bond, Bond.HEADED)
        self._heads = []

    def _make_room(self) -> None:
        missing = self._hanging - height_of(self._section) if self._section else 0.0
        if missing > 0:
            self._section[-1].below += missing
        self._section, self._hanging = [], 0.0

    def _add(self, pieces: list[Piece], waiting: bool = False) -> None:
        if not pieces:
            return
        if self._begins:
            pieces[0].opens, self._begins = True, False
        if waiting:
            head(pieces)
        self.pieces += pieces
        if self._hanging:
            if self._beside and pieces[0].base:  # heading and first line share a base line
                self._beside.base = pieces[0].base
            self._beside = None
            self._section += pieces

    def from_edge(self, block: Block | None) -> bool:
        """Tell whether a block uses the side column."""
        match block:
            case model.Danger() | model.PageBreak() | model.Together(framed=True) | None:
                return True
            case model.Caution():
                return block.look != "bar"
            case model.Table():
                return wide(block) or any(block.drawings)
            case model.Figure():
                return from_edge_figure(block)
            case model.Heading(level=level):
                return level <= 2
            case _:
                return False

    def _heading(self, heading: model.Heading, following: Block | None, place: Place, main: bool) -> None:
        setting, start = self.setting, len(self.pieces)
        node = place.node.child(setting.heading_kind(heading.level))
        if heading.level > 2 or (heading.level == 2 and place.inside):
            role = setting.role("subheading")
            made = [
                piece
                for text in set_heading(setting, heading, role, node, place.width)
                for piece in text.pieces(place.x)
            ]
            made[0].above, made[-1].below = setting.space("paragraph") + setting.space("item"), setting.space("item")
            self._add(head(made), waiting=True)
        elif heading.level == 1:
            self.close()
            text = setting.text(heading.words, setting.role("title"), node, setting.content - place.x)
            self._add(text.pieces(place.x, above=setting.section_space, below=setting.space("title")), waiting=True)
        else:
            self.close()
            self._section_heading(heading, following, node, main)
        self._heads.append((start, len(self.pieces)))

    def _section_heading(self, heading: model.Heading, following: Block | None, node: Node, main: bool) -> None:
        setting, role = self.setting, self.setting.role("heading")
        main = main and setting.speaks_to_patient
        beside = not (setting.stacked or main or self.from_edge(following))
        if main:
            role = replace(role, size=role.size * MAIN[0], line=role.line * MAIN[1])
        width = setting.beside if beside else setting.content
        if beside and isinstance(following, model.Writing) and not following.lines:  # both have one line
            natural = setting.natural(heading.words, role)
            if setting.beside < natural <= setting.content / 2:
                width = natural + 1
                self._wider = max(width + setting.length("cell_gap") - setting.length("side"), 0.0)
        texts = set_heading(setting, heading, role, node, width)
        if beside and sum(len(text.lines) for text in texts) > LONGEST_SIDE_HEADING:
            beside, texts = False, set_heading(setting, heading, role, node, setting.content)
        above = setting.space("section_staff") if setting.large and not self.pieces else setting.section_space
        rule = Piece(setting.space("rule"), above=above, bond=Bond.HEADED)
        rule.loose = setting.section_space * LOOSE
        title = in_a_line(heading.words)
        rule.paint = partial(_paint_rule, setting, title, texts if beside else [])
        if not beside:
            made = [piece for text in texts for piece in text.pieces(0.0)]
            made[-1].below = setting.space("item")
            self._add([rule, *head(made)])
            return
        rule.reach = rule.height + height_of_texts(texts)
        self._add([rule])
        self._section, self._hanging, self._beside = [], height_of_texts(texts), texts[0]

    def _block(self, block: Block, place: Place, following: Block | None) -> list[Piece]:
        setting = self.setting
        match block:
            case model.Danger():
                return set_danger(setting, place, block, self._inner)
            case model.Caution() if block.look != "bar":
                return set_urgency(setting, place, block)
            case model.Figure():
                return set_figure(setting, place, block, following if isinstance(following, model.Figure) else None)
            case model.Together(framed=True):
                return set_framed(setting, place, block, self._inner)
            case model.Together():
                pair = pair_of(block)
                return set_pair(setting, place, pair) if pair else hold(self._inner(block.blocks, place), setting.room)
            case _:
                return _SETTERS[type(block)](setting, place, block)

    def _inner(self, blocks: Iterable[Block], place: Place) -> list[Piece]:
        flow = Flow(self.setting, place)
        flow.set(blocks, place.node)
        flow.close()
        return flow.pieces


def set_heading(setting: Setting, heading: model.Heading, role: Role, node: Node, width: float) -> list[Text]:
    """Set a heading; the reader's language stands below, not bold."""
    below = replace(role, bold=False) if len(halves(heading.words)) > 1 else role
    return set_both(setting, heading.words, below, node, width, kind="Span", first=role)


def set_paragraph(setting: Setting, place: Place, paragraph: model.Paragraph | model.Note) -> list[Piece]:
    """Set running text, or a remark, which a page does not cut."""
    name = "note" if isinstance(paragraph, model.Note) else paragraph.role
    node = place.node.child("P", lang=own_language(paragraph.words) or "")
    text = setting.text(paragraph.words, setting.role(name), node, place.width)
    pieces = text.pieces(place.x, below=setting.space("paragraph"))
    return hold(pieces, setting.tallest / 2) if name in ("note", "small") else pieces


_SETTERS: dict[type[Block], Callable[[Setting, Place, Any], list[Piece]]] = {
    model.Paragraph: set_paragraph,
    model.Note: set_paragraph,
    model.Items: set_items,
    model.Table: set_table,
    model.Pairs: set_pairs,
    model.Caution: set_caution,
    model.Choice: set_choice,
    model.Writing: set_writing,
    model.Signature: set_signature,
    model.Image: set_image,
}


def waits(block: Block, following: Block | None) -> bool:
    """
    Tell whether a paragraph stays with what follows: it announces it, or a line for the pen follows.

    Small print before what announces something stays with it too: it says how to read it.
    """
    if not isinstance(block, model.Paragraph) or following is None or isinstance(following, model.Heading):
        return False
    if block.role == "small" and isinstance(following, model.Paragraph) and introduces(following):
        return True
    return introduces(block) or isinstance(following, model.Writing)


def _paint_rule(setting: Setting, title: str, beside: Sequence[Text], sheet: Sheet, top: float) -> None:
    """Draw the house rule, deep over the side column, hair over the text; then the heading, if it stands beside."""
    side, text = setting.length("side_rule"), setting.length("side")
    sheet.below(filled(sheet.left(0.0, side), top - 1.5, side, 1.5, setting.color("deep")))
    hair = setting.content - text
    sheet.below(filled(sheet.left(text, hair), top - 0.5, hair, 0.5, setting.color("hair")))
    sheet.bookmark(title, top)
    top -= setting.space("rule")
    for words in beside:
        words.paint(0.0, sheet, top)
        top -= words.height


def sections_of(document: model.Document) -> Iterator[tuple[model.Section, tuple[Block, ...]]]:
    """Give each section with its heading as the first of its blocks."""
    for section in document.sections:
        if section.heading:
            yield section, (model.Heading(2, section.heading), *section.blocks)
        else:
            yield section, section.blocks
