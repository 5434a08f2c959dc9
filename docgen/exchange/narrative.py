"""
The blocks of a composed document > XHTML that a FHIR narrative may hold.

The section of a Composition says what the page says, word for word; nothing in it is markup from a value.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator
from typing import assert_never

from docgen.blocks import (
    Block,
    Caution,
    Choice,
    Danger,
    Figure,
    Heading,
    Image,
    Items,
    Note,
    PageBreak,
    Pairs,
    Paragraph,
    Signature,
    Span,
    Table,
    Together,
    Words,
    Writing,
)
from docgen.exchange.elements import escaped

EMPTY, TICKED = "\u2610", "\u2612"


def spans_of(part: object) -> Iterator[Span]:
    """Give every run of words in a part of a document, in reading order."""
    if isinstance(part, Span):
        yield part
    elif isinstance(part, tuple):
        for one in part:
            yield from spans_of(one)
    elif dataclasses.is_dataclass(part):
        for one in dataclasses.fields(part):
            yield from spans_of(getattr(part, one.name))


def xhtml(blocks: Iterable[Block]) -> str:
    """Write blocks one below the other."""
    return "".join(map(_block, blocks))


def _block(block: Block) -> str:
    match block:
        case Heading():
            return _in(f"h{block.level}", block.words)
        case Paragraph() | Note():
            return _in("p", block.words)
        case Caution():
            return f"<p><b>{_words(block.words)}</b></p>" if block.words else ""
        case Items():
            kind = "ol" if block.ordered else "ul"
            return f"<{kind}>{''.join(_in('li', item) for item in block.items)}</{kind}>"
        case Table():
            return _table(block)
        case Pairs():
            return f"<dl>{''.join(_in('dt', label) + _in('dd', value) for label, value in block.rows)}</dl>"
        case Danger():
            return f"<div>{_in('h3', block.title)}{xhtml(block.blocks)}</div>"
        case Choice() | Writing() | Signature() | Image() | Figure():
            return _for_the_pen_or_eye(block)
        case PageBreak():
            return ""
        case Together():
            return xhtml(block.blocks)
        case _:
            assert_never(block)


def _for_the_pen_or_eye(block: Choice | Writing | Signature | Image | Figure) -> str:
    """Write what a page draws: boxes as signs, pictures as what they say in words, a place to sign as its words."""
    if isinstance(block, Choice):
        boxes = (TICKED if block.is_ticked(place) else EMPTY for place in range(len(block.options)))
        rows = "".join(f"<li>{box} {_words(option)}</li>" for box, option in zip(boxes, block.options, strict=True))
        return f"{_in('p', block.label)}<ul>{rows}</ul>"
    if isinstance(block, Writing):
        return _in("p", block.label)
    if isinstance(block, Signature):
        parts = (block.statement, block.role, block.name, block.details, block.moment)
        return "".join(_in("p", words) for words in parts)
    return f"<p>{escaped(block.alt)}</p>" if isinstance(block, Image) else _in("p", block.alt)


def _table(table: Table) -> str:
    head = f"<thead><tr>{''.join(f'<th>{_words(words)}</th>' for words in table.header)}</tr></thead>"
    rows = "".join(
        f"<tr>{''.join(f'<td>{EMPTY if c in table.boxes else _words(cell)}</td>' for c, cell in enumerate(row))}</tr>"
        for row in table.rows
    )
    return f"<table>{_in('caption', table.caption)}{head}<tbody>{rows}</tbody></table>"


def _in(element: str, words: Words) -> str:
    inside = _words(words)
    return f"<{element}>{inside}</{element}>" if inside.strip() else ""


def _words(words: Words) -> str:
    return "".join(map(_span, words))


def _span(span: Span) -> str:
    written = "<br/>".join(escaped(line) for line in span.text.split("\n"))
    written = f"<i>{written}</i>" if span.italic else written
    written = f"<b>{written}</b>" if span.bold else written
    written = f'<a href="{escaped(span.link)}">{written}</a>' if span.link else written
    return f'<span lang="{span.language}" xml:lang="{span.language}">{written}</span>' if span.language else written
