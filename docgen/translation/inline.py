"""
A sentence > the inline content of an exchange file, and back: what must stay is a code that a tool protects.

Placeholders are `ph`, bold is `pc`; the characters they stand for are listed once for each unit (`originalData`).
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import field
from xml.sax.saxutils import escape, quoteattr

from docgen.translation.exchange_file import Element
from docgen.values import dataclass

BOLD = "**"
CODE = re.compile(r"(%\(\w+\)s|\{\w+\}|%%|\*\*)")
FORBIDDEN = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0 cannot hold."""

KEPT = 'canCopy="no" canDelete="no"'


@dataclass
class Codes:
    """Numbers the codes of one unit, alike in source and target."""

    data: dict[str, str] = field(default_factory=dict)
    """The characters of a code > its name in the unit."""

    def inline(self, sentence: str) -> str:
        """
        Write a sentence as inline content.

        Errors: ValueError, if it holds a character that XML cannot.
        """
        parts = CODE.split(sentence)
        bold = parts.count(BOLD) // 2 * 2
        seen: Counter[str] = Counter()
        return "".join(self._part(part, bold, seen) for part in parts)

    def original(self) -> str:
        """List what the codes stand for; empty if there is none."""
        lines = "".join(f'<data id="{name}">{text_in_xml(code)}</data>' for code, name in self.data.items())
        return f"<originalData>{lines}</originalData>" if lines else ""

    def _part(self, part: str, bold: int, seen: Counter[str]) -> str:
        if not CODE.fullmatch(part):
            return text_in_xml(part)
        name = self.data.setdefault(part, f"d{len(self.data) + 1}")
        seen[part] += 1
        if part == BOLD and seen[part] <= bold:
            if seen[part] % 2 == 0:
                return "</pc>"
            number = f"{name}-{seen[part] // 2 + 1}"
            return f'<pc id="{number}" dataRefStart="{name}" dataRefEnd="{name}" type="fmt" subType="xlf:b" {KEPT}>'
        return f'<ph id="{name}-{seen[part]}" dataRef="{name}" disp={quoteattr(part)} {KEPT}/>'


def text_in_xml(text: str) -> str:
    """
    Write text so that a reader of XML gets every character back, the carriage return too.

    Errors: ValueError, if it holds a character that XML cannot.
    """
    if FORBIDDEN.search(text):
        raise ValueError("a control character")
    return escape(text, {"\r": "&#13;"})


def sentence_of(content: Element, data: Mapping[str, str]) -> str:
    """
    Read inline content back as a sentence.

    Errors: ValueError, if it holds what no sentence of a catalog can.
    """
    return "".join(one if isinstance(one, str) else _code(one, data) for one in content.content)


def _code(element: Element, data: Mapping[str, str]) -> str:
    told = element.attributes
    match element.name:
        case "ph" | "sc" | "ec":
            return _original(data, told.get("dataRef"))
        case "pc":
            inside = sentence_of(element, data)
            return _original(data, told.get("dataRefStart")) + inside + _original(data, told.get("dataRefEnd"))
        case "mrk":
            return sentence_of(element, data)
        case "sm" | "em":
            return ""
        case _:
            raise ValueError(f"<{element.name}>")


def _original(data: Mapping[str, str], name: str | None) -> str:
    if name is None or name not in data:
        raise ValueError("a code without originalData")
    return data[name]
