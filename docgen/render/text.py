"""
A composed document > the review text: what a clinician reads in a golden and signs.

One mark a block, at the start of the line; what continues it stands further in, one sentence a line, so that a diff
shows the sentence. The signs │ ↵ ☐ ☒ are in no font of the pages, so no value can hold them (`fonts`): a cell, a line
break or a box is never taken for words. Emphasis is not shown: it carries no meaning that a word does not carry too.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import assert_never

from docgen.blocks import (
    Block,
    Caution,
    Choice,
    Danger,
    Document,
    Figure,
    Heading,
    Image,
    Items,
    Note,
    Origin,
    PageBreak,
    Pairs,
    Paragraph,
    Signature,
    Span,
    Table,
    Together,
    Words,
    Writing,
    plain,
)
from docgen.render.style import Style
from docgen.render.words import figure_lines, labeled_cells, lines_of

CELL, BREAK, EMPTY, TICKED = "│", "↵", "☐", "☒"

_WIDTH = 8
"""Of a mark with the space after it."""

_INDENT = "  "
"""Before the marks inside a danger box."""

_SENTENCE_END = re.compile(r"(?<=[.!?]) (?=\S)")

_CAUTION_MARKS = {"bar": "CAUTION", "frame": "FRAME", "band": "BAND"}
_PARAGRAPH_MARKS = {"body": "P", "lead": "LEAD", "small": "SMALL"}


def render(document: Document, style: Style) -> bytes:
    """Print the review text, in UTF-8. The style changes nothing here; every renderer is called alike."""
    furniture = document.furniture
    lines = [_origin(document.origin)]
    lines += _mark("HEAD", furniture.clinic) + _mark("HEAD", furniture.contact)
    lines += [line for mark in furniture.marks for line in _put("MARK", (mark.words,))]
    lines += [line for words in (furniture.issue.said if furniture.issue else ()) for line in _mark("ISSUE", words)]
    lines += _mark("TITLE", document.title)
    lines += _mark("WHO", *furniture.person)
    for section in document.sections:
        lines += ["", *_put("SEC", (section.id, *_texts(section.heading)[:1]), _texts(section.heading)[1:])]
        lines += _blocks(section.blocks, document.in_voice(section.voice).layout.large_print)
    lines += ["", *(line for words in furniture.foot for line in _mark("FOOT", words))]
    lines += _put("IMAGE", (furniture.issue.alt,)) if furniture.issue else []
    lines += _put("PAGE", (furniture.page,))
    return "".join(f"{line}\n" for line in lines).encode()


def _origin(origin: Origin) -> str:
    """Say where the document came from; no digests, which would stir every golden."""
    parts = (
        *(f"{origin.kind} v{origin.version}", origin.language, origin.copy and f"{origin.copy} copy"),
        *(origin.record, origin.issued_on, *origin.editions),
        *(f"{name}={value}" for name, value in origin.settings),
    )
    return " · ".join(part for part in parts if part)


def _blocks(blocks: Iterable[Block], large_print: bool) -> list[str]:
    return [line for block in blocks for line in _block(block, large_print)]


def _block(block: Block, large_print: bool) -> list[str]:
    match block:
        case Heading():
            return _mark(f"H{block.level}", block.words)
        case Paragraph():
            return _mark(_PARAGRAPH_MARKS[block.role], block.words)
        case Items():
            return [line for number, item in enumerate(block.items, 1) for line in _item(item, number, block.ordered)]
        case Table():
            return _large_table(block) if large_print else _table(block)
        case Pairs():
            return [line for row in block.rows for line in _mark("PAIR", *row)]
        case Note():
            return _mark("NOTE", block.words)
        case Caution():
            return _mark(_CAUTION_MARKS[block.look], block.words)
        case Danger():
            inside = _blocks(block.blocks, large_print)
            return [*_mark("DANGER", block.title), *(_INDENT + line if line else "" for line in inside)]
        case Choice():
            return _choice(block)
        case Writing():
            return [*_mark("WRITE", block.label), *(["LINE"] * (max(block.lines, 1) + block.more))]
        case Signature():
            return _signature(block)
        case Image():
            return _put("IMAGE", (block.alt,))
        case Figure():
            return _figure(block)
        case PageBreak():
            return ["BREAK"]
        case Together():
            return _blocks(block.blocks, large_print)
        case _:
            assert_never(block)


def _item(item: Words, number: int, ordered: bool) -> list[str]:
    first, *others = _texts(item)
    return _put("LI", (f"{number}. {first}" if ordered else first,), others)


def _table(table: Table) -> list[str]:
    last = len(table.rows) - 1
    cells = (tuple((Span(EMPTY),) if c in table.boxes else w for c, w in enumerate(row)) for row in table.rows)
    rows = [
        [*_mark("SUM" if table.total and place == last else "TR", *row), *_drawn(table, place)]
        for place, row in enumerate(cells)
    ]
    return [*_mark("TABLE", table.caption), *_mark("TH", *table.header), *(line for row in rows for line in row)]


def _large_table(table: Table) -> list[str]:
    lines = _mark("TABLE", table.caption)
    for place, row in enumerate(labeled_cells(table)):
        lines += ["TR", *(line for label, value in row for line in _mark("PAIR", label, value))]
        lines += _drawn(table, place)
    return lines


def _drawn(table: Table, place: int) -> list[str]:
    """Print what the drawing of a row says to who cannot see it."""
    figure = table.drawings[place] if table.drawings else None
    return _mark("ALT", figure.alt) if figure else []


def _figure(figure: Figure) -> list[str]:
    """Print what a figure says where it is not drawn, then the words on the drawing."""
    said = [line for words in figure_lines(figure) for line in _mark("FIGURE", words)]
    return [*said, *(_mark("LABEL", *figure.words) if figure.words else [])]


def _choice(choice: Choice) -> list[str]:
    lines = _mark("CHOICE", choice.label)
    for place, option in enumerate(choice.options):
        first, *others = _texts(option)
        lines += _put("BOX", (f"{TICKED if choice.is_ticked(place) else EMPTY} {first}",), others)
    return lines


def _signature(signature: Signature) -> list[str]:
    return [
        *_mark("SIGN", signature.statement),
        *_mark("BY", signature.labels[0], signature.name, signature.role, signature.details),
        *_mark("AT", signature.moment, signature.labels[1]),
    ]


def _texts(words: Words) -> list[str]:
    """Give words line by line: at the line breaks of a value (marked) and after each sentence."""
    lines = [plain(line) for line in lines_of(words)]
    marked = [*(f"{line}{BREAK}" for line in lines[:-1]), lines[-1]]
    return [sentence for line in marked for sentence in _SENTENCE_END.split(line)]


def _mark(mark: str, *parts: Words) -> list[str]:
    """Print a mark and its words; of several parts, parted by a sign, only the last is cut by sentence."""
    cells = [f"{BREAK}\n".join(plain(line) for line in lines_of(words)).split("\n") for words in parts[:-1]]
    lines = [""]
    for number, cell in enumerate([*cells, _texts(parts[-1] if parts else ())]):
        lines[-1] += f" {CELL} {cell[0]}" if number else cell[0]
        lines += cell[1:]
    return _put(mark, (lines[0],), lines[1:])


def _put(mark: str, parts: tuple[str, ...], others: Iterable[str] = ()) -> list[str]:
    return [f"{mark:<{_WIDTH}}{f' {CELL} '.join(parts)}".rstrip(), *_continued(others)]


def _continued(texts: Iterable[str]) -> Iterator[str]:
    return (f"{'':<{_WIDTH}}{text}" for text in texts)
