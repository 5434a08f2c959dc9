"""
The head of the first page > pieces: whose paper it is, its number if it has one, its title, whose document it is.

Apart from what every page says again, because it is part of the text: read out, and as long as it needs to be.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from docgen.blocks import Words
from docgen.render.pdf.drawings import image_size, paint_image
from docgen.render.pdf.furniture import CLOSE, Tags, beside_tags
from docgen.render.pdf.halves import own_setting
from docgen.render.pdf.person import person_row
from docgen.render.pdf.pieces import Paint, Piece
from docgen.render.pdf.setting import MM, Setting, Stack, Text
from docgen.render.pdf.sheet import Node, Sheet, in_language
from docgen.render.style import Role
from docgen.render.words import halves

NAMES = 0.55
"""Share of the width that clinic and address take; the rest is that of the tags."""

PERSON_PAD = 4.0
"""Points above and below name, birth date and number."""

NEARLY = 0.88
"""How much smaller a title of large print may be, if it then takes one line: its first page holds the danger box."""

LOGO = 18 * MM
"""The highest a logo may stand."""

APART = 6 * MM
"""Least space between the clinic's address and what stands at the end of its line."""

CLEAR = 2.2
"""Points by which address and number stand lower where they stand side by side, so that a tag does not touch them; the
space above the title has room for it."""

BELOW_TAGS = 1.0
"""Points that a tag may reach into a line of small words: above their capitals it is white."""


def opening(setting: Setting, node: Node) -> list[Piece]:
    """Set the head of the first page, the title and whose document it is, as part of the flow: so they may be long."""
    furniture, content = setting.document.furniture, setting.content
    made: list[Piece] = []
    if furniture.logo:
        width, height = image_size(furniture.logo, content / 2, LOGO)
        figure = node.child("Figure", alt=furniture.logo.alt)
        made.append(Piece(height, partial(paint_image, furniture.logo, 0.0, width, height, figure), below=4.0))
    tags = Tags(setting, furniture.marks, setting.role("tag"), content * (1 - NAMES))
    names = [
        setting.text(words, role, node.child("P"), content * NAMES - 3 * MM)
        for words, role in ((furniture.clinic, setting.role("clinic")), (furniture.contact, _small(setting)))
    ]
    made += _with_issue(setting, beside_tags(names, tags, content * NAMES, node, setting.tallest), names, tags, node)
    title = [piece for text in _titles(setting, node.child("H1"), content) for piece in text.pieces(0.0)]
    title[0].above, title[-1].below = setting.space("section_staff"), setting.space("title")
    made += title
    made += person_row(setting, [node.child("P") for _ in furniture.person], setting.role("person"), PERSON_PAD)
    made[-1].below = setting.space("paragraph")
    return made


def _with_issue(setting: Setting, above: list[Piece], names: list[Text], tags: Tags, node: Node) -> list[Piece]:
    """Add number, day and check code: in the line of the address, beside the tags or below all of it."""
    issue, role, content = setting.document.furniture.issue, _small(setting), setting.content
    said = issue.said if issue else ()
    start, contact, room = names[0].height, names[-1], content * NAMES - 3 * MM
    wide = content - contact.lines[0].width - APART
    is_free = len(above) == len(contact.lines) == len(said) == 1 and tags.bottom <= start + BELOW_TAGS
    if is_free and setting.natural(said[0], role) < wide:
        text = setting.text(said[0], role, node.child("P"), wide, end=True)
        names[0].height += CLEAR
        above[0].paint = partial(_paint_both, above[0].paint, Stack(content - wide, [text]), start + CLEAR)
        return above
    texts = [setting.text(words, role, node.child("P"), content) for words in said]
    beside = Stack(0.0, [setting.text(words, role, node.child("P"), room) for words in said])
    depth = start + contact.height
    if len(above) == 1 and depth + beside.height < above[0].height + sum(text.height for text in texts):
        above[0].paint = partial(_paint_both, above[0].paint, beside, depth)
        above[0].height = max(above[0].height, depth + beside.height)
        return above
    return [*above, *(piece for text in texts for piece in text.pieces(0.0))]


def _paint_both(first: Paint | None, beside: Stack, depth: float, sheet: Sheet, top: float) -> None:
    if first:
        first(sheet, top)
    beside.paint(sheet, top - depth)


def _small(setting: Setting) -> Role:
    """Find how address and issue are set: in large print with their lines close, for the sake of the danger box."""
    role = setting.role("furniture")
    return replace(role, line=role.size * CLOSE[1]) if setting.large else role


def _titles(setting: Setting, node: Node, width: float) -> list[Text]:
    """Set the title; in two languages the reader's stands below, not bold."""
    first, *others = halves(setting.document.title)
    role, made = setting.role("title"), []
    made.append(balanced(setting, first, role, node.child("Span") if others else node, width))
    for part in others:
        own, words, tag = own_setting(setting, part)
        below = node.child("Span", **in_language(tag))
        made.append(balanced(own, words, replace(role, bold=False), below, width, end=own.rtl != setting.rtl))
    return made


def balanced(setting: Setting, words: Words, role: Role, node: Node, width: float, end: bool = False) -> Text:
    """Set a title so that its lines are about equally long; in large print in one, if it nearly fits."""
    natural = setting.natural(words, role)
    if setting.large and width < natural and NEARLY * natural < width - 1:
        share = (width - 1) / natural
        role = replace(role, size=role.size * share, line=role.line * share)
    text = setting.text(words, role, node, width, end=end)
    low, high = width / 2, width
    if not 1 < len(text.lines) <= 4:
        return text
    for _ in range(5):
        middle = (low + high) / 2
        if len(setting.text(words, role, node, middle).lines) == len(text.lines):
            high = middle
        else:
            low = middle
    text = setting.text(words, role, node, high, end=end)
    text.width = width
    return text
