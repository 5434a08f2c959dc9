"""Markdown of plain shapes is read as the library reads it; every other shape is left to it."""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import Any

import pytest

from docgen.compose.markup import library_nodes
from docgen.compose.plain_markdown import Node, plain_nodes
from tests.seeded import seeded

VALUE = "\U000f0000"

WORDS = ("word", "Two", VALUE, "3", "1.", "12)", "**bold**", f"**{VALUE}**.", "a,", "(b)", "x:", "äö", "5 mg", "“q”")
ODD = (
    *("*", "**", "***", "_", "#", "|", "-", "+", "\\", "`", " ", "  ", "\u00a0", "\u2003", "\u2028", "\t"),
    *("* a", "1. b", ">", "---", ":", "[a]", "~", "<b>", "&amp;", "☐", "**(c)**"),
)


def told(nodes: Sequence[Node]) -> list[Any]:
    """Say all of nodes that a block is made of."""
    return [
        (
            node.type,
            node.tag if node.type == "heading" else "",
            node.attrs.get("style", "") if node.type in ("th", "td") else "",
            node.content if node.type in ("text", "inline") else "",
            told(node.children),
        )
        for node in nodes
        if node.type != "text" or node.content
    ]


def _line(draw: random.Random) -> str:
    parts = draw.choices(WORDS, k=draw.randint(1, 4))
    if draw.random() < 0.25:
        parts.insert(draw.randrange(len(parts) + 1), draw.choice(ODD))
    return draw.choice((" ", " ", "")).join(parts)


def _block(draw: random.Random) -> str:
    lines = [_line(draw) for _ in range(draw.randint(1, 3))]
    match draw.choice(("text", "text", "heading", "items", "table")):
        case "heading":
            return f"{'#' * draw.randint(1, 3)} {lines[0]}"
        case "items":
            return "\n".join(f"- {one}" for one in lines)
        case "table":
            first, *rows = (f"| {one} | {_line(draw)} |" for one in lines)
            return "\n".join([first, draw.choice(("|---|---|", "|--:|:-:|", "|:--|---|", "|---|")), *rows])
        case _:
            return draw.choice(("\n", "\n ", " \n")).join(lines)


def test_what_is_read_is_read_as_the_library_reads_it() -> None:
    """Thousands of texts of what templates hold, with something odd in them now and then."""
    draw = seeded(11)
    read = 0
    for _ in range(8000):
        blocks = [_block(draw) for _ in range(draw.randint(1, 4))]
        text = draw.choice(("\n", "\n\n", "\n\n", "\n  \n\n")).join(blocks)
        nodes = plain_nodes(text)
        if nodes is not None:
            read += 1
            assert told(library_nodes(text)) == told(nodes), ascii(text)
    assert read > 1000


@pytest.mark.parametrize(
    "text",
    [
        *("a *b*", "a _b_", "**a", "** a**", "a**(b)**", "***a***", "a\tb", "a \nb", "    a", "> a"),
        *("a\n- b", "- a\n  b", "- a\n\n  b", "- # a", "- - a", "+ a", "1. a", "a\n1) b", "# a #", "# a\nb"),
        *("| a |\n|---|---|", "| a \\| b |\n|---|", "| a |", "| a |\n|---|\nb"),
    ],
)
def test_what_is_in_doubt_is_left_to_the_library(text: str) -> None:
    """Shapes with rules of their own, which no template of ours has."""
    assert plain_nodes(text) is None


def test_the_shapes_of_templates_are_read() -> None:
    """Headings, bold words, items and rows, in one text."""
    text = f"## Head\n\nOne **bold {VALUE}**,\n and more.\n\n- a\n\n- b\n\n| A | B |\n|---|--:|\n| 1 |  |\n"
    nodes = plain_nodes(text)
    assert nodes is not None
    assert told(library_nodes(text)) == told(nodes)
    assert ["heading", "paragraph", "bullet_list", "table"] == [node.type for node in nodes]
