"""
Markdown with tokens > sections of blocks.

The subset: headings, paragraphs, lists one level deep, tables, bold, italic. Everything else prints to the letter.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from importlib import import_module
from typing import Any
from unicodedata import category

from docgen.blocks import Block, Figure, Heading, Items, Pairs, Paragraph, Section, Span, Table, Words
from docgen.compose.binding import bound
from docgen.compose.plain_markdown import Node, plain_nodes
from docgen.compose.tokens import VOICE_START, Drawn, Slot, Tokens
from docgen.kinds.template import SECTION_END, SECTION_NAMED, SECTION_START
from docgen.values import dataclass

_MARKS = frozenset("*_\n\r\0\t")
"""What may make of a line that begins with a letter or a token anything else than one paragraph of text."""


class MarkupFault(Exception):
    """The text of a template has a shape the subset does not know; carries its line."""

    def __init__(self, what: str, line: int) -> None:
        super().__init__(what)
        self.what, self.line = what, line


@dataclass(frozen=True)
class _Style:
    bold: bool = False
    italic: bool = False


def read_blocks(text: str, tokens: Tokens) -> tuple[Block, ...]:
    """Read Markdown into blocks; a paragraph that is one block token becomes that block."""
    if _is_plain_line(text):
        return (tokens.block(text) or Paragraph(_joined(_text_spans(text, _Style(), tokens))),)
    nodes = plain_nodes(text)
    return blocks_of(library_nodes(text) if nodes is None else nodes, tokens)


def library_nodes(text: str) -> Sequence[Node]:
    """Read Markdown of any shape into nodes; the library is imported only for shapes that are rare."""
    reader, tree = _library()
    nodes: Sequence[Node] = tree.SyntaxTreeNode(reader.parse(text)).children
    return nodes


@lru_cache(maxsize=1)
def _library() -> tuple[Any, Any]:
    reader = import_module("markdown_it").MarkdownIt("zero")
    return reader.enable(["heading", "list", "table", "emphasis", "newline"]), import_module("markdown_it.tree")


def blocks_of(nodes: Sequence[Node], tokens: Tokens) -> tuple[Block, ...]:
    """Make blocks of nodes."""
    return _pairs_together(block for node in nodes for block in _block(node, tokens))


def _is_plain_line(text: str) -> bool:
    """Tell whether a text is one line of words without any mark, as most labels and values are: nothing to parse."""
    starts = bool(text) and (text[0].isalpha() or category(text[0]) == "Co")
    return starts and not text[-1].isspace() and _MARKS.isdisjoint(text)


def _pairs_together(blocks: Iterable[Block]) -> tuple[Block, ...]:
    """Join labels and values that follow each other, so that rows left out leave no gap."""
    joined: list[Block] = []
    for block in blocks:
        last = joined[-1] if joined else None
        if isinstance(block, Pairs) and isinstance(last, Pairs):
            joined[-1] = Pairs((*last.rows, *block.rows))
        else:
            joined.append(block)
    return tuple(joined)


def read_sections(text: str, tokens: Tokens) -> tuple[Section, ...]:
    """
    Read a whole body: each marked block is a section, its first level-2 heading the section's heading.

    A section speaks in the voice named last before its end; none named leaves it that of the document.
    """
    sections: list[Section] = []
    name = voice = ""
    parts: list[str] = []
    depth = 0
    for line in text.split("\n"):
        if line.startswith(SECTION_START):
            depth += 1
            if depth == 1:
                _close(sections, name, voice, parts, tokens)
                name, parts = line[1:].partition(SECTION_NAMED)[0], []
        elif line.startswith(SECTION_END):
            depth -= 1
            if depth == 0:
                _close(sections, name, voice, parts, tokens)
                name, parts = "", []
        elif line.startswith(VOICE_START):
            voice = line[1:]
        else:
            parts.append(line)
    _close(sections, name, voice, parts, tokens)
    return tuple(sections)


def _close(sections: list[Section], name: str, voice: str, lines: list[str], tokens: Tokens) -> None:
    blocks = list(read_blocks("\n".join(lines), tokens))
    heading: Words = ()
    if blocks and isinstance(blocks[0], Heading) and blocks[0].level == 2:
        heading = blocks[0].words
        del blocks[0]
    if blocks or heading:
        sections.append(Section(name.replace("_", " "), heading, tuple(blocks), voice))


def _block(node: Node, tokens: Tokens) -> Iterator[Block]:
    line = (node.map or (0, 0))[0] + 1
    if node.type == "heading":
        yield Heading(int(node.tag[1:]), _words(node, tokens))
    elif node.type == "paragraph":
        yield from _paragraph(node, tokens)
    elif node.type in ("bullet_list", "ordered_list"):
        yield Items(tuple(_item(item, tokens, line) for item in node.children), node.type == "ordered_list")
    elif node.type == "table":
        yield _table(node, tokens)
    else:
        raise MarkupFault(node.type, line)


def _paragraph(node: Node, tokens: Tokens) -> Iterator[Block]:
    text = node.children[0].content
    placed = [tokens.block(part) for part in text.split("\n")]
    if placed and all(placed):
        yield from (block for block in placed if block)
    else:
        yield Paragraph(_words(node, tokens))


def _item(node: Node, tokens: Tokens, line: int) -> Words:
    if len(node.children) != 1 or node.children[0].type != "paragraph":
        raise MarkupFault("a list item holds one paragraph", line)
    return _words(node.children[0], tokens)


def _table(node: Node, tokens: Tokens) -> Table:
    head = node.children[0].children[0]
    body = node.children[1].children if len(node.children) > 1 else []
    rows = tuple(tuple(_words(cell, tokens) for cell in row.children) for row in body)
    drawings = tuple(_drawing(row) for row in rows)
    rows = tuple(tuple(_undrawn(cell) for cell in row) for row in rows)
    boxes = _columns(head, "center")
    if any(row[place] for row in rows for place in boxes):
        raise MarkupFault("a centered column holds empty boxes, no words", (node.map or (0, 0))[0] + 1)
    return Table(
        header=tuple(_words(cell, tokens) for cell in head.children),
        rows=rows,
        numeric=_columns(head, "right"),
        boxes=boxes,
        drawings=drawings if any(drawings) else (),
    )


def _drawing(row: tuple[Words, ...]) -> Figure | None:
    return next((span.figure for cell in row for span in cell if isinstance(span, Drawn)), None)


def _undrawn(cell: Words) -> Words:
    return tuple(span for span in cell if not isinstance(span, Drawn))


def _columns(head: Node, alignment: str) -> tuple[int, ...]:
    """Find the columns aligned in one way: to the right numbers, in the center boxes to tick."""
    return tuple(i for i, cell in enumerate(head.children) if alignment in str(cell.attrs.get("style", "")))


def _words(node: Node, tokens: Tokens) -> Words:
    spans: list[Span] = []
    for child in node.children:
        if child.type == "inline":
            for inner in child.children:
                spans += _inline(inner, _Style(), tokens)
    return _joined(spans)


def _inline(node: Node, style: _Style, tokens: Tokens) -> list[Span]:
    if node.type == "text":
        return _text_spans(node.content, style, tokens)
    if node.type in ("softbreak", "hardbreak"):
        return [Span(" ", style.bold, style.italic)]
    if node.type in ("strong", "em"):
        inner = _Style(style.bold or node.type == "strong", style.italic or node.type == "em")
        return [span for child in node.children for span in _inline(child, inner, tokens)]
    raise MarkupFault(node.type, 1)


def _text_spans(text: str, style: _Style, tokens: Tokens) -> list[Span]:
    spans: list[Span] = []
    plain = ""
    for character in text:
        value = tokens.span(character)
        if value is None:
            plain += character
            continue
        if plain:
            spans.append(Span(plain, style.bold, style.italic))
            plain = ""
        spans.append(replace(value, bold=value.bold or style.bold, italic=style.italic))
    return [*spans, Span(plain, style.bold, style.italic)] if plain else spans


def _joined(spans: list[Span]) -> Words:
    """Join neighbors that print alike and belong to no field."""
    out: list[Span] = []
    for span in spans:
        last = out[-1] if out else None
        if (
            last
            and not last.path
            and not span.path
            and not isinstance(last, Slot | Drawn)
            and not isinstance(span, Slot | Drawn)
            and replace(last, text="") == replace(span, text="")
        ):
            out[-1] = replace(last, text=last.text + span.text)
        else:
            out.append(span)
    return bound(tuple(out))


__all__ = ["MarkupFault", "read_blocks", "read_sections"]
