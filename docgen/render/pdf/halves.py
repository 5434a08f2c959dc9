"""
Words that stand in two languages, one below the other > texts: the clinic's language smaller, the reader's as usual.

Each half is set in its own direction and is an element of its own, which says its language. Apart from `setting`,
which sets words in one.
"""

from __future__ import annotations

from copy import copy
from dataclasses import replace

from docgen.blocks import Words
from docgen.render.pdf.setting import RTL_LANGUAGES, Setting, Text
from docgen.render.pdf.sheet import Node, in_language
from docgen.render.style import Role
from docgen.render.words import halves


def set_both(
    setting: Setting,
    words: Words,
    role: Role,
    node: Node | str,
    width: float,
    *,
    kind: str = "P",
    first: Role | None = None,
    end: bool = False,
    fixed: bool = False,
    bold: bool = False,
) -> list[Text]:
    """
    Set words in a width, in points; those of another language below them, as an element of a kind.

    `first` is the role of what stands above the other language; `fixed`: both stand at one edge, as numbers do, not
    each where its lines begin.
    """
    parts = halves(words)
    if len(parts) == 1:
        return [setting.text(words, role, node, width, bold=bold, end=end)]
    made = []
    for place, part in enumerate(parts):
        own, part, tag = own_setting(setting, part) if place else (setting, part, "")
        below = node.child(kind, **in_language(tag)) if isinstance(node, Node) else node
        turned = own.rtl != setting.rtl and not fixed
        look = role if place == len(parts) - 1 else first or role
        made.append(own.text(part, look, below, width, bold=bold, end=end != turned))
    return made


def own_setting(setting: Setting, words: Words) -> tuple[Setting, Words, str]:
    """Find how the second half is set: as a document in its language; what was typed in the first says so."""
    tag = next((span.language for span in words if span.language and span.language != setting.language), "")
    if not tag:
        return setting, words, ""
    own = copy(setting)
    own.language, own.rtl = tag, tag.split("-")[0] in RTL_LANGUAGES
    return own, tuple(replace(span, language=span.language or setting.language) for span in words), tag


def first_role(setting: Setting, name: str) -> Role:
    """Find how the clinic's language is set above the reader's: in the voice of staff, but in large print."""
    return setting.role(name) if setting.large else setting.style.voices["staff"][name]


def height_of_texts(texts: list[Text]) -> float:
    """Measure texts one below the other, in points."""
    return sum([text.height for text in texts])
